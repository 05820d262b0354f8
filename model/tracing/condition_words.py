"""The key and everything that is set for a check, in words: what to turn, unplug, pull and hold."""

from __future__ import annotations

from collections.abc import Iterable

from model.cautions import crank_keys
from model.circuit.condition import (
    APART,
    ASLEEP,
    AWAKE,
    IN,
    MATED,
    OFF,
    ON,
    OUT,
    Condition,
    resistor_positions,
    rest_position,
    switch_position,
)
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.places import place_of, point_place
from model.harness.records import Connector, Wire
from model.tracing.names import end_words, id_and_label
from model.words import clean

_WORD_CHARACTERS = 40
_PLAIN_KEYS = frozenset({"off", "on"})


def key_words(harness: Harness, condition: Condition) -> str:
    """Say the key state: ``key off``, ``key in ignition``, ``key in running, engine running``.

    Empty where the vehicle has no key and a single state.
    """
    if harness.key_switch is None and len(harness.key_states) == 1:
        return ""
    name = clean(condition.key, _WORD_CHARACTERS)
    words = f"key {name}" if name.casefold() in _PLAIN_KEYS else f"key in {name}"
    if any(state.charging and state.name == condition.key for state in harness.key_states):
        return f"{words}, engine running"
    return words


def settings_words(harness: Harness, condition: Condition, points: Iterable[str] = ()) -> tuple[str, ...]:
    """Say each thing that is not at rest: ``S2 (Lights) on dip``, ``relay K7 (Fuel pump) out of its socket``.

    Parameters
    ----------
    points
        Where the probes stand: a momentary switch in another place has to be held by somebody else.
    """
    near = tuple(points)
    words = [_setting(harness, name, value, condition.key, near) for name, value in condition.by_name.items()]
    return tuple(one for one in words if one)


def held_words(harness: Harness, condition: Condition, points: Iterable[str]) -> str:
    """Say who holds the key where it springs back by itself, as it does in crank; empty elsewhere."""
    if condition.key not in crank_keys(harness):
        return ""
    near = tuple(points)
    key = harness.key_switch
    beside = key is not None and bool(near) and all(_same_place(harness, key.id, point) for point in near)
    return "hold the key there" if beside or not near else "a helper holds the key there"


def _same_place(harness: Harness, part_id: str, point: str) -> bool:
    here, there = place_of(harness, part_id), point_place(harness, point)
    return bool(here) and here.name == there.name


def _setting(harness: Harness, name: str, value: str, key: str, near: tuple[str, ...]) -> str:
    owner, _, terminal = name.partition(".")
    part = harness.parts.get(owner)
    named = id_and_label(harness, owner)
    if terminal:
        return _terminal_setting(harness, owner, terminal, value)
    match part:
        case Switch():
            return _switch_setting(harness, part, value, key, near)
        case Connector():
            return _plug_setting(part, named, value)
        case Fuse():
            return f"fuse {named} {'out' if value == OUT else 'in'}"
        case Relay():
            return f"relay {named} {'out of its socket' if value == OUT else 'in its socket'}"
        case Battery():
            return f"clamps of battery {named} {'off' if value == OUT else 'on'}"
        case Load():
            return _load_setting(named, value)
        case Charger():
            return f"charger {named} {'disconnected' if value == OUT else clean(value, _WORD_CHARACTERS)}"
        case Module():
            return _module_setting(named, value)
        case ResistorPack():
            return _resistor_setting(part, named, value)
    return f"{named} {'unplugged' if value == OUT else clean(value, _WORD_CHARACTERS)}"


def _untouched(harness: Harness, switch: Switch, key: str) -> str:
    """Name the position in which a switch is where nobody has set it."""
    return switch_position(harness, switch, Condition(key))


def _switch_setting(harness: Harness, switch: Switch, value: str, key: str, near: tuple[str, ...]) -> str:
    named = id_and_label(harness, switch.id)
    if value == _untouched(harness, switch, key):
        return ""
    if value in (OUT, IN) and value not in switch.positions:
        return f"switch {named} {'unplugged' if value == OUT else 'plugged in'}"
    words = f"{named} at {clean(value, _WORD_CHARACTERS)}"
    if value in _PLAIN_KEYS:
        words = f"{named} {value}"
    if not switch.momentary or value == rest_position(switch):
        return words
    if near and not all(_same_place(harness, switch.id, point) for point in near):
        return f"{words}, a helper holds it"
    return f"{words}, hold it"


def _plug_setting(connector: Connector, named: str, value: str) -> str:
    is_apart = value in (APART, OUT)
    if value == IN:
        is_apart = connector.rest == APART
    return f"plug {named} {APART if is_apart else 'together'}" if value != MATED else f"plug {named} together"


def _load_setting(named: str, value: str) -> str:
    match value:
        case "out":
            return f"{named} unplugged"
        case "in":
            return f"{named} plugged in"
        case "on":
            return f"something plugged into {named}"
    return f"nothing plugged into {named}"


def _module_setting(named: str, value: str) -> str:
    words = {OUT: "unplugged", IN: "plugged in", ASLEEP: "asleep", AWAKE: "awake"}
    return f"control unit {named} {words.get(value, clean(value, _WORD_CHARACTERS))}"


def _resistor_setting(pack: ResistorPack, named: str, value: str) -> str:
    if value in (OUT, IN) and value not in resistor_positions(pack):
        return f"{named} {'unplugged' if value == OUT else 'plugged in'}"
    return f"{named} at {clean(value, _WORD_CHARACTERS)}"


def _terminal_setting(harness: Harness, owner: str, terminal: str, value: str) -> str:
    part = harness.parts.get(owner)
    if isinstance(part, Wire):
        where = end_words(harness, part, terminal)
        return f"wire {owner} {'off' if value == OFF else 'on'} {where}"
    if isinstance(part, Module):
        drives = "driving" if value == ON else "not driving"
        return f"control unit {id_and_label(harness, owner)} {drives} pin {terminal}"
    return clean(f"{owner}.{terminal} {value}", _WORD_CHARACTERS)
