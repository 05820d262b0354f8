"""Records of the parts of a harness that switch, protect, feed or use current."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from model.harness.fields import (
    Finite,
    Flag,
    Groups,
    Name,
    NotNegative,
    Part,
    PointName,
    Positive,
    Record,
    Share,
    Words,
)


def _off_and_on() -> dict[str, Groups]:
    return {"off": (), "on": (("1", "2"),)}


class Battery(Part):
    """A battery with the posts ``+`` and ``-``; volts, ohms, ampere hours."""

    volts: Positive | None = None
    emf: Positive | None = None
    charged_emf: Positive | None = None
    ohms: Positive = 0.008
    amp_hours: Positive | None = None
    reserve_minutes: Positive | None = None
    cold_amps: Positive | None = None
    chemistry: Literal["lead", "lithium"] = "lead"


class Exciter(Record):
    """The terminal of a generator that a charge lamp hangs on."""

    terminal: Name
    ohms: Positive = 6.0


class Charger(Part):
    """An alternator, dynamo or shore charger with the posts ``+`` and ``-``."""

    volts: Positive
    ohms: Positive = 0.005
    active: tuple[Words, ...] | None = None
    exciter: Exciter | None = None


class FuseStyle(StrEnum):
    """How a fuse is made."""

    BLADE = "blade"
    GLASS = "glass"
    LINK = "link"
    BREAKER = "breaker"
    THERMAL = "thermal"


class Fuse(Part):
    """A fuse; with ``bus`` the busbar itself is its ``in``."""

    amps: Positive | None = None
    style: FuseStyle = FuseStyle.BLADE
    resets: Flag = False
    bus: PointName | None = None
    ohms: Positive | None = None


class Switch(Part):
    """A switch: each position joins groups of terminals, the first of a group is the common."""

    terminals: tuple[Name, ...] = ("1", "2")
    positions: dict[Words, Groups] = Field(default_factory=_off_and_on)
    rest: Words | None = None
    key: Flag = False
    momentary: Flag = False
    follows: dict[Words, Words] = Field(default_factory=dict)
    pulses: Flag = False
    amps: Positive | None = None
    ohms: Positive | None = None


class ContactGroups(Record):
    """The groups of terminals that a relay joins at rest and pulled in."""

    rest: Groups = ()
    pulled: Groups = ()


class Coil(Record):
    """A coil of a relay between two of its terminals."""

    from_terminal: Name = Field(alias="from")
    to_terminal: Name = Field(alias="to")
    ohms: Positive


class Relay(Part):
    """A relay; pull-in and drop-out are shares of the nominal volts."""

    contacts: Literal["make", "break", "changeover"] | ContactGroups = "make"
    coil_ohms: Positive | None = None
    coils: Annotated[tuple[Coil, ...], Field(min_length=1)] | None = None
    pull_in: Share = 0.60
    drop_out: Share = 0.10
    coil_diode: Name | None = None
    ohms: Positive | None = None
    amps: Positive | None = None


class LoadKind(StrEnum):
    """What a load is, which decides how its current follows its volts."""

    LAMP = "lamp"
    LED = "led"
    MOTOR = "motor"
    HEATER = "heater"
    HORN = "horn"
    SOLENOID = "solenoid"
    ELECTRONICS = "electronics"
    INVERTER = "inverter"
    SOCKET = "socket"


WorksWith = dict[Words, Annotated[Words, Field()]]


class Rated(Record):
    """What a load or one of its elements is rated at, and when it should work."""

    watts: Positive | None = None
    amps: Positive | None = None
    ohms: Positive | None = None
    at: Positive | None = None
    start_amps: Positive | None = None
    starts_at: Share | None = None
    cut_out: Share = 0.85
    cut_in: Share = 0.95
    works_in: tuple[Words, ...] | None = None
    works_with: WorksWith | tuple[WorksWith, ...] | None = None
    role: Words = ""
    critical: Flag = False


class LoadElement(Rated):
    """One filament, winding or circuit of a load between two of its terminals."""

    name: Name
    from_terminal: Name = Field(alias="from")
    to_terminal: Name = Field(alias="to")
    kind: LoadKind | None = None


class Load(Part, Rated):
    """A load: two terminals ``+`` and ``-``, or several elements between its own."""

    kind: LoadKind
    elements: tuple[LoadElement, ...] = ()


class Feed(Record):
    """A terminal on which a module draws current, awake and asleep."""

    terminal: Name
    amps: Positive
    asleep_amps: NotNegative | None = None


class Driver(Record):
    """A terminal that a module pulls to its ground or to one of its feeds."""

    terminal: Name
    pulls: Literal["ground", "feed"]
    from_terminal: Name | None = Field(default=None, alias="from")
    when: tuple[Words, ...]
    ohms: Positive = 0.1
    pulses: Flag = False


class Output(Record):
    """A terminal that a module holds at a regulated voltage against its ground."""

    terminal: Name
    volts: Finite
    ohms: Positive = 1.0
    from_terminal: Name | None = Field(default=None, alias="from")
    when: tuple[Words, ...] | None = None


class Module(Part):
    """A control unit: feeds, a ground, and the terminals that it drives."""

    ground: Name = "31"
    feeds: Annotated[tuple[Feed, ...], Field(min_length=1)]
    asleep_after_minutes: Positive | None = None
    drivers: tuple[Driver, ...] = ()
    outputs: tuple[Output, ...] = ()
    delicate: tuple[Name, ...] = ()


class Diode(Part):
    """A diode from ``anode`` to ``cathode``."""

    volts: Positive = 0.7
    ohms: Positive = 0.01


class ResistorElement(Record):
    """One resistance of a pack; a table of positions for a sender or a dimmer."""

    name: Name
    from_terminal: Name = Field(alias="from")
    to_terminal: Name = Field(alias="to")
    ohms: Positive | dict[Words, Positive | Words]


class ResistorPack(Part):
    """One or several resistances in a housing."""

    elements: Annotated[tuple[ResistorElement, ...], Field(min_length=1)]
