"""A check as it is told to the person who makes it: where, with what set, what in the hand, what to answer."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from model.circuit.condition import OUT
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Battery, Fuse, Load, Module, Relay
from model.harness.places import BODY_PLACE, WIRE_ENDS, end_place, place_of, place_words, point_place
from model.harness.records import Connector, Splice, Wire
from model.harness.supply import grounded_posts
from model.tracing.checks import FUSE_LAMP_WATTS, MEASURED, Check, CheckKind
from model.tracing.condition_words import held_words, key_words, settings_words
from model.tracing.fuse_words import fuse_fitting
from model.tracing.hand_set import comes_by_itself
from model.tracing.names import either, id_and_label, part_name, point_name, point_wires
from model.tracing.noticing import Noticed, heard_doing, noticed
from model.words import clean, watts_text

_VOLTS_RANGES = (2, 20, 200)
_CHARGING_SHARE = 1.25
_MILLIVOLTS_TO = 0.2
"""The lowest range of a hand meter ends here, in volts."""
_BETWEEN = "between "


_ANSWERED_MOVING = frozenset({CheckKind.OBSERVE, CheckKind.LISTEN, CheckKind.LAMP})


class LineName(StrEnum):
    """What a line of a check is about, in the order in which the lines stand."""

    PLACE = "place"
    KEY = "key"
    SET = "set"
    LOAD = "load"
    TOOL = "with"
    RED = "red"
    BLACK = "black"
    MOVE = "move"


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One line of a check: what it is about, and its words."""

    name: LineName
    words: str


def check_lines(
    harness: Harness,
    check: Check,
    loads: tuple[str, ...] = (),
    *,
    is_on: bool | None = None,
    besides: tuple[str, ...] = (),
    healthy: float | None = None,
) -> tuple[CheckLine, ...]:
    """Tell a check in at most seven short lines, those that say nothing left out.

    Parameters
    ----------
    loads
        Elements complained of, whose state in the check is part of it.
    is_on
        Whether they should work in the check's condition; None where that is not known.
    besides
        What else is so and stands in no condition, in words: a fuse that blew.
    healthy
        What a sound circuit shows, in the unit of the check: by it the range of the meter is set.
    """
    settings = [words for words in settings_words(harness, check.condition, _hands(harness, check)) if words]
    key = [key_words(harness, check.condition), held_words(harness, check.condition, _hands(harness, check))]
    lines = (
        (LineName.PLACE, check_place(harness, check)),
        (LineName.KEY, ", ".join(one for one in key if one)),
        (LineName.SET, ", ".join([*settings, *comes_by_itself(harness, check.condition), *besides])),
        (LineName.LOAD, load_words(harness, check, loads, is_on=is_on)),
        (LineName.TOOL, tool_words(harness, check, healthy)),
        (LineName.RED, _red(harness, check)),
        (LineName.BLACK, f"{_black(harness, check)}{_long_lead(harness, check)}"),
    )
    return tuple(CheckLine(name, words) for name, words in lines if words)


def check_place(harness: Harness, check: Check) -> str:
    """Say where the check is made and how to get there; empty where the file gives no place.

    For a load that is seen or heard from outside nothing is opened: its place is named without the way there.
    A wire is looked at between the places of its ends: ``between bulkhead and nose left``.
    """
    place = point_place(harness, check.red) if check.red else place_of(harness, check_part(check))
    if _is_from_outside(harness, check):
        return clean(place.name) if place and place != BODY_PLACE else ""
    part = harness.parts.get(check.part)
    if not place and not check.red and isinstance(part, Wire):
        return _way_of(harness, part)
    return place_words(place) if place else ""


def _is_from_outside(harness: Harness, check: Check) -> bool:
    """Tell whether a load is only seen or heard, from wherever one is."""
    return check.kind is CheckKind.OBSERVE and noticed(harness, check.load) is not Noticed.AT_HAND


def _way_of(harness: Harness, wire: Wire) -> str:
    ends = [place for place in (end_place(harness, wire, end) for end in WIRE_ENDS) if place and place != BODY_PLACE]
    named = {place.name: place for place in ends}
    if len(named) == 1:
        return place_words(ends[0])
    return f"{_BETWEEN}{either((clean(name) for name in named), 'and')}" if named else ""


def check_part(check: Check) -> str:
    """Name the part at which a check is made: that of its red probe, else the part or load itself."""
    return check.part or check.load.partition(":")[0] or check.red.partition(".")[0]


def _hands(harness: Harness, check: Check) -> tuple[str, ...]:
    """Name where both hands are busy: none where the person only looks or listens."""
    if check.kind is CheckKind.OBSERVE:
        return () if noticed(harness, check.load) is Noticed.HEARD else (check_part(check),)
    if check.red:
        grounded = grounded_posts(harness)
        return tuple(point for point in check.points if point == check.red or point not in grounded)
    return (check_part(check),)


def load_words(harness: Harness, check: Check, loads: tuple[str, ...], *, is_on: bool | None) -> str:
    """Say whether the load is on, off or unplugged in a check; empty where none is named."""
    if check.kind is CheckKind.OBSERVE:
        return ""
    owners = list(dict.fromkeys(name.partition(":")[0] for name in loads))
    state = {True: "plugged in and on", False: "plugged in, off", None: "plugged in"}[is_on]
    said = []
    for owner in owners:
        is_unplugged = check.condition.by_name.get(owner) == OUT
        said.append(f"{id_and_label(harness, owner)} {'unplugged' if is_unplugged else state}")
    if not said and check.kind is CheckKind.DROP:
        return "load on: without its current there is no drop"
    return ", ".join(said)


def tool_words(harness: Harness, check: Check, healthy: float | None = None) -> str:
    """Say what is in the hand and how it is set: ``DC volts, 20 V range``.

    Parameters
    ----------
    healthy
        What a sound circuit shows: where that is no matter of millivolts the range is one of volts.
    """
    match check.kind:
        case CheckKind.VOLTS:
            return _volts_range(harness)
        case CheckKind.DROP if healthy is not None and abs(healthy) > _MILLIVOLTS_TO:
            return f"{_volts_range(harness)}; under {_MILLIVOLTS_TO:g} V, DC millivolts"
        case CheckKind.DROP:
            return "DC millivolts; where it shows OL, DC volts"
        case CheckKind.OHMS:
            return "ohms, lowest range, leads nulled, battery clamps off"
        case CheckKind.AMPS:
            return "DC clamp, zeroed, round one wire of it; or DC millivolts across it, seated"
        case CheckKind.LAMP:
            in_place = f" in place of fuse {check.part}" if check.part else ""
            name = "lamp" if check.watts >= FUSE_LAMP_WATTS else "test lamp"
            return f"{name} of {watts_text(check.watts)}{in_place}"
        case CheckKind.BRIDGE:
            return f"jumper lead with its own fuse of {check.fuse_amps:g} A"
        case CheckKind.NEW_FUSE:
            return f"one new {fuse_fitting(harness, harness.part_of(check.part, Fuse))}"
        case CheckKind.SWAP:
            return f"{part_name(harness, check.other)}, put in place of {part_name(harness, check.part)}"
        case CheckKind.LISTEN:
            return f"a hand on {part_name(harness, check.part)}"
        case CheckKind.LOOK:
            return f"your eyes: {_look_words(harness, check.part)}"
        case CheckKind.OBSERVE:
            organ = "ears" if noticed(harness, check.load) is Noticed.HEARD else "eyes"
            return f"your {organ}: {_load_name(harness, check.load)}"
    assert_never(check.kind)


def _volts_range(harness: Harness) -> str:
    most_volts = _CHARGING_SHARE * harness.build.nominal_volts
    return f"DC volts, {next(one for one in _VOLTS_RANGES if one >= most_volts)} V range"


def _load_name(harness: Harness, element: str) -> str:
    """Name an element of a load, or a feed of a module."""
    owner, _, inner = element.partition(":")
    name = part_name(harness, owner)
    if not inner or inner == SINGLE_ELEMENT:
        return name
    return f"{name}, {'pin' if isinstance(harness.parts.get(owner), Module) else 'circuit'} {inner}"


def _look_words(harness: Harness, part_id: str) -> str:
    name = part_name(harness, part_id)
    match harness.parts.get(part_id):
        case Fuse():
            return f"pull {name} and look at its strip and clips"
        case Connector():
            return f"take plug {id_and_label(harness, part_id)} apart and look at its pins"
        case Relay():
            return f"pull {name} and look at its pins and socket"
        case Load():
            return f"unplug {name} and look at it and its plug"
    return f"look at {name} and its joints"


def _probe(harness: Harness, point: str) -> str:
    if not point:
        return ""
    wires = point_wires(harness, point)
    is_sleeved = isinstance(harness.parts.get(point), Splice)
    sleeve = ", its sleeve opened and sealed again after" if is_sleeved else ""
    return f"{point_name(harness, point)}{f', {wires}' if wires else ''}{sleeve}"


def _red(harness: Harness, check: Check) -> str:
    return _cable_end(harness, check, check.red) or _probe(harness, check.red)


def _cable_end(harness: Harness, check: Check, point: str) -> str:
    """Name the cable's end in place of the post that it was taken off for ohms; nothing of another point."""
    battery, _, sign = point.rpartition(".")
    if check.kind is not CheckKind.OHMS or not isinstance(harness.parts.get(battery), Battery):
        return ""
    return f"the cable's end that was taken off {point_name(harness, f'{battery}.{sign}')}"


def _black(harness: Harness, check: Check) -> str:
    """Name the black probe's point, with its place where that is another one than the red probe's."""
    cable_end = _cable_end(harness, check, check.black)
    if cable_end:
        return cable_end
    words = _probe(harness, check.black)
    if not words or check.black in grounded_posts(harness):
        return point_name(harness, check.black) if words else ""
    here, there = point_place(harness, check.red), point_place(harness, check.black)
    is_told = not there or there == BODY_PLACE or here.name == there.name
    return words if is_told else f"{words}, at {place_words(there)}"


def _long_lead(harness: Harness, check: Check) -> str:
    """Say that the lead to the grounded post is a long one where the red probe is in another place."""
    if check.black not in grounded_posts(harness) or check.kind is CheckKind.OHMS or not check.red:
        return ""
    here, there = point_place(harness, check.red), point_place(harness, check.black)
    return ", with a long lead" if here and there and BODY_PLACE not in (here, there) and here != there else ""


def check_sentence(harness: Harness, check: Check, loads: tuple[str, ...] = (), besides: tuple[str, ...] = ()) -> str:
    """Ask for a check in one plain sentence.

    Parameters
    ----------
    loads
        Elements complained of: said to be plugged in, or unplugged.
    besides
        What else is so and stands in no condition, in words: a fuse that blew.

    Examples
    --------
    ``At rear box, behind the seat: red on K7 pin 30, wire side, black on the battery's negative post, key in
    ignition: how many volts?``
    """
    place = check_place(harness, check)
    hands = _hands(harness, check)
    said = [
        _does(harness, check),
        key_words(harness, check.condition),
        held_words(harness, check.condition, hands),
        *settings_words(harness, check.condition, hands),
        *besides,
        "battery clamps off" if check.kind is CheckKind.OHMS else "",
        _plugged(harness, check, loads),
    ]
    words = ", ".join(one for one in said if one)
    where = place if place.startswith(_BETWEEN) else f"at {place}"
    told = f"{where}: {words}" if place and not _is_from_outside(harness, check) else words
    told = f"{told[:1].upper()}{told[1:]}"
    return f"{told}: {_asks(harness, check)}?"


def _plugged(harness: Harness, check: Check, loads: tuple[str, ...]) -> str:
    """Say which loads complained of stay plugged in: those unplugged are named among the settings."""
    if check.kind not in MEASURED:
        return ""
    owners = dict.fromkeys(name.partition(":")[0] for name in loads)
    inside = [id_and_label(harness, owner) for owner in owners if check.condition.by_name.get(owner) != OUT]
    return f"{either(inside, 'and')} plugged in" if inside else ""


def _does(harness: Harness, check: Check) -> str:
    part = part_name(harness, check.part) if check.part else ""
    probes = f"red on {_red(harness, check)}, black on {_black(harness, check)}"
    match check.kind:
        case CheckKind.VOLTS | CheckKind.DROP | CheckKind.OHMS:
            return probes
        case CheckKind.AMPS:
            return f"a clamp round one wire of {part}, or millivolts across it"
        case CheckKind.LAMP if check.part:
            return f"a lamp of {watts_text(check.watts)} in place of {part}"
        case CheckKind.LAMP:
            lamp = f"a test lamp of {watts_text(check.watts)}"
            return f"{lamp} from {_probe(harness, check.red)} to {_black(harness, check)}"
        case CheckKind.OBSERVE:
            verb = "listen to" if noticed(harness, check.load) is Noticed.HEARD else "look at"
            place = check_place(harness, check) if _is_from_outside(harness, check) else ""
            return f"{verb} {_load_name(harness, check.load)}{f', at {place}' if place else ''}"
        case CheckKind.LISTEN:
            return f"a hand on {part}"
        case CheckKind.LOOK:
            return _look_words(harness, check.part)
        case CheckKind.BRIDGE:
            lead = f"a jumper lead with a fuse of {check.fuse_amps:g} A"
            return f"{lead} from {_probe(harness, check.red)} to {_black(harness, check)}"
        case CheckKind.SWAP:
            return f"put {part_name(harness, check.other)} in place of {part}"
        case CheckKind.NEW_FUSE:
            return f"fit as {part} one new {fuse_fitting(harness, harness.part_of(check.part, Fuse))}"
    assert_never(check.kind)


def _asks(harness: Harness, check: Check) -> str:
    match check.kind:
        case CheckKind.VOLTS:
            return "how many volts"
        case CheckKind.DROP:
            return "how many volts or millivolts between the two"
        case CheckKind.OHMS:
            return "how many ohms, or OL"
        case CheckKind.AMPS:
            return "how many amperes, or how many millivolts"
        case CheckKind.LAMP:
            return "lit, dim, dark, or does it buzz"
        case CheckKind.OBSERVE if noticed(harness, check.load) is Noticed.HEARD:
            return f"does it {heard_doing(harness, check.load)}, weakly, or not at all"
        case CheckKind.OBSERVE:
            return "does it work, weakly, not at all, or does it glow"
        case CheckKind.LISTEN:
            return "does it pull in, stay silent, or buzz"
        case CheckKind.LOOK:
            return "is it good or bad"
        case CheckKind.BRIDGE | CheckKind.SWAP:
            return "is the complaint cured"
        case CheckKind.NEW_FUSE:
            return "does it hold or blow"
    assert_never(check.kind)


def moving_words(kind: CheckKind) -> str:
    """Say what is moved while a check of a fault that comes and goes is answered; empty where moving tells nothing."""
    if kind in MEASURED:
        return "the loom and its plugs while you read; where it swings type both: 0.2..12.3"
    if kind in _ANSWERED_MOVING:
        return "the loom and its plugs meanwhile, and answer with the worst that shows"
    return ""
