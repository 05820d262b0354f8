"""The steps of the ways that volts take: what joins two points, and whether it is metal or uses volts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from model.circuit.faults import part_of_site
from model.circuit.netlist import Netlist
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.records import Connector, GroundPoint, Joint, Wire


class StepKind(StrEnum):
    """What joins two points of a way."""

    WIRE = "wire"
    JOINT = "joint"
    CAVITY = "cavity"
    GROUND = "ground point"
    FUSE = "fuse"
    SWITCH = "switch contact"
    RELAY = "relay contact"
    DRIVER = "driver"
    TERMINAL = "terminal"
    TOUCH = "touch"
    LOAD = "load"
    FEED = "feed of a module"
    COIL = "coil"
    DIODE = "diode"
    RESISTOR = "resistor"
    EXCITER = "exciter"
    SOURCE = "source"

    @property
    def is_through(self) -> bool:
        """Tell whether volts come through something that uses or lowers them, and not along metal."""
        return self in _THROUGH


_THROUGH = frozenset({StepKind.LOAD, StepKind.FEED, StepKind.COIL, StepKind.DIODE, StepKind.RESISTOR, StepKind.EXCITER})
CONTACTS = frozenset({StepKind.SWITCH, StepKind.RELAY, StepKind.DRIVER})
"""What a hand, a coil or a module opens and closes."""


@dataclass(frozen=True, slots=True)
class LiveStep:
    """One step of a way, from the point nearer the source to the next.

    Attributes
    ----------
    site
        Fault site as the format names it: ``W9``, ``X1.4``, ``K1:30-87``, ``E9:load``; empty where a fault touches.
    start, end
        The points; where a fault parts a terminal from its plug, a place inside.
    """

    site: str
    start: str
    end: str
    kind: StepKind


def branch_kinds(net: Netlist) -> tuple[StepKind, ...]:
    """Give what each branch of a netlist is as a step of a way; those that give current are sources."""
    kind_of_site = _kind_of_site(net.harness)
    kinds = [kind_of_site(site) for site in net.sites]
    for line in net.lines:
        if not net.sites[line.branch]:
            kinds[line.branch] = StepKind.DIODE
        elif kinds[line.branch] is StepKind.EXCITER:
            kinds[line.branch] = StepKind.SOURCE
    return tuple(kinds)


@once_per_harness
def _kind_of_site(harness: Harness) -> Callable[[str], StepKind]:
    return cache(lambda site: _site_kind(harness, site))


def _site_kind(harness: Harness, site: str) -> StepKind:
    if not site:
        return StepKind.TOUCH
    part = harness.parts[part_of_site(site)]
    if "." in site and not isinstance(part, Connector):
        return StepKind.TERMINAL
    inner = site.partition(":")[2]
    match part:
        case Wire():
            return StepKind.WIRE
        case Joint():
            return StepKind.JOINT
        case Connector():
            return StepKind.CAVITY
        case GroundPoint():
            return StepKind.GROUND
        case Fuse():
            return StepKind.FUSE
        case Switch():
            return StepKind.SWITCH
        case Relay():
            return StepKind.COIL if inner == "coil" else StepKind.RELAY
        case Load():
            return StepKind.LOAD
        case Diode():
            return StepKind.DIODE
        case ResistorPack():
            return StepKind.RESISTOR
        case Battery():
            return StepKind.SOURCE
        case Charger():
            return StepKind.EXCITER
        case Module():
            return _module_kind(part, inner)
    raise AssertionError(site)


def _module_kind(module: Module, terminal: str) -> StepKind:
    if any(output.terminal == terminal for output in module.outputs):
        return StepKind.SOURCE
    is_driver = any(driver.terminal == terminal for driver in module.drivers)
    return StepKind.DRIVER if is_driver else StepKind.FEED
