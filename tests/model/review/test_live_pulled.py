"""What a pulled fuse leaves live."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.review.live_points import LiveKind, live_points
from model.review.live_pulled import StaysLive, stays_live
from tests.benchmarks.looms import loom_text
from tests.model.circuit.rig import CHAIN, condition, harness
from tests.model.review.live_walked import why_broken

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))

TWO_FUSES = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
loads = [ { id = "E1", kind = "heater", ohms = 5 }, { id = "E2", kind = "lamp", watts = 2 } ]
splices = [ { id = "J1" }, { id = "J2" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "G1.+", to = "F2.in", length = 1 },
  { id = "W3", from = "F1.out", to = "J1", length = 1 },
  { id = "W4", from = "F2.out", to = "J2", length = 1 },
  { id = "W5", from = "J1", to = "E1.+", length = 1 },
  { id = "W6", from = "E1.-", to = "G1.-", length = 1 },
  LINK
]
"""
PILOT = TWO_FUSES.replace(
    "LINK",
    '{ id = "W7", from = "J1", to = "E2.+", length = 1 }, { id = "W8", from = "J2", to = "E2.-", length = 1 },',
)
BRIDGED = TWO_FUSES.replace("LINK", '{ id = "W7", from = "J1", to = "J2", length = 1 },')


def stays(rig: Harness, *words: str, key: str | None = None) -> dict[str, StaysLive]:
    """Give what pulled fuses leave live in a rig, by fuse, and see that the ways are whole."""
    bench = Bench(rig)
    asked = condition(rig, *words, key=key)
    found = stays_live(bench, bench.survey(asked))
    for one in found:
        pulled = bench.survey(asked.with_setting(one.fuse_id, OUT))
        assert [why_broken(point, pulled.settled) for point in one.points] == [""] * len(one.points)
    return {one.fuse_id: one for one in found}


def test_a_fuse_alone_before_its_load_leaves_nothing_live() -> None:
    """Behind F1 of the chain all is dead once it is out, with the switch on and off."""
    assert stays(harness(CHAIN)) == {}
    assert stays(harness(CHAIN), "S1=on") == {}


def test_a_bridge_between_two_circuits_feeds_back() -> None:
    """A wire from J1 to J2: either fuse out, what hangs on it is live from the other along W7."""
    found = stays(harness(BRIDGED))
    assert set(found) == {"F1", "F2"}
    point = next(one for one in found["F1"].points if one.point == "F1.out")
    assert found["F1"].load_side == "F1.out"
    assert [step.site for step in point.path] == ["W2", "F2", "W4", "W7", "W3"]
    assert {one.point for one in found["F1"].points} >= {"F1.out", "J1", "E1.+"}
    assert "F2.in" not in {one.point for one in found["F1"].points}


def test_a_lamp_between_two_feeds_lights_back_through_itself() -> None:
    """F1 out, the lamp of 2 W hangs in series with the heater of 5 Ω: J1 has some of F2's 12 V, through E2.

    Cold enough the filament has a good part of its 72 Ω: less than 2 V are left for the heater.
    """
    found = stays(harness(PILOT))
    point = next(one for one in found["F1"].points if one.point == "J1")
    assert point.through == ("E2:load",)
    assert 0.1 < point.volts < 3.0
    assert point.fused_by == "F2"
    assert {one.point for one in found["F2"].points} == {"F2.out", "J2", "E2.-"}


def test_a_relay_that_lets_go_can_feed_back() -> None:
    """F1 holds K1 and feeds its 87; out, K1 lets go and joins the heater at 30 to F2 through 87a."""
    rows = TWO_FUSES.replace('id = "W5", from = "J1", to = "E1.+"', 'id = "W5", from = "K1.30", to = "E1.+"').replace(
        "LINK",
        '{ id = "W7", from = "J1", to = "K1.86", length = 1 }, { id = "W8", from = "K1.85", to = "G1.-", length = 1 },'
        ' { id = "W9", from = "J1", to = "K1.87", length = 1 },'
        ' { id = "W10", from = "J2", to = "K1.87a", length = 1 },',
    )
    found = stays(harness('relays = [ { id = "K1", contacts = "changeover" } ]\n' + rows))
    assert {one.point for one in found["F1"].points} == {"K1.30", "E1.+"}
    assert "K1:30-87a" in [step.site for step in found["F1"].points[0].path]


def test_both_ends_of_a_link_between_two_sources_stay_live() -> None:
    """The charger's fuse out while it runs: its own side, away from the battery, is live from the charger."""
    rows = """
chargers = [ { id = "G2", volts = 14 } ]
fuses = [ { id = "F1", amps = 60 } ]
loads = [ { id = "E1", kind = "heater", ohms = 50 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0.2 },
  { id = "W2", from = "F1.out", to = "G2.+", length = 1 },
  { id = "W3", from = "G2.-", to = "G1.-", length = 1 },
  { id = "W4", from = "G2.+", to = "E1.+", length = 1 },
  { id = "W5", from = "E1.-", to = "G1.-", length = 1 },
]
"""
    assert stays(harness(rows)) == {}
    found = stays(harness(rows), key="running")["F1"]
    assert {one.point: one.source for one in found.points} == {"F1.out": "G2.+", "G2.+": "G2.+", "E1.+": "G2.+"}


def test_a_fuse_that_is_fed_from_behind_is_told() -> None:
    """The launch runs with its engine isolator open: D+ and the charge lamp feed the panel, and F20 backwards the bar.

    F20 out, its load side keeps those volts; the bar before it, which F20 fed, has none.
    """
    found = stays(read_harness(BUILDS[1]), key="running")["F20"]
    assert found.load_side == "F20.out"
    assert "E22:load" in next(one for one in found.points if one.point == "F20.out").through
    assert "BB5" not in {one.point for one in found.points}


def test_the_charge_lamp_of_the_buggy_feeds_its_instruments() -> None:
    """Running with F43 out, the instruments have volts from the alternator's D+, through the charge lamp."""
    found = stays(read_harness(BUILDS[-1]), key="running")
    point = next(one for one in found["F43"].points if one.point == "J22")
    assert point.source == "G2.+"
    assert point.through == ("G2", "E20:load")


def every_fuse(bench: Bench, survey: Survey) -> set[str]:
    """Name the fuses whose far end has more volts with the fuse out than the ground side has anywhere, each solved."""
    found: set[str] = set()
    fuses_in = [one.part_id for one in survey.settled.net.fuses if one.part_id not in survey.settled.blown]
    for fuse_id in fuses_in:
        pulled = bench.survey(survey.settled.condition.with_setting(fuse_id, OUT))
        on_ground = [one.volts for one in live_points(pulled).points if one.kind is LiveKind.GROUND]
        if abs(pulled.settled.volts_at(f"{fuse_id}.out") or 0.0) > max(map(abs, (*on_ground, 0.1))):
            found.add(fuse_id)
    return found


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_no_fuse_that_feeds_back_is_missed(path: Path) -> None:
    """Each fuse of a demo build is pulled with the key off and running: all whose far end keeps volts are named."""
    rig = read_harness(path)
    bench = Bench(rig)
    for key in (rig.key_names[0], rig.key_names[-1]):
        survey = bench.survey(Condition(key))
        named = {one.fuse_id for one in stays_live(bench, survey)}
        assert every_fuse(bench, survey) <= named


@settings(max_examples=4, deadline=None)
@given(st.integers(1, 10_000), st.sampled_from(["ignition", "running"]))
def test_no_fuse_of_a_loom_that_feeds_back_is_missed(seed: int, key: str) -> None:
    """The same on looms of a hundred wires with everything at rest."""
    bench = Bench(read_harness_text(loom_text(100, seed), "loom.toml"))
    survey = bench.survey(Condition(key))
    assert every_fuse(bench, survey) <= {one.fuse_id for one in stays_live(bench, survey)}


def test_a_charger_that_runs_behind_a_pulled_fuse_may_keep_its_points_live() -> None:
    """The launch's shore charger without its battery has no volts worked out: the fuse is told, with its points."""
    found = stays(read_harness(Path(__file__).parents[3] / "demo_builds/harbour_launch.toml"), "S10=on", "G6=on")
    one = found["F5"]
    assert one.points == ()
    assert [charger.id for charger in one.chargers] == ["G6"]
    assert set(one.loose) == {"F5.out", "G6.+"}
    assert one.load_side == "F5.out"


def test_a_charger_that_does_not_run_leaves_nothing_live_behind_its_fuse() -> None:
    """Ashore and unplugged the same charger is dead once its fuse is out."""
    found = stays(read_harness(Path(__file__).parents[3] / "demo_builds/harbour_launch.toml"), "S10=on")
    assert "F5" not in found
