"""A plan as a sheet: what stands on it, in words, with what the record of the loom has for each row."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from model.caution_words import GENERAL_CAUTIONS
from model.harness.harness import Harness
from model.plans.draw_words import coarse_words
from model.plans.judging import Standing
from model.plans.kept import Kept, counts, kept_answers, row_now
from model.plans.plan import LoomState, Plan, PlanKind, PlanRow
from model.plans.row_words import expect_words, limit_words, outside_words, value_words
from model.record_entries import Measured
from model.record_fields import Entry
from model.sheets.plan_meter import meter_words, setting_sentences
from model.sheets.plan_notes import Note, limit_notes, rows_words
from model.sheets.plan_points import black_words, covers_words, opens_words, place_of_row, red_words
from model.sheets.plan_states import has_several_keys, shared_settings, shared_words, words_beyond
from model.words import amps_text, clean, plural

_LONGEST = 2000
_GENERAL = tuple(caution.text for caution in GENERAL_CAUTIONS)

TITLES: Mapping[PlanKind, str] = {
    PlanKind.CONTINUITY: "Continuity: every conductor end to end, and apart from its neighbours",
    PlanKind.INSULATION: "Insulation: feed to ground before the battery",
    PlanKind.GROUNDS: "Grounds: every lug, strap and body under current",
    PlanKind.FIRST_POWER: "First power: through a lamp, one fuse at a time",
    PlanKind.LOADS: "Loads: what works, and the volts that say so",
    PlanKind.CRANK_AND_CHARGE: "Crank and charge: the battery, the starter and the charger at work",
    PlanKind.DRAW: "Draw: what the battery loses with the key off",
}
STATES: Mapping[LoomState, str] = {
    LoomState.BENCH: "Loom on the bench: nothing plugged in, no ground bolted on.",
    LoomState.APART: "Loom fitted, all apart: grounds bolted on, every plug apart, every part out, battery clamps off.",
    LoomState.MATED: "Loom fitted and mated: everything plugged in, switches at rest, battery clamps off.",
}
MARKS: Mapping[Standing, str] = {
    Standing.OPEN: " ",
    Standing.GOOD: "x",
    Standing.BAD: "!",
    Standing.SKIPPED: "-",
    Standing.UNPROVEN: "?",
}
"""What stands in the tick box; the verdict says the same in a word."""

NOTHING = "There is nothing to measure."


@dataclass(frozen=True, slots=True)
class Answered:
    """What the record has for a row."""

    read: str
    standing: Standing
    why: str
    when: str
    who: str


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row of a plan in words.

    Attributes
    ----------
    state
        Key and settings beyond those that all rows share; empty where there are none.
    note
        Number of the source of its limit; 0 where it has none.
    cautions
        Those that begin with this row, each with the rows that it holds for; empty words where for this one alone.
    before
        What to do first, in sentences.
    as_before
        Number of the row that has the same to be done before it, which then is not said again; 0 where none has.
    remark
        That it cannot fail and what to open, or what it does not see; empty where it sees all.
    """

    number: int
    row: PlanRow
    title: str
    place: str
    covers: str
    state: str
    meter: str
    red: str
    black: str
    expect: str
    limit: str
    note: int
    cautions: tuple[tuple[str, str], ...]
    before: tuple[str, ...]
    as_before: int
    remark: str
    answered: Answered | None

    @property
    def standing(self) -> Standing:
        """How the row stands."""
        return Standing.OPEN if self.answered is None else self.answered.standing


@dataclass(frozen=True, slots=True)
class SheetGroup:
    """Rows under one head."""

    head: str
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True)
class PlanSheet:
    """A plan on paper.

    Attributes
    ----------
    state
        In which state the loom is; of a continuity plan alone.
    shared
        Key and settings that all rows share, in words.
    meter
        How the meter is set for each kind of measurement.
    counted
        How many rows stand how.
    left_out, undetected
        Never counted among the rows.
    kept
        The answers of the record by the key of their row.
    """

    plan: Plan
    title: str
    vehicle: str
    revision: str
    state: str
    about: tuple[str, ...]
    cautions: tuple[str, ...]
    shared: str
    meter: tuple[str, ...]
    counted: str
    groups: tuple[SheetGroup, ...]
    notes: tuple[Note, ...]
    left_out: tuple[str, ...]
    undetected: tuple[str, ...]
    kept: Mapping[str, Kept]

    @property
    def rows(self) -> tuple[SheetRow, ...]:
        """All rows in working order."""
        return tuple(row for group in self.groups for row in group.rows)


def plan_sheet(harness: Harness, plan: Plan, entries: Iterable[Entry] = ()) -> PlanSheet:
    """Give a plan as a sheet.

    Parameters
    ----------
    entries
        Of the record of the loom; without them every row is open.
    """
    kept = kept_answers(plan, entries)
    writer = _Writer(harness, plan, kept)
    rows = [writer.row(place) for place in range(len(plan.rows))]
    return PlanSheet(
        plan,
        TITLES[plan.kind],
        clean(plan.vehicle),
        f"revision {plan.revision}",
        "" if plan.state is None else STATES[plan.state],
        _cleaned(plan.about),
        tuple(dict.fromkeys((*_cleaned((*writer.shared_cautions, *plan.cautions)), *_GENERAL))),
        shared_words(harness, plan),
        setting_sentences(harness, plan),
        counted_words(plan, kept),
        _groups(rows),
        writer.notes,
        _cleaned(plan.left_out),
        _cleaned(plan.undetected),
        kept,
    )


def counted_words(plan: Plan, kept: dict[str, Kept]) -> str:
    """Say how many rows stand how: ``12 rows: 3 good, 1 bad, 8 open``."""
    found = counts(plan, kept)
    order = (Standing.GOOD, Standing.BAD, Standing.UNPROVEN, Standing.SKIPPED, Standing.OPEN)
    said = ", ".join(f"{found[standing]} {standing}" for standing in order if found[standing])
    blind = sum(not row.tells and row.fuse is None for row in plan.rows)
    coarse = sum(not row.tells and row.fuse is not None for row in plan.rows)
    much = f"; {plural(coarse, 'fuse shows', 'fuses show')} only what is much" if coarse else ""
    cannot = f"; {plural(blind, 'row')} cannot fail as {'it stands' if blind == 1 else 'they stand'}" if blind else ""
    return f"{plural(len(plan.rows), 'row')}{f': {said}' if said else ''}{cannot}{much}"


def first_as_words(row: SheetRow) -> str:
    """Say that the same is to be done before a row as before one further up; empty where it is not."""
    return f"Do first what stands before row {row.as_before}." if row.as_before else ""


def read_words(row: PlanRow, entry: Measured, value: float | None) -> str:
    """Say what was read: ``0.24 Ω``, ``24 mV at 4.6 A``, ``11.9 V to 12.4 V``; empty where it was said."""
    if value is None:
        return ""
    least, most = entry.span
    words = value_words(row, value) if least == most else f"{value_words(row, least)} to {value_words(row, most)}"
    return f"{words} at {amps_text(entry.at_amps)}" if entry.at_amps else words


def _answered(row: PlanRow, kept: Kept) -> Answered:
    entry = kept.entry
    return Answered(
        read_words(row, entry, kept.taken.value),
        kept.verdict.standing,
        clean(kept.verdict.why, _LONGEST),
        f"{entry.when:%Y-%m-%d %H:%M}",
        clean(entry.who, 60),
    )


class _Writer:
    """Writes the rows of a plan one after another, each with what hangs on its neighbours."""

    def __init__(self, harness: Harness, plan: Plan, kept: dict[str, Kept]) -> None:
        self._harness = harness
        self._rows = tuple(row_now(row, kept) for row in plan.rows)
        self._kept = kept
        self._shared, self._has_own_key = shared_settings(harness, plan), has_several_keys(plan)
        self.shared_cautions = _shared_cautions(plan.rows)
        self._cautions = _caution_runs(plan.rows, self.shared_cautions)
        self.notes, self._of_rows = limit_notes(self._rows)

    def row(self, place: int) -> SheetRow:
        """Write the row at a place, counted from 0."""
        row, harness = self._rows[place], self._harness
        return SheetRow(
            place + 1,
            row,
            clean(row.title, _LONGEST),
            place_of_row(row),
            covers_words(harness, row),
            words_beyond(harness, row, self._shared, has_own_key=self._has_own_key),
            meter_words(harness, row),
            red_words(harness, row),
            black_words(harness, row),
            clean(expect_words(row), _LONGEST),
            _limit(row),
            self._of_rows[place],
            self._cautions[place],
            *_before(self._rows, place),
            _remark(harness, row),
            _answered(row, self._kept[row.key]) if row.key in self._kept else None,
        )


def _limit(row: PlanRow) -> str:
    """Say between what a row is good, and where by its own file a sound loom is not."""
    if row.limit is None:
        return ""
    outside = outside_words(row, row.limit, "")
    return f"{limit_words(row, row.limit)}{f', {outside} already by the file' if outside else ''}"


def _remark(harness: Harness, row: PlanRow) -> str:
    blind = clean(row.blind, _LONGEST)
    if row.tells:
        return f"Does not see: {blind}" if blind else ""
    opens = opens_words(harness, row)
    first = f" Take apart first: {opens}." if opens else ""
    coarse = coarse_words(row)
    if coarse:
        return f"{coarse[:1].upper()}{coarse[1:]}: {blind}"
    return f"Cannot fail as it stands: {blind}{first}"


def _before(rows: Sequence[PlanRow], place: int) -> tuple[tuple[str, ...], int]:
    """Give what to do before a row; where that is all as before a row further up in its group, the number of that."""
    row = rows[place]
    first = place
    while first and rows[first - 1].group == row.group and rows[first - 1].before == row.before:
        first -= 1
    if not row.before or first == place:
        return _cleaned(row.before), 0
    return (), first + 1


def _shared_cautions(rows: Sequence[PlanRow]) -> tuple[str, ...]:
    """Give the cautions that every row has: they are said once, before all."""
    if len(rows) < 2:
        return ()
    others = [frozenset(row.cautions) for row in rows[1:]]
    return tuple(text for text in rows[0].cautions if all(text in one for one in others))


def _caution_runs(rows: Sequence[PlanRow], shared: Collection[str]) -> tuple[tuple[tuple[str, str], ...], ...]:
    """Give the cautions that begin with each row, each with the rows that it holds for without a gap in its group."""
    found: list[tuple[tuple[str, str], ...]] = []
    for place, row in enumerate(rows):
        above = rows[place - 1] if place and rows[place - 1].group == row.group else None
        own = [text for text in row.cautions if text not in shared]
        begun = [text for text in own if above is None or text not in above.cautions]
        found.append(tuple((_run_words(rows, place, text), clean(text, _LONGEST)) for text in begun))
    return tuple(found)


def _run_words(rows: Sequence[PlanRow], first: int, caution: str) -> str:
    last = first
    while last + 1 < len(rows) and rows[last + 1].group == rows[first].group and caution in rows[last + 1].cautions:
        last += 1
    return "" if last == first else rows_words(range(first + 1, last + 2))


def _groups(rows: Iterable[SheetRow]) -> tuple[SheetGroup, ...]:
    return tuple(
        SheetGroup(clean(head, _LONGEST), tuple(inside)) for head, inside in groupby(rows, lambda one: one.row.group)
    )


def _cleaned(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(clean(one, _LONGEST) for one in words)
