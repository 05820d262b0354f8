"""What the record of a loom has to tell to a new trace: where work was done last, and what read badly."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from model.circuit.faults import part_of_site
from model.errors import RecordError
from model.record_entries import BAD, AnyEntry, Changed, Mended, Reading, Struck
from model.tracing.checks import CheckKind
from model.tracing.hypotheses import Learned
from model.tracing.recorded import verdict_of, without_undone
from model.tracing.replayed import outcome_of
from model.tracing.suspects import PAIR_SIGN

_ACROSS = (CheckKind.DROP, CheckKind.OHMS)


def learned_from(entries: Sequence[AnyEntry], *, worked_last: datetime | None = None) -> Learned:
    """Gather what entries tell about parts and sites.

    A bad reading counts until the same reading is good, and not where its trace was mended: there it is explained.

    Parameters
    ----------
    worked_last
        When the load worked last: the work done since then counts. None takes the day of the last work.
    """
    return Learned(disturbed=_disturbed(entries, worked_last), bad_readings=_bad(entries))


def _disturbed(entries: Iterable[AnyEntry], worked_last: datetime | None) -> frozenset[str]:
    repairs = [entry for entry in entries if isinstance(entry, Mended) and entry.part]
    if not repairs:
        return frozenset()
    last_day = max(repairs, key=lambda entry: entry.when).when.date()
    return frozenset(
        part_of_site(site)
        for entry in repairs
        if (entry.when >= worked_last if worked_last is not None else entry.when.date() == last_day)
        for site in entry.part.split(PAIR_SIGN)
    )


def _bad(entries: Iterable[AnyEntry]) -> frozenset[str]:
    """Name the sites and parts of which the last reading of a kind was bad."""
    by_trace: dict[str, list[AnyEntry]] = {}
    for entry in entries:
        by_trace.setdefault(entry.trace, []).append(entry)
    readings: list[Reading] = []
    for name, own in by_trace.items():
        readings += standing_readings(own) if name else [entry for entry in own if isinstance(entry, Reading)]
    mended = {entry.trace: entry.when for entry in entries if isinstance(entry, Mended) and entry.cured and entry.trace}
    latest: dict[tuple[object, ...], Reading] = {}
    for reading in sorted(readings, key=lambda entry: entry.when):
        if reading.verdict:
            settings = tuple(sorted(reading.settings.items()))
            latest[reading.check, reading.red, reading.black, reading.part, reading.key, settings] = reading
    return frozenset(
        name
        for reading in latest.values()
        if reading.verdict == BAD and reading.trace not in mended
        for name in _names(reading)
    )


def standing_readings(entries: Iterable[AnyEntry]) -> list[Reading]:
    """Give the readings of one trace that stand: without those that were struck, and as they were changed."""
    kept: list[Reading] = []
    this_round: list[Reading] = []
    for entry in without_undone(entries):
        match entry:
            case Reading():
                this_round.append(entry)
            case Struck() if entry.place < len(this_round):
                del this_round[entry.place]
            case Changed() if entry.place < len(this_round):
                this_round[entry.place] = _changed(this_round[entry.place], entry)
            case Mended():
                kept, this_round = [*kept, *this_round], []
    return [*kept, *this_round]


def _changed(reading: Reading, entry: Changed) -> Reading:
    values = {name: getattr(entry, name) for name in ("volts", "ohms", "amps", "millivolts", "word", "in_doubt")}
    changed = reading.model_copy(update=values)
    try:
        verdict = verdict_of(CheckKind(reading.check), outcome_of(changed), reading.low, reading.high)
    except (RecordError, ValueError):
        verdict = ""
    return changed.model_copy(update={"verdict": verdict})


def _names(reading: Reading) -> tuple[str, ...]:
    """Name what a bad reading speaks of: a part, the part at the red probe, or that terminal alone.

    Volts against the post speak of all the way to the red probe: of its own place no more than that it is on it.
    """
    if reading.part:
        return (reading.part,)
    if not reading.red:
        return ()
    if reading.check in _ACROSS:
        return (part_of_site(reading.red),)
    owner, _, terminal = reading.red.partition(".")
    return (f"{owner}.{terminal.rpartition('.')[2]}",) if terminal else (owner,)
