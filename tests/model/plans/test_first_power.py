"""The plan of the first power: the order of the fuses, what the lamp shows, and what it cannot tell."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from model.cautions import crank_keys
from model.circuit.condition import OUT
from model.circuit.series_lamp import read_series_lamp
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.records import Wire
from model.plans.first_power import first_power_plan
from model.plans.first_power_scene import FirstPower
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import LAMP_WATTS, Measure, Plan, PlanKind, PlanRow
from model.plans.row_words import limit_words
from model.words import drop_text
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

TWO_FUSES = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [[30, 15]] } },
  { id = "S1" },
]
loads = [
  { id = "E1", kind = "heater", ohms = 22.9, works_with = { S1 = "on" } },
  { id = "E2", kind = "lamp", watts = 5 },
]
"""
TWO_ENDS = (
    "G1.+ S0.30",
    "G1.+ F1.in",
    "F1.out S1.1",
    "S1.2 E1.+",
    "E1.- G1.-",
    "S0.15 F2.in",
    "F2.out E2.+",
    "E2.- G1.-",
)


@cache
def plan_of(name: str) -> tuple[Harness, Plan]:
    """Make the plan of a demo build once for all tests."""
    harness = demo(name)
    return harness, first_power_plan(harness)


@cache
def two_fuses() -> Harness:
    """Give a heater behind a permanent fuse and a lamp behind one that the key feeds."""
    return rig(TWO_FUSES + wires(*TWO_ENDS), batteries='{ id = "G1", emf = 12.7, ohms = 0.005 }')


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of this key."""
    return next(row for row in plan.rows if row.key == key)


def fitted(harness: Harness, row: PlanRow) -> str:
    """Name the fuse that a row of the lamp fits; empty of another row."""
    fuse_id = row.key.partition(" ")[0]
    is_fuse = fuse_id in {fuse.id for fuse in harness.fuses}
    return fuse_id if is_fuse and row.title.startswith("Fuse ") else ""


def test_a_load_of_half_an_ampere_lifts_the_lamp_to_1_2_volts() -> None:
    """12 V × (0.5 A / 1.75 A)^(1 / 0.55) = 1.23 V by the law of the filament, with the heater of 22.9 Ω on 12.7 V."""
    row = row_of(first_power_plan(two_fuses()), "F1 off S1=on")
    assert row.measure is Measure.LAMP
    assert row.expect == pytest.approx(1.23, abs=0.03)
    assert "glows" in row.expect_words
    assert row.amps == pytest.approx(1.75)
    assert row.tells


def test_fuses_go_in_as_the_key_feeds_them() -> None:
    """First all out, then the permanent one, its load, and at last the one that the key feeds."""
    keys = [row.key for row in first_power_plan(two_fuses()).rows]
    assert keys == ["G1.+ bare off", "F1 off", "F1 off S1=on", "F2 on"]


def test_with_one_fuse_in_the_others_are_out() -> None:
    """The condition of a row has every other fuse out, so that it can be solved as it stands."""
    row = row_of(first_power_plan(two_fuses()), "F1 off")
    assert row.condition.by_name == {"F2": OUT}


def test_the_lamp_is_dark_with_every_fuse_out() -> None:
    """No more than 20 mA through a cold lamp of 21 W give: 0.571 Ω × 20 mA = 11.4 mV."""
    row = row_of(first_power_plan(two_fuses()), "G1.+ bare off")
    assert row.expect == pytest.approx(0.0, abs=1e-3)
    assert judge(row, Taken(value=0.011)).standing is Standing.GOOD
    assert judge(row, Taken(value=0.0120)).standing is Standing.BAD


@pytest.mark.parametrize(
    ("nominal_volts", "watts", "most_volts"),
    [(6, 21.0, 0.00286), (12, 21.0, 0.01143), (24, 21.0, 0.04571), (12, 55.0, 0.00436), (12, 5.0, 0.0480)],
)
def test_a_dark_lamp_is_judged_by_its_own_filament(nominal_volts: int, watts: float, most_volts: float) -> None:
    """20 mA through volts² / watts / 12, a cold filament; of 5 W just as hot, 12 V × 0.048^(1 / 0.55)."""
    harness = rig(
        TWO_FUSES + wires(*TWO_ENDS),
        build=f"nominal_volts = {nominal_volts}",
        batteries=f'{{ id = "G1", volts = {nominal_volts} }}',
    )
    row = row_of(first_power_plan(harness, watts), "G1.+ bare off")
    assert row.limit is not None
    assert row.limit.high == pytest.approx(most_volts, rel=0.003)
    assert row.in_millivolts
    assert f"a lamp of {watts:g} W at {nominal_volts} V" in row.limit.computed_from
    assert limit_words(row, row.limit) == f"at most {drop_text(most_volts)}"


MOTOR = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "M1", kind = "motor", amps = 3, %sworks_with = { S1 = "on" } } ]
"""


@pytest.mark.parametrize(("given", "standing"), [("", 10.9), ("start_amps = 30, ", 11.9)])
def test_a_motor_that_stands_still_behind_the_lamp_is_not_bad(given: str, standing: float) -> None:
    """4 Ω turning leave the lamp 6.0 V; 1 Ω, four times 3 A, 10.9 V; at 30 A, 0.4 Ω, 11.9 V: each is good.

    10.9 V on the lamp drive 1.66 A, 1.7 V on 1 Ω; 11.9 V drive 1.74 A, 0.7 V on 0.4 Ω; the wires take 0.1 V. A motor
    that is not on is bad, and a short, 12.7 V, is not seen: the row says so.
    """
    rows = MOTOR % given + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 M1.+", "M1.- G1.-")
    row = row_of(first_power_plan(rig(rows, batteries='{ id = "G1", emf = 12.7, ohms = 0.005 }')), "F1 off S1=on")
    assert "where the motor stands still" in row.expect_words
    shown = re.search(r"up to ([0-9.]+) V", row.expect_words)
    assert shown is not None
    assert float(shown[1]) == pytest.approx(standing, abs=0.08)
    for volts in (row.expect, standing, 12.5):
        assert judge(row, Taken(value=volts)).standing is Standing.GOOD
    assert judge(row, Taken(value=0.0)).standing is Standing.BAD
    assert row.blind == "A motor that stands still is nearly a short itself: this row sees none."


def test_a_motor_that_is_on_by_itself_is_named_to_unplug() -> None:
    """Behind it a short looks the same, turning or not: its fuse proves nothing until it is unplugged."""
    rows = MOTOR.replace(', %sworks_with = { S1 = "on" }', "")
    harness = rig(rows + wires("G1.+ F1.in", "F1.out M1.+", "M1.- G1.-"))
    row = row_of(first_power_plan(harness), "F1 off")
    assert not row.tells
    assert row.opens == ("M1",)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_sound_loom_passes_every_row(name: str) -> None:
    """The lamp of a sound loom shows what is expected; rows that could not fail stay unproven."""
    _, plan = plan_of(name)
    assert plan.kind is PlanKind.FIRST_POWER
    assert len({row.key for row in plan.rows}) == len(plan.rows)
    for row in plan.rows:
        assert row.red
        if row.expect is not None:
            assert judge(row, Taken(value=row.expect)).standing in (Standing.GOOD, Standing.UNPROVEN), row.key


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_short_behind_a_fuse_makes_its_row_bad(name: str) -> None:
    """With a fuse shorted to ground behind it the lamp leaves its limit, or the relays that feed it chatter."""
    harness, plan = plan_of(name)
    shown = 0
    for row in plan.rows:
        fuse_id = fitted(harness, row)
        if not fuse_id or not row.tells:
            continue
        black = next(bank.black for bank in FirstPower(harness, LAMP_WATTS).banks if bank.live == row.red)
        lamp = read_series_lamp(harness, row.condition, row.red, LAMP_WATTS, touching=(f"{fuse_id}.out", black))
        assert lamp.settled.buzzing or judge(row, Taken(value=lamp.volts)).standing is Standing.BAD, row.key
        shown += 1
    assert shown >= len(harness.fuses) // 2


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_fuse_that_a_row_proves_is_missed_where_it_is_out(name: str) -> None:
    """Taken out, or blown, it makes the row bad; where whole and blown read alike the row says so and proves none."""
    harness, plan = plan_of(name)
    rows = [row for row in plan.rows if fitted(harness, row)]
    assert {row.covers for row in rows} > {()}
    for row in rows:
        fuse_id = fitted(harness, row)
        out = row.condition.with_setting(fuse_id, OUT)
        lamp = read_series_lamp(harness, out, row.red, LAMP_WATTS)
        standing = Standing.BAD if lamp.settled.buzzing else judge(row, Taken(value=lamp.volts)).standing
        if row.covers:
            assert row.covers == (fuse_id,)
            assert standing is Standing.BAD, row.key
        elif row.limit is not None:
            assert standing is not Standing.BAD or lamp.settled.buzzing, row.key
            assert lamp.settled.buzzing or "A blown fuse looks the same" in row.blind, row.key


def test_a_fuse_proves_itself_where_its_load_is_on_by_itself() -> None:
    """A lamp of 5 W lifts the one in series; a fuse whose load waits for a switch shows nothing of itself."""
    plan = first_power_plan(two_fuses())
    assert row_of(plan, "F2 on").covers == ("F2",)
    assert row_of(plan, "F1 off").covers == ()
    assert row_of(plan, "F1 off").blind == "A blown fuse looks the same; its loads show it."


@pytest.mark.slow
def test_what_is_not_to_be_done_stands_after_what_is() -> None:
    """What the lamp does then, and what a short would show meanwhile, follow every step of the hands."""
    for row in plan_of("trail_buggy")[1].rows:
        shown = [words.startswith(("Then the lamp", "Meanwhile a short")) for words in row.before]
        assert shown == sorted(shown), row.key


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_fuse_is_fitted_or_named(name: str) -> None:
    """Each goes in once, after those that feed it; the ones that nothing makes live are named."""
    harness, plan = plan_of(name)
    order = list(dict.fromkeys(fuse_id for row in plan.rows if (fuse_id := fitted(harness, row))))
    for fuse in harness.fuses:
        assert fuse.id in order or any(
            f"Fuse {fuse.id} " in words or f"Fuse {fuse.id}:" in words for words in plan.undetected
        )
    first = {part_id: place for place, part_id in enumerate(order)}
    fuses = {fuse.id for fuse in harness.fuses}
    for row in plan.rows:
        fuse_id = fitted(harness, row)
        if fuse_id:
            needed = fuses - {name for name, value in row.condition.settings if value == OUT} - {fuse_id}
            assert all(first[one] < first[fuse_id] for one in needed), row.key


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_modules_come_last_with_their_plug_read_before(name: str) -> None:
    """Unplugged in every row before, each terminal of its plug read, then plugged in; the engine never turns."""
    harness, plan = plan_of(name)
    charging = {state.name for state in harness.key_states if state.charging}
    plugged: set[str] = set()
    read: set[str] = set()
    for row in plan.rows:
        assert row.condition.key not in crank_keys(harness) | charging
        read |= {point.partition(".")[0] for point in row.points if row.measure is Measure.VOLTS}
        for module in harness.modules:
            if row.covers == (module.id,):
                assert module.id in read
                plugged.add(module.id)
            elif module.id not in plugged or row.measure is Measure.VOLTS:
                assert row.condition.by_name.get(module.id) == OUT
        assert all(may_be_probed(harness, point) is None for point in row.points)
    assert plugged == {module.id for module in harness.modules}


def test_the_plug_of_the_radio_reads_as_its_pins_say() -> None:
    """Terminal 30 live with the key off, 75 from accessory on, 31 the battery's volts below the live post."""
    _, plan = plan_of("trail_buggy")
    found = {row.key: row.expect for row in plan.rows if row.key.startswith("A2.")}
    assert found["A2.30 plug off"] == pytest.approx(12.7, abs=0.05)
    assert found["A2.75 plug off"] == pytest.approx(0.0, abs=0.05)
    assert found["A2.75 plug accessory"] == pytest.approx(12.56, abs=0.1)
    assert found["A2.31 plug off"] == pytest.approx(12.7, abs=0.05)


def test_a_crossed_plug_is_bad_before_the_module_is_in() -> None:
    """With feed and ground of the radio exchanged, the row of terminal 30 reads nothing and that of 31 nothing too."""
    harness, plan = plan_of("trail_buggy")
    wrong = replace(harness, wires=tuple(_crossed(wire) for wire in harness.wires))
    row = row_of(plan, "A2.30 plug off")
    lamp = read_series_lamp(wrong, row.condition, "G1.+", 21.0, probes=(row.red, row.black))
    assert judge(row, Taken(value=lamp.read_volts(row.red, row.black))).standing is Standing.BAD


def _crossed(wire: Wire) -> Wire:
    """Exchange the radio's permanent feed and its ground."""
    if wire.id == "W141":
        return wire.model_copy(update={"to_point": "A2.31"})
    if wire.id == "W143":
        return wire.model_copy(update={"from_point": "A2.30"})
    return wire


def test_a_load_that_hides_a_short_is_named() -> None:
    """A heater of 0.3 Ω that is on by itself takes all the lamp gives: a short shows only with it unplugged."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 50 } ]\nloads = [ { id = "E1", kind = "heater", ohms = 0.3, label = "Plug" } ]\n'
        + wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-"),
        batteries='{ id = "G1", emf = 12.7, ohms = 0.005 }',
    )
    row = row_of(first_power_plan(harness), "F1 off")
    assert not row.tells
    assert row.opens == ("E1",)
    assert "Unplug E1 (Plug)" in row.blind
    assert judge(row, Taken(value=row.expect)).standing is Standing.UNPROVEN


def test_nobody_plugs_an_airbag_module_in() -> None:
    """Marked as of a restraint it stays unplugged and its fuse out; both are named, and have no row."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 10 } ]\n'
        'modules = [ { id = "A1", label = "Airbag unit", hazard = "restraint", '
        'feeds = [ { terminal = "30", amps = 1 } ] } ]\n' + wires("G1.+ F1.in", "F1.out A1.30", "A1.31 G1.-")
    )
    plan = first_power_plan(harness)
    assert [row.key for row in plan.rows] == ["G1.+ bare off"]
    assert any(words.startswith("Fuse F1 stays out") for words in plan.left_out)
    assert any("Airbag unit" in words and "licensed" in words for words in plan.left_out)
    assert all(row.condition.by_name["A1"] == OUT for row in plan.rows)


def test_the_clamps_carry_their_caution() -> None:
    """The first row, at which the clamp goes on, says which cable is last, and that nothing is fused there."""
    _, plan = plan_of("trail_buggy")
    cautions = " ".join(plan.rows[0].cautions)
    assert "put it on last" in cautions
    assert "No fuse stands before this metal" in cautions
