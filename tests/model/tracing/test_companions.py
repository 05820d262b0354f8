"""The loads that share something with one that is complained of."""

from __future__ import annotations

from pathlib import Path

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.companions import Companion, companions
from model.tracing.load_rows import load_needs
from model.tracing.walk import Walk, Walker

BUILDS = Path(__file__).parents[3] / "demo_builds"
TWO_GROUPS = """format = 1
build = { name = "Two groups", nominal_volts = 12 }
key_states = [ { name = "on" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
splices = [ { id = "J1" } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
loads = [
  { id = "E1", label = "Left", kind = "lamp", watts = 5 },
  { id = "E2", label = "Right", kind = "lamp", watts = 5 },
  { id = "E3", label = "Far", kind = "lamp", watts = 5 },
  { id = "E4", label = "Same ground", kind = "lamp", watts = 5 },
  { id = "E5", label = "Never fed", kind = "lamp", watts = 5 },
]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in" }, { id = "W2", from = "G1.+", to = "F2.in" },
  { id = "W3", from = "F1.out", to = "J1" },
  { id = "W4", from = "J1", to = "E1.+" }, { id = "W5", from = "J1", to = "E2.+" },
  { id = "W6", from = "F2.out", to = "E3.+" }, { id = "W7", from = "F2.out", to = "E4.+" },
  { id = "W8", from = "E1.-", to = "GND1" }, { id = "W9", from = "E2.-", to = "GND1" },
  { id = "W10", from = "E3.-", to = "GND2" }, { id = "W11", from = "E4.-", to = "GND1" },
  { id = "W12", from = "E5.-", to = "GND1" }, { id = "W13", from = "G1.-", to = "CHASSIS" },
]
"""


def found_in(path: Path, *complained: str) -> tuple[Companion, ...]:
    """Return the companions of elements of a file."""
    harness = read_harness(path)
    walker = Walker(Bench(harness))

    def needs(walk: Walk) -> str:
        told = load_needs(walker, walk)
        return told.words if told.reached else ""

    return companions(harness, walker.walk, needs, complained)


def test_those_that_share_most_come_first(tmp_path: Path) -> None:
    """A twin on the same fuse, splice and ground stands before one on the ground alone; others are not named.

    E2 shares W1, F1, W3, the splice and GND1 with its bond; E4 the ground point alone; E3 hangs on the other fuse and
    the other ground point; E5 shares a ground but nothing feeds it, so nobody can tell whether it works.
    """
    path = tmp_path / "two.toml"
    path.write_text(TWO_GROUPS, encoding="utf-8")
    found = found_in(path, "E1:load")
    assert [one.element for one in found] == ["E2:load", "E4:load"]
    assert found[0].shares == ("splice J1", "fuse F1", "ground GND1")
    assert found[1].shares == ("ground GND1",)
    assert found[0].shared_sites > found[1].shared_sites
    assert found[0].needs == "no key"


def test_what_is_complained_of_is_no_companion(tmp_path: Path) -> None:
    """Of two loads complained of together neither is asked about; each thing that either shares counts."""
    path = tmp_path / "two.toml"
    path.write_text(TWO_GROUPS, encoding="utf-8")
    found = found_in(path, "E1:load", "E3:load")
    assert {one.element for one in found} == {"E2:load", "E4:load"}
    assert next(one for one in found if one.element == "E4:load").shares == ("ground GND1", "fuse F2")


def test_at_most_twelve_of_a_vehicle() -> None:
    """The pump of the buggy: twelve at most, the controller on the same relay first, each with its setting."""
    found = found_in(BUILDS / "trail_buggy.toml", "M2:load")
    assert len(found) == 12
    assert found[0].element == "A1:15"
    assert "fuse F40" in found[0].shares
    assert all(one.needs.startswith("key ") for one in found)


def test_a_battery_has_no_companions() -> None:
    """What is no circuit of a load has no walk, so nothing is asked."""
    assert found_in(BUILDS / "field_tractor.toml", "G1") == ()
