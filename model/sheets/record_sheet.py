"""The record of a loom as a sheet: everything measured, by plan and by date, as it was judged on its day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.plans.plan import PlanKind
from model.record_entries import Amended, Answer, AnyEntry, Changed, Found, Measured, Mended, Reading, TakenBack
from model.record_text import Contents
from model.sheets.plan_states import together
from model.sheets.record_names import name_of, row_names, value_words
from model.words import clean, plural

TRACES = "traces and repairs"
"""Head of what belongs to no plan."""

AMENDMENTS = "amendments"
"""Head of what was changed on the loom."""

_LONGEST = 2000


@dataclass(frozen=True, slots=True)
class RecordRow:
    """One entry in words.

    Attributes
    ----------
    what
        The row of the plan, or what was checked; the points.
    state
        Key state and settings.
    read
        The value with its unit, or the word.
    why
        The verdict's reasons: limit, source and what it was computed from.
    later
        That it was measured again or taken back, with when; empty where the entry counts.
    by
        Who, with which meter, how warm it was, and the revision of the file, as far as they are known.
    """

    entry: AnyEntry
    when: str
    what: str
    state: str
    read: str
    verdict: str
    why: str
    later: str
    by: str


@dataclass(frozen=True, slots=True)
class RecordSection:
    """The entries of one plan in the order of their dates."""

    head: str
    rows: tuple[RecordRow, ...]


@dataclass(frozen=True)
class RecordSheet:
    """The record of a loom in words.

    Attributes
    ----------
    held_by
        The program that writes it, in words; empty where none does.
    trouble
        What of the file could not be read, each with its lines.
    """

    vehicle: str
    revision: int
    counted: str
    held_by: str
    trouble: tuple[str, ...]
    sections: tuple[RecordSection, ...]
    entries: tuple[AnyEntry, ...]


def record_sheet(harness: Harness, contents: Contents, held_by: str = "") -> RecordSheet:
    """Give the record of a loom as a sheet; questions, skips and corrections of traces are not on it.

    Parameters
    ----------
    held_by
        In words, who writes the record now.
    """
    later, names = later_words(contents.entries), row_names(contents.entries)
    sections: dict[str, list[RecordRow]] = {}
    for entry, said in zip(contents.entries, later, strict=True):
        row = _row(harness, entry, said, names)
        if row is not None:
            sections.setdefault(_head(entry), []).append(row)
    order = [*(str(kind) for kind in PlanKind), TRACES, AMENDMENTS]
    heads = sorted(
        sections, key=lambda head: next((place for place, one in enumerate(order) if head.startswith(one)), 99)
    )
    found = tuple(RecordSection(head, tuple(sorted(sections[head], key=_time))) for head in heads)
    return RecordSheet(
        clean(harness.build.name),
        harness.build.revision,
        _counted(contents.entries, later),
        clean(held_by),
        tuple(clean(str(one), 400) for one in contents.trouble),
        found,
        contents.entries,
    )


def later_words(entries: Sequence[AnyEntry]) -> tuple[str, ...]:
    """Say of each entry of a plan whether a later one took its place; empty where it counts."""
    found: list[str] = []
    last: dict[tuple[str, str, str], str] = {}
    for entry in reversed(entries):
        if not isinstance(entry, Measured | TakenBack):
            found.append("")
            continue
        row = (entry.plan, entry.state, entry.row)
        found.append(last.get(row, ""))
        does = "measured again" if isinstance(entry, Measured) else "taken back"
        last[row] = f"{does} {_when(entry)}"
    return tuple(reversed(found))


def _row(harness: Harness, entry: AnyEntry, later: str, names: dict[tuple[str, str, str], str]) -> RecordRow | None:
    match entry:
        case Measured():
            what, read = _what(entry, name_of(entry, names)), value_words(entry)
            verdict, why = entry.verdict, entry.why
        case TakenBack():
            what, read, verdict = name_of(entry, names), "", "taken back"
            why = "The answer was taken back: the row is open again."
        case Reading() | Changed():
            what, read = _what(entry, entry.check), value_words(entry)
            verdict, why = (
                (entry.verdict, _healthy(entry)) if isinstance(entry, Reading) else ("", "It was changed to this.")
            )
        case Mended():
            what, read, verdict = f"{entry.part} {entry.fault}", "", "cured" if entry.cured else "not cured"
            why = entry.repair
        case Amended():
            what, read, verdict, why = entry.sentence, ", ".join(entry.readings), entry.change, _amended_why(entry)
        case Found():
            what, read, verdict, why = "finding", "", "", entry.sentence or entry.stopped
        case _:
            return None
    state = _state(harness, entry) if isinstance(entry, Answer) else ""
    return RecordRow(
        entry, _when(entry), clean(what, _LONGEST), state, read, clean(verdict), clean(why, _LONGEST), later, _by(entry)
    )


def _amended_why(entry: Amended) -> str:
    ends = "; ".join(entry.ends)
    kept = f"Revision {entry.before} is kept in {entry.kept}." if entry.kept else ""
    said = (entry.reason, f"Old ends: {ends}." if ends else "", kept)
    return " ".join(words if words.endswith(".") else f"{words}." for words in said if words)


def _what(entry: Answer, name: str) -> str:
    ends = " to ".join(one for one in (entry.red, entry.black) if one)
    about = ends or entry.part or entry.load
    return f"{name}: {about}" if about and about != name else name


def _healthy(entry: Reading) -> str:
    words = f"A sound circuit shows {entry.healthy_words}." if entry.healthy_words else ""
    return f"{words} {entry.note}".strip()


def _state(harness: Harness, entry: Answer) -> str:
    settings = together(harness, Condition(entry.key, tuple(entry.settings.items())), ())
    return clean(", ".join([*([f"key {entry.key}"] if entry.key else []), *settings]), _LONGEST)


def _by(entry: AnyEntry) -> str:
    warm = "" if entry.ambient_celsius is None else f"{entry.ambient_celsius:g} °C"
    revision = "" if entry.revision is None else f"revision {entry.revision}"
    return ", ".join(one for one in (clean(entry.who, 80), clean(entry.meter, 80), warm, revision) if one)


def _head(entry: AnyEntry) -> str:
    if isinstance(entry, Amended):
        return AMENDMENTS
    if not isinstance(entry, Measured | TakenBack):
        return TRACES
    return clean(f"{entry.plan}, {entry.state}" if entry.state else entry.plan)


def _when(entry: AnyEntry) -> str:
    return f"{entry.when:%Y-%m-%d %H:%M}"


def _time(row: RecordRow) -> float:
    return row.entry.when.timestamp()


def _counted(entries: Iterable[AnyEntry], later: Iterable[str]) -> str:
    standing = [entry for entry, said in zip(entries, later, strict=True) if isinstance(entry, Measured) and not said]
    if not standing:
        return "no row of a plan is answered"
    said = ", ".join(f"{number} {verdict}" for verdict, number in _by_verdict(standing))
    return f"{plural(len(standing), 'row')} of plans answered: {said}"


def _by_verdict(entries: Sequence[Measured]) -> Iterator[tuple[str, int]]:
    for verdict in dict.fromkeys(entry.verdict for entry in entries):
        yield clean(verdict) or "without a verdict", sum(entry.verdict == verdict for entry in entries)
