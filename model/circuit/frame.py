"""What is the same in the circuit of a harness whatever its condition, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, elements_of, feed_elements
from model.harness.parts import Relay
from model.harness.points import all_points, resolve_point
from model.harness.records import GroundPoint, Wire
from model.harness.supply import battery_volts, reference_point, wire_length_m, wire_size
from model.units import copper_factor, wire_ohms_per_metre

CONTACT_OHM_AMPS = 0.06
"""Ohms times amperes of a relay contact."""


@dataclass(slots=True)
class Metal:
    """Wires, contacts of cavities, ground points and joints as they are while nothing is set and nothing is faulty.

    Attributes
    ----------
    one, other, ohms, sites
        From node, to node, resistance in ohms and fault site of each branch.
    spans
        Part id → its first branch and the branch after its last.
    """

    one: list[int]
    other: list[int]
    ohms: list[float]
    sites: list[str]
    spans: dict[str, tuple[int, int]]


@dataclass(slots=True)
class Frame:
    """The unchanging part of the circuit of one harness.

    Attributes
    ----------
    names
        Name of each node, the points of the harness in the order of the format.
    index
        Name → node; ``F2.in`` of a fuse on a busbar leads to the busbar.
    reference
        The node that is 0 V.
    battery_volts
        Nominal volts of each battery.
    elements
        Load or module id → its elements or feeds with their rated points.
    metal
        None until a netlist has been built.
    """

    names: list[str]
    index: dict[str, int]
    reference: int
    battery_volts: dict[str, float]
    elements: dict[str, tuple[Element, ...]]
    metal: Metal | None = None


@once_per_harness
def frame_of(harness: Harness) -> Frame:
    """Give the frame of a harness."""
    names = list(all_points(harness))
    index = {name: node for node, name in enumerate(names)}
    index.update((f"{fuse.id}.in", index[resolve_point(harness, fuse.bus)]) for fuse in harness.fuses if fuse.bus)
    elements = {load.id: elements_of(harness, load) for load in harness.loads}
    elements.update((module.id, feed_elements(harness, module)) for module in harness.modules)
    return Frame(names, index, index[reference_point(harness)], battery_volts(harness), elements)


def ground_ohms(harness: Harness, ground: GroundPoint) -> float:
    """Give the ohms from a ground point into its body."""
    return (ground.ohms or harness.defaults.ground) + harness.defaults.chassis


def contact_ohms(harness: Harness, relay: Relay) -> float:
    """Give the ohms of a closed relay contact: as typed, by the amperes it is made for, or the default."""
    return relay.ohms or (CONTACT_OHM_AMPS / relay.amps if relay.amps else harness.defaults.relay)


def wire_ohms(harness: Harness, wire: Wire) -> float:
    """Give the ohms of a wire with its two crimps at the ambient temperature of the build."""
    per_metre = _ohms_per_metre(wire_size(harness, wire), harness.build.ambient_celsius)
    return per_metre * wire_length_m(harness, wire) + 2 * harness.defaults.crimp


@lru_cache(maxsize=500)
def _ohms_per_metre(size: float | str, celsius: float) -> float:
    return wire_ohms_per_metre(size) * copper_factor(celsius)
