"""Cases of several groups of variants of one condition, told as one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.cases import Cases


class GroupedCases:
    """Variants settled in groups; see :class:`model.circuit.cases.Cases`.

    Parameters
    ----------
    groups
        Of each group the number that each of its variants has among all, and its cases.
    """

    def __init__(self, groups: Sequence[tuple[IntArray, Cases]]) -> None:
        self._cases = tuple(cases for _, cases in groups)
        self.variant: IntArray = np.concatenate([numbers[cases.variant] for numbers, cases in groups])
        self.share: FloatArray = np.concatenate([cases.share for cases in self._cases])
        self.posts_volts: FloatArray = np.concatenate([cases.posts_volts for cases in self._cases])
        self.blown: tuple[frozenset[str], ...] = tuple(one for cases in self._cases for one in cases.blown)

    def _floats(self, of: Callable[[Cases], FloatArray]) -> FloatArray:
        return np.concatenate([of(cases) for cases in self._cases])

    def volts(self, red: str, black: str, *, roughly: bool = False) -> FloatArray:
        """Give what a meter of 10 MΩ reads between two points, in volts, shape (cases,)."""
        return self._floats(lambda cases: cases.volts(red, black, roughly=roughly))

    def source_ohms(self, red: str, black: str) -> FloatArray:
        """Give the ohms behind a reading, shape (cases,); infinite where one of the points floats."""
        return self._floats(lambda cases: cases.source_ohms(red, black))

    def spread_volts(self, red: str, black: str) -> FloatArray:
        """Give one sigma of a reading by the parts' tolerances alone, in volts, shape (cases,)."""
        return self._floats(lambda cases: cases.spread_volts(red, black))

    def unsettled(self, red: str, black: str) -> BoolArray:
        """Tell whether a relay chatters so that a reading never rests, shape (cases,)."""
        return np.concatenate([cases.unsettled(red, black) for cases in self._cases])

    def element(self, name: str) -> tuple[FloatArray, FloatArray]:
        """Give the volts across an element of a load or a feed, and its amperes, both of shape (cases,)."""
        found = [cases.element(name) for cases in self._cases]
        return np.concatenate([volts for volts, _ in found]), np.concatenate([amps for _, amps in found])

    def relay(self, relay_id: str) -> IntArray:
        """Tell of a relay whether it is pulled in (1), at rest (0) or buzzes (-1), shape (cases,)."""
        return np.concatenate([cases.relay(relay_id) for cases in self._cases])

    def fuse_amps(self, fuse_id: str) -> FloatArray:
        """Give the amperes through a fuse, shape (cases,); 0 where it is open."""
        return self._floats(lambda cases: cases.fuse_amps(fuse_id))

    def lamp_volts(self, red: str, black: str, watts: float, *, roughly: bool = False) -> FloatArray:
        """Give the volts across a test lamp of some watts at nominal volts between two points, shape (cases,)."""
        return self._floats(lambda cases: cases.lamp_volts(red, black, watts, roughly=roughly))

    def ohms(self, red: str, black: str) -> FloatArray:
        """Give what an ohmmeter reads, leads nulled, shape (cases,); infinite where open."""
        return self._floats(lambda cases: cases.ohms(red, black))
