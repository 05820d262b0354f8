"""Laws that every circuit keeps, tried on random small harnesses."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.circuit.condition import make_condition
from model.circuit.meter import read_volts
from model.circuit.settle import Settled, settle
from model.circuit.solver import islands
from model.circuit.survey import LoadState, survey
from model.harness.harness import Harness
from tests.properties.plausible import Plan, as_harness, new_name, plans, renamed

TRIES = settings(max_examples=60, deadline=None)


def settle_plan(plan: Plan, rig: Harness, *faults: str) -> Settled:
    """Settle a harness with the circuits on that its plan has on."""
    return settle(rig, make_condition(rig, settings=plan.settings, faults=faults))


def faults_of(plan: Plan) -> list[str]:
    """Name a fault of every kind that each circuit can have."""
    found = ["G1=flat", "G1.+=high", "W5=high", "GND1=open", "GND2=high", "F100=blown", "G2=no output", "W3=to body"]
    for n, circuit in enumerate(plan.circuits, start=1):
        found += [f"F{n}=high", f"S{n}:1-2=stuck", f"E{n}:load=short", f"E{n}:load=low draw", f"E{n}.-=open"]
        found += [f"W{10 * n + 6}=open", f"W{10 * n + 6}=to body", f"W{10 * n}=touches:BB1", f"W{10 * n}=elsewhere:BB1"]
        found += [f"X{n}.1=high"] if circuit.has_plug else []
        found += [f"K{n}:30-87=stuck", f"K{n}:coil=open"] if circuit.has_relay else []
    return found


@given(plan=plans, data=st.data())
@TRIES
def test_currents_sum_to_zero_at_each_node(plan: Plan, data: st.DataObject) -> None:
    """What flows into a node flows out of it (Kirchhoff), healthy and with a fault; within a microampere."""
    fault = data.draw(st.sampled_from(["", *faults_of(plan)]))
    found = settle_plan(plan, plan.harness(), *([fault] if fault else []))
    count = len(found.net.names)
    sums = np.bincount(found.net.other, found.amps, count) - np.bincount(found.net.one, found.amps, count)
    assert sums == pytest.approx(np.zeros(count), abs=1e-6)


@given(plan=plans, data=st.data())
@TRIES
def test_no_point_stands_outside_the_range_of_the_sources_of_its_island(plan: Plan, data: st.DataObject) -> None:
    """The highest and the lowest of an island are posts of batteries and chargers; without one it has no volts."""
    fault = data.draw(st.sampled_from(["", *faults_of(plan)]))
    found = settle_plan(plan, plan.harness(), *([fault] if fault else []))
    one, other = np.array(found.net.one), np.array(found.net.other)
    carries = (np.abs(found.relaxed.amps) > 1e-9) | found.relaxed.joins
    island = islands(len(found.net.names), one[carries], other[carries])
    posts = [found.net.index[name] for name in ("G1.+", "G1.-", "G2.+", "G2.-")]
    volts = found.relaxed.volts
    for number in set(island.tolist()):
        own = volts[island == number]
        sources = [float(volts[node]) for node in posts if island[node] == number] or [float(own[0])]
        assert own.max() <= max(sources) + 1e-6
        assert own.min() >= min(sources) - 1e-6


@pytest.mark.slow
@given(plan=plans, data=st.data())
@TRIES
def test_behind_a_single_open_a_meter_reads_next_to_nothing(plan: Plan, data: st.DataObject) -> None:
    """10 MΩ from a load's plus to its minus, its feed open, the load in and out: under 0.05 V."""
    n = data.draw(st.integers(1, len(plan.circuits)))
    rig = plan.harness()
    for out in ((), (f"E{n}=out",)):
        condition = make_condition(rig, settings=(*plan.settings, *out), faults=(f"W{10 * n + 6}=open",))
        reading = read_volts(rig, condition, f"E{n}.+", f"E{n}.-")
        assert reading is not None
        assert abs(reading) < 0.05


@pytest.mark.slow
@given(plan=plans, data=st.data())
@TRIES
def test_neither_names_nor_order_change_the_volts(plan: Plan, data: st.DataObject) -> None:
    """Every part renamed and every table shuffled: the same volts at the same points, the same fuses and relays."""
    rows = plan.rows()
    fault = data.draw(st.sampled_from(["", *faults_of(plan)]))
    shuffled = {table: data.draw(st.permutations(own)) for table, own in renamed(rows).items()}
    other = as_harness(shuffled)
    faults = (new_name(fault),) if fault else ()
    condition = make_condition(other, settings=tuple(new_name(word) for word in plan.settings), faults=faults)
    there = settle(other, condition)
    here = settle_plan(plan, as_harness(rows), *([fault] if fault else []))
    for name in here.net.names[: here.net.point_count]:
        assert there.volts_at(new_name(name)) == pytest.approx(here.volts_at(name), abs=1e-6), name
    assert there.blown == tuple(new_name(name) for name in here.blown)
    assert there.relays == {new_name(name): pulled for name, pulled in here.relays.items()}


@pytest.mark.slow
@given(plan=plans, scale=st.floats(0.1, 50))
@TRIES
def test_resistances_and_currents_scale_against_each_other(plan: Plan, scale: float) -> None:
    """With every resistance of the file multiplied the volts stay and the currents are divided."""
    here, there = settle_plan(plan, plan.harness()), settle_plan(plan, plan.scaled(scale).harness())
    assert there.volts == pytest.approx(here.volts, abs=2e-4)
    assert there.amps * scale == pytest.approx(here.amps, abs=1e-2)


@given(plan=plans)
@TRIES
def test_a_healthy_harness_has_no_dead_and_no_weak_load(plan: Plan) -> None:
    """What is asked works and what is not is off, told with a spare wire open against a healthy twin."""
    rig = plan.harness()
    found = survey(rig, make_condition(rig, settings=plan.settings, faults=("W6=open",)))
    assert found.healthy is not found.settled
    states = {n: found.loads[f"E{n}:load"].state for n in range(1, len(plan.circuits) + 1)}
    wanted = {n: LoadState.WORKS if c.is_on else LoadState.OFF for n, c in enumerate(plan.circuits, start=1)}
    assert states == wanted


@given(plan=plans, data=st.data())
@TRIES
def test_an_open_in_a_loads_own_wire_kills_that_load_and_no_other(plan: Plan, data: st.DataObject) -> None:
    """The load is dead or was off; the others work as they did, or better."""
    n = data.draw(st.integers(1, len(plan.circuits)))
    rig = plan.harness()
    found = survey(rig, make_condition(rig, settings=plan.settings, faults=(f"W{10 * n + 6}=open",)))
    for number, circuit in enumerate(plan.circuits, start=1):
        alive = LoadState.DEAD if number == n else LoadState.WORKS
        assert found.loads[f"E{number}:load"].state == (alive if circuit.is_on else LoadState.OFF)
