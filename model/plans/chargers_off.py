"""Chargers that give current with the engine off: to be off and disconnected before ohms."""

from __future__ import annotations

from model.harness.harness import Harness
from model.harness.parts import Charger
from model.tracing.names import either, id_and_label


def idle_chargers(harness: Harness) -> tuple[Charger, ...]:
    """Give the chargers that no engine drives: shore and solar ones, those that are on in a key state of its own.

    An alternator or dynamo is on in key states of a running engine alone, or has an exciter.
    """
    return tuple(charger for charger in harness.chargers if not _is_driven(harness, charger))


def _is_driven(harness: Harness, charger: Charger) -> bool:
    running = {state.name for state in harness.key_states if state.charging}
    keys = set(harness.charging_keys(charger))
    return charger.exciter is not None or bool(keys and keys <= running)


def chargers_off_words(harness: Harness) -> tuple[str, ...]:
    """Say of the chargers that no engine drives that they are off before ohms: one sentence, none where none is there.

    Clamps that are off stop none of them: each feeds the loom by itself.
    """
    names = [id_and_label(harness, charger.id) for charger in idle_chargers(harness)]
    if not names:
        return ()
    follow, whose = ("follows", "its source") if len(names) == 1 else ("follow", "their sources")
    return (
        f"{either(names, 'and')} {follow} no engine: off and disconnected, {whose} too, and 0 V read before any ohms.",
    )
