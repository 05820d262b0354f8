"""What a person types for a row of a plan: a number in the unit of the row, or a word."""

from __future__ import annotations

import re
from typing import assert_never

from model.errors import AnswerError
from model.plans.judging import Standing, Taken
from model.plans.plan import Measure, PlanRow
from model.tracing.checks import CheckKind
from model.tracing.typed_answer import read_trusted
from model.words import amps_text, clean, drop_text, nearest

SAID = {str(said): said for said in (Standing.GOOD, Standing.BAD, Standing.SKIPPED)}
"""The words that answer any row."""

_AT_AMPS = re.compile(r"(?P<volts>.+?)\s+(?:at|@)\s*(?P<amps>.+)|(?P<close>.+?)@(?P<flowing>.+)", re.IGNORECASE)
_BARE = re.compile(r"[-+\u2212]?[\d.,\s]+")
_AMPERES_TOO = re.compile(r"\s(?:at|@)\s|@|\d\s*m?a(?:mp\w*)?$", re.IGNORECASE)
_IN_VOLTS = re.compile(r"[-+\u2212]?\d*(?:[.,](?P<decimals>\d*))?\s*v(?:olts?)?", re.IGNORECASE)
_DIGITS_OFF = 2
"""So many of its last digits a hand meter may be off whatever it reads, by its instruction book."""
_JUST_OVER = 1.001
_BELOW_NOTHING = re.compile(r"[-\u2212]\s*(?P<size>[\d.,].*)")
_SHOWN_AT_MOST = 40
_MILLIAMPERES_UNDER = 0.5
"""Where fewer amperes are expected a bare number from 1 on is taken for milliamperes; judgement."""

_OF_VOLTS = "Type it as"
"""So begins what to do of a reader of volts or of amperes, which knows nothing of the two together."""

_MILLIVOLTS_DO = "Type the millivolts as 24, or with the amperes that flow as 24 at 4.6."


def read_typed(row: PlanRow, typed: str) -> Taken:
    """Read what was typed for a row.

    Parameters
    ----------
    typed
        A number in the unit of the row, or with its own: ``0.24``, ``0,24``, ``4.7k``, ``35 mA``; ``OL`` or ``open``
        of ohms; of millivolts with the amperes that flowed where those are not of the row: ``24 at 4.6``; or
        ``good``, ``bad``, ``skipped``.

    Raises
    ------
    AnswerError
        Where it is none of these, or beyond any vehicle.
    """
    words = " ".join(typed.split())
    said = SAID.get(words.casefold())
    if said is not None:
        return Taken(said=said)
    match row.measure:
        case Measure.SEEN:
            raise _no_word(words)
        case Measure.OHMS | Measure.APART:
            return Taken(_ohms(words))
        case Measure.VOLTS:
            return Taken(_number(CheckKind.VOLTS, words))
        case Measure.LAMP:
            return Taken(_across_lamp(row, words))
        case Measure.AMPS:
            return Taken(_amperes(row, words))
        case Measure.MILLIVOLTS:
            if row.fuse is not None:
                _ask_millivolts_alone(words)
            try:
                return _millivolts(words)
            except AnswerError as error:
                if not error.do.startswith(_OF_VOLTS):
                    raise
                raise AnswerError(error.what.replace("as volts", "as millivolts"), do=_MILLIVOLTS_DO) from None
    assert_never(row.measure)


def _ohms(words: str) -> float:
    """Read ohms; those below nothing, which badly zeroed leads make, are kept as read, with the reader's own bounds."""
    ohms, below = _number(CheckKind.OHMS, words), _BELOW_NOTHING.fullmatch(words)
    return ohms if below is None else -_number(CheckKind.OHMS, below["size"])


def _across_lamp(row: PlanRow, words: str) -> float:
    """Read volts across a lamp; where millivolts count, a number without a unit and volts too coarse are asked back."""
    volts = _number(CheckKind.VOLTS, words)
    limit = row.limit
    if not row.in_millivolts or limit is None or limit.high is None or volts == 0.0:
        return volts
    most = drop_text(limit.high)
    if _BARE.fullmatch(words):
        raise AnswerError(
            f"{words} without a unit is {volts:g} V, and at most {most} is good here.",
            do=f"{words} mV? Type {words} mV. Volts: {words} V.",
        )
    shown = _IN_VOLTS.fullmatch(words)
    digit_volts = 10.0 ** -len(shown["decimals"] or "") if shown else 0.0
    if abs(volts) > limit.high and abs(volts) < _DIGITS_OFF * digit_volts * _JUST_OVER:
        raise AnswerError(
            f"{words} is within the last digits of that range, and at most {most} is good here.",
            do="Set the meter to DC mV, read again, and type it as 1.3 mV.",
        )
    return volts


def _amperes(row: PlanRow, words: str) -> float:
    """Read amperes; a bare number where milliamperes are expected, and more than the meter bears, are asked back."""
    amps = _number(CheckKind.AMPS, words)
    few = row.expect is not None and 0 <= row.expect < _MILLIAMPERES_UNDER
    if few and abs(amps) >= 1.0 and _BARE.fullmatch(words):
        raise AnswerError(
            f"{words} without a unit is {amps:g} A, and {amps_text(row.expect or 0.0)} is expected.",
            do=f"{words} mA? Type {words} mA, or {amps / 1000:g}. Amperes: {words} A.",
        )
    if row.most_amps is not None and abs(amps) > row.most_amps:
        most = amps_text(row.most_amps)
        raise AnswerError(
            f"{amps_text(amps)} is more than the {most} socket of the meter and the jumper's {most} fuse bear.",
            do="Type mA where it was mA; where a clamp really shows so much, answer bad.",
        )
    return amps


def _ask_millivolts_alone(words: str) -> None:
    """Refuse amperes across a seated fuse: its millivolts tell them."""
    if _AMPERES_TOO.search(words):
        raise AnswerError(
            "Across a seated fuse the millivolts alone are asked: they tell the amperes.",
            do="Type what the meter shows in mV, as 0.4.",
        )


def _millivolts(words: str) -> Taken:
    """Read millivolts and, where they were typed, the amperes; a number without its unit is in millivolts."""
    at_amps = _AT_AMPS.fullmatch(words)
    if at_amps is None:
        return Taken(_in_millivolts(words))
    volts, amps = at_amps["volts"] or at_amps["close"], at_amps["amps"] or at_amps["flowing"]
    flowing = _number(CheckKind.AMPS, amps)
    if flowing <= 0:
        raise AnswerError("At no amperes there is nothing to read.", do="Let the current flow, and measure it too.")
    return Taken(_in_millivolts(volts), amps=flowing)


def _in_millivolts(words: str) -> float:
    if not _BARE.fullmatch(words):
        return _number(CheckKind.VOLTS, words) * 1000
    return _number(CheckKind.VOLTS, f"{words} mV") * 1000


def _number(kind: CheckKind, words: str) -> float:
    outcome = read_trusted(kind, words)
    if outcome.least != outcome.most:
        raise AnswerError(
            "A reading that swings is a loose contact.", do="Hold the probes still, and type the worst that it shows."
        )
    if outcome.across_fuse:
        raise AnswerError("Those are volts; amperes are asked.", do="Type it as 4.1, or 35 mA.")
    return outcome.least


def _no_word(words: str) -> AnswerError:
    near = nearest(words, SAID)
    do = f"Did you mean “{near}”?" if near else f"Type one of: {', '.join(SAID)}."
    return AnswerError(f"“{clean(words, _SHOWN_AT_MOST)}” is no answer to this.", do=do)
