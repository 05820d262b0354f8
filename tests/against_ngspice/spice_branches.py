"""What a harness in one condition consists of, electrically: branches between nodes, and what moves them."""

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum


class Kind(Enum):
    """Law by which a branch carries current from its first node to its second."""

    OHMS = "a resistance"
    SOURCE = "volts behind a resistance, both ways"
    ONE_WAY = "nothing below its volts, above them the excess over its ohms"
    LAMP = "current as volts to the power 0.55"
    POWER = "constant power"


@dataclass(frozen=True)
class Gate:
    """A state that a branch waits for: relay pulled in, driver live, inverter on, fuse whole."""

    mover: str
    wanted: bool


@dataclass(frozen=True)
class Branch:
    """One two-ended element. Which of the numbers count depends on its kind.

    `volts` is the threshold of a ONE_WAY, the source of a SOURCE, the rated volts of a LAMP;
    `ohms` the resistance, of a LAMP at rated volts; `watts` the power of a POWER.
    """

    name: str
    kind: Kind
    a: str
    b: str
    ohms: float = 0.0
    volts: float = 0.0
    watts: float = 0.0
    closed: bool = True
    gate: Gate | None = None
    always_joins: bool = False
    """A battery joins its posts for the question what floats, whether it carries or not."""
    idle_is_open: bool = False
    """Of a ONE_WAY: what carries nothing is open, so that a resting battery stands at its emf."""


@dataclass(frozen=True)
class CoilVolts:
    """A relay's coil: between which nodes, with which ohms, and which it has when it is sound."""

    a: str
    b: str
    rated_ohms: float
    ohms: float | None
    """None where the coil is open."""


@dataclass(frozen=True)
class RelayMover:
    """Pulls in at `pull_in_volts`, holds until under `drop_out_volts`."""

    name: str
    coils: tuple[CoilVolts, ...]
    pull_in_volts: float
    drop_out_volts: float

    def next_state(self, state: bool, volts_at: Callable[[str], float]) -> bool:
        """Return whether it is pulled in after these volts."""
        most_volts = max((_coil_volts(coil, volts_at) for coil in self.coils), default=0.0)
        return most_volts >= (self.drop_out_volts if state else self.pull_in_volts)


@dataclass(frozen=True)
class SupplyMover:
    """A driver or output: works while its feed has `least_volts` against the module's ground.

    Where the positive post is grounded the feed is the negative of the two.
    """

    name: str
    positive: str
    negative: str
    least_volts: float

    def next_state(self, state: bool, volts_at: Callable[[str], float]) -> bool:
        """Return whether it works at these volts."""
        return volts_at(self.positive) - volts_at(self.negative) >= self.least_volts


@dataclass(frozen=True)
class InverterMover:
    """Off below `cut_out_volts`, on again above `cut_in_volts`."""

    name: str
    a: str
    b: str
    cut_out_volts: float
    cut_in_volts: float

    def next_state(self, state: bool, volts_at: Callable[[str], float]) -> bool:
        """Return whether it is on after these volts."""
        volts = volts_at(self.a) - volts_at(self.b)
        return volts >= self.cut_out_volts if state else volts > self.cut_in_volts


Mover = RelayMover | SupplyMover | InverterMover


@dataclass(frozen=True)
class FuseRating:
    """A fuse: its branch, and its rating in amperes, None for one that never opens by current."""

    name: str
    rating_amps: float | None


@dataclass
class Net:
    """A harness in one key state, with its settings and faults, before anything has moved."""

    reference: str
    points: tuple[str, ...]
    branches: list[Branch] = field(default_factory=list)
    movers: list[Mover] = field(default_factory=list)
    fuses: list[FuseRating] = field(default_factory=list)
    loads: list[str] = field(default_factory=list)


def _coil_volts(coil: CoilVolts, volts_at: Callable[[str], float]) -> float:
    if coil.ohms is None:
        return 0.0
    return abs(volts_at(coil.a) - volts_at(coil.b)) / coil.ohms * coil.rated_ohms
