"""What is written at a place of the tree of a loom, alike in every form of its sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import assert_never

from model.harness.derived import once_per_harness
from model.harness.harness import CHASSIS, SINGLE_ELEMENT, Element, Harness, all_elements, element_label
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.harness.parts import Charger, Fuse, FuseStyle
from model.harness.records import Wire
from model.harness.supply import grounded_posts
from model.harness.wire_words import wire_words
from model.review.glance import Gateway, Glance, Node, NodeKind, Outlet
from model.review.glance_gates import AT_REST, PULLED_IN
from model.review.glance_sources import batteries_behind, source_volts
from model.tracing.fuse_words import fuse_colour, fuse_noun
from model.tracing.names import either, id_and_label
from model.words import amps_text, clean, plural

_LABEL_CHARACTERS = 60
_NAME_CHARACTERS = 40


@dataclass(frozen=True, slots=True)
class Told:
    """What is written at a place, all of it cleaned.

    Attributes
    ----------
    title
        The ids: ``F44``, ``G1 and G2 in series``, ``E5:stop``.
    label
        What the file calls it.
    figure
        Rating or rated amperes with their unit; empty where there is none.
    details
        Phrases, the most needed first.
    """

    title: str
    label: str
    figure: str
    details: tuple[str, ...]


def told(harness: Harness, node: Node) -> Told:
    """Give what is written at a place of the tree."""
    title, label, figure, own = _head(harness, node)
    details = [
        _leaves_by(node.outlet) if node.outlet is not None and node.kind is not NodeKind.OUTLET else "",
        _through(harness, node.through),
        *own,
        _grounded(harness, node),
        f"also by way of {_named(harness, node.beside, 'and')}" if node.beside else "",
        f"also fed by {either(map(_short, node.also), 'and')}" if node.also else "",
        _by_wire(harness, node.wire_ids),
    ]
    return Told(title, label, figure, tuple(phrase for phrase in details if phrase))


def tree_words(harness: Harness, tree: Glance) -> tuple[str, ...]:
    """Say what the tree shows, how much is in it, and where the ground side goes, which it does not show."""
    kinds = [node.kind for node in tree.nodes]
    counts = (
        plural(kinds.count(NodeKind.FUSE), "fuse"),
        plural(kinds.count(NodeKind.TAKER), "load circuit"),
        plural(kinds.count(NodeKind.COIL), "relay coil"),
    )
    posts = either(map(_short, grounded_posts(harness)), "and")
    ways = f"through {plural(len(harness.grounds), 'ground point')} " if harness.grounds else ""
    return (
        f"From the sources to the loads: {either(counts, 'and')}. Plugs and splices are left out.",
        "A load stands once, under the fuse from which the fewest contacts part it; what else may feed it is named.",
        f"The ground side is not drawn: it goes {ways}to {posts}.",
    )


def never_probed_words(harness: Harness) -> tuple[str, ...]:
    """Say which parts are shown and are never a place for a probe; nothing where there is none."""
    marked = [part.id for part in harness.each_part() if _is_never_probed(harness, part.id)]
    named = [id_and_label(harness, part_id) for part_id in marked if not isinstance(harness.parts[part_id], Wire)]
    if not named:
        return ()
    return (
        f"{either(named, 'and')}: marked restraint or high voltage. Shown, never measured: no probe goes there. "
        "Leave that wiring to somebody trained and licensed for it.",
    )


def _is_never_probed(harness: Harness, part_id: str) -> bool:
    return not NEVER_PROBED.isdisjoint(hazards_of_part(harness, part_id))


def _head(harness: Harness, node: Node) -> tuple[str, str, str, tuple[str, ...]]:
    """Give title, label, figure and the phrases that only this kind of place has."""
    first = node.part_ids[0] if node.part_ids else ""
    match node.kind:
        case NodeKind.SOURCE:
            return _source(harness, node)
        case NodeKind.UNFED:
            return "Not fed", "no source of this file reaches it but through another load", "", ()
        case NodeKind.GROUND:
            parting = f"parted by {_named(harness, node.part_ids, 'and')}" if node.part_ids else "fused"
            return "Ground side", parting, "", ()
        case NodeKind.BAR:
            return either(node.part_ids, "and"), _labels(harness, node.part_ids), "", ()
        case NodeKind.FUSE:
            return first, _label(harness, first), *_fuse(harness.part_of(first, Fuse))
        case NodeKind.GATE:
            return either(node.part_ids), _labels(harness, node.part_ids), "", _gate(node.gateway)
        case NodeKind.OUTLET:
            return _outlet_title(node), "", "", ()
        case NodeKind.CHARGER:
            return first, _label(harness, first), "", (_charges(harness, first),)
        case NodeKind.TAKER:
            return _taker(harness, node)
        case NodeKind.COIL:
            return f"{first} coil", _label(harness, first), "", ()
        case NodeKind.TIE:
            return _tie(harness, node)
        case NodeKind.SEE:
            behind = f"what it feeds stands under {_short(node.sees)}"
            return either(node.part_ids), _labels(harness, node.part_ids), "", (*_gate(node.gateway), behind)
    assert_never(node.kind)


def _source(harness: Harness, node: Node) -> tuple[str, str, str, tuple[str, ...]]:
    labels = _labels(harness, node.part_ids)
    chargers = [part_id for part_id in node.part_ids if isinstance(harness.parts[part_id], Charger)]
    charged = tuple(f"{part_id} {_charges(harness, part_id)}" for part_id in chargers)
    if len(chargers) == len(node.part_ids):
        return either(node.part_ids, "and"), labels, "", charged
    volts = f"{source_volts(harness, node.name):g} V"
    in_series = ("in series",) if len(batteries_behind(harness, node.name)) > 1 else ()
    return either(node.part_ids, "and"), labels, volts, (*in_series, *charged)


def _fuse(fuse: Fuse) -> tuple[str, tuple[str, ...]]:
    rating = "" if fuse.amps is None else f"{fuse.amps:g} A"
    colour = fuse_colour(fuse.amps) if fuse.style is FuseStyle.BLADE and fuse.amps is not None else ""
    return rating, (f"{fuse_noun(fuse)}, {colour}" if colour else fuse_noun(fuse),)


def _gate(gateway: Gateway | None) -> tuple[str, ...]:
    if gateway is None:
        return ()
    return tuple(phrase for phrase in (_leaves_by(gateway.outlet), _worked(gateway)) if phrase)


def _leaves_by(outlet: Outlet | None) -> str:
    """Say by which terminal a feed leaves, and when: ``at 15, in ignition and running``, ``at 87a, at rest``."""
    if outlet is None or not outlet.positions:
        return ""
    words = either((clean(name, _NAME_CHARACTERS) for name in outlet.positions), "and")
    when = words if set(outlet.positions) <= {AT_REST, PULLED_IN} else f"in {words}"
    return when if outlet.terminals == outlet.positions else f"at {either(outlet.terminals)}, {when}"


def _outlet_title(node: Node) -> str:
    outlet = node.outlet or Outlet()
    return _leaves_by(outlet) or f"at {either(outlet.terminals)}"


def _worked(gateway: Gateway) -> str:
    if gateway.worked_by:
        return f"worked by {either(gateway.worked_by, 'and')}"
    return f"coil on {either(map(_short, gateway.coils_on), 'and')}" if gateway.coils_on else ""


def _through(harness: Harness, gateways: tuple[Gateway, ...]) -> str:
    named = (", ".join((_named(harness, gateway.part_ids, "or"), *_gate(gateway))) for gateway in gateways)
    words = "; then ".join(named)
    return f"through {words}" if words else ""


def _grounded(harness: Harness, node: Node) -> str:
    groups = [_named(harness, group, "or") for group in node.ground_through]
    return f"ground side through {', then '.join(groups)}" if groups else ""


def _by_wire(harness: Harness, wire_ids: tuple[str, ...]) -> str:
    named = [wire_words(harness, harness.part_of(wire_id, Wire)) for wire_id in wire_ids]
    return f"by {', then '.join(dict.fromkeys(named))}" if named else ""


def _charges(harness: Harness, part_id: str) -> str:
    keys = harness.charging_keys(harness.part_of(part_id, Charger))
    if not keys:
        return "charges where it is set on"
    return f"charges in {either((clean(key, _NAME_CHARACTERS) for key in keys), 'and')}"


def _taker(harness: Harness, node: Node) -> tuple[str, str, str, tuple[str, ...]]:
    element = _elements(harness)[node.name]
    circuit = node.name.partition(":")[2]
    title = element.part_id if circuit == SINGLE_ELEMENT else node.name
    hazards = [f"marked {hazard}" for hazard in hazards_of_part(harness, element.part_id)]
    label = clean(element_label(harness, element), _LABEL_CHARACTERS)
    return title, "" if label == circuit else label, amps_text(element.rated_amps), tuple(hazards)


def _tie(harness: Harness, node: Node) -> tuple[str, str, str, tuple[str, ...]]:
    where = f"what {_short(node.sees)} feeds" if node.sees else "the ground side"
    if not node.part_ids:
        return "joined", "", "", (f"its far side is on {where}",)
    return either(node.part_ids), _labels(harness, node.part_ids), "", (f"leads over to {where}", *_gate(node.gateway))


@once_per_harness
def _elements(harness: Harness) -> dict[str, Element]:
    return {element.name: element for element in all_elements(harness)}


def _named(harness: Harness, part_ids: tuple[str, ...], joining: str) -> str:
    return either((id_and_label(harness, part_id) for part_id in part_ids), joining)


def _label(harness: Harness, part_id: str) -> str:
    return clean(harness.parts[part_id].label, _LABEL_CHARACTERS).strip()


def _labels(harness: Harness, part_ids: tuple[str, ...]) -> str:
    return either((label for part_id in part_ids if (label := _label(harness, part_id))), "and")


def _short(label: str) -> str:
    """Name a fuse by its id, a post by its battery and sign: ``F7``, ``G1 +``."""
    part_id, _, sign = label.partition(".")
    if part_id == CHASSIS:
        return "the body"
    return f"{part_id} {sign}" if sign else part_id
