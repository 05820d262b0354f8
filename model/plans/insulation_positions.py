"""In which positions of switches metal is proven that hangs on a fuse only there, the fewest of them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.plans.insulation_reading import Reading
from model.plans.switch_settings import Settings

MOVED_AT_MOST = 3
"""Switches that are moved for one row, the key among them."""


def closed_readings(at_rest: Reading, proven: Collection[str]) -> list[Reading]:
    """Choose the positions in which readings from a point tell the wires that it tells in no other way.

    Parameters
    ----------
    at_rest
        The reading with everything at rest.
    proven
        Wires that other readings tell.

    Returns
    -------
    list of Reading
        As they are taken, the one that tells most new wires first; no wire is told twice for want of a better.
    """
    reached = at_rest.within_reach
    within = {wire for wire, settings in reached.items() if len(settings) <= MOVED_AT_MOST}
    missing = within - set(proven) - at_rest.told
    candidates = dict.fromkeys(settings for wire, settings in reached.items() if wire in missing and settings)
    tried = [reading for settings in sorted(candidates, key=len) for reading in _set(at_rest, settings)]
    provable = [_provable(reading) for reading in tried]
    chosen: list[Reading] = []
    while missing and tried:
        best = max(range(len(tried)), key=lambda place: len(missing & provable[place]))
        if not missing & provable[best]:
            break
        chosen.append(tried[best])
        missing -= provable[best]
    return chosen


def _set(at_rest: Reading, settings: Settings) -> list[Reading]:
    """Give the reading with some switches set; none where it must not be taken."""
    condition = set_to(at_rest.ground.harness, at_rest.condition, settings)
    reading = Reading(at_rest.ground, at_rest.point, condition).as_taken()
    return [] if reading.refusal is not None else [reading]


def set_to(harness: Harness, condition: Condition, settings: Settings) -> Condition:
    """Set switches in a condition; the key switch by its key state."""
    key_switch = harness.key_switch
    for name, position in settings:
        if key_switch is not None and name == key_switch.id:
            condition = replace(condition, key=position)
        else:
            condition = condition.with_setting(name, position)
    return condition


def _provable(reading: Reading) -> frozenset[str]:
    """Name the wires that a reading tells, with loads unplugged where it has to be."""
    if not reading.untold:
        return reading.told
    return reading.told | reading.without(reading.to_unplug()).told
