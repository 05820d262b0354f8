"""A plan beside its record: what was answered of each row, what stands open, and the entry of a new answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from model.plans.judging import Standing, Taken, Verdict, judge, limit_at
from model.plans.leaning import as_read
from model.plans.plan import Measure, Plan, PlanRow
from model.record_entries import Measured, TakenBack
from model.record_fields import Entry

_SAID = {str(said): said for said in (Standing.GOOD, Standing.BAD, Standing.SKIPPED)}
_BAD = str(Standing.BAD)


@dataclass(frozen=True, slots=True)
class Kept:
    """The answer that counts of one row.

    Attributes
    ----------
    verdict
        By the limit of the plan as it is now; `entry.verdict` is the one of its day.
    woken
        When the row was last said to be bad, though it may have been answered otherwise since; None where never.
    """

    taken: Taken
    verdict: Verdict
    entry: Measured
    woken: datetime | None = None


@dataclass(frozen=True, slots=True)
class Measuring:
    """Who measures, with what, and how warm it is, in degrees Celsius."""

    who: str = ""
    meter: str = ""
    ambient_celsius: float | None = None


def kept_answers(plan: Plan, entries: Iterable[Entry]) -> dict[str, Kept]:
    """Give the answer that counts of each row that has one, by the row's key; of several the last.

    An entry of a row that the plan no longer has, or in another unit than it has now, is passed over.
    """
    rows = {row.key: row for row in plan.rows}
    own = [entry for entry in entries if _is_of(entry, plan)]
    found: dict[str, Kept] = {}
    for entry in standing_entries(own):
        taken = taken_of(rows[entry.row], entry) if entry.row in rows else None
        if taken is not None:
            found[entry.row] = Kept(taken, judge(rows[entry.row], taken), entry)
    waiting = [row for row in plan.rows if row.after and row.key in found]
    for row in waiting:
        if row.anew == row.key:
            found[row.key] = replace(found[row.key], woken=_last_bad(own, row.key))
    for row in waiting:
        if _is_reopened(row, found):
            del found[row.key]
    for row in plan.rows:
        if row.looks_back and row.key in found:
            answer = found[row.key]
            found[row.key] = replace(answer, verdict=verdict_at(row, answer.taken, answer.entry.when, found))
    return found


def _last_bad(entries: Iterable[Entry], key: str) -> datetime | None:
    """Give when a row was last said to be bad; what was taken back since counts no more."""
    last: datetime | None = None
    for entry in entries:
        if isinstance(entry, TakenBack) and entry.row == key:
            last = None
        elif isinstance(entry, Measured) and entry.row == key and entry.word == _BAD:
            last = entry.when
    return last


def _is_reopened(row: PlanRow, kept: Mapping[str, Kept]) -> bool:
    """Tell whether the wait itself was answered before its clock was started once more."""
    started = kept.get(row.after)
    return row.anew == row.key and started is not None and kept[row.key].entry.when < started.entry.when


def not_before(row: PlanRow, kept: Mapping[str, Kept]) -> datetime | None:
    """Give the time before which a row is not to be read, by the answer that started its clock; None without one."""
    began = _began(row, kept)
    return None if began is None else began + timedelta(minutes=row.wait_minutes)


def _began(row: PlanRow, kept: Mapping[str, Kept]) -> datetime | None:
    """Give when the clock of a row began: as it was started, or as what waits was last woken."""
    started = kept.get(row.after) if row.after else None
    if started is None or started.taken.said in (Standing.BAD, Standing.SKIPPED):
        return None
    wait = kept.get(row.anew) if row.anew else None
    woken = None if wait is None else wait.woken
    return started.entry.when if woken is None else max(started.entry.when, woken)


def verdict_at(row: PlanRow, taken: Taken, when: datetime, kept: Mapping[str, Kept]) -> Verdict:
    """Judge what was read or said at a time.

    Before the wait is over nothing proves anything: neither what is bad by its value, nor what was said to be good.
    """
    verdict, earliest = judge(as_read(row, kept), taken), not_before(row, kept)
    if earliest is None:
        return verdict
    if taken.said is Standing.BAD and row.anew == row.key:
        over = when + timedelta(minutes=row.wait_minutes)
        return Verdict(Standing.BAD, f"Something woke: the clock runs anew since {when:%H:%M}, until {over:%H:%M}.")
    if when >= earliest:
        return verdict
    if taken.said is Standing.GOOD:
        early = f"Said at {when:%H:%M}, and not before {earliest:%H:%M} is the wait over: say it again then."
        return Verdict(Standing.UNPROVEN, early)
    if taken.value is None or verdict.standing is not Standing.BAD:
        return verdict
    early = f"Read at {when:%H:%M}, and not before {earliest:%H:%M} was asked: read it again."
    return Verdict(Standing.UNPROVEN, f"{early} {verdict.why}")


def row_now(row: PlanRow, kept: Mapping[str, Kept]) -> PlanRow:
    """Give a row by what was read so far, with the time before which it is not to be read where its clock runs."""
    row, started = as_read(row, kept), _began(row, kept)
    if started is None:
        return row
    earliest = started + timedelta(minutes=row.wait_minutes)
    day = "" if started.date() == earliest.date() else f" on {earliest:%d %b}"
    said = f"Not before {earliest:%H:%M}{day}: the {row.wait_minutes:g} min run since {started:%H:%M}."
    return replace(row, before=(said, *row.before))


def standing_entries(entries: Iterable[Entry]) -> tuple[Measured, ...]:
    """Give the entry that counts of each row of each plan: the last one, where it was not taken back."""
    last: dict[tuple[str, str, str], Measured] = {}
    for entry in entries:
        if isinstance(entry, TakenBack):
            last.pop((entry.plan, entry.state, entry.row), None)
        elif isinstance(entry, Measured):
            last[entry.plan, entry.state, entry.row] = entry
    return tuple(last.values())


def _is_of(entry: Entry, plan: Plan) -> bool:
    if not isinstance(entry, Measured | TakenBack):
        return False
    return entry.plan == plan.kind and entry.state == _state(plan)


def _state(plan: Plan) -> str:
    return "" if plan.state is None else str(plan.state)


def taken_of(row: PlanRow, entry: Measured) -> Taken | None:
    """Give what was read or said in an entry; None where it is in another unit than the row has."""
    if entry.word:
        said = _SAID.get(entry.word)
        return None if said is None else Taken(said=said)
    value = {
        Measure.OHMS: entry.ohms,
        Measure.APART: entry.ohms,
        Measure.VOLTS: entry.volts,
        Measure.LAMP: entry.volts,
        Measure.MILLIVOLTS: entry.millivolts,
        Measure.AMPS: entry.amps,
        Measure.SEEN: None,
    }[row.measure]
    if value is None:
        return None
    return Taken(sum(value) / 2 if isinstance(value, tuple) else value, amps=entry.at_amps)


def measured_entry(
    plan: Plan, row: PlanRow, taken: Taken, *, when: datetime, by: Measuring, kept: Mapping[str, Kept] | None = None
) -> Measured:
    """Make the entry of a new answer, with its verdict, the limit and where that is from.

    Parameters
    ----------
    when
        Local time with its offset.
    kept
        The answers before it, for a row that has to wait for one of them or leans on one.
    """
    verdict = verdict_at(row, taken, when, kept or {})
    row = as_read(row, kept or {})
    limit = limit_at(row, taken.amps)
    read = {} if taken.value is None else {_FIELD_OF[row.measure]: taken.value}
    return Measured.model_validate(
        {
            "when": when,
            "plan": str(plan.kind),
            "row": row.key,
            "state": _state(plan),
            "check": str(row.measure),
            "red": row.red,
            "black": row.black,
            "others": row.others,
            "part": row.covers[0] if row.measure is Measure.AMPS and row.covers else "",
            "key": row.condition.key,
            "settings": row.condition.by_name,
            "word": "" if taken.said is None else str(taken.said),
            "at_amps": taken.amps,
            "expect": row.expect,
            "low": None if limit is None else limit.low,
            "high": None if limit is None else limit.high,
            "limit_source": "" if limit is None else limit.source,
            "computed_from": "" if limit is None else limit.computed_from,
            "verdict": str(verdict.standing),
            "why": verdict.why,
            "revision": plan.revision,
            "who": by.who,
            "meter": by.meter,
            "ambient_celsius": by.ambient_celsius,
            **read,
        }
    )


_FIELD_OF = {
    Measure.OHMS: "ohms",
    Measure.APART: "ohms",
    Measure.VOLTS: "volts",
    Measure.LAMP: "volts",
    Measure.MILLIVOLTS: "millivolts",
    Measure.AMPS: "amps",
}


def taken_back_entry(plan: Plan, row: PlanRow, *, when: datetime, by: Measuring) -> TakenBack:
    """Make the entry that takes the answer of a row back."""
    return TakenBack(
        when=when, plan=str(plan.kind), row=row.key, state=_state(plan), who=by.who, meter=by.meter,
        ambient_celsius=by.ambient_celsius, revision=plan.revision,
    )  # fmt: skip


def next_open(rows: Sequence[PlanRow], kept: dict[str, Kept], after: str = "") -> PlanRow | None:
    """Give the first row after a key that has no answer yet, going round; None where all have one."""
    keys = [row.key for row in rows]
    start = keys.index(after) + 1 if after in keys else 0
    around = [*rows[start:], *rows[:start]]
    return next((row for row in around if row.key not in kept), None)


def as_built_volts(entries: Iterable[Entry], key: str, settings: dict[str, str]) -> dict[tuple[str, str], float]:
    """Give the volts that plans have read in a key state with just these settings: (red, black) → volts.

    What was bad on its day, or was taken back, is no measure for later; of several good readings the last counts.
    """
    found: dict[tuple[str, str], tuple[datetime, float]] = {}
    for entry in standing_entries(entries):
        is_volts = entry.volts is not None and entry.check == Measure.VOLTS and entry.verdict == Standing.GOOD
        if is_volts and entry.key == key and entry.settings == settings:
            before = found.get((entry.red, entry.black))
            if before is None or entry.when >= before[0]:
                least, most = entry.span
                found[entry.red, entry.black] = entry.when, (least + most) / 2
    return {points: volts for points, (_, volts) in found.items()}


def counts(plan: Plan, kept: dict[str, Kept]) -> dict[Standing, int]:
    """Count the rows of a plan by how they stand."""
    found = dict.fromkeys(Standing, 0)
    for row in plan.rows:
        answer = kept.get(row.key)
        found[Standing.OPEN if answer is None else answer.verdict.standing] += 1
    return found
