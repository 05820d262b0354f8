"""What a check asks of a person: the places to go to, what to set, take apart and hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import assert_never

from model.cautions import cranks, engine_turns
from model.circuit.condition import APART, OFF, OUT, Condition, rest_position, setting_choices
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Fuse, Relay, Switch
from model.harness.places import BODY_PLACE, WIRE_ENDS, Place, end_place, place_of, point_place
from model.harness.points import resolve_point
from model.harness.records import Connector, Splice, Wire
from model.harness.supply import grounded_posts
from model.tracing.checks import FUSE_LAMP_WATTS, Check, CheckKind
from model.tracing.noticing import Noticed, noticed
from model.tracing.unplugging import unplugged_by

MOVE_MINUTES = 1.0
SET_MINUTES = 0.3
PLUG_MINUTES = 1.0
PULL_MINUTES = 0.3
BATTERY_MINUTES = 4.0
READING_MINUTES = 0.3
OBSERVATION_MINUTES = 0.5
ALONG_MINUTES = 2.0
SLEEVE_MINUTES = 1.5
"""To open the sleeve of a splice for a probe and to seal it again."""

ENGINE_MINUTES = 2.0
"""What it counts to crank or start the engine only to look at something: gear, brake, belts and who stands near."""

_READ_WHILE_HELD = frozenset({CheckKind.VOLTS, CheckKind.DROP, CheckKind.LAMP, CheckKind.AMPS, CheckKind.LISTEN})


@dataclass(frozen=True, slots=True)
class Taking:
    """Something that a check wants out, apart or off.

    Attributes
    ----------
    place
        Where it is; None where no visit is needed.
    wants_battery_off
        True of a control unit, which is unplugged with the supply off.
    """

    minutes: float
    place: str | None
    wants_battery_off: bool = False


@dataclass(frozen=True)
class Work:
    """What a check asks for, whatever has been done before.

    Attributes
    ----------
    own_minutes
        The reading or observation, and what is pulled or plugged for it alone.
    places
        Where the hands go, in the order in which they do; the place of the red probe last.
    key, settings
        The key state, and what is set by hand and not at rest.
    takes
        What is out, apart or off in it, by name.
    battery_off
        True where the battery's clamps are off.
    is_held
        True where somebody holds a switch or the key while the reading is taken elsewhere.
    moves_switches
        False of a look, which needs no condition.
    """

    own_minutes: float
    places: tuple[str, ...]
    key: str
    settings: frozenset[tuple[str, str]]
    takes: Mapping[str, Taking] = field(default_factory=dict)
    battery_off: bool = False
    is_held: bool = False
    moves_switches: bool = True


def work_of(harness: Harness, check: Check) -> Work:
    """Give what a check asks for."""
    places = _places(harness, check)
    if check.kind is CheckKind.LOOK:
        return Work(_own_minutes(harness, check), places, check.condition.key, frozenset(), moves_switches=False)
    return Work(
        _own_minutes(harness, check),
        places,
        check.condition.key,
        settings_by_hand(harness, check.condition),
        MappingProxyType(_takes(harness, check.condition)),
        check.kind is CheckKind.OHMS or _is_battery_out(harness, check.condition),
        check.kind in _READ_WHILE_HELD and _is_held_elsewhere(harness, check, places),
    )


def settings_by_hand(harness: Harness, condition: Condition) -> frozenset[tuple[str, str]]:
    """Give what is set in a condition by a switch, a driver, a dimmer or a socket, and is not at rest."""
    pairs = []
    for name, value in condition.by_name.items():
        choices = setting_choices(harness, name)
        is_at_rest = bool(choices) and value == choices[0]
        if not _is_taken(harness, name, value) and not is_at_rest:
            pairs.append((name, value))
    return frozenset(pairs)


def _is_taken(harness: Harness, name: str, value: str) -> bool:
    part = harness.parts.get(name.partition(".")[0])
    if isinstance(part, Connector):
        return value in (APART, OUT)
    if isinstance(part, Wire):
        return value == OFF
    return value == OUT


def _takes(harness: Harness, condition: Condition) -> dict[str, Taking]:
    modules = {one.part_id for one in unplugged_by(harness, condition) if one.module}
    found: dict[str, Taking] = {}
    for name, value in condition.by_name.items():
        part_id = name.partition(".")[0]
        part = harness.parts.get(part_id)
        if part is None or not _is_taken(harness, name, value) or isinstance(part, Battery | Charger):
            continue
        if isinstance(part, Connector) and part.rest == APART:
            continue
        minutes = PULL_MINUTES if isinstance(part, Fuse | Relay) else PLUG_MINUTES
        place = point_place(harness, name) if isinstance(part, Wire) else place_of(harness, part_id)
        found[name] = Taking(minutes, place.name, part_id in modules)
    return found


def _own_minutes(harness: Harness, check: Check) -> float:
    sleeves = sum(isinstance(harness.parts.get(point.partition(".")[0]), Splice) for point in check.points)
    return _plain_minutes(harness, check) + SLEEVE_MINUTES * sleeves


def _plain_minutes(harness: Harness, check: Check) -> float:
    match check.kind:
        case CheckKind.LAMP if check.watts >= FUSE_LAMP_WATTS:
            return READING_MINUTES + PULL_MINUTES
        case CheckKind.VOLTS | CheckKind.DROP | CheckKind.OHMS | CheckKind.AMPS | CheckKind.LAMP:
            return READING_MINUTES
        case CheckKind.OBSERVE:
            return OBSERVATION_MINUTES + (ENGINE_MINUTES if engine_turns(harness, check.condition) else 0.0)
        case CheckKind.LISTEN | CheckKind.BRIDGE:
            return OBSERVATION_MINUTES
        case CheckKind.LOOK:
            part = harness.parts.get(check.part)
            if isinstance(part, Wire):
                return OBSERVATION_MINUTES + ALONG_MINUTES
            return OBSERVATION_MINUTES + (PULL_MINUTES if isinstance(part, Fuse | Relay) else PLUG_MINUTES)
        case CheckKind.SWAP:
            return OBSERVATION_MINUTES + 2 * PULL_MINUTES
        case CheckKind.NEW_FUSE:
            return OBSERVATION_MINUTES + PULL_MINUTES
        case _:
            assert_never(check.kind)


def _places(harness: Harness, check: Check) -> tuple[str, ...]:
    """Name the places that the hands go to; one probe on a grounded post has a long lead and stays there."""
    if check.kind is CheckKind.OBSERVE and noticed(harness, check.load) is not Noticed.AT_HAND:
        return ()
    found = [
        place
        for part_id in (check.other, check.part, check.load.partition(":")[0])
        for place in _part_places(harness, part_id)
    ]
    posts = grounded_posts(harness)
    for point in (check.black, check.red):
        is_lead = point in posts and check.kind is not CheckKind.BRIDGE
        is_lead = is_lead and not (point == check.red and check.black in posts)
        if point and not is_lead:
            found.append(point_place(harness, resolve_point(harness, point)))
    return tuple(dict.fromkeys(place.name for place in found if place != BODY_PLACE))


def _part_places(harness: Harness, part_id: str) -> tuple[Place, ...]:
    """Give the place of a part; of a wire those of both its ends; none where there is no such part."""
    part = harness.parts.get(part_id)
    if part is None:
        return ()
    if isinstance(part, Wire):
        return tuple(end_place(harness, part, letter) for letter in WIRE_ENDS)
    return (place_of(harness, part_id),)


def _is_battery_out(harness: Harness, condition: Condition) -> bool:
    return any(condition.by_name.get(battery.id) == OUT for battery in harness.batteries)


def _is_held_elsewhere(harness: Harness, check: Check, places: tuple[str, ...]) -> bool:
    """Tell whether a momentary switch, or the key against its spring, is held where the hands are not."""
    holders = [switch.id for switch in harness.switches if is_pressed(switch, check.condition)]
    key_switch = harness.key_switch
    if key_switch is not None and not holders and cranks(harness, check.condition):
        holders.append(key_switch.id)
    return any(place_of(harness, part_id).name != place for part_id in holders for place in places)


def is_pressed(switch: Switch, condition: Condition) -> bool:
    """Tell whether a momentary switch is held out of its rest in a condition."""
    value = condition.by_name.get(switch.id, "")
    return switch.momentary and value in switch.positions and value != rest_position(switch)
