"""What the person complains of, and what they say before the first check."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from model.circuit.condition import Condition


class Symptom(StrEnum):
    """What is wrong with a load."""

    DEAD = "dead"
    WEAK = "weak"
    STAYS_ON = "stays-on"
    BLOWS_FUSE = "blows-fuse"
    WORKS_WITH_ANOTHER = "works-with-another"
    COMES_AND_GOES = "comes-and-goes"


class LoomAge(StrEnum):
    """How long the loom has worked: never yet, some months, or years."""

    NEW = "new"
    YOUNG = "young"
    OLD = "old"


@dataclass(frozen=True, slots=True)
class Complaint:
    """What is complained of.

    Attributes
    ----------
    loads
        Elements of loads and feeds of modules (``E1:dip``, ``A2:75``), batteries and chargers by id: one complaint.
    condition
        Key state and settings in which it was seen; ``posts_volts`` where the posts were read in it. None takes the
        working condition of the first load.
    posts_volts
        Volts read across the posts of the first battery: in `condition` where that is given, else at rest.
    works, dead, weak
        Elements of other loads seen to work, seen dead, and seen to work weakly, before the trace.
    fuse
        With ``blows-fuse``: which.
    other_load
        With ``works-with-another``: the element of the other load.
    has_helper
        False where nobody can hold a switch or the key while a reading is taken elsewhere.
    """

    loads: tuple[str, ...]
    symptom: Symptom = Symptom.DEAD
    age: LoomAge = LoomAge.OLD
    condition: Condition | None = None
    posts_volts: float | None = None
    works: tuple[str, ...] = ()
    dead: tuple[str, ...] = ()
    fuse: str = ""
    other_load: str = ""
    has_helper: bool = True
    weak: tuple[str, ...] = ()
