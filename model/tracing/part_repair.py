"""How a part other than a wire is mended: replaced, re-seated, cleaned or put right, in sentences."""

from __future__ import annotations

from model.circuit.faults import FaultKind, swapped_cavities
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import (
    Battery,
    Charger,
    Diode,
    Fuse,
    FuseStyle,
    Load,
    LoadKind,
    Module,
    Relay,
    ResistorPack,
    Switch,
)
from model.harness.points import relay_coils
from model.harness.records import Connector, GroundPoint, Wire
from model.tracing.behind import behind
from model.tracing.bolted import is_bolted
from model.tracing.fuse_words import BEARS_SOURCE, bears_amps, fitting_of, fuse_fitting, fuse_noun, guarded_wires
from model.tracing.names import either, id_and_label, part_name, point_wires, site_part, wire_name
from model.tracing.wire_repair import BATTERY_OFF
from model.words import amps_text, clean, ohms_text, watts_text

_NAMED_AT_MOST = 4


def part_steps(harness: Harness, site: str, kind: FaultKind) -> tuple[str, ...]:
    """Say in sentences how a fault of a part is mended."""
    part_id = site_part(harness, site)
    match harness.parts.get(part_id):
        case Fuse() as fuse if site == part_id:
            return _fuse_steps(harness, fuse, kind)
        case Connector():
            return _plug_steps(harness, site, kind)
        case Relay() as relay if ":" in site:
            return _relay_steps(harness, relay, site, kind)
        case Switch() as switch if ":" in site:
            return _switch_steps(harness, switch, site, kind)
        case GroundPoint():
            return _ground_steps(harness, part_id)
        case Battery() | Charger() if site in (f"{part_id}.+", f"{part_id}.-"):
            return _post_steps(harness, site)
        case Battery():
            return (
                f"Charge {part_name(harness, part_id)} fully, let it rest an hour, and read its posts.",
                "Where it falls under 12.0 V (per 12 V) by itself, or sags under load, replace it by one like it.",
                "Then measure the draw with everything off, so that the new one is not emptied too.",
            )
        case Charger() if site == part_id:
            return (
                f"Look at {part_name(harness, part_id)} first: belt, plug, exciter lamp and its fuse.",
                f"Where all of these are sound, have {part_id} tested, and replace or overhaul it.",
            )
    if "." in site:
        return _seat_steps(harness, site)
    return _replace_steps(harness, site, kind)


def _fuse_steps(harness: Harness, fuse: Fuse, kind: FaultKind) -> tuple[str, ...]:
    if kind in (FaultKind.HIGH, FaultKind.OPEN):
        return (
            BATTERY_OFF,
            f"Pull {part_name(harness, fuse.id)}: clean its blades and clips, and bend the clips until they grip.",
            "Replace a holder that is brown or soft from heat, and crimp its wires anew.",
            f"Put back a {fuse_fitting(harness, fuse)}.",
        )
    first = f"Switch off what hangs on it, then fit as {part_name(harness, fuse.id)} one new "
    if fuse.style is FuseStyle.BREAKER:
        first = f"Let {part_name(harness, fuse.id)} cool, then reset it once; where it will not, replace it by a "
    steps = [f"{first}{fuse_fitting(harness, fuse)}: never a larger one, never a bridge.", *_too_large(harness, fuse)]
    if kind is FaultKind.TOO_SMALL:
        steps.insert(0, f"Pull the {fuse_noun(fuse)} that stands in {fuse.id} and read its rating.")
    steps.append(
        f"If it blows, fit no other: trace {fuse.id} as blows-fuse; something draws too much or touches ground."
    )
    if kind is FaultKind.BLOWN:
        steps += ["It did not blow for nothing: ask why before it is trusted.", *why_blown_steps(harness, fuse)]
    return tuple(steps)


def _too_large(harness: Harness, fuse: Fuse) -> tuple[str, ...]:
    """Say why a smaller fuse is offered than the file has; nothing where its wires bear the file's."""
    fitting = fitting_of(harness, fuse)
    if fitting.thinnest is None or fuse.amps is None or fitting.amps == fuse.amps:
        return ()
    bears = amps_text(bears_amps(harness, fitting.thinnest))
    return (
        f"The file has {fuse.amps:g} A, but behind it {wire_name(harness, fitting.thinnest)} bears {bears} by "
        f"{BEARS_SOURCE}: no larger one than named here until that wire is thicker.",
    )


def why_blown_steps(harness: Harness, fuse: Fuse) -> tuple[str, ...]:
    """Say what to look at when a fuse has blown: what hangs on it, and where its wires may chafe."""
    wires = guarded_wires(harness, fuse)
    names = list(dict.fromkeys(name for wire in wires[:1] for name in behind(harness, wire).names))
    loads = list(dict.fromkeys(id_and_label(harness, name.partition(":")[0]) for name in names))
    looks = []
    if loads:
        looks.append(f"Look at what hangs on it: {_listed(loads)}.")
    named = [wire_name(harness, wire).removeprefix("wire ") for wire in wires if _is_exposed(harness, wire)]
    if named or wires:
        chafing = named or [wire_name(harness, wire).removeprefix("wire ") for wire in wires]
        looks.append(f"Look where its wires pass edges, hinges and heat: {_listed(chafing)}.")
    return tuple(looks) or ("Look at all that hangs on it.",)


def _is_exposed(harness: Harness, wire: Wire) -> bool:
    return any(harness.trunks_by_name[name].exposure for name in wire.via)


def _listed(names: list[str]) -> str:
    rest = len(names) - _NAMED_AT_MOST
    return f"{'; '.join(names[:_NAMED_AT_MOST])}{f'; and {rest} more' if rest > 0 else ''}"


def _plug_steps(harness: Harness, site: str, kind: FaultKind) -> tuple[str, ...]:
    if kind is FaultKind.SWAPPED:
        (one, first), (other, second) = swapped_cavities(harness, site) or (("", 0), ("", 0))
        return (
            BATTERY_OFF,
            f"Take {either(('plug ' + id_and_label(harness, plug) for plug in (one, other)), 'and')} apart and compare "
            f"{one}.{first} and {other}.{second} on both halves, counted from the wire side.",
            f"On the half that is wrong, release both pins and change them over: {_cavity_wires(harness, one, first)}; "
            f"{_cavity_wires(harness, other, second)}.",
            "Push each home until it clicks, and tug it.",
        )
    plug, _, cavity = site.partition(".")
    return (
        "Key off and the battery off before it is taken apart.",
        f"Take plug {id_and_label(harness, plug)} apart and look into cavity {cavity} of both halves: a pin "
        f"pushed back, bent, green or spread.",
        "Push a pin that came back home until it clicks; close a socket that was spread; clean it, or crimp a new pin.",
        "Tug both wires, put the plug together until it locks, and wiggle it.",
    )


def _cavity_wires(harness: Harness, plug: str, cavity: int) -> str:
    connector = harness.part_of(plug, Connector)
    halves = []
    for half in connector.halves:
        wires = point_wires(harness, f"{plug}.{half}.{cavity}")
        if wires:
            halves.append(f"{wires} in the {half} half")
    return f"cavity {cavity} of {plug} takes {' and '.join(halves) or 'no wire'}"


def _relay_steps(harness: Harness, relay: Relay, site: str, kind: FaultKind) -> tuple[str, ...]:
    inner = site.partition(":")[2]
    coils = relay_coils(relay, harness.build.nominal_volts)
    ohms = either((f"{ohms_text(coil[2])} between {coil[0]} and {coil[1]}" for coil in coils), "and")
    rated = f", contacts for {amps_text(relay.amps)} or more" if relay.amps is not None else ""
    name = part_name(harness, relay.id)
    looks = {
        FaultKind.STUCK: f"With {relay.id} out, what it feeds must go dead. If it does, contact {inner} is welded.",
        FaultKind.OPEN: f"A click proves its coil alone, so {relay.id} goes though it clicks: {inner} stays open.",
        FaultKind.HIGH: f"Look at the pins and the socket of {relay.id} first: brown plastic means a loose pin there.",
    }
    coil = f"With {relay.id} out, measure its coil: {ohms}; OL is open."
    look = coil if inner == "coil" else looks.get(kind, coil)
    steps = [
        f"Key off, and pull {name}.",
        look,
        f"Replace it by one with the same pins and contacts, for {harness.build.nominal_volts:g} V{rated}; compare the "
        f"diagram on its housing, for 30 and 86 may be exchanged.",
    ]
    if kind is FaultKind.STUCK:
        steps.append("Measure the load's current before it is used: a contact welds from too much.")
    return tuple(steps)


def _switch_steps(harness: Harness, switch: Switch, site: str, kind: FaultKind) -> tuple[str, ...]:
    inner = site.partition(":")[2].replace("-", " and ")
    rated = f", for {amps_text(switch.amps)} or more" if switch.amps is not None else ""
    state = "OL where it keeps them apart" if kind is FaultKind.STUCK else "under 1 Ω where it joins them"
    return (
        BATTERY_OFF,
        f"Unplug {part_name(harness, switch.id)} and measure between {inner} through every position: {state}.",
        f"Where it fails, clean the contact if it opens; else replace it by one with the same positions{rated}.",
        "Where it passes, its plug is at fault: re-seat and tighten the two pins.",
    )


def _ground_steps(harness: Harness, part_id: str) -> tuple[str, ...]:
    return (
        BATTERY_OFF,
        f"Undo {part_name(harness, part_id)}, and clean ring and metal bright: no paint, rust or oil between them.",
        "Crimp a ring that turns on its wire anew; put it back tight with a toothed washer, and grease it over.",
        "Turn the ring by hand: a bolt that has bottomed feels tight while its ring is loose.",
    )


def _post_steps(harness: Harness, site: str) -> tuple[str, ...]:
    source, _, sign = site.partition(".")
    if isinstance(harness.parts.get(source), Charger):
        return (
            BATTERY_OFF,
            f"Undo the cable on stud {sign} of {part_name(harness, source)}, clean ring and stud, and bolt it tight.",
            "Crimp a ring that turns on its cable, or is green or burnt, anew.",
        )
    return (
        BATTERY_OFF,
        f"Clean post {sign} of {part_name(harness, source)} and the inside of its clamp bright, and tighten it.",
        "Replace a clamp that bottoms out before it grips, or whose cable is green at the crimp.",
    )


def _seat_steps(harness: Harness, site: str) -> tuple[str, ...]:
    owner, _, terminal = site.partition(".")
    part = harness.parts.get(owner)
    cavity = part.pins.get(terminal) if part is not None else None
    wires = point_wires(harness, site)
    carrying = f", {wires}," if wires else ""
    seat = f"terminal {terminal}{f', cavity {cavity},' if cavity else ''}"
    if is_bolted(harness, site):
        return (
            BATTERY_OFF,
            f"Undo terminal {terminal} of {part_name(harness, owner)}, clean it and what is on it{carrying} bright.",
            "Replace a lug that is green or cracked at its crimp; bolt all of it up tight, and tug it.",
        )
    return (
        "Key off and the battery off before it is unplugged.",
        f"Unplug {part_name(harness, owner)} and look at {seat} from the wire side{carrying} and from the front.",
        "Push a terminal that came back home until it clicks; close one that was spread; replace one that is burnt.",
        "Tug the wire, plug it together until it locks, and wiggle it.",
    )


def _replace_steps(harness: Harness, site: str, kind: FaultKind) -> tuple[str, ...]:
    part_id = site_part(harness, site)
    part = harness.parts.get(part_id)
    name = part_name(harness, part_id)
    match part:
        case Load():
            return _load_steps(harness, site, kind)
        case Module():
            pin = site.partition(":")[2]
            return (
                f"Measure feed and ground of {name} at its own plug under load once more: both must be good.",
                f"Look at pin {pin} in its plug, and at what hangs on it: a short there has killed it, or will again.",
                f"Then have {part_id} repaired, or fit one of the same part number, with the supply off.",
            )
        case Diode() if kind is FaultKind.REVERSED:
            return (
                BATTERY_OFF,
                f"Take {name} off and test it on the diode range of the meter: about a volt one way, OL the other.",
                f"Put it back the other way round, its ring (the cathode) to {_cathode_wire(harness, part_id)}.",
            )
        case Diode():
            return (
                BATTERY_OFF,
                f"Replace {name} by one for at least the current of its load, its ring to the cathode's wire.",
                "Where it is shorted, look for what overloaded it or was connected the wrong way round.",
            )
        case ResistorPack():
            return (
                "Key off.",
                f"Unplug {name}, and measure it: {_pack_words(part, site)}.",
                "Replace it by one of the same ohms and watts.",
            )
    return (BATTERY_OFF, f"Undo {name}, clean both faces bright, and bolt it tight.")


def _cathode_wire(harness: Harness, diode_id: str) -> str:
    return point_wires(harness, f"{diode_id}.cathode") or f"{diode_id} cathode as the file has it"


def _pack_words(pack: ResistorPack, site: str) -> str:
    inner = site.partition(":")[2]
    words = []
    for one in pack.elements:
        if inner not in ("", one.name):
            continue
        values = [one.ohms] if isinstance(one.ohms, float) else [v for v in one.ohms.values() if isinstance(v, float)]
        shown = either((ohms_text(float(value)) for value in values), "or")
        words.append(f"{shown} between {one.from_terminal} and {one.to_terminal}")
    return ", ".join(words) or "by the file"


def _seen_on(element: Element | None) -> str:
    """Name what shows on a load that has failed."""
    match element.kind if element is not None else None:
        case LoadKind.LAMP:
            return "a broken filament, a green or burnt socket"
        case LoadKind.MOTOR:
            return "worn brushes, a jam, heat, green terminals"
    return "heat, cracks, green terminals"


def _load_steps(harness: Harness, site: str, kind: FaultKind) -> tuple[str, ...]:
    part_id = site_part(harness, site)
    element = next((one for one in all_elements(harness) if one.name == site), None)
    rated = ""
    if element is not None:
        watts = watts_text(element.at_volts * element.rated_amps)
        rated = f", {watts} at {element.at_volts:g} V"
    name = part_name(harness, part_id)
    first = f"Key off. Unplug {name}, and look at it and its plug: {_seen_on(element)}."
    steps = {
        FaultKind.OPEN: f"Measure across it: OL is open. Replace it, or what failed in it, by the same{rated}.",
        FaultKind.SHORT: f"Measure across it: near 0 Ω is a short (a cold filament reads a twelfth of its hot ohms). "
        f"Replace it by the same{rated}.",
    }
    replace = steps.get(kind, f"Measure its current: too little means worn brushes or a tired part; the same{rated}.")
    return first, replace, f"Fit none of more watts: fuse and wire of {clean(part_id)} were chosen for these."
