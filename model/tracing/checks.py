"""What a person can check on a vehicle, and what can come of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from model.circuit.condition import Condition


class CheckKind(StrEnum):
    """What the person does."""

    OBSERVE = "observe"
    LISTEN = "listen"
    LOOK = "look"
    VOLTS = "volts"
    DROP = "drop"
    LAMP = "lamp"
    OHMS = "ohms"
    AMPS = "amps"
    BRIDGE = "bridge"
    SWAP = "swap"
    NEW_FUSE = "new fuse"


MEASURED = frozenset({CheckKind.VOLTS, CheckKind.DROP, CheckKind.OHMS, CheckKind.AMPS})
"""Checks whose outcome is a number."""

TEST_LAMP_WATTS = 3.0
FUSE_LAMP_WATTS = 55.0


@dataclass(frozen=True, slots=True)
class Check:
    """One check.

    Attributes
    ----------
    condition
        Key state and everything that is not at rest, without faults; ``E3=out`` of a load unplugged, ``X7=apart``,
        ``F3=out``. Of ohms the battery's clamps are off besides.
    red, black
        Points on which the probes stand; of a bridge the two points that it joins.
    part
        The fuse of amps, of a lamp in its place and of a new fuse; the part listened to, looked at or swapped.
    load
        The element of a load that is observed.
    other
        The relay that the part is swapped with.
    watts
        Of a lamp: 3 of a test lamp, 55 of one in place of a fuse.
    fuse_amps
        Rating in amperes of the fuse in a bridge.
    """

    kind: CheckKind
    condition: Condition
    red: str = ""
    black: str = ""
    part: str = ""
    load: str = ""
    other: str = ""
    watts: float = 0.0
    fuse_amps: float = 0.0

    @property
    def points(self) -> tuple[str, ...]:
        """The points that it touches."""
        return tuple(point for point in (self.red, self.black) if point)


class Word(StrEnum):
    """What can be seen, heard or felt."""

    WORKS = "works"
    WEAK = "weak"
    DEAD = "dead"
    GLOWS = "glows"
    LIT = "lit"
    DIM = "dim"
    DARK = "dark"
    BUZZES = "buzzes"
    PULLS = "pulls"
    SILENT = "silent"
    GOOD = "good"
    BAD = "bad"
    CURED = "cured"
    NOT_CURED = "not cured"
    HOLDS = "holds"
    BLOWS = "blows"


WORDS_OF: dict[CheckKind, tuple[Word, ...]] = {
    CheckKind.OBSERVE: (Word.WORKS, Word.WEAK, Word.DEAD, Word.GLOWS),
    CheckKind.LISTEN: (Word.PULLS, Word.SILENT, Word.BUZZES),
    CheckKind.LOOK: (Word.GOOD, Word.BAD),
    CheckKind.LAMP: (Word.LIT, Word.DIM, Word.DARK, Word.BUZZES),
    CheckKind.BRIDGE: (Word.CURED, Word.NOT_CURED),
    CheckKind.SWAP: (Word.CURED, Word.NOT_CURED),
    CheckKind.NEW_FUSE: (Word.HOLDS, Word.BLOWS),
}
"""The words that each kind of check can be answered with."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a check: a word, or the least and the most that was read.

    Attributes
    ----------
    word
        None of a check that gives a number.
    least, most
        Volts, ohms (infinite where open) or amperes; the same where it stood still.
    across_fuse
        True where the number of an amps check is the volts read across the seated fuse in place of amperes.
    in_doubt
        True where who read the number does not trust it: the probe slipped, or the meter was seen with half an eye.
    """

    word: Word | None = None
    least: float = math.nan
    most: float = math.nan
    across_fuse: bool = False
    in_doubt: bool = False

    @property
    def value(self) -> float:
        """The middle of what was read."""
        return self.least if self.least == self.most else (self.least + self.most) / 2.0

    @property
    def swings(self) -> bool:
        """Whether least and most were read apart."""
        return self.word is None and self.least != self.most

    @property
    def ends(self) -> tuple[float, ...]:
        """The numbers that were read: least and most where they were read apart, else the one."""
        return (self.least, self.most) if self.swings else (self.value,)


def measured(least: float, most: float | None = None, *, across_fuse: bool = False) -> Outcome:
    """Give the outcome of a reading in volts, ohms or amperes."""
    return Outcome(None, least, least if most is None else most, across_fuse)


def seen(word: Word) -> Outcome:
    """Give the outcome of something seen, heard or felt."""
    return Outcome(word)
