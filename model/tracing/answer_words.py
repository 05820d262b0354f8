"""What can come of a check, in words: numbers with their unit, what was seen, and quick answers of one letter."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import assert_never

from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.tracing.checks import MEASURED, WORDS_OF, Check, CheckKind, Outcome, Word
from model.units import fuse_cold_ohms
from model.words import amps_text, drop_text, ohms_text, volts_text

OPEN_WORDS = "OL (open)"
"""What a meter on ohms shows of an open circuit, and what that means."""

IN_DOUBT = "in doubt"
"""What is said of a number that who read it does not trust."""

_OPEN_OHMS = 1e7
_SAID = {
    Word.WORKS: "it works",
    Word.WEAK: "it works weakly",
    Word.DEAD: "it does nothing",
    Word.GLOWS: "it glows",
    Word.LIT: "lit",
    Word.DIM: "dim",
    Word.DARK: "dark",
    Word.BUZZES: "it buzzes",
    Word.PULLS: "it pulls in",
    Word.SILENT: "it stays silent",
    Word.GOOD: "it looks good",
    Word.BAD: "it looks bad",
    Word.CURED: "cured",
    Word.NOT_CURED: "not cured",
    Word.HOLDS: "the new fuse holds",
    Word.BLOWS: "the new fuse blows",
}
_LETTERS = {
    Word.WORKS: "w",
    Word.WEAK: "e",
    Word.DEAD: "d",
    Word.GLOWS: "g",
    Word.LIT: "l",
    Word.DIM: "i",
    Word.DARK: "d",
    Word.BUZZES: "z",
    Word.PULLS: "p",
    Word.SILENT: "s",
    Word.GOOD: "g",
    Word.BAD: "b",
    Word.CURED: "c",
    Word.NOT_CURED: "x",
    Word.HOLDS: "h",
    Word.BLOWS: "b",
}


@dataclass(frozen=True, slots=True)
class QuickAnswer:
    """An answer given with one letter.

    Attributes
    ----------
    letter
        One small letter, no other answer's of the same kind of check.
    words
        What the answer says: ``it pulls in``.
    """

    letter: str
    word: Word
    words: str


def prompt_words(kind: CheckKind) -> tuple[QuickAnswer, ...]:
    """List the answers of one letter to a kind of check; none of one that is answered with a number."""
    return tuple(QuickAnswer(_LETTERS[word], word, _SAID[word]) for word in WORDS_OF.get(kind, ()))


def outcome_words(check: Check, outcome: Outcome) -> str:
    """Say what came of a check: ``12.30 V``, ``12.10 V, in doubt``, ``OL (open)``, ``dark``, ``it pulls in``."""
    if outcome.word is not None:
        return _SAID[outcome.word]
    kind = CheckKind.DROP if outcome.across_fuse else check.kind
    tail = f" across {check.part}" if outcome.across_fuse and check.part else ""
    tail += doubt_words(outcome)
    if not outcome.swings:
        return f"{number_words(kind, outcome.least)}{tail}"
    return f"{number_words(kind, outcome.least)} to {number_words(kind, outcome.most)}{tail}"


def doubt_words(outcome: Outcome) -> str:
    """Give what stands behind a number that is in doubt; nothing behind any other."""
    return f", {IN_DOUBT}" if outcome.in_doubt else ""


def number_words(kind: CheckKind, value: float) -> str:
    """Word a number of a check with its unit: volts, millivolts of a small drop, ohms or OL, amperes.

    Parameters
    ----------
    value
        Volts, ohms (infinite where open) or amperes.

    Raises
    ------
    ValueError
        Of a kind that is answered with a word.
    """
    match kind:
        case CheckKind.VOLTS:
            return f"{volts_text(value)} V"
        case CheckKind.DROP:
            return drop_text(value)
        case CheckKind.OHMS:
            return OPEN_WORDS if math.isinf(value) or value >= _OPEN_OHMS else ohms_text(value)
        case CheckKind.AMPS:
            return amps_text(value)
        case (
            CheckKind.OBSERVE
            | CheckKind.LISTEN
            | CheckKind.LOOK
            | CheckKind.LAMP
            | CheckKind.BRIDGE
            | CheckKind.SWAP
            | CheckKind.NEW_FUSE
        ):
            raise ValueError(f"a check of the kind {kind} gives no number")
    assert_never(kind)


def expect_words(harness: Harness, check: Check, low: float, high: float) -> str:
    """Word the band of a good reading: ``12.00 V to 12.50 V``; of amps with the millivolts across the fuse.

    Parameters
    ----------
    low, high
        In the unit of the check; `low` may be infinite of ohms that should be open.
    """
    if check.kind not in MEASURED:
        raise ValueError(f"a check of the kind {check.kind} gives no number")
    one, other = number_words(check.kind, low), number_words(check.kind, high)
    band = one if one == other else f"{one} to {other}"
    if check.kind is CheckKind.OHMS and other == OPEN_WORDS != one:
        band = f"over {one}, or {OPEN_WORDS}"
    if check.kind is not CheckKind.AMPS:
        return band
    across = fuse_millivolts_words(harness, check.part, low, high)
    return f"{band} ({across})" if across else band


def fuse_millivolts_words(harness: Harness, fuse_id: str, low_amps: float, high_amps: float) -> str:
    """Say which millivolts across a seated fuse mean a current; empty where the fuse's resistance is not known.

    Notes
    -----
    By the cold resistance of the rating. Under load a fuse warms and drops 1.3 to 1.7 times as much.
    """
    ohms = fuse_ohms(harness, fuse_id)
    if ohms is None:
        return ""
    one, other = drop_text(low_amps * ohms), drop_text(high_amps * ohms)
    return f"{one} across {fuse_id}" if one == other else f"{one} to {other} across {fuse_id}"


def fuse_ohms(harness: Harness, fuse_id: str) -> float | None:
    """Give the cold resistance of a fuse in ohms, as the file or else its rating has it; None where neither does."""
    fuse = harness.part_of(fuse_id, Fuse)
    if fuse.ohms is not None:
        return fuse.ohms
    try:
        return fuse_cold_ohms(fuse.amps, str(fuse.style))
    except ValueError:
        return None
