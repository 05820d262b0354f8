"""What switches that are set change in a netlist in which they are at rest, so that many settings share one circuit."""

from __future__ import annotations

import math

from model.circuit.condition import Condition, switch_position
from model.circuit.faults import Fault, FaultKind, part_of_site
from model.circuit.many_changes import Changes, SoundNet, changes_of
from model.circuit.settle import Settled
from model.circuit.uncertain import may_end_otherwise
from model.harness.harness import Harness
from model.harness.parts import Switch
from model.harness.points import contacts, switch_contacts

Settings = tuple[tuple[str, str], ...]


def are_switches(harness: Harness, settings: Settings) -> bool:
    """Tell whether settings put switches into positions of theirs and nothing else: those are changes of contacts."""
    named = ((harness.parts.get(name), position) for name, position in settings)
    return all(isinstance(part, Switch) and not part.key and position in part.positions for part, position in named)


def ends_for_certain(settled: Settled) -> bool:
    """Tell whether a circuit has but one end: no relay and no fuse is near enough to its limit to do otherwise."""
    if settled.buzzing or settled.blown or settled.uncertain:
        return False
    rated = (link for link in settled.net.fuses if link.amps is not None)
    return not any(may_end_otherwise(abs(float(settled.amps[link.branch])) / (link.amps or 1.0)) for link in rated)


def changes_with(sound: SoundNet, faults: tuple[Fault, ...], settings: Settings) -> Changes | None:
    """Give what faults and settings change together; None where the circuit has to be built and settled anew.

    Parameters
    ----------
    sound
        The netlist without either.
    settings
        Beside those of the netlist's condition.
    """
    found = changes_of(sound, faults)
    if found is None or not settings:
        return found
    moved = {name for name, _ in settings}
    on_moved = {fault.site for fault in faults if part_of_site(fault.site) in moved}
    is_open = all(fault.kind is FaultKind.OPEN for fault in faults if fault.site in on_moved)
    if not is_open or not are_switches(sound.harness, settings):
        return None
    condition = Condition(sound.condition.key, (*sound.condition.settings, *settings))
    for name in moved:
        _move(sound, found, sound.harness.part_of(name, Switch), condition, on_moved)
    return found


def _move(sound: SoundNet, changes: Changes, switch: Switch, condition: Condition, opened: set[str]) -> None:
    """Open and close the contacts of a switch that is set; those that a fault opens stay open."""
    closed = contacts(switch.positions[switch_position(sound.harness, switch, condition)])
    ohms = switch.ohms or sound.harness.defaults.switch
    for common, other in switch_contacts(switch):
        site = f"{switch.id}:{common}-{other}"
        branches = sound.branches_of.get(site, ())
        if (common, other) not in closed:
            changes.ohms.update(dict.fromkeys(branches, math.inf))
        elif not branches and site not in opened:
            ends = sound.pin(f"{switch.id}.{common}"), sound.pin(f"{switch.id}.{other}")
            changes.added.append((*ends, ohms, site))
