"""What a part is and what it is rated at, as rows of a head and a phrase; and what of it is assumed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from model.circuit.frame import wire_ohms
from model.harness.fields import Groups, Part
from model.harness.harness import Harness
from model.harness.metal import body_of_ground
from model.harness.parts import (
    Battery,
    Charger,
    Diode,
    Fuse,
    FuseStyle,
    Load,
    LoadElement,
    Module,
    Rated,
    Relay,
    ResistorPack,
    Switch,
)
from model.harness.places import Place, end_place, place_of, place_words
from model.harness.points import relay_coils, relay_groups
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.harness.superseded import in_place_of, old_end_words
from model.harness.supply import assumed_of, battery_volts, wire_length_m
from model.harness.wire_words import kind_of, wire_words
from model.tracing.behind import Side, behind
from model.words import amps_text, clean, ohms_text, watts_text

SHOWN_NAMES = 12
"""Most names in a list of what hangs behind a wire or on a bar; the rest is counted."""


class Fact(NamedTuple):
    """One row of a card: a head of one or two words, and what there is to say."""

    head: str
    text: str


def facts(harness: Harness, part: Part) -> Iterator[Fact]:
    """Give what a part is, what it is rated at, and where it is."""
    yield from _what(harness, part)
    if isinstance(part, Wire):
        yield from _wire_ways(harness, part)
    else:
        yield from place_facts(place_of(harness, part.id))
    if part.inside is not None:
        yield Fact("inside", named(harness, part.inside))
    if part.hazard is not None:
        yield Fact("hazard", str(part.hazard))


def place_facts(place: Place) -> Iterator[Fact]:
    """Give where something is and what the place is exposed to."""
    yield Fact("where", place_words(place))
    if place.exposure:
        yield Fact("exposed to", ", ".join(place.exposure))


def named(harness: Harness, part_id: str) -> str:
    """Name a part by id and label."""
    part = harness.parts.get(part_id)
    return f"{part_id} {clean(part.label, 60)}".rstrip() if part is not None else part_id


def listed(names: Iterable[str]) -> str:
    """List names, the first of them where there are many."""
    every = list(names)
    rest = len(every) - SHOWN_NAMES
    return ", ".join(every[:SHOWN_NAMES]) + (f" and {rest} more" if rest > 0 else "")


def assumptions(harness: Harness, part: Part) -> Iterator[str]:
    """Say in sentences what of a part the file leaves out and is assumed."""
    match part:
        case Wire():
            left_out = assumed_of(harness, part)
            if left_out:
                verb = "is" if len(left_out) == 1 else "are"
                yield f"Its {_and(left_out)} {verb} assumed: the file leaves {'it' if verb == 'is' else 'them'} out."
        case Relay() if part.coil_ohms is None and part.coils is None:
            yield "The ohms of its coil are assumed from the nominal volts."
        case Battery() if "ohms" not in part.model_fields_set:
            yield "The ohms within it are assumed."
        case Charger() if "ohms" not in part.model_fields_set:
            yield "The ohms within it are assumed."


def _and(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _what(harness: Harness, part: Part) -> Iterator[Fact]:
    kind = kind_of(part)
    match part:
        case Battery():
            yield Fact("is", f"{part.chemistry} battery, {battery_volts(harness)[part.id]:g} V")
            yield from _battery_figures(part)
        case Charger():
            on = listed(map(clean, harness.charging_keys(part))) or "no key state"
            yield Fact("is", f"{kind}, {part.volts:g} V behind {ohms_text(part.ohms)}, on in {on}")
        case Fuse():
            yield Fact("is", _fuse_words(part))
            if part.bus:
                yield Fact("in is", f"the busbar {named(harness, part.bus)}")
        case Switch():
            yield Fact("is", _switch_words(part))
            yield from _positions(part)
        case Relay():
            yield from _relay_facts(harness, part)
        case Load():
            yield from _load_facts(harness, part)
        case Module():
            yield from _module_facts(part)
        case Diode():
            yield Fact("is", f"diode, opens at {part.volts:g} V from anode to cathode")
        case ResistorPack():
            yield Fact("is", kind)
            yield from _resistances(part)
        case Connector():
            rating = f", {amps_text(part.amps)}" if part.amps else ""
            apart = ", rests apart" if part.rest == "apart" else ""
            yield Fact("is", f"connector, {part.cavities} cavities, halves {' and '.join(part.halves)}{rating}{apart}")
        case GroundPoint():
            body = body_of_ground(harness, part)
            yield Fact("is", "ground bar that only wires reach" if body is None else f"{kind} on {body}")
        case Joint():
            yield Fact("is", f"{part.from_point} touches {part.to_point}, no wire between")
        case Wire():
            yield Fact("is", f"wire, {wire_words(harness, part)}")
        case _:
            yield Fact("is", kind)


def _battery_figures(battery: Battery) -> Iterator[Fact]:
    figures = [
        f"{battery.amp_hours:g} Ah" if battery.amp_hours else "",
        f"{battery.cold_amps:g} A cold" if battery.cold_amps else "",
        f"{battery.reserve_minutes:g} min reserve" if battery.reserve_minutes else "",
        f"{ohms_text(battery.ohms)} within",
    ]
    yield Fact("rated", ", ".join(figure for figure in figures if figure))


def _fuse_words(fuse: Fuse) -> str:
    resets = ", closes again by itself" if fuse.resets else ""
    if fuse.style is FuseStyle.THERMAL:
        return f"thermal fuse{resets}"
    return f"{fuse.style} fuse{f', {amps_text(fuse.amps)}' if fuse.amps else ''}{resets}"


def _switch_words(switch: Switch) -> str:
    words = "key switch" if switch.key else "switch"
    if switch.momentary:
        words += ", springs back"
    if switch.pulses:
        words += ", pulses by itself"
    return f"{words}, {amps_text(switch.amps)}" if switch.amps else words


def _positions(switch: Switch) -> Iterator[Fact]:
    rest = switch.rest if switch.rest is not None else next(iter(switch.positions), "")
    for position, groups in switch.positions.items():
        at_rest = " (at rest)" if position == rest and not switch.key else ""
        yield Fact("position", f"{clean(position, 40)}{at_rest}: {_joined(groups)}")
    for key, position in switch.follows.items():
        yield Fact("follows", f"{clean(key, 40)}: {clean(position, 40)}")


def _joined(groups: Groups) -> str:
    return ", ".join("-".join(group) for group in groups) or "nothing joined"


def _relay_facts(harness: Harness, relay: Relay) -> Iterator[Fact]:
    nominal_volts = harness.build.nominal_volts
    yield Fact("is", f"relay, contacts {amps_text(relay.amps)}" if relay.amps else "relay")
    rest, pulled = relay_groups(relay)
    yield Fact("at rest", _joined(rest))
    yield Fact("pulled in", _joined(pulled))
    for one, other, ohms in relay_coils(relay, nominal_volts):
        yield Fact("coil", f"{one}-{other}, {ohms_text(ohms)}, pulls in at {relay.pull_in * nominal_volts:g} V")
    if relay.coil_diode is not None:
        yield Fact("diode", f"across the coil: {relay.coil_diode} must be the positive side")


def _load_facts(harness: Harness, load: Load) -> Iterator[Fact]:
    if not load.elements:
        yield Fact("is", f"{load.kind}, {_rated(harness, load)}")
        yield from _works(harness, load, load)
        return
    yield Fact("is", str(load.kind))
    for element in load.elements:
        kind = f"{element.kind}, " if element.kind else ""
        ends = f"{element.from_terminal} to {element.to_terminal}"
        yield Fact(element.name, f"{kind}{_rated(harness, element)}, {ends}")
        yield from _works(harness, load, element)


def _rated(harness: Harness, rated: Rated) -> str:
    at = f" at {rated.at or harness.build.nominal_volts:g} V"
    start = f", {amps_text(rated.start_amps)} at the start" if rated.start_amps else ""
    if rated.watts is not None:
        return f"{watts_text(rated.watts)}{at}{start}"
    if rated.amps is not None:
        return f"{amps_text(rated.amps)}{at}{start}"
    return f"{ohms_text(rated.ohms or 0.0)}{start}"


def _works(harness: Harness, load: Load, rated: Load | LoadElement) -> Iterator[Fact]:
    works_in = rated.works_in if rated.works_in is not None else load.works_in
    works_with = rated.works_with if rated.works_with is not None else load.works_with
    asked = []
    if works_in is not None:
        is_any = set(works_in) == set(harness.key_names)
        asked.append("any key state" if is_any else f"key {' or '.join(clean(key, 40) for key in works_in)}")
    if works_with:
        ways = works_with if isinstance(works_with, tuple) else (works_with,)
        asked.append(" or ".join(_settings(way) for way in ways))
    if asked:
        yield Fact("works in", ", ".join(asked))
    if rated.role:
        yield Fact("role", clean(rated.role, 60) + (", critical" if rated.critical else ""))


def _settings(way: Mapping[str, str]) -> str:
    return " with ".join(f"{clean(name, 40)} {clean(position, 40)}" for name, position in way.items())


def _module_facts(module: Module) -> Iterator[Fact]:
    yield Fact("is", f"module, ground at {module.ground}")
    for feed in module.feeds:
        asleep = f", {amps_text(feed.asleep_amps)} asleep" if feed.asleep_amps is not None else ""
        yield Fact("feed", f"{feed.terminal}: {amps_text(feed.amps)}{asleep}")
    for driver in module.drivers:
        pulses = ", pulsing" if driver.pulses else ""
        yield Fact(
            "driver", f"{driver.terminal}: to {driver.pulls} in {listed(map(clean, driver.when)) or 'none'}{pulses}"
        )
    for output in module.outputs:
        yield Fact("output", f"{output.terminal}: {output.volts:g} V behind {ohms_text(output.ohms)}")
    if module.delicate:
        yield Fact("delicate", f"{listed(module.delicate)}: a voltmeter alone")


def _resistances(pack: ResistorPack) -> Iterator[Fact]:
    for one in pack.elements:
        ends = f"{one.from_terminal} to {one.to_terminal}"
        if isinstance(one.ohms, dict):
            steps = [
                f"{clean(name, 40)} {ohms_text(ohms)}" for name, ohms in one.ohms.items() if not isinstance(ohms, str)
            ]
            yield Fact(one.name, f"{ends}: {', '.join(steps)}; rests at {clean(str(one.ohms.get('rest', '')), 40)}")
        else:
            yield Fact(one.name, f"{ends}: {ohms_text(one.ohms)}")


def _wire_ways(harness: Harness, wire: Wire) -> Iterator[Fact]:
    for head, end, point in (("from", "a", wire.from_point), ("to", "b", wire.to_point)):
        yield Fact(head, f"{point or 'free end'}, {place_words(end_place(harness, wire, end))}")
    if wire.via:
        yield Fact("through", ", ".join(clean(trunk) for trunk in wire.via))
    length = f"{wire_length_m(harness, wire):.2f} m{'' if wire.length is not None else ' assumed'}"
    yield Fact("length", f"{length}, at most {ohms_text(wire_ohms(harness, wire))} with its crimps")
    hung = behind(harness, wire)
    if hung.names:
        head = {Side.FEED: "feeds", Side.GROUND: "grounds", Side.BETWEEN: "joins"}[hung.side]
        yield Fact(head, listed(hung_words(harness, name) for name in hung.names))
    if wire.spare:
        yield Fact("spare", "in no use")
    if wire.superseded_by is not None:
        yield Fact("superseded", f"{named(harness, wire.superseded_by)} does its work now")
        yield Fact("its ends", "; ".join(old_end_words(harness, wire)))
    for old in in_place_of(harness).get(wire.id, ()):
        yield Fact("in place of", f"{named(harness, old.id)}; {'; '.join(old_end_words(harness, old))}")


def hung_words(harness: Harness, name: str) -> str:
    """Name what hangs behind a wire: ``E1 Left head lamp, dip``, ``coil of K7 Fuel pump relay``."""
    part_id, _, element = name.partition(":")
    if isinstance(harness.parts.get(part_id), Relay):
        return f"coil of {named(harness, part_id)}"
    return named(harness, part_id) if element in ("", "load") else f"{named(harness, part_id)}, {element}"
