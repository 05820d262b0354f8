"""What must never be offered as a check, and why.

The rules judge a check by itself: who calls asks of every check before it is shown, whoever thought of it. What is not
refused is not thereby harmless; the cautions still stand before it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from threading import Lock
from weakref import WeakKeyDictionary

from model.cautions import engine_turns, wants_engine_off
from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition, require_point
from model.circuit.settle import Settled, settle
from model.errors import ArgumentError, CircuitError
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part, hazards_of_point, may_be_probed
from model.harness.parts import Battery, Charger, Fuse, Relay
from model.harness.points import points_of, relay_groups, resolve_point
from model.harness.records import Connector
from model.tracing.checks import Check, CheckKind
from model.tracing.never_bridged import bridge_refusal, lamp_in_place
from model.tracing.reached import ClosedMetal, may_be_delicate
from model.tracing.unplugging import Unplugged, unplugged_by
from model.tracing.wire_bears import thinnest_behind

_LOADING = frozenset({CheckKind.LAMP, CheckKind.BRIDGE, CheckKind.OHMS})
_TWO_PROBES = _LOADING | {CheckKind.VOLTS, CheckKind.DROP}
_WITHOUT_SUPPLY = frozenset({CheckKind.OHMS})
_KEPT_AT_MOST = 60


@dataclass
class _Kept:
    """What has been worked out for one bench: the closed metal of each condition, the circuit without its supply."""

    metal: dict[tuple[Condition, bool], ClosedMetal] = field(default_factory=dict)
    dead: Settled | None = None
    lock: Lock = field(default_factory=Lock)


_KEPT: WeakKeyDictionary[Bench, _Kept] = WeakKeyDictionary()


def never_offered(bench: Bench, check: Check) -> str | None:
    """Give the reason why a check must never be offered, in plain words; None where nothing forbids it.

    Parameters
    ----------
    bench
        Where conditions are solved.

    Notes
    -----
    Refused are: anything on restraint or high voltage; a lamp, a bridge or ohms where a control unit that is plugged
    in, or a hazard, hangs on the point through closed metal; a bridge that would load a fuse of the sound loom above
    its rating, leads from feed to ground or joins two feeds; ohms through parts that promise none; ignition wiring
    while the engine may turn; unplugging what must stay plugged; a new fuse above what its wires bear.
    """
    try:
        for rule in _RULES:
            reason = rule(bench, check)
            if reason:
                return reason
    except CircuitError as error:
        return f"The circuit cannot be as this check wants it: {error}"
    except ArgumentError as error:
        return str(error)
    return None


def _wrong_place(bench: Bench, check: Check) -> str:
    """Refuse a check of points or parts that are none, of one point with itself, or with a probe in the air."""
    for part_id in (check.part, check.other):
        if part_id and part_id not in bench.harness.parts:
            return f"There is no part {part_id}."
    is_in_place = check.kind is CheckKind.LAMP and bool(check.part)
    if check.kind in _TWO_PROBES and not is_in_place and len(check.points) < 2:
        return "Both probes want a point."
    for point in check.points:
        require_point(bench.harness, point, check.condition)
    names = [resolve_point(bench.harness, point) for point in check.points]
    if len(names) != len(set(names)):
        return f"Both probes would stand on {names[0]}."
    return ""


def _grave_hazard(bench: Bench, check: Check) -> str:
    """Refuse anything that touches restraint or high voltage: points, parts, what is unplugged for it."""
    harness = bench.harness
    parts = [check.part, check.other, check.load.partition(":")[0]]
    moved = [name.partition(".")[0] for name in check.condition.by_name]
    moved = [part_id for part_id in moved if not isinstance(harness.parts.get(part_id), Connector)]
    taken = [one.part_id for one in unplugged_by(harness, check.condition)]
    grave = _grave_parts(harness)
    for part_id in (*parts, *moved, *taken):
        if part_id in grave:
            return grave[part_id]
    for point in check.points:
        found = may_be_probed(harness, point)
        if found is not None:
            return found.reason
    return ""


@once_per_harness
def _grave_parts(harness: Harness) -> dict[str, str]:
    """Give the reason for each part on which, or on whose terminals, restraint or high voltage is."""
    refusals = ((part.id, _grave_part(harness, part)) for part in harness.each_part())
    return {part_id: reason for part_id, reason in refusals if reason}


def _grave_part(harness: Harness, part: Part) -> str:
    for point in points_of(part):
        found = may_be_probed(harness, point.name)
        if found is not None:
            return found.reason
    grave = NEVER_PROBED.intersection(hazards_of_part(harness, part.id))
    return f"{part.id} belongs to wiring marked {min(grave)}: nothing is done there." if grave else ""


def _unplugging(bench: Bench, check: Check) -> str:
    """Refuse taking apart what must stay plugged, or stay so while the supply is on."""
    harness = bench.harness
    taken = list(unplugged_by(harness, check.condition))
    looked_at = harness.parts.get(check.part)
    if check.kind is CheckKind.LOOK and looked_at is not None and not isinstance(looked_at, Fuse):
        taken += unplugged_by(harness, check.condition.with_setting(check.part, OUT), only=check.part)
    is_dead = check.kind in _WITHOUT_SUPPLY or _has_no_supply(harness, check.condition)
    may_be_prepared = is_dead or (check.kind in _LOADING and check.kind is not CheckKind.OHMS)
    for one in taken:
        reason = _unplugged_refusal(one, may_be_prepared=may_be_prepared)
        if reason:
            return reason
    return ""


def _unplugged_refusal(one: Unplugged, *, may_be_prepared: bool) -> str:
    if one.is_supply:
        return f"{one.part_id} is not taken off while the engine charges."
    if one.fuel:
        return f"{one.part_id} stays plugged: {one.fuel} is marked fuel, and a plug that opens near the tank can spark."
    if one.module and not may_be_prepared:
        return f"{one.part_id} stays plugged: {one.module} is unplugged with the supply off only."
    return ""


def _has_no_supply(harness: Harness, condition: Condition) -> bool:
    supplies = (*harness.batteries, *harness.chargers)
    return all(condition.by_name.get(supply.id) == OUT for supply in supplies)


def _ignition(bench: Bench, check: Check) -> str:
    """Refuse probes on ignition wiring while the engine may turn."""
    points = list(check.points)
    if check.kind in (CheckKind.AMPS, CheckKind.LAMP, CheckKind.NEW_FUSE) and check.part in bench.harness.parts:
        points += [f"{check.part}.in", f"{check.part}.out"]
    for point in points:
        if wants_engine_off(bench.harness, point, check.condition):
            return f"{point} is ignition wiring: it is measured with the engine off only."
    return ""


def _delicate(bench: Bench, check: Check) -> str:
    """Refuse a lamp, a bridge or ohms where a module that is plugged in, or a hazard, hangs on the points."""
    if check.kind not in _LOADING:
        return ""
    if check.kind is CheckKind.LAMP and check.part:
        return lamp_in_place(bench, check)
    is_powered = check.kind not in _WITHOUT_SUPPLY
    if not may_be_delicate(bench.harness, check.condition, check.points, is_powered=is_powered):
        return ""
    metal = _metal_in(bench, check.condition, is_powered=is_powered)
    return _hangs_there(bench.harness, metal.delicate_at(check.points), check)


def _hangs_there(harness: Harness, point: str, check: Check) -> str:
    if not point:
        return ""
    what = {CheckKind.OHMS: "an ohmmeter", CheckKind.LAMP: "a lamp", CheckKind.BRIDGE: "a bridge"}[check.kind]
    hazards = hazards_of_point(harness, point)
    why = f"which is marked {hazards[0]}" if hazards else "a terminal of a control unit that is plugged in"
    return f"{' or '.join(check.points)} leads through closed metal to {point}, {why}: {what} does not go there."


def _metal_in(bench: Bench, condition: Condition, *, is_powered: bool) -> ClosedMetal:
    kept = _kept(bench)
    with kept.lock:
        found = kept.metal.get((condition, is_powered))
    if found is None:
        settled = bench.survey(condition).settled if is_powered else _without_supply(bench, kept, condition)
        found = ClosedMetal(settled, condition, is_powered=is_powered)
        with kept.lock:
            kept.metal[condition, is_powered] = found
            if len(kept.metal) > _KEPT_AT_MOST:
                kept.metal.pop(next(iter(kept.metal)))
    return found


def _without_supply(bench: Bench, kept: _Kept, condition: Condition) -> Settled:
    """Give the circuit with its supply off: nothing has moved from rest, whatever else the condition says."""
    supplies = (*bench.harness.batteries, *bench.harness.chargers)
    settings = tuple((supply.id, OUT) for supply in supplies)
    if kept.dead is None:
        kept.dead = settle(bench.harness, Condition(bench.harness.key_names[0], settings))
    return replace(kept.dead, condition=Condition(condition.key, (*condition.settings, *settings)))


def _kept(bench: Bench) -> _Kept:
    found = _KEPT.get(bench)
    if found is None:
        found = _KEPT.setdefault(bench, _Kept())
    return found


def _ohms(bench: Bench, check: Check) -> str:
    """Refuse ohms on a supply, with the engine turning, or through what promises no ohms."""
    if check.kind is not CheckKind.OHMS:
        return ""
    harness = bench.harness
    if engine_turns(harness, check.condition):
        return "Ohms are measured with the supply off: not while the engine may turn."
    owners = [point.partition(".")[0] for point in check.points]
    if len(set(owners)) == 1 and isinstance(harness.parts.get(owners[0]), Battery | Charger):
        return f"An ohmmeter does not go across {owners[0]}, which gives current of its own."
    metal = _metal_in(bench, check.condition, is_powered=False)
    doubtful = metal.doubtful_between(check.red, check.black)
    if doubtful:
        return f"The ohmmeter's current may go through {doubtful}, where it promises nothing: it is to be unplugged."
    return ""


def _bridge(bench: Bench, check: Check) -> str:
    """Refuse a bridge that would hurt the sound loom."""
    return bridge_refusal(bench, check) if check.kind is CheckKind.BRIDGE else ""


def _fuse(bench: Bench, check: Check) -> str:
    """Refuse a new fuse above what the wires behind it bear, and a lamp or fuse in place of what is none."""
    if check.kind is not CheckKind.NEW_FUSE:
        return ""
    fuse = bench.harness.parts.get(check.part)
    if not isinstance(fuse, Fuse):
        return f"{check.part} is no fuse."
    thinnest = thinnest_behind(bench.harness).get(check.part)
    if fuse.amps is not None and thinnest is not None and fuse.amps > thinnest.amps:
        return f"{check.part} is {fuse.amps:g} A, and {thinnest.wire_id} behind it bears about {thinnest.amps:.0f} A."
    return ""


def _swap(bench: Bench, check: Check) -> str:
    """Refuse changing a relay for one that is not made alike."""
    if check.kind is not CheckKind.SWAP:
        return ""
    part, other = (bench.harness.parts.get(name) for name in (check.part, check.other))
    if not isinstance(part, Relay) or not isinstance(other, Relay) or part.id == other.id:
        return f"{check.part} and {check.other} are not two relays."
    return "" if same_make(part, other) else f"{check.other} is not made as {check.part} is."


def same_make(part: Relay, other: Relay) -> bool:
    """Tell whether one relay may stand in for another: contacts, coils and plug alike, and rated as high."""
    alike = relay_groups(part) == relay_groups(other) and part.pins == other.pins
    coils = (part.coils, part.coil_ohms, part.coil_diode) == (other.coils, other.coil_ohms, other.coil_diode)
    loose = part.inside is None and other.inside is None
    return alike and coils and loose and (part.amps is None or (other.amps is not None and other.amps >= part.amps))


_RULES: tuple[Callable[[Bench, Check], str], ...] = (
    _wrong_place,
    _grave_hazard,
    _unplugging,
    _ignition,
    _fuse,
    _swap,
    _delicate,
    _ohms,
    _bridge,
)
