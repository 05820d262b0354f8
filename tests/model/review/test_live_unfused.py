"""How far wires run without a fuse."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.toml_file import read_harness
from model.review.live_unfused import UnfusedRun, unfused_runs
from tests.model.circuit.rig import CHAIN, harness, surveyed

ROOT = Path(__file__).parents[3]

TWO_BRANCHES = """
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" } ]
switches = [ { id = "S1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "BB1", length = 0.3 },
  { id = "W2", from = "BB1", to = "S1.1", length = 0.5 },
  { id = "W3", from = "S1.2" },
  { id = "W4", from = "F1.out", length = 2 },
]
"""


def runs(rows: str, *words: str, key: str | None = None) -> dict[str, UnfusedRun]:
    """Give the unfused runs of a rig by their ends."""
    return {run.end: run for run in unfused_runs(surveyed(harness(rows), *words, key=key))}


def test_a_run_ends_at_the_first_fuse() -> None:
    """One metre of W1 stands between the post and F1; what is behind F1 is none of it."""
    assert runs(CHAIN) == {
        "F1.in": UnfusedRun("G1.+", "F1.in", ("F1",), ("W1",), runs(CHAIN)["F1.in"].length),
    }
    assert runs(CHAIN)["F1.in"].length.metres == 1.0


def test_every_branch_is_summed_and_one_without_a_fuse_stands_first() -> None:
    """0.3 m to the bar with its two fuses, 0.3 + 0.5 m to a switch without any."""
    found = runs(TWO_BRANCHES)
    assert list(found) == ["S1.1", "BB1"]
    assert found["BB1"].fuses == ("F1", "F2")
    assert found["S1.1"].wires == ("W1", "W2")
    assert found["S1.1"].length.metres == pytest.approx(0.8)
    assert not found["S1.1"].length.is_assumed


def test_a_closed_contact_leads_on_and_a_length_that_is_not_given_is_told() -> None:
    """With S1 on W3 hangs on the post too: 1.5 m are assumed for it."""
    run = runs(TWO_BRANCHES, "S1=on")["W3.b"]
    assert run.fuses == ()
    assert run.length.metres == pytest.approx(2.3)
    assert run.length.is_assumed


def test_a_pulled_fuse_still_ends_its_run() -> None:
    """The holder of F1 is where the run ends, whether the fuse is in it or not."""
    assert runs(CHAIN, "F1=out")["F1.in"].fuses == ("F1",)


def test_a_charger_has_runs_of_its_own_while_it_feeds() -> None:
    """At rest its wire hangs behind F1; running, its metre of wire ends at F1 from the other side."""
    rows = """
chargers = [ { id = "G2", volts = 14 } ]
fuses = [ { id = "F1", amps = 60 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0.2 },
  { id = "W2", from = "F1.out", to = "G2.+", length = 1 },
  { id = "W3", from = "G2.-", to = "G1.-", length = 1 },
]
"""
    assert set(runs(rows)) == {"F1.in"}
    running = runs(rows, key="running")
    assert (running["F1.out"].source, running["F1.out"].length.metres) == ("G2.+", 1.0)


def test_the_buggy_has_an_unfused_starter_cable() -> None:
    """W1 and W21, 0.3 + 0.9 m, run from the post to the solenoid without a fuse; the bar's fuses guard the rest."""
    bench = Bench(read_harness(ROOT / "demo_builds" / "trail_buggy.toml"))
    found = unfused_runs(bench.survey(Condition("off")))
    assert [(run.end, run.fuses, round(run.length.metres, 3)) for run in found] == [
        ("K12.30", (), 1.2),
        ("BB1", ("F1", "F2", "F3", "F4", "F5"), 0.3),
    ]


def test_without_a_battery_in_there_is_none() -> None:
    """The battery out, nothing feeds."""
    assert runs(CHAIN, "G1=out") == {}
