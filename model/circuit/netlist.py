"""The circuit of a harness under a condition, as branches between numbered nodes.

The netlist holds what each branch is; which contacts are closed and how hot a filament burns is settled elsewhere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from model.circuit.frame import frame_of
from model.circuit.solver import OPEN_OHMS
from model.harness.harness import Element, Harness

METER_OHMS = 10e6

LEAST_OHMS = 1e-6
"""A part with less counts as this much: a tenth of a millimetre of battery cable."""


@dataclass(frozen=True, slots=True)
class Lamp:
    """A filament: rated ohms at rated volts, in a branch of the netlist."""

    branch: int
    rated_ohms: float
    at_volts: float


@dataclass(frozen=True, slots=True)
class Line:
    """A part that carries current one way, along a line from its threshold up.

    Attributes
    ----------
    threshold_volts
        Volts from the branch's from node to its to node above which it carries; negative for a source.
    ohms
        Slope of the line in ohms.
    always_joins
        True of a battery, which joins its posts whether it carries current or not.
    """

    branch: int
    threshold_volts: float
    ohms: float
    always_joins: bool = False


class MoverKind(StrEnum):
    """What changes state with the volts on it."""

    RELAY = "relay"
    DRIVER = "driver"
    OUTPUT = "output"
    INVERTER = "inverter"


@dataclass(frozen=True, slots=True)
class Sense:
    """What a mover looks at: the volts between two nodes, times a factor.

    The factor is above or below 1 only for a relay coil whose resistance is not what it should be: there its
    current counts.
    """

    from_node: int
    to_node: int
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Mover:
    """A relay, driver, output or inverter: on above one voltage, off below another.

    Attributes
    ----------
    name
        A relay's or inverter's id, ``id:element``, or ``id.terminal`` of a driver or output.
    senses
        The most of these volts counts.
    closes, opens
        Branches that carry while it is on, and while it is off.
    allowed
        False of a driver or output that is not to work in this condition.
    """

    name: str
    kind: MoverKind
    senses: tuple[Sense, ...]
    on_volts: float
    off_volts: float
    closes: tuple[int, ...]
    opens: tuple[int, ...] = ()
    starts_on: bool = False
    allowed: bool = True
    watts: float = 0.0


@dataclass(frozen=True, slots=True)
class FuseLink:
    """The branch of a fuse; it opens when the current passes the factor times its rating."""

    part_id: str
    branch: int
    amps: float | None
    resets: bool


@dataclass(frozen=True, slots=True)
class ElementBranch:
    """An element of a load with its points and, where it is in, the branches that carry its current."""

    element: Element
    from_node: int
    to_node: int
    branches: tuple[int, ...]


@dataclass(slots=True)
class Netlist:
    """Nodes and branches of a harness under a condition.

    Attributes
    ----------
    names
        Name of each node; the points of the harness first, then nodes inside parts.
    point_count
        How many of them are points.
    posts
        Nodes of the plus and the minus of the first battery.
    first_battery_line
        Which of the lines gives the current of the first battery, the next takes it; None where it is out.
    first_battery_tie
        The branch that ties the first battery to its emf while it rests.
    charger_lines
        Which of the lines give the current of the chargers that are on.
    one, other, ohms, emf_volts
        From node, to node, resistance in ohms (infinite where open) and source in volts (driving from ``one`` to
        ``other``) of each branch.
    sites
        Fault site of each branch, or the empty string.
    """

    harness: Harness
    names: list[str]
    index: dict[str, int]
    point_count: int
    reference: int = 0
    one: list[int] = field(default_factory=list)
    other: list[int] = field(default_factory=list)
    ohms: list[float] = field(default_factory=list)
    emf_volts: list[float] = field(default_factory=list)
    sites: list[str] = field(default_factory=list)
    lamps: list[Lamp] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    movers: list[Mover] = field(default_factory=list)
    fuses: list[FuseLink] = field(default_factory=list)
    elements: list[ElementBranch] = field(default_factory=list)
    posts: tuple[int, int] = (0, 0)
    first_battery_line: int | None = None
    first_battery_tie: int = 0
    charger_lines: list[int] = field(default_factory=list)

    def node(self, name: str) -> int:
        """Give the number of a node, making one inside a part where there is none of this name."""
        number = self.index.get(name)
        if number is None:
            number = len(self.names)
            self.names.append(name)
            self.index[name] = number
        return number

    def add_point(self, name: str) -> None:
        """Add a point that only this condition has: the free end of a wire. It stands before all nodes inside parts."""
        if name not in self.index:
            self.node(name)
            self.point_count += 1

    def add(self, one: int, other: int, ohms: float, site: str = "", emf_volts: float = 0.0) -> int:
        """Add a branch and give its number; over 10 GΩ it is open, under a microohm it has one."""
        self.one.append(one)
        self.other.append(other)
        self.ohms.append(math.inf if ohms > OPEN_OHMS else max(ohms, LEAST_OHMS))
        self.emf_volts.append(emf_volts)
        self.sites.append(site)
        return len(self.one) - 1

    def add_line(
        self, ends: tuple[int, int], threshold_volts: float, ohms: float, site: str, *, always_joins: bool = False
    ) -> int:
        """Add a one-way line and give its branch."""
        branch = self.add(*ends, ohms, site)
        self.lines.append(Line(branch, threshold_volts, self.ohms[branch], always_joins))
        return branch

    def add_lamp(self, ends: tuple[int, int], rated_ohms: float, at_volts: float, site: str) -> int:
        """Add a filament and give its branch."""
        branch = self.add(*ends, rated_ohms, site)
        self.lamps.append(Lamp(branch, self.ohms[branch], at_volts))
        return branch


def empty_netlist(harness: Harness) -> Netlist:
    """Give a netlist that has the points of a harness as its nodes and no branches yet."""
    frame = frame_of(harness)
    return Netlist(harness, frame.names.copy(), frame.index.copy(), len(frame.names), frame.reference)
