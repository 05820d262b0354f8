"""First power of looms that are out of the ordinary: taps past the lamp, banks, a grounded plus, unfused metal."""

from __future__ import annotations

import pytest

from model.circuit.condition import OUT, Condition
from model.circuit.series_lamp import read_series_lamp
from model.harness.harness import Harness
from model.plans.first_power import first_power_plan
from model.plans.plan import LAMP_WATTS, Measure
from tests.model.plans.test_first_power import TWO_ENDS, TWO_FUSES, plan_of, row_of, two_fuses
from tests.model.tracing.rigs import rig, wires


def test_what_hangs_unfused_shows_with_every_fuse_out() -> None:
    """A heater of 22.9 Ω straight on the post lights the lamp to 1.23 V though no fuse is in."""
    harness = rig(
        'loads = [ { id = "E1", kind = "heater", ohms = 22.9 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
        batteries='{ id = "G1", emf = 12.7, ohms = 0.005 }',
    )
    assert row_of(first_power_plan(harness), "G1.+ bare off").expect == pytest.approx(1.23, abs=0.03)


def test_each_bank_has_the_lamp_alone() -> None:
    """The launch has a house and a start bank: with the lamp at one, the clamps of the other are off."""
    _, plan = plan_of("harbour_launch")
    for row in plan.rows:
        others = {"G1.+": ("G3", "G4"), "G3.+": ("G1", "G2")}[row.red]
        assert all(row.condition.by_name.get(battery_id) == OUT for battery_id in others)
    assert {row.red for row in plan.rows} == {"G1.+", "G3.+"}
    assert any("several batteries" in words for words in plan.about)


TAPPED = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10, label = "Radio" }, { id = "F3", amps = 10 } ]
switches = [ { id = "S1" } ]
modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 1 } ] } ]
loads = [
  { id = "E1", kind = "lamp", watts = 5 },
  { id = "E2", kind = "lamp", watts = 5, at = 12 },
  { id = "E3", kind = "lamp", watts = 5, at = 12, works_with = { S1 = "on" } },
]
"""
CHAIN = ("G1.+ F1.in", "F1.out E1.+", "E1.- G2.-", "G1.- G2.+")
FUSED_TAP = ("G2.+ F2.in", "F2.out E2.+", "E2.- G2.-", "F2.out F3.in", "F3.out A1.30", "A1.31 G2.-")
OPEN_TAP = ("S1.1 G2.+", "S1.2 E3.+", "E3.- G2.-")


def tapped(*ends: str) -> Harness:
    """Give two batteries in series with a lamp behind F1 at the live end, and what hangs between them."""
    rows = TAPPED + wires(*CHAIN, *ends)
    return rig(rows, build="nominal_volts = 24", batteries='{ id = "G1" }, { id = "G2" }')


def test_a_fuse_that_is_fed_past_the_lamp_stays_out() -> None:
    """Shorted behind, F2 would carry all that G2 gives and leave the lamp dark: it has no row, F3 behind it neither."""
    harness = tapped(*FUSED_TAP)
    short = Condition("off", (("F1", OUT), ("F3", OUT), ("A1", OUT)))
    dark = read_series_lamp(harness, short, "G1.+", LAMP_WATTS, touching=("F2.out", "G2.-"))
    assert dark.volts == pytest.approx(0.0, abs=0.01)
    plan = first_power_plan(harness)
    assert {row.key.partition(" ")[0] for row in plan.rows} == {"G1.+", "F1"}
    assert all(row.condition.by_name.get(fuse_id) == OUT for row in plan.rows for fuse_id in ("F2", "F3"))
    said = [words for words in plan.left_out if "past the lamp" in words]
    assert [words.partition(":")[0] for words in said] == [
        "Fuse F2 (Radio) stays out",
        "Fuse F3 stays out",
        "A1 stays unplugged until the lamp is off",
    ]
    assert plan.undetected == ()
    assert not any("Take W" in words for row in plan.rows for words in row.before)


def test_a_tap_without_a_fuse_comes_off_its_post() -> None:
    """W5 leads from between the batteries to a switch: the first row takes it off, and every row stands with it off."""
    plan = first_power_plan(tapped(*OPEN_TAP))
    bare, *others = plan.rows
    assert "Take W5 off the positive post of battery G2: no fuse guards it, and the lamp does not." in bare.before
    assert not any("Take W5" in words for row in others for words in row.before)
    assert all(row.condition.by_name["W5.b"] == "off" for row in plan.rows)


@pytest.mark.parametrize(("more", "is_said"), [((), False), (FUSED_TAP, True), (OPEN_TAP, True)])
def test_what_is_tapped_inside_a_chain_is_said(more: tuple[str, ...], is_said: bool) -> None:
    """What hangs between two batteries in series is fed past the lamp at their end; the link alone is not."""
    assert any("past the lamp" in words for words in first_power_plan(tapped(*more)).about) is is_said


def test_a_loom_with_the_plus_grounded_has_the_lamp_at_the_minus_post() -> None:
    """The tractor's plus is on its frame."""
    _, plan = plan_of("field_tractor")
    assert {row.red for row in plan.rows} == {"G1.-"}


@pytest.mark.parametrize("watts", [5.0, 21.0, 55.0])
def test_the_lamp_may_be_another(watts: float) -> None:
    """Its power stands in the text and in the figures: a short takes watts over nominal volts, and a little more."""
    plan = first_power_plan(two_fuses(), watts)
    assert f"{watts:g} W" in plan.about[0]
    assert row_of(plan, "F1 off").amps == pytest.approx(watts / 12.0, rel=1e-4)


ODD = {
    "no fuse": rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-")),
    "no wire": rig(""),
    "no body": rig(TWO_FUSES + wires(*TWO_ENDS), build="nominal_volts = 12, chassis = false"),
    "one key state that charges": rig(
        wires("G1.+ G1.-").replace("G1.-", "J1") + 'splices = [ { id = "J1" } ]\n',
        states='{ name = "on", charging = true }',
    ),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_looms_have_a_plan(name: str) -> None:
    """Whatever is missing, the lamp is read once with every fuse out, and the plan says when to stop."""
    plan = first_power_plan(ODD[name])
    assert plan.rows[0].measure is Measure.LAMP
    assert any("Stop at once" in words for words in plan.about)
