"""A pulled fuse judged by the load's own settings, its amperes with its own loads alone, and what it charges."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from tests.model.review.fuse_rigs import demo_uses, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import demo, rig

TWO_WAYS = stiff_rig(
    'busbars = [ { id = "BB1" } ]\n'
    'fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" } ]\n'
    'switches = [ { id = "S1" }, { id = "S2" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21, at = 12, works_with = { S1 = "on" } } ]\n'
    + short_wires("G1.+ BB1", "F1.out S1.1", "F2.out S2.1", "S1.2 E1.+", "S2.2 E1.+", "E1.- G1.-")
)


def test_a_load_dies_by_its_own_switch_though_another_setting_keeps_it_alive() -> None:
    """S1 is the lamp's own: with F1 out it is dead by S1, and alive by S2 alone through F2; F2 kills nothing then."""
    uses = uses_of(TWO_WAYS)
    told = uses["F1"].pulled
    assert [(one.condition.by_name, one.dies) for one in told if one.dies] == [({"S1": "on"}, ("E1:load",))]
    assert [(one.condition.by_name, one.alive[0].by) for one in told if one.alive] == [({"S2": "on"}, ("F2",))]
    assert (uses["F2"].dies, uses["F2"].alive) == ((), ("E1:load",))


@pytest.mark.slow
def test_the_indicators_of_the_buggy_die_with_the_fuse_of_the_ignition_bus() -> None:
    """F10 out: 0 V with the stalk to the left, alive through F17 only with the hazard switch."""
    bench = Bench(demo("trail_buggy"))
    out = bench.survey(Condition("ignition", (("S5", "left"), ("F10", OUT))))
    assert out.loads["E3:load"].volts == pytest.approx(0, abs=0.01)
    use = next(one for one in demo_uses("trail_buggy") if one.fuse.id == "F10")
    assert {"E3:load", "E4:load", "E23:load", "E24:load"} <= set(use.dies)
    lives = {stays.name: (one.condition.by_name, stays.by[0]) for one in use.pulled for stays in one.alive}
    assert lives["E3:load"] == ({"S7": "on"}, "F17")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "fuse_id", "settings"),
    [
        ("trail_buggy", "F13", {"S2": "head", "S3": "dip"}),
        ("trail_buggy", "F16", {"S10": "pressed"}),
        ("trail_buggy", "F17", {"S7": "on"}),
        ("trail_buggy", "F18", {"S17": "open", "S18": "open", "E12": "on"}),
        ("trail_buggy", "F31", {"S14": "high"}),
        ("harbour_launch", "F34", {"S10": "on", "S26": "down"}),
        ("harbour_launch", "F5", {"G6": "on"}),
    ],
)
def test_no_setting_of_its_own_loads_gives_a_fuse_more_than_its_most(
    name: str, fuse_id: str, settings: dict[str, str]
) -> None:
    """The engine running, or a charger turned on by hand, and nothing else set: the most is no less."""
    key = "off" if fuse_id == "F5" else "running"
    plain = Bench(demo(name)).survey(Condition(key, tuple(settings.items()))).fuse_amps[fuse_id]
    use = next(one for one in demo_uses(name) if one.fuse.id == fuse_id)
    assert plain > 1
    assert use.most is not None
    assert use.most.amps >= plain - 1e-6


def test_a_charge_fuse_is_told_by_the_battery_that_it_charges() -> None:
    """G2 at 14 V charges G1 through F1, and F2 feeds a lamp: F1 leaves G1 uncharged by G2, F2 does not."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 60, style = "link" }, { id = "F2", amps = 10 } ]\n'
        'chargers = [ { id = "G2", volts = 14, ohms = 0.05 } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
        + short_wires("G2.+ F1.in", "F1.out G1.+", "G1.+ F2.in", "F2.out E1.+", "E1.- G1.-", "G2.- G1.-"),
        batteries='{ id = "G1", emf = 12, charged_emf = 13, ohms = 0.01 }',
        states='{ name = "off" }, { name = "running", charging = true }',
    )
    uses = uses_of(harness)
    assert [(one.battery_id, one.charger_ids) for one in uses["F1"].uncharged] == [("G1", ("G2",))]
    assert uses["F2"].uncharged == ()
