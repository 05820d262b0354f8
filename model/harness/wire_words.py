"""What a part, a wire or a post is called where a person reads it: its kind, its colour, its size."""

from __future__ import annotations

from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.records import Body, Busbar, Connector, GroundPoint, Joint, Splice, Wire
from model.harness.supply import assumed_of, wire_size
from model.words import clean, colour_words, size_text

_KINDS: dict[type[Part], str] = {
    Battery: "battery",
    Charger: "charger",
    Busbar: "busbar",
    Splice: "splice",
    Joint: "joint",
    Fuse: "fuse",
    Switch: "switch",
    Relay: "relay",
    Module: "module",
    Diode: "diode",
    ResistorPack: "resistor",
    Connector: "connector",
    GroundPoint: "ground point",
    Wire: "wire",
    Body: "body",
}


def kind_of(part: Part) -> str:
    """Name what a part is in a word of the trade; of a load its own kind."""
    return str(part.kind) if isinstance(part, Load) else _KINDS[type(part)]


def zero_post_words(harness: Harness) -> str:
    """Name the battery post on which the black probe stands: grounded where the vehicle has a body to ground it to."""
    return "the grounded battery post" if harness.build.chassis else "the battery post at 0 V"


def size_words(harness: Harness, wire: Wire) -> str:
    """Give the size of a wire with its unit and whether it is assumed: ``1.5 mm²``, ``AWG 16``, ``1 mm² assumed``."""
    size = wire_size(harness, wire)
    words = clean(size) if isinstance(size, str) else f"{size_text(size)} mm²"
    return f"{words} assumed" if "size" in assumed_of(harness, wire) else words


def colour_code(wire: Wire) -> str:
    """Give the colour code of a wire for a row; ``--`` where it is not known."""
    return clean(wire.colour) or "--"


def wire_words(harness: Harness, wire: Wire) -> str:
    """Name a wire by what the hand holds: ``green with white stripe, 1.5 mm²``."""
    return f"{clean(colour_words(wire.colour))}, {size_words(harness, wire)}"
