"""Words for what stands in a walk: what to touch at a point, and what leads from one point to the next."""

from __future__ import annotations

from model.circuit.faults import Fault
from model.harness.harness import CHASSIS, Harness
from model.harness.parts import Battery, Charger, Fuse, Load
from model.harness.points import Point
from model.harness.records import Body, Connector, Wire
from model.tracing.graph import Link, LinkKind


def terminal_words(harness: Harness, point: Point) -> str:
    """Say what to touch at a point: ``pin 30, cavity 2``; nothing where the part itself is the point."""
    if point.name == CHASSIS:
        return "bare metal"
    part = harness.parts[point.part_id]
    match part:
        case Connector():
            return f"cavity {point.cavity}, {point.half} half, wire side"
        case Battery() | Charger() if point.terminal in ("+", "-"):
            return f"post {point.terminal}"
        case Wire():
            return f"free end {point.terminal}"
        case Body():
            return "bare metal"
    if not point.terminal:
        return ""
    cavity = part.pins.get(point.terminal)
    word = "terminal" if isinstance(part, Load | Charger) else "pin"
    return f"{word} {point.terminal}{f', cavity {cavity}' if cavity else ''}"


def link_words(harness: Harness, link: Link) -> str:
    """Name what joins two points of a walk: ``W9``, ``fuse F13, 15 A``, ``contact K3:30-87, K3 pulled in``."""
    match link.kind:
        case LinkKind.WIRE:
            return link.site
        case LinkKind.JOINT:
            return f"joint {link.site}"
        case LinkKind.CAVITY:
            return f"contact in {link.site}"
        case LinkKind.GROUND:
            return f"ground point {link.site}"
        case LinkKind.FUSE:
            return _fuse_words(harness, link.part_id)
        case LinkKind.SWITCH:
            return f"contact {link.site}"
        case LinkKind.RELAY:
            return f"contact {link.site}, {link.part_id} {'pulled in' if link.pulled else 'at rest'}"
        case LinkKind.DRIVER:
            return f"driver {link.site}"
        case LinkKind.OUTPUT:
            return f"output {link.site}"
        case LinkKind.DIODE:
            return f"diode {link.site}: volts fall here by design"
        case LinkKind.RESISTOR:
            return f"resistance {link.site}: volts fall here by design"
        case LinkKind.EXCITER:
            return f"exciter of {link.part_id}, {'running' if link.pulled else 'at rest'}"


def _fuse_words(harness: Harness, fuse_id: str) -> str:
    fuse = harness.part_of(fuse_id, Fuse)
    return f"fuse {fuse_id}, {fuse.amps:g} A" if fuse.amps is not None else f"fuse {fuse_id}"


def contact_remark(link: Link) -> str:
    """Say in a sentence what is not plain metal between two points; nothing where it is."""
    match link.kind:
        case LinkKind.RELAY:
            return f"Through {link.site}, closed while {link.part_id} is {'pulled in' if link.pulled else 'at rest'}."
        case LinkKind.DRIVER:
            return f"Driven by {link.part_id}."
        case LinkKind.OUTPUT:
            return f"Made by {link.part_id}."
        case LinkKind.SWITCH:
            return f"Through {link.site}."
        case LinkKind.EXCITER:
            return f"Through the exciter of {link.part_id}, {'running' if link.pulled else 'at rest'}."
        case LinkKind.RESISTOR:
            return f"Through {link.site}: the volts fall here by design."
        case LinkKind.DIODE:
            return f"Through {link.site}: a diode's volts fall here by design."
        case LinkKind.WIRE | LinkKind.JOINT | LinkKind.CAVITY | LinkKind.GROUND | LinkKind.FUSE:
            return ""


def faults_of(link: Link, faults: tuple[Fault, ...]) -> list[Fault]:
    """List the faults that stand at a link, or at a terminal at its ends."""
    return [fault for fault in faults if fault.site in (link.site, link.one, link.other)]
