"""Answers as a person types them from a meter or says them in a word, read without guessing."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import assert_never

from model.errors import AnswerError
from model.tracing.answer_words import doubt_words, prompt_words
from model.tracing.checks import MEASURED, WORDS_OF, CheckKind, Outcome, Word, measured, seen
from model.units import SHOWN_OPEN_OHMS
from model.words import clean, nearest

MOST_VOLTS = 90.0
"""One and a half times the 60 V of the highest vehicle that a harness file may describe."""

MOST_AMPS = 3000.0
"""More than the starter of any vehicle of 60 V or less draws as it stalls."""

DOUBT_SIGN = "?"
"""Behind a number: it was read, but who read it does not trust it."""

_LEAST_OHMS = -1.0
_SHOWN_AT_MOST = 40

_NUMBER = r"[+\-\u2212]?\s*(?:\d{1,30}(?:[.,]\d{0,30})?|[.,]\d{1,30})(?:[eE][+\-\u2212]?\d{1,3})?"
_UNIT = r"[A-Za-z\u00b5\u03bc\u03a9\u03c9\u2126]{0,12}"
_ONE = re.compile(rf"(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})", re.ASCII)
_TWO = re.compile(
    rf"(?P<least>{_NUMBER})\s*(?P<first>{_UNIT}?)\s*(?:\.{{2,3}}|\u2026|[-\u2010-\u2015]|to)\s*"
    rf"(?P<most>{_NUMBER})\s*(?P<second>{_UNIT})",
    re.ASCII,
)
_OPEN = re.compile(
    r"(?:[o0]\s?\.?\s?l\.?|over ?load|open|inf|infinite|infinity|\u221e)\s*(?:[km]?(?:\u03c9|ohms?)?)", re.ASCII
)

_VOLTS = {"": 1.0, "v": 1.0, "volt": 1.0, "volts": 1.0, "mv": 1e-3, "millivolt": 1e-3, "millivolts": 1e-3}
_AMPS = {"": 1.0, "a": 1.0, "amp": 1.0, "amps": 1.0, "ampere": 1.0, "amperes": 1.0, "ma": 1e-3, "milliamps": 1e-3}
_OHMS = {"": 1.0, "\u03c9": 1.0, "ohm": 1.0, "ohms": 1.0, "r": 1.0}
_OHM_SHARES = {"k": 1e3, "K": 1e3, "m": 1e-3, "M": 1e6, "kilo": 1e3, "mega": 1e6, "milli": 1e-3}

_YES, _NO = ("y", "yes"), ("n", "no")
_YES_MEANS = {
    CheckKind.LISTEN: (Word.PULLS, Word.SILENT),
    CheckKind.LOOK: (Word.GOOD, Word.BAD),
    CheckKind.BRIDGE: (Word.CURED, Word.NOT_CURED),
    CheckKind.SWAP: (Word.CURED, Word.NOT_CURED),
    CheckKind.NEW_FUSE: (Word.HOLDS, Word.BLOWS),
}


@dataclass(frozen=True, slots=True)
class _Figure:
    """A number and what its unit makes of it; without a unit the share is None."""

    number: float
    share: float | None
    is_volts: bool


_MILLIVOLTS_UNDER = 0.5
_BARE_VOLTS_FROM = 1.0


def read_answer(kind: CheckKind, typed: str, foreseen_volts: float | None = None) -> Outcome:
    """Read an answer as a person types it; a number with a question mark behind it is in doubt: ``12.1 ?``.

    Parameters
    ----------
    kind
        The check that is answered: it says which units and words fit.
    typed
        A number with or without its unit, point or comma before the decimals: ``12.4``, ``12,4 V``, ``0.3mV``,
        ``4.7 kΩ``, ``1e3``; least and most of a reading that swings: ``0.1..12.3``, ``0.1-12.3``, ``0.1 to 12.3``;
        ``OL``, ``open``, ``inf`` of ohms; millivolts across the fuse where amperes are asked; of the other kinds one of
        their words, or its letter of :func:`model.tracing.answer_words.prompt_words`.
    foreseen_volts
        The most that a good drop would read: where that is millivolts, a bare number is asked back for its unit.

    Raises
    ------
    AnswerError
        For anything else, and for what no vehicle shows: more than 90 V or 3000 A.
    """
    words = " ".join(typed.split())
    if not words.strip(DOUBT_SIGN):
        raise AnswerError("Nothing was typed.", do=_how(kind))
    if kind not in MEASURED:
        return seen(_read_word(kind, words))
    if words.endswith(DOUBT_SIGN):
        number = words.rstrip(f"{DOUBT_SIGN} ")
        return replace(_read_number(kind, number, foreseen_volts), in_doubt=True)
    return _read_number(kind, words, foreseen_volts)


def read_trusted(kind: CheckKind, typed: str) -> Outcome:
    """Read a number that is to prove something: as :func:`read_answer`, but one in doubt is refused.

    Raises
    ------
    AnswerError
        As :func:`read_answer`, and of a number in doubt.
    """
    outcome = read_answer(kind, typed)
    if outcome.in_doubt:
        raise AnswerError("A number in doubt proves nothing.", do="Read it again, and type it without the ?.")
    return outcome


def _read_number(kind: CheckKind, words: str, foreseen_volts: float | None) -> Outcome:
    if _OPEN.fullmatch(words.casefold()):
        if kind is CheckKind.OHMS:
            return measured(math.inf)
        raise AnswerError(
            f"“{_shown(words)}” means that the meter's range is too small.", do="Choose a greater range and read again."
        )
    # one number first: the minus of 1e-3 parts no range
    one = _ONE.fullmatch(words)
    if one is not None:
        figure = _figure(kind, words, one["number"], one["unit"])
        if kind is CheckKind.DROP and not one["unit"].strip():
            _ask_unit(words, abs(_value(figure)), foreseen_volts)
        return checked(kind, _value(figure), across_fuse=kind is CheckKind.AMPS and figure.is_volts)
    two = _TWO.fullmatch(words)
    if two is not None:
        return _range(kind, words, two)
    raise _no_reading(kind, words)


def _ask_unit(words: str, volts: float, foreseen_volts: float | None) -> None:
    """Ask back for the unit of a bare number that may be millivolts."""
    if foreseen_volts is not None and abs(foreseen_volts) < _MILLIVOLTS_UNDER and volts >= _BARE_VOLTS_FROM:
        raise AnswerError(f"Is that {words} mV or {words} V?", do=f"Type {words} mV, or {words} V.")


def checked(kind: CheckKind, least: float, most: float | None = None, *, across_fuse: bool = False) -> Outcome:
    """Give the outcome of a reading in volts, ohms or amperes, refusing what no vehicle shows.

    Ohms above 50 MΩ are open; those a little under zero, which a nulled meter may show, are none.

    Raises
    ------
    AnswerError
        Where it is not a number, or beyond the vehicle.
    """
    low, high = sorted((least, least if most is None else most))
    if math.isnan(low) or math.isnan(high):
        raise AnswerError("That is not a number.", do=_how(kind))
    if kind is CheckKind.OHMS:
        if low < _LEAST_OHMS:
            raise AnswerError("Ohms are not below zero.", do="Take the battery's clamps off and read again.")
        return measured(*(math.inf if ohms > SHOWN_OPEN_OHMS else max(ohms, 0.0) for ohms in (low, high)))
    in_amps = kind is CheckKind.AMPS and not across_fuse
    limit, unit = (MOST_AMPS, "A") if in_amps else (MOST_VOLTS, "V")
    if max(abs(low), abs(high)) > limit:
        raise AnswerError(
            f"That is beyond the vehicle: more than {limit:g} {unit}.", do="Look at the meter's range and at its point."
        )
    # adding zero takes the sign from a zero
    return measured(low + 0.0, high + 0.0, across_fuse=across_fuse)


def echo_words(kind: CheckKind, outcome: Outcome) -> str:
    """Say how an answer is understood: ``12.4 V``, ``0.3 mV, in doubt``, ``open (OL)``, ``0.1 V to 12.3 V``."""
    if outcome.word is not None:
        return str(outcome.word)
    least = _quantity(kind, outcome.least, across_fuse=outcome.across_fuse)
    most = _quantity(kind, outcome.most, across_fuse=outcome.across_fuse)
    words = least if least == most else f"{least} to {most}"
    return f"{words}{' across the fuse' if outcome.across_fuse else ''}{doubt_words(outcome)}"


def _quantity(kind: CheckKind, number: float, *, across_fuse: bool) -> str:
    if kind is CheckKind.OHMS:
        if math.isinf(number):
            return "open (OL)"
        return _scaled(number, ((1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω"), (1e-3, "mΩ")))
    unit = "A" if kind is CheckKind.AMPS and not across_fuse else "V"
    return _scaled(number, ((1.0, unit), (1e-3, f"m{unit}")))


def _scaled(number: float, steps: tuple[tuple[float, str], ...]) -> str:
    """Give a number whole, as it was typed, in the unit in which it is not small."""
    for size, unit in steps:
        if abs(number) >= size / 10 or (number == 0 and size == 1.0) or (size, unit) == steps[-1]:
            text = f"{round(number / size, 6):.6f}".rstrip("0").rstrip(".")
            return f"{'0' if text == '-0' else text} {unit}"
    raise AssertionError("there is always a last unit")


def _range(kind: CheckKind, words: str, found: re.Match[str]) -> Outcome:
    least = _figure(kind, words, found["least"], found["first"])
    most = _figure(kind, words, found["most"], found["second"])
    if least.share is None:
        least = _Figure(least.number, most.share, most.is_volts)
    elif most.share is None:
        if least.share != 1.0:
            raise AnswerError(f"The unit of the second number of “{_shown(words)}” is missing.", do=_how(kind))
        most = _Figure(most.number, least.share, least.is_volts)
    if least.is_volts is not most.is_volts:
        raise _no_reading(kind, words)
    across_fuse = kind is CheckKind.AMPS and least.is_volts
    return checked(kind, _value(least), _value(most), across_fuse=across_fuse)


def _figure(kind: CheckKind, words: str, number: str, unit: str) -> _Figure:
    typed = float(number.replace(" ", "").replace(",", ".").replace("\u2212", "-"))
    if not unit:
        return _Figure(typed, None, is_volts=False)
    match kind:
        case CheckKind.VOLTS | CheckKind.DROP:
            share = _VOLTS.get(unit.casefold())
        case CheckKind.AMPS:
            share = _AMPS.get(unit.casefold())
            if share is None and unit.casefold() in _VOLTS:
                return _Figure(typed, _VOLTS[unit.casefold()], is_volts=True)
        case CheckKind.OHMS:
            share = _ohm_share(unit)
        case _:
            share = None
    if share is None:
        raise _no_reading(kind, words)
    return _Figure(typed, share, is_volts=False)


def _ohm_share(unit: str) -> float | None:
    """Give what a unit of ohms is worth; a small m alone may be either of two, a billion apart."""
    if unit.casefold() in _OHMS:
        return 1.0
    for prefix, share in _OHM_SHARES.items():
        rest = unit.removeprefix(prefix)
        if rest != unit and rest.casefold() in _OHMS:
            if prefix == "m" and rest.casefold() in ("", "r"):
                raise AnswerError(f"“{unit}” may be milliohms or megohms.", do="Write mΩ or MΩ, or the ohms in full.")
            return share
    return None


def _value(figure: _Figure) -> float:
    return figure.number * (1.0 if figure.share is None else figure.share)


def _read_word(kind: CheckKind, words: str) -> Word:
    folded = words.casefold().rstrip(".!")
    choices = WORDS_OF[kind]
    if folded in choices:
        return Word(folded)
    for answer in prompt_words(kind):
        if folded == answer.letter:
            return answer.word
    if kind in _YES_MEANS and folded in (*_YES, *_NO):
        return _YES_MEANS[kind][folded in _NO]
    near = nearest(folded, choices)
    do = f"Did you mean “{near}”?" if near else _how(kind)
    raise AnswerError(f"“{_shown(words)}” is no answer to this.", do=do)


def _no_reading(kind: CheckKind, words: str) -> AnswerError:
    return AnswerError(f"“{_shown(words)}” cannot be read as {_asked(kind)}.", do=_how(kind))


def _asked(kind: CheckKind) -> str:
    match kind:
        case CheckKind.OHMS:
            return "ohms"
        case CheckKind.AMPS:
            return "amperes"
        case _:
            return "volts"


def _how(kind: CheckKind) -> str:
    """Say how such an answer is typed."""
    match kind:
        case CheckKind.VOLTS | CheckKind.DROP:
            return "Type it as 12.4 or 0.3 mV; where it swings the least and the most, 0.1..12.3."
        case CheckKind.OHMS:
            return "Type it as 1.2 or 4.7k; OL where the meter shows open."
        case CheckKind.AMPS:
            return "Type it as 4.1 A, or the millivolts across the fuse as 0.4 mV."
        case (
            CheckKind.OBSERVE
            | CheckKind.LISTEN
            | CheckKind.LOOK
            | CheckKind.LAMP
            | CheckKind.BRIDGE
            | CheckKind.SWAP
            | CheckKind.NEW_FUSE
        ):
            return f"Type one of: {', '.join(WORDS_OF[kind])}."
        case _:
            assert_never(kind)


def _shown(words: str) -> str:
    return clean(words, _SHOWN_AT_MOST)
