"""A trace as its record keeps it: complaints, replies and findings made into entries."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal, assert_never

from model.record_entries import (
    BAD,
    GOOD,
    Alone,
    AnyEntry,
    Changed,
    Found,
    Mended,
    PickedUp,
    ReachedAfterAll,
    Reading,
    Skipped,
    Stopped,
    Struck,
    Suspected,
    Taken,
    TraceStart,
    Unclear,
    Undone,
)
from model.tracing.asking import (
    Also,
    Answered,
    Change,
    Finding,
    NoHelper,
    Question,
    Reached,
    Read,
    Repaired,
    Reply,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.checks import Check, CheckKind, Outcome, Word
from model.tracing.complaint import Complaint

_MOST_DIGITS = 17
"""No more are needed to write any number of double precision."""

Verdict = Literal["good", "bad", ""]


@dataclass(frozen=True, slots=True)
class Occasion:
    """When, where and by whom something is told to a trace.

    Attributes
    ----------
    when
        Local time with its offset.
    trace
        Name of the trace, as :func:`trace_name` gives it; empty before it is started.
    ambient_celsius
        Air temperature in degrees Celsius; None where nobody read it.
    revision
        Of the harness file.
    """

    when: datetime
    trace: str = ""
    who: str = ""
    meter: str = ""
    ambient_celsius: float | None = None
    revision: int | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """What a trace showed at the moment when it was replied to.

    Attributes
    ----------
    question
        What was asked; of a reading that was not asked for, what its check was to show. None where nothing tells.
    answers
        Those that stood.
    finding
        Of a repair: what it was made upon.
    """

    question: Question | None = None
    answers: Sequence[Answered] = ()
    finding: Finding | None = None


NOTHING_SHOWN = Shown()


def trace_name(when: datetime, loads: Sequence[str]) -> str:
    """Name a trace by the time of its start and its first load."""
    return f"{when.isoformat(timespec='seconds')} {loads[0]}"


def fresh_name(when: datetime, loads: Sequence[str], taken: Collection[str]) -> str:
    """Name a trace as none is named yet: a clock that was set back would give the name of another."""
    name = trace_name(when, loads)
    names = (name, *(f"{name} {count}" for count in range(2, len(taken) + 3)))
    return next(one for one in names if one not in taken)


def entry_of(what: Complaint | Reply | Finding, occasion: Occasion, shown: Shown = NOTHING_SHOWN) -> AnyEntry:
    """Make the entry of a complaint with which a trace starts, of a reply that it took, or of what it found.

    Parameters
    ----------
    shown
        As it was before the reply was taken.

    Raises
    ------
    IndexError
        Where a struck or changed answer is none of those that stood.
    ValueError
        Where an answer comes without its question.
    """
    spot = _spot(occasion)
    match what:
        case Complaint():
            trace = occasion.trace or trace_name(occasion.when, what.loads)
            return TraceStart(**spot | {"trace": trace}, **_complaint_row(what))
        case Finding():
            return Found(**spot, **_finding_row(what))
        case Read(outcome=outcome):
            return _reading(spot, shown, None, outcome)
        case Also(check=check, outcome=outcome):
            return _reading(spot, shown, check, outcome)
        case Take(check=check):
            return Taken(**spot, **_check_row(check))
        case Skip():
            return Skipped(**spot, **_asked_row(shown))
        case Unsure():
            return Unclear(**spot, **_asked_row(shown))
        case NoHelper():
            return Alone(**spot, **_asked_row(shown))
        case Reached(part=part):
            return ReachedAfterAll(**spot, part=part)
        case Strike(place=place):
            return Struck(**spot, **_check_row(shown.answers[place].check), place=place)
        case Change(place=place, outcome=outcome):
            check = shown.answers[place].check
            return Changed(**spot, **_check_row(check), **_value_row(check.kind, outcome), place=place)
        case Repaired(cured=cured):
            return Mended(**spot, cured=cured, **_repair_row(shown.finding))
        case Stop():
            return Stopped(**spot)
    assert_never(what)


def picked_up_entry(occasion: Occasion) -> PickedUp:
    """Make the entry that a trace which was left is gone on with."""
    return PickedUp(**_spot(occasion))


def undone_entry(occasion: Occasion, entries: Iterable[AnyEntry]) -> Undone:
    """Make the entry that the last reply of a trace was taken back.

    Parameters
    ----------
    entries
        Of the record so far.

    Raises
    ------
    ValueError
        Where the trace has no reply that stands.
    """
    own = without_undone(entry for entry in entries if entry.trace == occasion.trace)
    replies = [entry for entry in own if _is_reply(entry, entry.number)]
    if not replies:
        raise ValueError("there is no reply to take back")
    return Undone(**_spot(occasion), undone=replies[-1].number)


def without_undone(entries: Iterable[AnyEntry]) -> list[AnyEntry]:
    """Give the entries of one trace without the replies that were taken back, and without the taking back."""
    kept: list[AnyEntry] = []
    for entry in entries:
        if not isinstance(entry, Undone):
            kept.append(entry)
            continue
        places = (place for place in range(len(kept) - 1, -1, -1) if _is_reply(kept[place], entry.undone))
        place = next(places, None)
        if place is not None:
            del kept[place]
    return kept


def _is_reply(entry: AnyEntry, number: int) -> bool:
    return entry.number == number and not isinstance(entry, TraceStart | PickedUp | Found)


def verdict_of(kind: CheckKind, outcome: Outcome, low: float | None, high: float | None) -> Verdict:
    """Say whether an outcome is that of a sound circuit; nothing where neither a band nor the word says, or in doubt.

    Parameters
    ----------
    low, high
        The band in the unit of the check; of what was read across a fuse it does not hold.
    """
    if outcome.word is not None:
        says_itself = kind in (CheckKind.LOOK, CheckKind.NEW_FUSE)
        return "" if not says_itself else GOOD if outcome.word in (Word.GOOD, Word.HOLDS) else BAD
    if low is None or high is None or outcome.across_fuse or outcome.in_doubt:
        return ""
    return GOOD if low <= outcome.least and outcome.most <= high else BAD


def _spot(occasion: Occasion) -> dict[str, Any]:
    return {
        "when": occasion.when,
        "trace": occasion.trace,
        "who": occasion.who,
        "meter": occasion.meter,
        "ambient_celsius": occasion.ambient_celsius,
        "revision": occasion.revision,
    }


def _complaint_row(complaint: Complaint) -> dict[str, Any]:
    row: dict[str, Any] = {
        "loads": complaint.loads,
        "symptom": str(complaint.symptom),
        "age": str(complaint.age),
        "posts_volts": complaint.posts_volts,
        "works": complaint.works,
        "dead": complaint.dead,
        "weak": complaint.weak,
        "fuse": complaint.fuse,
        "other_load": complaint.other_load,
        "helper": complaint.has_helper,
    }
    condition = complaint.condition
    if condition is not None:
        row |= {"key": condition.key, "settings": condition.by_name, "condition_posts_volts": condition.posts_volts}
    return row


def _finding_row(finding: Finding) -> dict[str, Any]:
    group = tuple(
        Suspected(part=one.part, fault=one.fault, partner=one.partner, probability=one.probability)
        for one in finding.group
    )
    return {
        "group": group,
        "group_probability": finding.group_probability,
        "steps": finding.steps,
        "minutes": finding.minutes,
        "stopped": finding.stopped,
        "sentence": finding.sentence,
        "because": finding.because,
        "repair": finding.repair,
        "cautions": finding.cautions,
    }


def _repair_row(finding: Finding | None) -> dict[str, Any]:
    if finding is None or not finding.group:
        return {}
    first = finding.group[0]
    return {"part": first.part, "fault": first.fault, "partner": first.partner, "repair": finding.repair}


def _reading(spot: dict[str, Any], shown: Shown, unasked: Check | None, outcome: Outcome) -> Reading:
    check = unasked
    row: dict[str, Any] = {"unasked": unasked is not None}
    question = shown.question
    if question is not None:
        check = unasked or question.check
        row["step"] = question.step
        if question.check == check:
            band = {"healthy": question.healthy, "low": question.low, "high": question.high}
            row |= {name: limit for name, limit in band.items() if limit is not None and not math.isnan(limit)}
            row["healthy_words"] = question.healthy_words
            row["verdict"] = verdict_of(check.kind, outcome, question.low, question.high)
    if check is None:
        raise ValueError("an answer wants the question that it answers")
    return Reading(**spot, **_check_row(check), **_value_row(check.kind, outcome), **row)


def _asked_row(shown: Shown) -> dict[str, Any]:
    return _check_row(shown.question.check) if shown.question is not None else {}


def _check_row(check: Check) -> dict[str, Any]:
    return {
        "check": str(check.kind),
        "red": check.red,
        "black": check.black,
        "part": check.part,
        "load": check.load,
        "other": check.other,
        "watts": check.watts,
        "fuse_amps": check.fuse_amps,
        "key": check.condition.key,
        "settings": check.condition.by_name,
        "posts_volts": check.condition.posts_volts,
    }


def _value_row(kind: CheckKind, outcome: Outcome) -> dict[str, Any]:
    if outcome.word is not None:
        return {"word": str(outcome.word)}
    least, most = outcome.least, outcome.most
    unit = {CheckKind.OHMS: "ohms", CheckKind.AMPS: "amps"}.get(kind, "volts")
    if outcome.across_fuse:
        small = (_millivolts(least), _millivolts(most))
        is_exact = (small[0] / 1000, small[1] / 1000) == (least, most)
        unit, least, most = ("millivolts", *small) if is_exact else ("volts", least, most)
    return {unit: least if least == most else (least, most), "in_doubt": outcome.in_doubt}


def _millivolts(volts: float) -> float:
    """Give the shortest number of millivolts whose thousandth is exactly these volts, where there is one."""
    tries = (float(f"{volts * 1000:.{digits}g}") for digits in range(1, _MOST_DIGITS + 1))
    return next((number for number in tries if number / 1000 == volts), volts * 1000)
