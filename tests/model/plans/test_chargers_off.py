"""Chargers that no engine drives: named before ohms are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from model.plans.chargers_off import chargers_off_words, idle_chargers
from tests.model.circuit.rig import harness

DEMO_BUILDS = Path(__file__).parents[3] / "demo_builds"


@pytest.mark.parametrize(("build", "idle"), [("harbour_launch", ["G6"]), ("trail_buggy", []), ("field_tractor", [])])
def test_only_chargers_without_an_engine_are_named(build: str, idle: list[str]) -> None:
    """The launch's shore charger is named; alternators and a dynamo, which stand still then, are not."""
    loom = read_harness(DEMO_BUILDS / f"{build}.toml")
    assert [charger.id for charger in idle_chargers(loom)] == idle
    assert len(chargers_off_words(loom)) == bool(idle)


def test_several_chargers_stand_in_one_sentence() -> None:
    """One that is always on and one that is switched by hand: neither waits for the engine."""
    rows = """
chargers = [
  { id = "C1", label = "Solar", volts = 14.4, active = ["off", "on"] },
  { id = "C2", label = "Shore", volts = 14.4, active = [] },
]
"""
    loom = harness(rows)
    (words,) = chargers_off_words(loom)
    assert "C1 (Solar) and C2 (Shore) follow no engine" in words
    assert "0 V" in words
