"""The least that the posts of a battery may read on a walk."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.harness.harness import Harness, all_elements
from model.tracing.expect import Expect, Expectations
from model.tracing.walk import Walker
from tests.model.tracing.rigs import demo, rig, wires

LOADS = """
chargers = [ { id = "G9", volts = 14.4 } ]
switches = [ { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [] } } ]
loads = [ { id = "E1", kind = "heater", ohms = 1.2 } ]
"""
ENDS = ("G1.+ S0.30", "S0.15 E1.+", "E1.- G1.-", "G9.+ G1.+", "G9.- G1.-")


def posts_of(harness: Harness, condition: Condition, post: str = "G1.+", black: str = "G1.-") -> Expect:
    """Give what to expect at a post in the key state of a condition."""
    return Expectations(Bench(harness), condition, "E1", black).at(post)[condition.key]


def lead(more: str = "") -> Harness:
    """Give a heater of 1.2 Ω on a battery of 12.7 V and 10 mΩ."""
    return rig(LOADS + wires(*ENDS), batteries=f'{{ id = "G1", emf = 12.7, ohms = 0.01{more} }}')


@pytest.mark.parametrize(
    ("name", "load", "post", "least"),
    [("trail_buggy", "P1:load", "G1.+", 11.97), ("harbour_launch", "E1:load", "G1.+", 23.89)],
)
def test_a_flat_battery_is_not_good_on_a_walk(name: str, load: str, post: str, least: float) -> None:
    """12.0 V per 12 V, less what the load that is on takes: 11.64 V, 4 % and more under the file's, is flat."""
    harness = demo(name)
    bench = Bench(harness)
    walk = Walker(bench).walk(next(one for one in all_elements(harness) if one.name == load))
    expect = Expectations(bench, walk.working.condition, None, walk.black).at(post)
    assert expect[walk.working.condition.key].low == pytest.approx(least, abs=0.01)


def test_on_a_positive_ground_the_floor_is_below_zero() -> None:
    """The tractor's live post reads -6.35 V at rest, and good no nearer to zero than -6.0 V."""
    expect = posts_of(demo("field_tractor"), Condition("off"), "G1.-", "G1.+")
    assert expect.high == pytest.approx(-6.0, abs=0.01)
    assert expect.low == pytest.approx(-6.87, abs=0.02)


def test_a_load_that_is_on_lowers_the_floor() -> None:
    """10 A through 10 mΩ: 0.1 V, so that 11.9 V are good while they flow."""
    off, on = (posts_of(lead(), Condition(key)) for key in ("off", "on"))
    assert off.low == pytest.approx(12.0, abs=0.005)
    assert on.low == pytest.approx(11.9, abs=0.01)


def test_where_the_band_counts_there_is_no_floor() -> None:
    """While a charger is on, with the posts as read, of a lithium battery, and of any other point."""
    harness = lead()
    read = make_condition(harness, key="on", posts_volts=11.5)
    running = posts_of(harness, Condition("running"))
    assert running.on is not None
    assert running.low is not None
    assert running.low < 0.97 * running.on
    found = posts_of(harness, read)
    assert found.low is not None
    assert found.low < 11.5
    lithium = posts_of(lead(', chemistry = "lithium"'), Condition("off"))
    assert lithium.low is not None
    assert lithium.low < 11.7
    behind = posts_of(harness, Condition("on"), "S0.30")
    assert behind.low is not None
    assert behind.low < 11.7


def test_a_battery_that_is_low_by_its_file_is_good_as_it_is() -> None:
    """With 11.8 V of its own the floor gives way: a sound loom always reads within its band."""
    expect = posts_of(rig(LOADS + wires(*ENDS), batteries='{ id = "G1", emf = 11.8 }'), Condition("off"))
    assert expect.on is not None
    assert expect.low == pytest.approx(11.7, abs=0.01)
