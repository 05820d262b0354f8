"""What one would see if a part were faulty: which loads change, and how, in each key state."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, contact_names, fault_kinds, switch_contacts
from model.circuit.survey import LoadState
from model.errors import CircuitError
from model.harness.harness import SINGLE_ELEMENT, Harness, all_elements
from model.harness.parts import Battery, Load, Module, Relay, ResistorPack, Switch
from model.harness.points import relay_groups, terminals_of
from model.harness.records import Connector, Wire


@dataclass(frozen=True, slots=True)
class Seen:
    """What one load does in one key state with the fault in, and without it."""

    healthy: LoadState
    faulty: LoadState


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What a fault does.

    Attributes
    ----------
    loads
        By element, then by key state, with the switches set as that load needs them; only loads that change in some
        key state.
    blown
        By key state, fuses that open with everything at rest or set for some load.
    trouble
        By key state, what keeps the circuit from being solved.
    """

    fault: Fault
    loads: dict[str, dict[str, Seen]]
    blown: dict[str, tuple[str, ...]]
    trouble: dict[str, str]


def fault_sites(harness: Harness, part_id: str) -> tuple[tuple[str, tuple[FaultKind, ...]], ...]:
    """List the sites of a part at which a fault can be, each with the faults it can have."""
    part = harness.parts[part_id]
    names = [part_id]
    match part:
        case Relay():
            names += [f"{part_id}:coil", *(f"{part_id}:{name}" for name in _relay_contacts(part))]
        case Switch():
            names += [f"{part_id}:{name}" for name in switch_contacts(part)]
        case Load():
            names += [f"{part_id}:{one.name}" for one in part.elements] or [f"{part_id}:{SINGLE_ELEMENT}"]
        case ResistorPack():
            names += [f"{part_id}:{one.name}" for one in part.elements]
        case Module():
            rows = [feed.terminal for feed in part.feeds] + [driver.terminal for driver in part.drivers]
            names += [f"{part_id}:{name}" for name in [*rows, *(output.terminal for output in part.outputs)]]
        case Connector():
            names += [f"{part_id}.{cavity}" for cavity in range(1, part.cavities + 1)]
            names += [f"{part_id}.{cavity}/{cavity + 1}" for cavity in range(1, part.cavities)]
        case Battery():
            names += [f"{part_id}.+", f"{part_id}.-"]
    if not isinstance(part, Battery | Connector | Wire):
        names += [f"{part_id}.{terminal}" for terminal in terminals_of(part)]
    found = [(name, fault_kinds(harness, name)) for name in dict.fromkeys(names)]
    return tuple((name, kinds) for name, kinds in found if kinds)


def _relay_contacts(relay: Relay) -> tuple[str, ...]:
    rest, pulled = relay_groups(relay)
    return contact_names((*rest, *pulled))


def what_if(bench: Bench, fault: Fault, settings: dict[str, Condition], current: Condition) -> WhatIf:
    """Solve a fault in every key state, the switches set as each load needs them, and as they are now.

    Parameters
    ----------
    settings
        By element, the condition in which it should work.
    current
        The condition as it is now, in which loads that nobody asked for are looked for too.
    """
    loads: dict[str, dict[str, Seen]] = {}
    blown: dict[str, tuple[str, ...]] = {}
    trouble: dict[str, str] = {}
    for key in bench.harness.key_names:
        for condition, names in _groups(bench.harness, settings, current, key).items():
            try:
                found = bench.survey(replace(condition, faults=(*condition.faults, fault)))
            except CircuitError as error:
                trouble[key] = error.what
                continue
            sound = bench.survey(condition)
            fresh = [name for name in found.settled.blown if name not in sound.settled.blown]
            blown[key] = tuple(dict.fromkeys((*blown.get(key, ()), *fresh)))
            for name in names:
                seen = Seen(sound.loads[name].state, found.loads[name].state)
                before = loads.setdefault(name, {}).get(key)
                if before is None or before.healthy is before.faulty:
                    loads[name][key] = seen
    changed = {
        name: seen for name, seen in loads.items() if any(one.healthy is not one.faulty for one in seen.values())
    }
    return WhatIf(fault, changed, {key: names for key, names in blown.items() if names}, trouble)


def _groups(
    harness: Harness, settings: dict[str, Condition], current: Condition, key: str
) -> dict[Condition, tuple[str, ...]]:
    """Gather the loads that need the same settings, so that each condition is solved once; all loads as it is now."""
    groups: dict[Condition, tuple[str, ...]] = {}
    for name, condition in settings.items():
        asked = condition.healthy().at_key(key)
        groups[asked] = (*groups.get(asked, ()), name)
    now = current.healthy().at_key(key)
    groups[now] = tuple(element.name for element in all_elements(harness))
    return groups
