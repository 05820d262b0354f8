"""A condition in words: the key, and each thing that is set with its label."""

from __future__ import annotations

from model.circuit.condition import Condition
from model.harness.harness import Harness


def setting_words(harness: Harness, name: str, value: str) -> str:
    """Give one setting in words: ``S2 (Lighting switch) side``, ``F7 out``, ``X7 apart``."""
    part = harness.parts.get(name.partition(".")[0])
    label = f" ({part.label})" if part is not None and part.label else ""
    return f"{name}{label} {value}"


def condition_words(harness: Harness, condition: Condition) -> str:
    """Give a condition in words: key state, settings, faults."""
    words = [f"key {condition.key}"]
    words += [setting_words(harness, name, value) for name, value in condition.settings]
    words += [f"fault {fault.spelled()}" for fault in condition.faults]
    return ", ".join(words)
