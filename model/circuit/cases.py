"""Many faulty circuits of one harness in one condition: what each of them shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.faults import Fault


@dataclass(frozen=True, slots=True)
class Variant:
    """One faulty circuit to be solved.

    Attributes
    ----------
    faults
        What is wrong; empty of the sound circuit.
    blown
        Fuses that have blown before and stay so.
    settings
        What is set beside what the condition sets, name and position; so several conditions of one key
        state are settled together.
    """

    faults: tuple[Fault, ...] = ()
    blown: frozenset[str] = frozenset()
    settings: tuple[tuple[str, str], ...] = ()


class Cases(Protocol):
    """Variants settled in one condition, each as one or more cases.

    A variant is more than one case where its end is uncertain: a relay between 0.75 × pull-in and pull-in, or held
    under 0.35 of nominal, both pulls and does not; a fuse between 1.1 and 1.6 × its rating both blows and holds.

    Attributes
    ----------
    variant
        Shape (cases,), the variant that each case belongs to; not rising where cases were added.
    share
        Shape (cases,), the part of its variant's weight that each case has.
    posts_volts
        Shape (cases,), volts across the posts of the first battery.
    blown
        The fuses that are blown in each case, those of the variant among them.
    """

    variant: IntArray
    share: FloatArray
    posts_volts: FloatArray
    blown: tuple[frozenset[str], ...]

    def volts(self, red: str, black: str, *, roughly: bool = False) -> FloatArray:
        """Give what a meter of 10 MΩ reads between two points, in volts, shape (cases,).

        Roughly, where the meter wakes what carries one way it is reckoned as if it did not: good enough to choose by.
        """
        ...

    def source_ohms(self, red: str, black: str) -> FloatArray:
        """Give the ohms behind a reading, shape (cases,); infinite where one of the points floats."""
        ...

    def spread_volts(self, red: str, black: str) -> FloatArray:
        """Give one sigma of a reading by the tolerances of the parts alone, in volts, shape (cases,)."""
        ...

    def unsettled(self, red: str, black: str) -> BoolArray:
        """Tell whether a relay chatters so that a reading never rests, shape (cases,)."""
        ...

    def element(self, name: str) -> tuple[FloatArray, FloatArray]:
        """Give the volts across an element of a load or a feed, and its amperes, both of shape (cases,)."""
        ...

    def relay(self, relay_id: str) -> IntArray:
        """Tell of a relay whether it is pulled in (1), at rest (0) or buzzes (-1), shape (cases,)."""
        ...

    def fuse_amps(self, fuse_id: str) -> FloatArray:
        """Give the amperes through a fuse, shape (cases,); 0 where it is open."""
        ...

    def lamp_volts(self, red: str, black: str, watts: float, *, roughly: bool = False) -> FloatArray:
        """Give the volts across a test lamp of some watts at nominal volts between two points, shape (cases,).

        Roughly, the circuit behind is taken as it is without the lamp, by its volts and ohms.
        """
        ...

    def ohms(self, red: str, black: str) -> FloatArray:
        """Give what an ohmmeter reads, leads nulled, shape (cases,); infinite where open."""
        ...
