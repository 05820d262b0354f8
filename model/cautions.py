"""Which cautions stand before a step: chosen from the points it touches and the condition it is done in."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from model.caution_words import CAUTIONS, GENERAL_CAUTIONS, Caution, CautionKind
from model.circuit.condition import APART, OFF, OUT, Condition, rest_position, switch_position
from model.harness.derived import once_per_harness
from model.harness.fields import Exposure, Hazard, Part
from model.harness.harness import Element, Harness, elements_of
from model.harness.hazards import hazards_of_point
from model.harness.metal import same_metal, wire_points
from model.harness.parts import Battery, Charger, Fuse, Load, LoadKind, Module, ResistorPack, Switch
from model.harness.places import Place, place_of, point_place
from model.harness.points import points_of
from model.harness.records import Connector, Wire
from model.harness.supply import grounded_posts, reference_point

__all__ = [
    "CAUTIONS",
    "GENERAL_CAUTIONS",
    "NO_PROBE",
    "Caution",
    "CautionKind",
    "cautions_for",
    "crank_keys",
    "cranks",
    "engine_turns",
    "wants_engine_off",
]

NO_PROBE = "no probe"
"""Stands in place of the volts of ignition wiring while the engine turns."""

HOT_WATTS = 10.0
"""A lamp or heater from here on is warned of as hot; judgement."""

_KEPT = "cautions of settings"
_CRANK_NAMES = frozenset({"crank", "cranking", "start", "starting"})
_START_TERMINAL = re.compile(r"50[a-h]?")
_HAZARD_CAUTIONS = {
    Hazard.RESTRAINT: CautionKind.RESTRAINT,
    Hazard.HIGH_VOLTAGE: CautionKind.HIGH_VOLTAGE,
    Hazard.IGNITION: CautionKind.IGNITION,
    Hazard.FUEL: CautionKind.FUEL,
}
_EXPOSURE_CAUTIONS = {
    Exposure.FUEL_VAPOUR: CautionKind.FUEL_VAPOUR,
    Exposure.FAN_OR_BELT: CautionKind.FAN,
    Exposure.HOT: CautionKind.HOT_PLACE,
}


@dataclass(frozen=True, slots=True)
class _Scene:
    """What a step touches: its points, their parts and places, and the condition."""

    harness: Harness
    points: tuple[str, ...]
    parts: tuple[Part, ...]
    places: tuple[Place, ...]
    condition: Condition

    def at(self, others: Iterable[Part]) -> bool:
        """Tell whether a point is on one of these parts, or in the same place as one."""
        ids = {part.id for part in others}
        names = {place_of(self.harness, part_id).name for part_id in ids} - {""}
        return any(part.id in ids for part in self.parts) or any(place.name in names for place in self.places)


def cautions_for(harness: Harness, points: Iterable[str], condition: Condition) -> tuple[Caution, ...]:
    """Choose the cautions for a step, the gravest first.

    Parameters
    ----------
    points
        Points that the step puts a probe on, or that hands come near.
    condition
        The key state and settings of the step.

    Raises
    ------
    KeyError
        Where the harness has no such part as a point names.
    """
    named = tuple(dict.fromkeys(points))
    owners = dict.fromkeys(point.partition(".")[0] for point in named)
    scene = _Scene(
        harness,
        named,
        tuple(harness.parts[owner] for owner in owners if owner in harness.parts),
        tuple(point_place(harness, point) for point in named),
        condition,
    )
    found = {_HAZARD_CAUTIONS[hazard] for point in named for hazard in hazards_of_point(harness, point)}
    exposures = {exposure for place in scene.places for exposure in place.exposure}
    found |= {_EXPOSURE_CAUTIONS[exposure] for exposure in exposures if exposure in _EXPOSURE_CAUTIONS}
    found |= {kind for kind, applies in _RULES.items() if applies(scene)} | _of_settings(harness, condition)
    return tuple(caution for kind, caution in CAUTIONS.items() if kind in found)


def _of_settings(harness: Harness, condition: Condition) -> frozenset[CautionKind]:
    """Name the cautions that what is set asks for, wherever hands are.

    They are kept with the condition: a plan has hundreds of steps in one, with hundreds of things set in it.
    """
    known: dict[str, tuple[Harness | None, frozenset[CautionKind]]] = vars(condition)
    of_harness, found = known.get(_KEPT, (None, frozenset()))
    if of_harness is not harness:
        found = frozenset(kind for kind, asks in _SETTING_RULES.items() if asks(harness, condition))
        known[_KEPT] = harness, found
    return found


@once_per_harness
def crank_keys(harness: Harness) -> frozenset[str]:
    """Name the key states in which the starter is asked to turn.

    These are the ones in which the key switch joins a terminal 50, those in which alone a starter works, and those
    whose name says so.
    """
    names = {name for name in harness.key_names if name.casefold() in _CRANK_NAMES}
    key_switch = harness.key_switch
    if key_switch is not None:
        names |= {position for position in key_switch.positions if _joins_start(key_switch, position)}
    for load in (one for one in harness.loads if one.kind is LoadKind.MOTOR):
        for rated in load.elements or (load,):
            works_in = rated.works_in or load.works_in or ()
            if _says_starter(load, rated.role) and len(works_in) < len(harness.key_names):
                names.update(works_in)
    return frozenset(names)


def cranks(harness: Harness, condition: Condition) -> bool:
    """Tell whether the starter may turn in a condition, by the key or by a start switch of its own."""
    if condition.key in crank_keys(harness):
        return True
    for switch in _momentary(harness):
        position = switch_position(harness, switch, condition)
        if position == rest_position(switch) or condition.by_name.get(switch.id) == OUT:
            continue
        if _joins_start(switch, position) or "start" in switch.label.casefold():
            return True
    return False


@once_per_harness
def _momentary(harness: Harness) -> tuple[Switch, ...]:
    return tuple(switch for switch in harness.switches if switch.momentary)


def engine_turns(harness: Harness, condition: Condition) -> bool:
    """Tell whether the engine may turn in a condition: cranked, or running in a charging key state."""
    return cranks(harness, condition) or _is_charging(harness, condition)


def wants_engine_off(harness: Harness, point: str, condition: Condition) -> bool:
    """Tell of a point of the ignition whether the engine may turn: it is measured with the engine off only."""
    return Hazard.IGNITION in hazards_of_point(harness, point) and engine_turns(harness, condition)


def _joins_start(switch: Switch, position: str) -> bool:
    groups = switch.positions.get(position, ())
    at_rest = switch.positions.get(rest_position(switch), ())
    return any(_START_TERMINAL.fullmatch(name) for group in groups if group not in at_rest for name in group)


def is_starter(harness: Harness, element: Element) -> bool:
    """Tell whether an element of a load is the motor of a starter, by its label and roles."""
    load, record = harness.parts[element.part_id], element.record
    role = record.role if record is not None else ""
    return isinstance(load, Load) and element.kind is LoadKind.MOTOR and _says_starter(load, role)


def _says_starter(load: Load, role: str) -> bool:
    return "starter" in f"{load.label} {load.role} {role}".casefold()


def _is_charging(harness: Harness, condition: Condition) -> bool:
    return any(state.charging and state.name == condition.key for state in harness.key_states)


def _mains(scene: _Scene) -> bool:
    return scene.at(_on_mains(scene.harness))


@once_per_harness
def _on_mains(harness: Harness) -> tuple[Part, ...]:
    loads = [load for load in harness.loads if _has_kind(load, LoadKind.INVERTER)]
    return (*loads, *(charger for charger in harness.chargers if _from_mains(charger)))


def _from_mains(charger: Charger) -> bool:
    """Tell whether a charger is fed from ashore: its label says so, or it does not follow the engine."""
    label = charger.label.casefold()
    return charger.active is not None or "shore" in label or "mains" in label


def _has_kind(load: Load, kind: LoadKind) -> bool:
    return kind in [load.kind, *(element.kind for element in load.elements)]


def _fan(scene: _Scene) -> bool:
    return scene.at(_fans(scene.harness))


@once_per_harness
def _fans(harness: Harness) -> tuple[Part, ...]:
    return tuple(
        load
        for load in harness.loads
        if load.kind is LoadKind.MOTOR and "fan" in re.findall(r"\w+", f"{load.label} {load.role}".casefold())
    )


def _unfused(scene: _Scene) -> bool:
    live = _unfused_metal(scene.harness)
    return any(same_metal(scene.harness, point) in live for point in scene.points)


@once_per_harness
def _unfused_metal(harness: Harness) -> frozenset[str]:
    """Name the metal that hangs on a battery post without a fuse, all but that of the reference."""
    posts = (f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-")
    return frozenset(same_metal(harness, post) for post in posts) - {same_metal(harness, reference_point(harness))}


def _battery_order(harness: Harness, condition: Condition) -> bool:
    off = {name for name, value in condition.settings if value in (OUT, OFF)}
    if any(battery.id in off for battery in harness.batteries):
        return True
    posts = {f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-"}
    wires = (harness.parts.get(name[:-2]) for name in off if name.endswith((".a", ".b")))
    return any(isinstance(wire, Wire) and posts & set(wire_points(harness, wire)) for wire in wires)


def _hot_part(scene: _Scene) -> bool:
    return any(watts >= HOT_WATTS for part in scene.parts for watts in _heat_watts(scene.harness, part))


def _heat_watts(harness: Harness, part: Part) -> Iterator[float]:
    """Give the watts that each filament, heater or resistance of a part may turn into heat."""
    match part:
        case Load():
            for element in elements_of(harness, part):
                if element.kind in (LoadKind.LAMP, LoadKind.HEATER):
                    yield element.at_volts * element.rated_amps
        case ResistorPack():
            for resistance in part.elements:
                ohms = resistance.ohms.values() if isinstance(resistance.ohms, dict) else (resistance.ohms,)
                yield from (harness.build.nominal_volts**2 / one for one in ohms if not isinstance(one, str))


def _motion(scene: _Scene) -> bool:
    return any(isinstance(one, Load) and one.kind is LoadKind.MOTOR and one.hazard is None for one in scene.parts)


def _supply_off(harness: Harness, condition: Condition) -> bool:
    """Tell whether a control unit is unplugged, or a plug apart that one hangs on."""
    names = condition.by_name.keys() & _module_plugs(harness)
    return any(_is_unplugged(harness.parts[name], condition.by_name[name]) for name in names)


@once_per_harness
def _module_plugs(harness: Harness) -> frozenset[str]:
    """Name the control units, and the plugs that one hangs on."""
    metal = {same_metal(harness, point.name) for module in harness.modules for point in points_of(module)}
    plugs = (
        plug for plug in harness.connectors if any(same_metal(harness, one.name) in metal for one in points_of(plug))
    )
    return frozenset(part.id for part in (*harness.modules, *plugs))


def _is_unplugged(part: Part, value: str) -> bool:
    if isinstance(part, Connector):
        return value in (APART, OUT) and value != part.rest
    return value == OUT


def _meter_only(scene: _Scene) -> bool:
    if any(isinstance(part, Module) for part in scene.parts):
        return True
    delicate = _delicate_metal(scene.harness)
    return any(same_metal(scene.harness, point) in delicate for point in scene.points)


@once_per_harness
def _delicate_metal(harness: Harness) -> frozenset[str]:
    """Name the metal of the terminals that only a voltmeter may touch: those marked, and regulated outputs."""
    names = ((one.id, [*one.delicate, *(output.terminal for output in one.outputs)]) for one in harness.modules)
    return frozenset(same_metal(harness, f"{module_id}.{name}") for module_id, terminals in names for name in terminals)


def _fuse_rating(harness: Harness, condition: Condition) -> bool:
    return any(value == OUT and isinstance(harness.parts.get(name), Fuse) for name, value in condition.settings)


def _gas(scene: _Scene) -> bool:
    """Tell whether something is done at the posts of a lead battery.

    A black probe that stays on the grounded post while the other one works elsewhere is not.
    """
    lead = {battery.id for battery in scene.harness.batteries if battery.chemistry == "lead"}
    at_posts = [point for point in scene.points if point.partition(".")[0] in lead]
    parked = grounded_posts(scene.harness)
    return bool(at_posts) and (len(at_posts) == len(scene.points) or any(one not in parked for one in at_posts))


def _battery(scene: _Scene, chemistry: str) -> bool:
    return any(isinstance(part, Battery) and part.chemistry == chemistry for part in scene.parts)


_RULES: dict[CautionKind, Callable[[_Scene], bool]] = {
    CautionKind.MAINS: _mains,
    CautionKind.CRANKING: lambda scene: cranks(scene.harness, scene.condition),
    CautionKind.ENGINE_RUNS: lambda scene: _is_charging(scene.harness, scene.condition),
    CautionKind.FAN: _fan,
    CautionKind.UNFUSED: _unfused,
    CautionKind.BATTERY_GAS: _gas,
    CautionKind.LITHIUM: lambda scene: _battery(scene, "lithium"),
    CautionKind.CAPACITORS: lambda scene: any(
        isinstance(p, Load) and _has_kind(p, LoadKind.INVERTER) for p in scene.parts
    ),
    CautionKind.MOTION: _motion,
    CautionKind.HOT_PART: _hot_part,
    CautionKind.METER_ONLY: _meter_only,
}

_SETTING_RULES: dict[CautionKind, Callable[[Harness, Condition], bool]] = {
    CautionKind.BATTERY_ORDER: _battery_order,
    CautionKind.FUSE_RATING: _fuse_rating,
    CautionKind.SUPPLY_OFF: _supply_off,
}
