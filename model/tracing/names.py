"""Parts, points, wires and sites as they are named in a sentence: id and label both."""

from __future__ import annotations

from collections.abc import Iterable

from model.circuit.faults import part_of_site, swapped_cavities
from model.harness.harness import CHASSIS, Harness, feed_elements
from model.harness.metal import wire_points, wires_at
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.places import end_place, place_of, place_words
from model.harness.points import all_points, resolve_point
from model.harness.records import Connector, Wire
from model.harness.supply import reference_point
from model.harness.wire_words import kind_of, size_words
from model.tracing.row_words import terminal_words
from model.words import clean

_LABEL_CHARACTERS = 40
_WIRES_NAMED = 2
_ONE_POINT_KINDS = frozenset({"busbar", "splice", "ground point", "body"})


def id_and_label(harness: Harness, part_id: str) -> str:
    """Name a part by its id, its label behind it: ``K7 (Fuel pump)``."""
    part = harness.parts.get(part_id)
    label = clean(part.label, _LABEL_CHARACTERS).strip() if part is not None else ""
    return f"{part_id} ({label})" if label else clean(part_id, _LABEL_CHARACTERS)


def part_name(harness: Harness, part_id: str) -> str:
    """Name a part by what it is, id and label: ``relay K7 (Fuel pump)``, ``wire W9, GN/BU 1.5``."""
    part = harness.parts.get(part_id)
    if part is None:
        return "the body" if part_id == CHASSIS else clean(part_id, _LABEL_CHARACTERS)
    if isinstance(part, Wire):
        return wire_name(harness, part)
    return f"{kind_of(part)} {id_and_label(harness, part_id)}"


def wire_code(harness: Harness, wire: Wire) -> str:
    """Name a wire by colour code and size: ``GN/BU 1.5``, ``RD AWG 10``; what is assumed is said so."""
    size = size_words(harness, wire).replace(" mm²", "")
    return f"{clean(wire.colour, _LABEL_CHARACTERS) or 'colour not given'} {size}"


def wire_name(harness: Harness, wire: Wire) -> str:
    """Name a wire by id, colour and size: ``wire W9, GN/BU 1.5``."""
    return f"wire {id_and_label(harness, wire.id)}, {wire_code(harness, wire)}"


def point_name(harness: Harness, point: str) -> str:
    """Name a point by what to touch there: ``K7 (Fuel pump) pin 30, cavity 2, wire side``."""
    part_id, _, terminal = point.partition(".")
    part = harness.parts.get(part_id)
    known = all_points(harness).get(point)
    if point == CHASSIS and part is None:
        return "bare metal of the body"
    if isinstance(part, Fuse) and part.bus and known is None:
        return f"{id_and_label(harness, part_id)} in, which is {part_name(harness, part.bus)}"
    if isinstance(part, Battery) and terminal in ("+", "-"):
        return _post_name(harness, part_id, terminal)
    if isinstance(part, Wire):
        return f"the end of {wire_name(harness, part)}, at {end_words(harness, part, terminal)}"
    if part is None or known is None:
        return clean(point, _LABEL_CHARACTERS)
    if kind_of(part) in _ONE_POINT_KINDS:
        return part_name(harness, part_id)
    if isinstance(part, Charger | Fuse | Diode):
        return f"{id_and_label(harness, part_id)} {terminal}"
    side = "" if isinstance(part, Connector) else ", wire side"
    return f"{id_and_label(harness, part_id)} {terminal_words(harness, known)}{side}"


def _post_name(harness: Harness, battery_id: str, sign: str) -> str:
    post = "positive post" if sign == "+" else "negative post"
    if len(harness.batteries) == 1:
        return f"the battery's {post}"
    return f"the {post} of battery {id_and_label(harness, battery_id)}"


def point_wires(harness: Harness, point: str) -> str:
    """Name the wires that end on a point by colour and size; empty where there is none or too many to help."""
    found = wires_at(harness).get(resolve_point(harness, point), ())
    if not found or len(found) > _WIRES_NAMED:
        return ""
    return " and ".join(wire_code(harness, wire) for wire in found)


def end_words(harness: Harness, wire: Wire, end: str) -> str:
    """Say where an end of a wire is: the point it ends on, else its place.

    Parameters
    ----------
    end
        ``a`` for the from end, ``b`` for the to end.
    """
    point = wire.from_point if end == "a" else wire.to_point
    if point:
        return point_name(harness, point)
    return place_words(end_place(harness, wire, end))


def site_part(harness: Harness, site: str) -> str:
    """Give the part that a site of a fault belongs to: ``K1:30-87`` is of K1; of two plugs the first."""
    if site in harness.parts:
        return site
    return part_of_site(site)


def site_parts(harness: Harness, site: str) -> tuple[str, ...]:
    """Give every part that a site belongs to: two where the cavities of two plugs are exchanged."""
    cavities = swapped_cavities(harness, site) if "/" in site else None
    if cavities is None:
        return (site_part(harness, site),)
    return tuple(dict.fromkeys(owner for owner, _ in cavities))


def site_place(harness: Harness, site: str) -> str:
    """Say where a site is in a phrase; of a wire from where to where."""
    places = [_part_place(harness, part_id) for part_id in site_parts(harness, site) if part_id in harness.parts]
    return either(places, "and") or place_words(place_of(harness, CHASSIS))


def _part_place(harness: Harness, part_id: str) -> str:
    part = harness.parts[part_id]
    if not isinstance(part, Wire):
        return place_words(place_of(harness, part_id))
    ends = [place_words(end_place(harness, part, end)) for end in ("a", "b")]
    way = f", through {either([clean(name, 60) for name in part.via], 'and')}" if part.via else ""
    if ends[0] == ends[1]:
        return f"{ends[0]}{way}"
    return f"from {ends[0]} to {ends[1]}{way}"


def site_points(harness: Harness, site: str) -> tuple[str, ...]:
    """Name the points at a site: of a wire its ends, of a cavity both halves, of a contact both terminals."""
    part_id = site_part(harness, site)
    part = harness.parts.get(part_id)
    if isinstance(part, Wire):
        return wire_points(harness, part)
    if isinstance(part, Connector):
        cavities = swapped_cavities(harness, site) or ((part_id, site.partition(".")[2]),)
        connectors = [(harness.part_of(owner, Connector), number) for owner, number in cavities]
        return tuple(f"{one.id}.{half}.{number}" for one, number in connectors for half in one.halves)
    inner = site.removeprefix(part_id)[1:]
    points = all_points(harness)
    own = [name for name, point in points.items() if point.part_id == part_id]
    if ":" in site:
        return _inner_points(harness, part_id, inner) or tuple(own)
    if inner:
        return (resolve_point(harness, site),)
    if isinstance(part, Fuse) and part.bus:
        own.insert(0, part.bus)
    return tuple(own) or (reference_point(harness),)


def _inner_points(harness: Harness, part_id: str, inner: str) -> tuple[str, ...]:
    part = harness.parts[part_id]
    names: Iterable[str] = ()
    match part:
        case Relay() | Switch() if "-" in inner:
            names = inner.split("-", 1)
        case Load() | ResistorPack():
            names = [
                name for one in part.elements if one.name == inner for name in (one.from_terminal, one.to_terminal)
            ]
        case Module():
            terminals = [feed.name.partition(":")[2] for feed in feed_elements(harness, part)]
            names = (inner, part.ground) if inner in terminals else (inner,)
    known = all_points(harness)
    return tuple(f"{part_id}.{name}" for name in names if f"{part_id}.{name}" in known)


def either(words: Iterable[str], joining: str = "or") -> str:
    """Join words in a sentence, each once: ``a``, ``a or b``, ``a, b or c``."""
    every = list(dict.fromkeys(words))
    if len(every) < 2:
        return "".join(every)
    return f"{', '.join(every[:-1])} {joining} {every[-1]}"
