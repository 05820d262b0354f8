"""Traces that were started and not ended: to be picked up again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from model.errors import RecordError
from model.record_entries import AnyEntry, Found, Mended, PickedUp, Reading, Stopped, TraceStart
from model.tracing.complaint import Complaint
from model.tracing.replayed import complaint_of


@dataclass(frozen=True, slots=True)
class LeftTrace:
    """A trace that was left.

    Attributes
    ----------
    trace
        Its name.
    entries
        All that belong to it, from its start on.
    revision
        Of the harness file when it was started; None where that is not told.
    """

    trace: str
    complaint: Complaint
    entries: tuple[AnyEntry, ...]
    revision: int | None

    @property
    def started(self) -> datetime:
        """When it was started."""
        return self.entries[0].when

    @property
    def left(self) -> datetime:
        """When it was last replied to."""
        return self.entries[-1].when

    @property
    def readings(self) -> int:
        """How many readings were taken."""
        return sum(isinstance(entry, Reading) for entry in self.entries)

    @property
    def finding(self) -> Found | None:
        """What it has found, where nothing but the repair is wanted; None where it still asks."""
        last = next(entry for entry in reversed(self.entries) if not isinstance(entry, PickedUp))
        return last if isinstance(last, Found) else None


def open_traces(entries: Iterable[AnyEntry]) -> tuple[LeftTrace, ...]:
    """List the traces that were started and neither stopped, nor ended without a finding, nor mended: newest first.

    The order is that of the record: clocks are set back, and wrong. One whose complaint cannot be read is left out.
    """
    by_trace: dict[str, list[AnyEntry]] = {}
    for entry in entries:
        if isinstance(entry, TraceStart):
            by_trace[entry.trace] = [entry]
        elif entry.trace in by_trace:
            by_trace[entry.trace].append(entry)
    left: list[LeftTrace] = []
    for name, own in by_trace.items():
        start = own[0]
        if not isinstance(start, TraceStart) or has_ended(own):
            continue
        try:
            complaint = complaint_of(start)
        except RecordError:
            continue
        left.append(LeftTrace(name, complaint, tuple(own), start.revision))
    return tuple(left[::-1])


def has_ended(entries: Iterable[AnyEntry]) -> bool:
    """Tell whether a trace was stopped, ended without a finding, or cured; a later reply opens it again."""
    ended = False
    for entry in entries:
        match entry:
            case Stopped():
                ended = True
            case Found():
                ended = ended or not entry.group
            case Mended():
                ended = entry.cured
            case _:
                ended = False
    return ended
