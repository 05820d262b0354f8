"""What one would see if a part were faulty: which loads change, and how, in each key state."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, contact_names, fault_kinds
from model.circuit.survey import LoadState
from model.errors import CircuitError
from model.harness.harness import SINGLE_ELEMENT, Harness, all_elements
from model.harness.parts import Battery, Load, Module, Relay, ResistorPack, Switch
from model.harness.points import terminals_of
from model.harness.records import Connector, Wire


@dataclass(frozen=True, slots=True)
class Seen:
    """What one load does in one key state with the fault in, and without it.

    Attributes
    ----------
    settings
        What is set, in pairs of name and position: what the load needs, or what shows the fault on it.
    """

    healthy: LoadState
    faulty: LoadState
    settings: tuple[tuple[str, str], ...] = ()

    @property
    def is_changed(self) -> bool:
        """Tell whether the fault shows."""
        return self.healthy is not self.faulty


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What a fault does.

    Attributes
    ----------
    loads
        By element, then by key state, with the switches set as that load needs them, or where it shows nothing so, as
        they are now or as another load needs them; only loads that change in some key state.
    blown
        By key state, fuses that open because of the fault in any of these.
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
            names += [f"{part_id}:coil", *(f"{part_id}:{name}" for name in contact_names(part))]
        case Switch():
            names += [f"{part_id}:{name}" for name in contact_names(part)]
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


def what_if(bench: Bench, fault: Fault, settings: dict[str, Condition], current: Condition) -> WhatIf:
    """Solve a fault in every key state, the switches set as each load needs them, and as they are now.

    Parameters
    ----------
    settings
        By element, the condition in which it should work.
    current
        The condition as it is now.
    """
    loads: dict[str, dict[str, Seen]] = {element.name: {} for element in all_elements(bench.harness)}
    blown: dict[str, dict[str, None]] = {}
    trouble: dict[str, str] = {}
    for key in bench.harness.key_names:
        for condition, own in _conditions(settings, current, key).items():
            sound = bench.survey(condition)
            try:
                found = bench.survey(replace(condition, faults=(*condition.faults, fault)))
            except CircuitError as error:
                trouble.setdefault(key, error.what)
                continue
            fresh = (name for name in found.settled.blown if name not in sound.settled.blown)
            blown.setdefault(key, {}).update(dict.fromkeys(fresh))
            for name, by_key in loads.items():
                seen = Seen(sound.loads[name].state, found.loads[name].state, condition.settings)
                _keep_what_tells_most(by_key, key, seen, is_own=name in own)
    changed = {name: seen for name, seen in loads.items() if any(one.is_changed for one in seen.values())}
    return WhatIf(fault, changed, {key: tuple(names) for key, names in blown.items() if names}, trouble)


def _keep_what_tells_most(by_key: dict[str, Seen], key: str, seen: Seen, *, is_own: bool) -> None:
    """Keep what a load shows in its own settings, unless it shows nothing there and something elsewhere."""
    before = by_key.get(key)
    if before is None:
        by_key[key] = seen
    elif seen.is_changed is before.is_changed:
        by_key[key] = seen if is_own else before
    elif seen.is_changed:
        by_key[key] = seen


def _conditions(settings: dict[str, Condition], current: Condition, key: str) -> dict[Condition, frozenset[str]]:
    """Map each condition to be solved once to the loads that need its settings; the one as it is now comes first."""
    groups: dict[Condition, frozenset[str]] = {current.healthy().at_key(key): frozenset()}
    for name, condition in settings.items():
        asked = condition.healthy().at_key(key)
        groups[asked] = groups.get(asked, frozenset()) | {name}
    return groups
