"""A plan: rows to be measured one after the other, each with what to expect, its limit and where that comes from.

A plan knows no reading. What was read is judged in `judging`, and kept in the record of the loom.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from model.circuit.condition import Condition
from model.review.draw_fuse import FuseOhms
from model.tables import SourceKind

LAMP_WATTS = 21.0
"""A turn signal lamp in series at first power: it lets some 2 A through where all is shorted."""

_MILLIVOLTS_UNDER_VOLTS = 0.2
"""End of the lowest range of a hand meter of 2000 counts, in volts."""


class PlanKind(StrEnum):
    """What a plan proves, in the order in which the plans are worked through; the value stands in the record."""

    CONTINUITY = "continuity"
    INSULATION = "insulation"
    GROUNDS = "grounds"
    FIRST_POWER = "first power"
    LOADS = "loads"
    CRANK_AND_CHARGE = "crank and charge"
    DRAW = "draw"


class LoomState(StrEnum):
    """The state that the loom is in while its conductors are proven."""

    BENCH = "on the bench"
    """Nothing is plugged in and no ground is bolted on."""
    APART = "fitted, all apart"
    """In the vehicle, grounds bolted on; every plug apart, every part out, the battery's clamps off."""
    MATED = "fitted and mated"
    """Everything plugged in, switches at rest, the battery's clamps off."""


class Measure(StrEnum):
    """What is read in a row, which says its unit."""

    OHMS = "ohms"
    """Between red and black."""
    APART = "apart"
    """Ohms between black and each of `others` in turn; the lowest counts."""
    VOLTS = "volts"
    """From red to black."""
    MILLIVOLTS = "millivolts"
    """From red to black while `amps` flow; what is expected goes with the amperes."""
    AMPS = "amps"
    """Through what stands in `covers`."""
    LAMP = "lamp"
    """Volts across a lamp that stands in series with the supply."""
    SEEN = "seen"
    """Nothing is measured: what is seen, heard or done is said to be good or bad."""


UNIT_OF: dict[Measure, str] = {
    Measure.OHMS: "Ω",
    Measure.APART: "Ω",
    Measure.VOLTS: "V",
    Measure.MILLIVOLTS: "mV",
    Measure.AMPS: "A",
    Measure.LAMP: "V",
    Measure.SEEN: "",
}


@dataclass(frozen=True, slots=True)
class Limit:
    """Between what a reading is good.

    Attributes
    ----------
    low, high
        Least and most in the unit of the row; None where that side has no limit.
    source
        The standard, manual or book that the limit is from, or ``computed``.
    computed_from
        What the figure was computed from, in words: ``1.2 m of 1.5 mm², two crimps, leads 0.2 Ω``.
    """

    low: float | None
    high: float | None
    source: str
    source_kind: SourceKind
    computed_from: str = ""


@dataclass(frozen=True, slots=True)
class Leaning:
    """What a row of volts has to do with another one: once that is read, this one expects as much more or less.

    Attributes
    ----------
    key
        Of the row that it leans on.
    volts
        What that row expects.
    half_volts
        How far this row may be off either way once the other is read.
    words
        Where the other row reads: ``at the posts, key off``.
    computed_from
        What `half_volts` was computed from, in words.
    """

    key: str
    volts: float
    half_volts: float
    words: str
    computed_from: str


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One thing to be measured, seen or done.

    Attributes
    ----------
    key
        What the record knows the row by: the same for the same loom whenever the plan is made anew, unique in it.
    title
        What is measured, in a few words, cleaned.
    group
        The head under which it stands: a place or a stage, in words.
    condition
        Key state and everything that is not at rest.
    red, black, others
        Points on which the probes stand; `others` of ``apart``, and of added drops red and black of each in turn.
    place, far_place
        Names of the places of the red and of the black probe; empty where none is given.
    expect
        What a sound loom shows, in the unit of the row; infinite where open, None where nothing is measured.
    expect_words
        The same in words where that says more: ``dark``, ``works``, ``open``.
    amps
        Of millivolts the amperes at which `expect` and `limit` hold; of a lamp its amperes at nominal volts.
    opens
        What has to be taken apart beyond the state of the plan for the row to tell anything, the smallest set.
    covers
        Wires, contacts and parts that the row proves.
    tells
        False where the row could not fail: whole and broken read alike.
    blind
        Where `tells` is False why not; else what it cannot see, or empty.
    fuse
        Of millivolts across a seated fuse what it resists: a reading is told in amperes too.
    after, wait_minutes
        Key of the row whose answer starts a clock, and how many minutes it has to run before this row is read.
    anew
        Key of the row that starts that clock once more wherever it is said to be bad: what waits was woken.
    leans
        Of volts the row whose reading shifts what is expected; None where none does.
    most_amps
        Of amperes through a meter in line the most that its socket bears: more is no reading of it.
    before
        What to set, fit, unplug or watch before it, in full sentences.
    cautions
        Full sentences, the gravest first.
    """

    key: str
    title: str
    group: str
    measure: Measure
    condition: Condition
    red: str = ""
    black: str = ""
    others: tuple[str, ...] = ()
    place: str = ""
    far_place: str = ""
    expect: float | None = None
    expect_words: str = ""
    limit: Limit | None = None
    amps: float | None = None
    opens: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    tells: bool = True
    blind: str = ""
    fuse: FuseOhms | None = None
    after: str = ""
    wait_minutes: float = 0.0
    anew: str = ""
    leans: Leaning | None = None
    most_amps: float | None = None
    before: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """The unit in which it is answered; empty where nothing is measured."""
        return UNIT_OF[self.measure]

    @property
    def in_millivolts(self) -> bool:
        """Whether the meter stands on its lowest range of millivolts for a lamp that is to stay dark."""
        high = None if self.limit is None else self.limit.high
        return self.measure is Measure.LAMP and high is not None and high < _MILLIVOLTS_UNDER_VOLTS

    @property
    def looks_back(self) -> frozenset[str]:
        """Keys of the rows on whose answers it hangs how this one is judged."""
        return frozenset({self.after, self.anew, "" if self.leans is None else self.leans.key} - {""})

    @property
    def points(self) -> tuple[str, ...]:
        """The points that it touches."""
        return tuple(point for point in (self.red, self.black, *self.others) if point)


@dataclass(frozen=True)
class Plan:
    """The rows of one plan, in the order in which they are worked through.

    Attributes
    ----------
    state
        Of a continuity plan the state that the loom is in.
    about
        What it proves and how, in full sentences.
    cautions
        Those that hold for every row, in full sentences.
    left_out
        What is not measured, each with why: wiring that nobody may probe.
    undetected
        What no row of the plan could show, by name, each with why; never counted as proven.
    """

    kind: PlanKind
    vehicle: str
    revision: int
    rows: tuple[PlanRow, ...]
    state: LoomState | None = None
    about: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    undetected: tuple[str, ...] = ()
