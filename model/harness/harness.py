"""The harness as read: all records of one file, and the ways to look one up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from model.harness.fields import Part
from model.harness.parts import (
    Battery,
    Charger,
    Diode,
    Fuse,
    Load,
    LoadElement,
    LoadKind,
    Module,
    Relay,
    ResistorPack,
    Switch,
)
from model.harness.records import (
    Body,
    Build,
    Busbar,
    Connector,
    Defaults,
    GroundPoint,
    Joint,
    KeyState,
    Location,
    Splice,
    Trunk,
    Wire,
)

ROW_TYPES: dict[str, type] = {
    "key_states": KeyState,
    "locations": Location,
    "trunks": Trunk,
    "bodies": Body,
    "batteries": Battery,
    "chargers": Charger,
    "busbars": Busbar,
    "splices": Splice,
    "joints": Joint,
    "fuses": Fuse,
    "switches": Switch,
    "relays": Relay,
    "loads": Load,
    "modules": Module,
    "diodes": Diode,
    "resistors": ResistorPack,
    "connectors": Connector,
    "grounds": GroundPoint,
    "wires": Wire,
}
CHASSIS = "CHASSIS"
SINGLE_ELEMENT = "load"

P = TypeVar("P", bound=Part)


@dataclass(frozen=True)
class Harness:
    """All records of a harness file, in the order of the file.

    Attributes
    ----------
    source
        Name of the file it was read from.
    """

    build: Build
    key_states: tuple[KeyState, ...]
    batteries: tuple[Battery, ...]
    defaults: Defaults = field(default_factory=Defaults)
    locations: tuple[Location, ...] = ()
    trunks: tuple[Trunk, ...] = ()
    bodies: tuple[Body, ...] = ()
    chargers: tuple[Charger, ...] = ()
    busbars: tuple[Busbar, ...] = ()
    splices: tuple[Splice, ...] = ()
    joints: tuple[Joint, ...] = ()
    fuses: tuple[Fuse, ...] = ()
    switches: tuple[Switch, ...] = ()
    relays: tuple[Relay, ...] = ()
    loads: tuple[Load, ...] = ()
    modules: tuple[Module, ...] = ()
    diodes: tuple[Diode, ...] = ()
    resistors: tuple[ResistorPack, ...] = ()
    connectors: tuple[Connector, ...] = ()
    grounds: tuple[GroundPoint, ...] = ()
    wires: tuple[Wire, ...] = ()
    source: str = ""

    def each_part(self) -> Iterator[Part]:
        """Give every part that has an id, table by table in the order of the format."""
        for table, row_type in ROW_TYPES.items():
            if issubclass(row_type, Part):
                yield from getattr(self, table)

    @cached_property
    def parts(self) -> dict[str, Part]:
        """Every part by its id."""
        return {part.id: part for part in self.each_part()}

    @cached_property
    def locations_by_name(self) -> dict[str, Location]:
        """Every place by its name."""
        return {location.name: location for location in self.locations}

    @cached_property
    def trunks_by_name(self) -> dict[str, Trunk]:
        """Every trunk by its name."""
        return {trunk.name: trunk for trunk in self.trunks}

    @cached_property
    def key_names(self) -> tuple[str, ...]:
        """Names of the key states in the order in which the key turns."""
        return tuple(state.name for state in self.key_states)

    @cached_property
    def key_switch(self) -> Switch | None:
        """The switch whose positions are the key states, where there is one."""
        return next((switch for switch in self.switches if switch.key), None)

    def part_of(self, part_id: str, kind: type[P]) -> P:
        """Give the part with this id, known to be of this kind.

        Raises
        ------
        KeyError
            Where the harness has no such part.
        """
        part = self.parts[part_id]
        if not isinstance(part, kind):
            raise KeyError(part_id)
        return part

    def charging_keys(self, charger: Charger) -> tuple[str, ...]:
        """Name the key states in which a charger is on."""
        if charger.active is not None:
            return charger.active
        return tuple(state.name for state in self.key_states if state.charging)


@dataclass(frozen=True, slots=True)
class Element:
    """One circuit of a load as it is rated, with the load's own figures filled in.

    Attributes
    ----------
    name
        ``id:element``, or ``id:terminal`` of a module's feed.
    from_point, to_point
        Points of the wire side.
    at_volts, rated_amps
        Volts and amperes of the rated point.
    """

    name: str
    part_id: str
    kind: LoadKind
    from_point: str
    to_point: str
    at_volts: float
    rated_amps: float
    starts_at_volts: float
    record: LoadElement | Load | None


def elements_of(harness: Harness, load: Load) -> tuple[Element, ...]:
    """List the elements of a load with their rated points.

    Notes
    -----
    ``starts_at`` defaults to 0.55 of the rated volts for a led and to 0.5 for electronics.
    """
    if not load.elements:
        return (_element(harness, load, load, SINGLE_ELEMENT, load.kind, ("+", "-")),)
    return tuple(
        _element(harness, load, one, one.name, one.kind or load.kind, (one.from_terminal, one.to_terminal))
        for one in load.elements
    )


def _element(
    harness: Harness, load: Load, rated: Load | LoadElement, name: str, kind: LoadKind, ends: tuple[str, str]
) -> Element:
    at_volts = rated.at or harness.build.nominal_volts
    if rated.amps is not None:
        amps = rated.amps
    elif rated.watts is not None:
        amps = rated.watts / at_volts
    else:
        amps = at_volts / (rated.ohms or 1.0)
    starts_at = rated.starts_at or (0.55 if kind is LoadKind.LED else 0.5)
    return Element(
        f"{load.id}:{name}",
        load.id,
        kind,
        f"{load.id}.{ends[0]}",
        f"{load.id}.{ends[1]}",
        at_volts,
        amps,
        starts_at * at_volts,
        rated,
    )


def feed_elements(harness: Harness, module: Module) -> tuple[Element, ...]:
    """List the feeds of a module as loads against its ground, at nominal volts and awake."""
    nominal_volts = harness.build.nominal_volts
    return tuple(
        Element(
            f"{module.id}:{feed.terminal}",
            module.id,
            LoadKind.HEATER,
            f"{module.id}.{feed.terminal}",
            f"{module.id}.{module.ground}",
            nominal_volts,
            feed.amps,
            0.0,
            None,
        )
        for feed in module.feeds
    )


def all_elements(harness: Harness) -> tuple[Element, ...]:
    """List every element of every load, then every feed of every module."""
    return tuple(
        [element for load in harness.loads for element in elements_of(harness, load)]
        + [element for module in harness.modules for element in feed_elements(harness, module)]
    )


def element_label(harness: Harness, element: Element) -> str:
    """Give the label of a load, with the circuit's name behind it where it has several: ``Left head lamp dip``."""
    label = harness.parts[element.part_id].label
    circuit = element.name.partition(":")[2]
    return label if circuit == SINGLE_ELEMENT else f"{label} {circuit}".strip()
