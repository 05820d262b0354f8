"""A trace as its record keeps it: complaints, replies and findings made into entries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
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

Verdict = Literal["good", "bad", ""]
Band = tuple[float | None, float | None, float | None]
_NO_BAND: Band = (None, None, None)


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
        What was asked; None where nothing was.
    answers
        Those that stood.
    finding
        Of a repair: what it was made upon.
    band
        Of a reading that was not asked for: what is healthy, the least and the most of a good reading.
    """

    question: Question | None = None
    answers: Sequence[Answered] = ()
    finding: Finding | None = None
    band: Band = _NO_BAND


NOTHING_SHOWN = Shown()


def trace_name(when: datetime, loads: Sequence[str]) -> str:
    """Name a trace by the time of its start and its first load."""
    return f"{when.isoformat(timespec='seconds')} {loads[0]}"


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


def verdict_of(kind: CheckKind, outcome: Outcome, low: float | None, high: float | None) -> Verdict:
    """Say whether an outcome is that of a sound circuit; nothing where neither a band nor the word says.

    Parameters
    ----------
    low, high
        The band in the unit of the check; of what was read across a fuse it does not hold.
    """
    if outcome.word is not None:
        says_itself = kind in (CheckKind.LOOK, CheckKind.NEW_FUSE)
        return "" if not says_itself else GOOD if outcome.word in (Word.GOOD, Word.HOLDS) else BAD
    if low is None or high is None or outcome.across_fuse:
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


def _reading(spot: dict[str, Any], shown: Shown, unasked: Check | None, outcome: Outcome) -> AnyEntry:
    question = shown.question
    check = unasked or (question.check if question is not None else None)
    if check is None:
        raise IndexError("an answer without a question")
    is_of_question = question is not None and question.check == check
    healthy, low, high = (question.healthy, question.low, question.high) if question and is_of_question else shown.band
    return Reading(
        **spot,
        **_check_row(check),
        **_value_row(check.kind, outcome),
        step=question.step if question is not None else 0,
        unasked=unasked is not None,
        healthy=healthy,
        low=low,
        high=high,
        healthy_words=question.healthy_words if question and is_of_question else "",
        verdict=verdict_of(check.kind, outcome, low, high),
    )


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
    span = (outcome.least, outcome.most)
    if outcome.across_fuse:
        unit, span = "millivolts", (_thousandfold(outcome.least), _thousandfold(outcome.most))
    else:
        unit = {CheckKind.OHMS: "ohms", CheckKind.AMPS: "amps"}.get(kind, "volts")
    return {unit: span if span[0] != span[1] else span[0]}


def _thousandfold(volts: float) -> float:
    """Give volts in millivolts as a person would write them: 0.0003 is 0.3."""
    return float(Decimal(repr(float(volts))).scaleb(3))
