"""A hand that slips, wherever it was."""

from __future__ import annotations

from pathlib import Path

from model.circuit.condition import Condition
from model.harness.toml_file import read_harness
from model.tracing.checks import Check, CheckKind
from model.tracing.vehicle import Vehicle

DEMOS = Path(__file__).parents[3] / "demo_builds"


def test_a_slip_at_the_body_reads_something() -> None:
    """The body is no part with other terminals: a slip there reads in another key state, or anything."""
    harness = read_harness(DEMOS / "trail_buggy.toml")
    condition = Condition(harness.key_names[0])
    check = Check(CheckKind.VOLTS, condition, red="CHASSIS", black="G1.-")
    for seed in range(12):
        vehicle = Vehicle(harness, (), ("E9:load",), condition, seed=seed, slips=1.0)
        assert abs(vehicle.answer(check).value) < 20.0
