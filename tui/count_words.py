"""How large a harness is and how much of it is assumed, in the words that every place uses."""

from __future__ import annotations

from model.harness.harness import Harness
from model.harness.supply import assumed_of
from model.words import plural


def count_words(harness: Harness) -> str:
    """Count wires, loads, other parts and key states: ``46 wires, 30 loads, 112 other parts, 5 key states``."""
    others = len(harness.parts) - len(harness.wires) - len(harness.loads)
    counts = [
        plural(len(harness.wires), "wire"),
        plural(len(harness.loads), "load"),
        plural(others, "other part"),
        plural(len(harness.key_states), "key state"),
    ]
    return ", ".join(counts)


def assumed_words(harness: Harness) -> str:
    """Count the wires with assumed values: ``2 wires have assumed values``; nothing where there are none."""
    assumed = sum(bool(assumed_of(harness, wire)) for wire in harness.wires)
    held = "has an assumed value" if assumed == 1 else "have assumed values"
    return f"{plural(assumed, 'wire')} {held}" if assumed else ""
