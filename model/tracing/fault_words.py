"""What may be wrong, as a short noun phrase, and where it is."""

from __future__ import annotations

from typing import assert_never

from model.circuit.faults import FaultKind, swapped_cavities
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Battery, Charger, Fuse, FuseStyle, Load, Module, Relay, ResistorPack, Switch
from model.harness.points import all_points, resolve_point
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.tracing.bolted import is_bolted
from model.tracing.names import either, end_words, id_and_label, part_name, point_name, site_part, site_place, wire_name
from model.tracing.suspects import NOT_SHOWN, PAIR_SIGN, RECORD, UNKNOWN, Suspect
from model.words import clean

_WITH_PARTNER = frozenset({"touches", "elsewhere"})


def singles_of(suspect: Suspect) -> tuple[Suspect, ...]:
    """Part a suspect of two faults at once into the two, each with the partner that its fault needs."""
    sites, faults = suspect.part.split(PAIR_SIGN), suspect.fault.split(PAIR_SIGN)
    if len(sites) != len(faults) or len(sites) == 1:
        return (suspect,)
    partners = iter(suspect.partner.split(PAIR_SIGN))
    return tuple(
        Suspect(site, fault, next(partners, "") if fault in _WITH_PARTNER else "", suspect.probability)
        for site, fault in zip(sites, faults, strict=True)
    )


def suspect_words(harness: Harness, suspect: Suspect) -> str:
    """Say in a short noun phrase what may be wrong: ``relay K7 (Fuel pump): contact 30-87 does not close``.

    Of two faults at once: ``both fuse F1 blown and wire W9, GN/BU 1.5, broken``.
    """
    singles = singles_of(suspect)
    if len(singles) > 1:
        return f"both {' and '.join(suspect_words(harness, one) for one in singles)}"
    part_id = site_part(harness, suspect.part)
    match suspect.fault:
        case "unknown":
            return f"an unknown fault in {part_name(harness, part_id)}" if part_id else "an unknown fault"
        case "record":
            return f"the file is untrue about {part_name(harness, part_id)}" if part_id else "the file is untrue here"
        case "not shown":
            return "something that this complaint does not show"
    try:
        kind = FaultKind(suspect.fault)
    except ValueError:
        return clean(f"{suspect.part} {suspect.fault} {suspect.partner}".strip())
    return _fault_words(harness, suspect.part, kind, suspect.partner)


def suspect_place(harness: Harness, suspect: Suspect) -> str:
    """Say in a phrase where a suspect is: ``left sill, kick plate out``; of a wire from where to where."""
    singles = singles_of(suspect)
    if len(singles) > 1:
        return either((suspect_place(harness, one) for one in singles), "and")
    if not suspect.part or suspect.fault == NOT_SHOWN:
        return "place not known"
    return site_place(harness, suspect.part)


def is_of_a_part(suspect: Suspect) -> bool:
    """Tell whether a suspect is a fault of a part, not the file's untruth or what does not show."""
    return bool(suspect.part) and suspect.fault not in (RECORD, NOT_SHOWN)


def is_of_the_list(suspect: Suspect) -> bool:
    """Tell whether a suspect is one of the faults that a circuit can be solved with."""
    return is_of_a_part(suspect) and suspect.fault != UNKNOWN


def _fault_words(harness: Harness, site: str, kind: FaultKind, partner: str) -> str:
    part_id = site_part(harness, site)
    match harness.parts.get(part_id):
        case Wire() as wire:
            return _wire_fault(harness, wire, site, kind, partner)
        case Connector():
            return _cavity_fault(harness, site, kind)
        case Fuse() as fuse if site == part_id:
            return _fuse_fault(harness, fuse, kind)
        case Relay() | Switch() if ":" in site:
            return _contact_fault(harness, site, kind)
        case Load() if ":" in site:
            return _load_fault(harness, site, kind)
        case Module() if ":" in site:
            return _module_fault(harness, site, kind)
        case ResistorPack() if ":" in site:
            inner = f"resistance {site.partition(':')[2]}"
            return f"{part_name(harness, part_id)}: {inner} {_of_itself(kind)}"
        case GroundPoint() | Joint():
            joint = "makes no contact" if kind is FaultKind.OPEN else "makes poor contact"
            return f"{part_name(harness, part_id)} {joint}"
        case Battery() if "." in site:
            joint = "has no contact with" if kind is FaultKind.OPEN else "makes poor contact with"
            return f"{point_name(harness, site)} {joint} its clamp"
        case Charger() if site in (f"{part_id}.+", f"{part_id}.-"):
            joint = "makes no contact" if kind is FaultKind.OPEN else "makes poor contact"
            return f"{part_name(harness, part_id)}: the cable on its stud {site[-1]} {joint}"
    if "." in site:
        return _seat_fault(harness, site, kind)
    return f"{part_name(harness, part_id)} {_of_itself(kind)}"


def _of_itself(kind: FaultKind) -> str:
    """Say of a part what is wrong with it as a whole."""
    match kind:
        case FaultKind.OPEN:
            return "open"
        case FaultKind.HIGH:
            return "of too high a resistance"
        case FaultKind.SHORT:
            return "shorted"
        case FaultKind.REVERSED:
            return "fitted the wrong way round"
        case FaultKind.FLAT:
            return "flat"
        case FaultKind.NO_OUTPUT:
            return "without output"
        case FaultKind.LOW_DRAW:
            return "takes too little current"
        case FaultKind.STUCK:
            return "stuck"
        case FaultKind.BLOWN | FaultKind.MISSING | FaultKind.TO_BODY | FaultKind.SWAPPED:
            return str(kind)
        case FaultKind.TOUCHES | FaultKind.ELSEWHERE | FaultKind.TOO_SMALL:
            return str(kind)
    assert_never(kind)


def _wire_fault(harness: Harness, wire: Wire, site: str, kind: FaultKind, partner: str) -> str:
    name = wire_name(harness, wire)
    match kind:
        case FaultKind.OPEN:
            return f"{name}, broken"
        case FaultKind.HIGH:
            return f"{name}, poor crimp or few strands left"
        case FaultKind.TO_BODY:
            return f"{name}, chafed to the body"
        case FaultKind.TOUCHES:
            return f"{name}, touches {partner_words(harness, partner)}"
        case FaultKind.ELSEWHERE:
            end = "a" if site.endswith(".a") else "b"
            belongs = end_words(harness, wire, end)
            return f"{name}, ends at {partner_words(harness, partner)} in place of {belongs}"
        case _:
            return f"{name} {_of_itself(kind)}"


def partner_words(harness: Harness, partner: str) -> str:
    """Name what a wire touches or where its end really is: a wire, a part or a point."""
    if partner in all_points(harness) or resolve_point(harness, partner) in all_points(harness):
        return point_name(harness, partner)
    return part_name(harness, partner) if partner else "something live"


def _cavity_fault(harness: Harness, site: str, kind: FaultKind) -> str:
    if kind is FaultKind.SWAPPED:
        pair = swapped_cavities(harness, site)
        if pair is None:
            return f"{clean(site)} swapped"
        return f"{pair[0][0]}.{pair[0][1]} and {pair[1][0]}.{pair[1][1]} swapped"
    plug, _, cavity = site.partition(".")
    joint = "makes no contact" if kind is FaultKind.OPEN else "makes poor contact"
    return f"plug {id_and_label(harness, plug)}: cavity {cavity} {joint}"


def _fuse_fault(harness: Harness, fuse: Fuse, kind: FaultKind) -> str:
    name = part_name(harness, fuse.id)
    match kind:
        case FaultKind.BLOWN:
            return f"{name} {'tripped' if fuse.style is FuseStyle.BREAKER else 'blown'}"
        case FaultKind.MISSING:
            return f"{name} missing"
        case FaultKind.HIGH:
            return f"{name}: its clips make poor contact"
        case FaultKind.OPEN:
            return f"{name}: its clips make no contact"
        case FaultKind.TOO_SMALL:
            return f"{name}: a smaller one stands in its place"
        case _:
            return f"{name} {_of_itself(kind)}"


def _contact_fault(harness: Harness, site: str, kind: FaultKind) -> str:
    owner, _, inner = site.partition(":")
    name = part_name(harness, owner)
    if inner == "coil":
        return f"{name}: its coil is open"
    match kind:
        case FaultKind.OPEN:
            return f"{name}: contact {inner} does not close"
        case FaultKind.HIGH:
            return f"{name}: contact {inner} is burnt"
        case FaultKind.STUCK:
            return f"{name}: contact {inner} sticks closed"
        case _:
            return f"{name}: contact {inner} {_of_itself(kind)}"


def _load_fault(harness: Harness, site: str, kind: FaultKind) -> str:
    owner, _, inner = site.partition(":")
    name = part_name(harness, owner)
    own = "" if inner == SINGLE_ELEMENT else f", circuit {inner},"
    match kind:
        case FaultKind.OPEN:
            return f"{name}{own} open inside"
        case FaultKind.SHORT:
            return f"{name}{own} shorted inside"
        case FaultKind.LOW_DRAW:
            return f"{name}{own} worn, takes too little current"
        case _:
            return f"{name}{own} {_of_itself(kind)}"


def _module_fault(harness: Harness, site: str, kind: FaultKind) -> str:
    owner, _, inner = site.partition(":")
    part = harness.parts[owner]
    name = part_name(harness, owner)
    if isinstance(part, Module) and inner in [feed.terminal for feed in part.feeds]:
        return f"{name}: takes nothing in at pin {inner}"
    verb = "drives all the time" if kind is FaultKind.STUCK else "does not drive"
    return f"{name}: {verb} pin {inner}"


def _seat_fault(harness: Harness, site: str, kind: FaultKind) -> str:
    part = harness.parts.get(site.partition(".")[0])
    if is_bolted(harness, site):
        touch = "no" if kind is FaultKind.OPEN else "poor"
        return f"{_seat_name(harness, site)} loose where it is bolted, {touch} contact"
    where = "its socket" if isinstance(part, Relay) else "its clip" if isinstance(part, Fuse) else "its plug"
    return f"{_seat_name(harness, site)} {'not seated in' if kind is FaultKind.OPEN else 'loose in'} {where}"


def _seat_name(harness: Harness, site: str) -> str:
    owner, _, terminal = site.partition(".")
    part = harness.parts.get(owner)
    name = f"{owner}.{terminal}" if part is not None else clean(site)
    label = clean(part.label, 40).strip() if part is not None else ""
    return f"{name} ({label})" if label else name
