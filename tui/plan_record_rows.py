"""What was measured on a loom, by date, as a list: plans and traces alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial

from textual.content import Content

from model.record_entries import AnyEntry, Measured, Reading, TakenBack
from model.record_text import Trouble
from model.sheets.record_names import name_of, row_names, value_words
from tui.plan_rows import UNWRITTEN
from tui.text import assembled, padded
from tui.widgets.rows import Row

Shown = Measured | Reading | TakenBack

_TIME, _READ, _VERDICT, _WHO = 5, 14, 9, 10
_WHO_FROM = 74
_GAP = "  "
_TAKEN_BACK = "taken back"


@dataclass(frozen=True)
class RecordShown:
    """The record as it is listed.

    Attributes
    ----------
    entries
        Those that tell of a measurement, in the order of the file.
    trouble
        What was passed over.
    unwritten
        How many of the last entries are not on the disk.
    names
        Of the rows of plans, by plan, state of the loom and key of the row.
    """

    entries: Sequence[Shown]
    trouble: Sequence[Trouble]
    unwritten: int = 0
    names: dict[tuple[str, str, str], str] = field(default_factory=dict)

    @property
    def names_who(self) -> bool:
        """Whether any of them says who measured."""
        return any(entry.who for entry in self.entries)


def record_shown(entries: Sequence[AnyEntry], trouble: Sequence[Trouble], unwritten: Sequence[AnyEntry]) -> RecordShown:
    """Choose from a record what tells of a measurement."""
    told = [entry for entry in entries if isinstance(entry, Measured | Reading | TakenBack)]
    waiting = sum(isinstance(entry, Measured | Reading | TakenBack) for entry in unwritten)
    return RecordShown(told, trouble, waiting, row_names(entries))


def record_heads(shown: RecordShown, cells: int) -> Content:
    """Return the heads of the columns for a list so many cells wide."""
    head = _joined(cells, "time", "what", "read", "verdict", "who" if shown.names_who else None)
    return assembled(("  ", ""), (head, "$quiet"))


def record_rows(shown: RecordShown, cells: int) -> list[Row]:
    """Return what was passed over, then a head for each day and a row for each measurement under it."""
    return list(_rows(shown, cells))


def _rows(shown: RecordShown, cells: int) -> Iterator[Row]:
    for place, trouble in enumerate(shown.trouble):
        yield Row(assembled((f"passed over, {trouble}", "$caution")), f"trouble {place}")
    day = ""
    names_who = shown.names_who
    for place, entry in enumerate(shown.entries):
        if f"{entry.when:%Y-%m-%d}" != day:
            day = f"{entry.when:%Y-%m-%d}"
            yield Row(assembled((f"{entry.when:%d %b %Y}", "bold $feed")), can_be_marked=False)
        is_waiting = place >= len(shown.entries) - shown.unwritten
        what = what_words(shown, entry)
        yield Row(partial(_content, entry, what, is_waiting, cells, names_who), str(place))


def entry_sentences(shown: RecordShown, entry: Shown, is_unwritten: bool = False) -> list[str]:
    """Say all of one entry: what, when, by whom, with what, of which revision, what came of it and why."""
    told = [f"{what_words(shown, entry)}: {read_words(entry)}."]
    if isinstance(entry, Measured) and entry.verdict:
        told.append(f"{entry.verdict.capitalize()}. {entry.why}".strip())
    elif isinstance(entry, Reading) and entry.verdict:
        told.append(f"{entry.verdict.capitalize()}, in a trace.")
    told.append(f"{entry.when:%d %b %Y %H:%M}{_condition(entry)}.")
    by = [f"by {entry.who}" if entry.who else "", f"meter {entry.meter}" if entry.meter else ""]
    by += [f"air {entry.ambient_celsius:g} °C" if entry.ambient_celsius is not None else ""]
    told.append(f"Measured {', '.join(word for word in by if word)}." if any(by) else "")
    told.append(f"Harness revision {entry.revision}." if entry.revision is not None else "")
    told.append("It is not written yet." if is_unwritten else "")
    return [sentence for sentence in told if sentence]


def what_words(shown: RecordShown, entry: Shown) -> str:
    """Name what was measured: the row with its plan, or the points of a trace's check."""
    if isinstance(entry, Measured | TakenBack):
        state = f", {entry.state}" if entry.state else ""
        return f"{name_of(entry, shown.names)}: {entry.plan}{state}"
    points = " to ".join(point for point in (entry.red, entry.black) if point)
    return f"{points or entry.part or entry.load}: {entry.check}, in a trace"


def read_words(entry: Shown) -> str:
    """Say what was read or seen: ``0.24 Ω``, ``24 mV at 4.6 A``, ``good``."""
    if isinstance(entry, TakenBack):
        return _TAKEN_BACK
    return value_words(entry)


def _condition(entry: Shown) -> str:
    if isinstance(entry, TakenBack) or not entry.key:
        return ""
    return f", key {entry.key}"


def _content(entry: Shown, what: str, is_unwritten: bool, cells: int, names_who: bool) -> Content:
    verdict = "" if isinstance(entry, TakenBack) else entry.verdict
    if is_unwritten:
        verdict = UNWRITTEN
    style = "bold $caution" if verdict == "bad" or is_unwritten else ""
    who = entry.who if names_who else None
    row = _joined(cells, f"{entry.when:%H:%M}", what, read_words(entry), verdict, who)
    return assembled((row, style))


def _joined(cells: int, time: str, what: str, read: str, verdict: str, who: str | None) -> str:
    others = _TIME + _READ + _VERDICT + 3 * len(_GAP)
    who_cells = _WHO if who is not None and cells >= _WHO_FROM else 0
    what_cells = max(cells - others - (who_cells + len(_GAP) if who_cells else 0), 4)
    parts = [padded(time, _TIME), padded(what, what_cells), padded(read, _READ, right=True), padded(verdict, _VERDICT)]
    parts += [padded(who or "", who_cells)] if who_cells else []
    return _GAP.join(parts)


def record_page(shown: RecordShown) -> str:
    """Return all that was measured as text."""
    lines = [f"Passed over, {trouble}" for trouble in shown.trouble]
    first_waiting = len(shown.entries) - shown.unwritten
    for place, entry in enumerate(shown.entries):
        lines.append(" ".join(entry_sentences(shown, entry, place >= first_waiting)))
    return "\n".join(lines) + "\n"
