"""What a single fault does to a circuit, as textbooks and manuals print it.

T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 5 (failed parts in series and parallel circuits) and ch. 7
(series-parallel); US Department of Energy, DOE-HDBK-1011/1-92, vol. 1, module 2, on faults.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.circuit.solver import Branch, Solution, solve

ohms_values = st.floats(0.01, 1000)
source_volts = st.floats(1, 60)
resistances = st.lists(ohms_values, min_size=2, max_size=8)


def series(volts: float, ohms: list[float]) -> Solution:
    """Solve a source with resistances in a row; branch 0 is the source, branch i + 1 the i-th resistance."""
    count = len(ohms)
    chain = [Branch(i + 1, (i + 2) % (count + 1), ohm) for i, ohm in enumerate(ohms)]
    return solve(count + 1, [Branch(0, 1, 0, volts), *chain])


def parallel(volts: float, ohms: list[float], source_ohms: float = 0.0) -> Solution:
    """Solve a source with resistances side by side; branch 0 is the source, branch i + 1 the i-th resistance."""
    return solve(2, [Branch(0, 1, source_ohms, volts), *(Branch(1, 0, ohm) for ohm in ohms)])


def with_fault(ohms: list[float], number: int, faulty_ohms: float) -> list[float]:
    """Give the resistances with one of them changed."""
    return [*ohms[:number], faulty_ohms, *ohms[number + 1 :]]


@given(volts=source_volts, ohms=resistances, data=st.data())
def test_an_open_in_a_row_takes_the_whole_source(volts: float, ohms: list[float], data: st.DataObject) -> None:
    """No current and no drop anywhere in the row, and all the volts stand across the open."""
    number = data.draw(st.integers(0, len(ohms) - 1))
    solution = series(volts, with_fault(ohms, number, math.inf))
    assert solution.amps == pytest.approx([0] * (len(ohms) + 1), abs=1e-12)
    ends = [*solution.volts[1:], 0.0]
    drops = [before - after for before, after in pairwise(ends)]
    assert drops == pytest.approx([volts if i == number else 0 for i in range(len(ohms))], abs=1e-9)


@given(volts=source_volts, ohms=resistances, data=st.data())
def test_an_open_branch_leaves_its_neighbours_alone(volts: float, ohms: list[float], data: st.DataObject) -> None:
    """The other branches carry what they did; the source gives less by the lost branch."""
    number = data.draw(st.integers(0, len(ohms) - 1))
    healthy, faulty = parallel(volts, ohms).amps, parallel(volts, with_fault(ohms, number, math.inf)).amps
    others = [i for i in range(1, len(ohms) + 1) if i != number + 1]
    assert faulty[others] == pytest.approx(healthy[others], rel=1e-9)
    assert faulty[number + 1] == 0
    assert healthy[0] - faulty[0] == pytest.approx(volts / ohms[number], rel=1e-6)


@given(volts=source_volts, ohms=resistances)
def test_an_open_in_the_common_lead_kills_all(volts: float, ohms: list[float]) -> None:
    """With the lead before the branches open none of them carries anything."""
    assert parallel(volts, ohms, math.inf).amps == pytest.approx([0] * (len(ohms) + 1))


@given(volts=source_volts, ohms=resistances, data=st.data())
def test_a_short_in_a_row_raises_every_other_drop(volts: float, ohms: list[float], data: st.DataObject) -> None:
    """Its own drop goes to nothing, the current rises, and the rest share the source as their resistances do."""
    number = data.draw(st.integers(0, len(ohms) - 1))
    healthy, faulty = series(volts, ohms), series(volts, with_fault(ohms, number, 0.0))
    rest_ohms = sum(ohms) - ohms[number]
    assert faulty.amps[0] > healthy.amps[0]
    assert faulty.amps[0] == pytest.approx(volts / math.fsum(with_fault(ohms, number, 0.0)), rel=1e-6)
    ends = [*faulty.volts[1:], 0.0]
    assert ends[number] - ends[number + 1] == pytest.approx(0, abs=1e-9)
    for i, ohm in enumerate(ohms):
        if i != number:
            assert ends[i] - ends[i + 1] == pytest.approx(volts * ohm / rest_ohms, rel=1e-5)


@given(volts=source_volts, ohms=resistances, source_ohms=st.floats(0.005, 10), data=st.data())
def test_a_shorted_branch_starves_its_neighbours(
    volts: float, ohms: list[float], source_ohms: float, data: st.DataObject
) -> None:
    """Behind a real battery the volts at the branches and the others' currents fall, and the source gives more."""
    number = data.draw(st.integers(0, len(ohms) - 1))
    short_ohms = ohms[number] / 1000
    healthy = parallel(volts, ohms, source_ohms)
    faulty = parallel(volts, with_fault(ohms, number, short_ohms), source_ohms)
    assert faulty.volts[1] < healthy.volts[1]
    others = [i for i in range(1, len(ohms) + 1) if i != number + 1]
    assert (faulty.amps[others] < healthy.amps[others]).all()
    assert faulty.amps[number + 1] > healthy.amps[number + 1]
    assert faulty.amps[0] > healthy.amps[0]


@given(
    ring=st.lists(ohms_values, min_size=3, max_size=7),
    chords=st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), ohms_values), max_size=6),
    factor=st.just(0.0) | st.floats(1e-3, 1e4),
    data=st.data(),
)
def test_total_resistance_moves_with_the_faulty_part(
    ring: list[float], chords: list[tuple[int, int, float]], factor: float, data: st.DataObject
) -> None:
    """Whatever the network, one resistance made larger never lowers the total, and made smaller never raises it."""
    count = len(ring)
    edges = [(i, (i + 1) % count, ohm) for i, ohm in enumerate(ring)]
    edges += [(a % count, b % count, ohm) for a, b, ohm in chords if a % count != b % count]
    number = data.draw(st.integers(0, len(edges) - 1))
    across = data.draw(st.integers(1, count - 1))

    def total_amps(scale: float) -> float:
        branches = [Branch(a, b, ohm * (scale if i == number else 1)) for i, (a, b, ohm) in enumerate(edges)]
        return float(solve(count, [Branch(0, across, 0.001, 12), *branches]).amps[0])

    before, after = total_amps(1), total_amps(factor)
    margin = 1e-6 * abs(before)
    assert after <= before + margin if factor >= 1 else after >= before - margin


def test_a_short_in_two_pairs_moves_every_figure_as_printed() -> None:
    """R1 || R2 in a row with R3 || R4 and R2 shorted: the book's table of arrows (vol. I DC, ch. 7).

    Total current up; volts across the first pair down, across the second up; R1 down; R2, R3 and R4 up.
    """

    def pairs(r2_ohms: float) -> Solution:
        parts = [Branch(1, 2, 100), Branch(1, 2, r2_ohms), Branch(2, 0, 350), Branch(2, 0, 200)]
        return solve(3, [Branch(0, 1, 0, 24), *parts])

    healthy, faulty = pairs(250), pairs(0.001)
    assert np.sign(faulty.amps - healthy.amps).tolist() == [1, -1, 1, 1, 1]
    assert faulty.volts[1] - faulty.volts[2] < healthy.volts[1] - healthy.volts[2]
    assert faulty.volts[2] > healthy.volts[2]


@given(volts=source_volts, ohms=resistances, data=st.data())
def test_the_meter_reads_source_before_the_open_and_nothing_after(
    volts: float, ohms: list[float], data: st.DataObject
) -> None:
    """Black on minus, red from point to point: the source up to the open, 0 V behind it while that side is grounded.

    The meter's 10 MΩ stand beside the point (US Department of Energy, DOE-HDBK-1011/1-92, vol. 1, module 2).
    """
    number = data.draw(st.integers(0, len(ohms) - 1))
    broken = with_fault(ohms, number, math.inf)
    count = len(broken)
    for point in range(1, count + 1):
        chain = [Branch(i + 1, (i + 2) % (count + 1), ohm) for i, ohm in enumerate(broken)]
        reading = solve(count + 1, [Branch(0, 1, 0, volts), *chain, Branch(point, 0, 10e6)]).volts[point]
        assert reading == pytest.approx(volts if point <= number + 1 else 0, rel=1e-3, abs=1e-9)


@given(volts=source_volts, load_ohms=ohms_values, feed_ohms=st.floats(0.001, 1))
def test_an_open_ground_shows_source_on_both_sides_of_the_load(
    volts: float, load_ohms: float, feed_ohms: float
) -> None:
    """A load whose ground is open has no volts across it; a meter to battery minus reads the source at both ends."""
    for probed in (2, 3):
        branches = [Branch(0, 1, 0, volts), Branch(1, 2, feed_ohms), Branch(2, 3, load_ohms), Branch(3, 0, math.inf)]
        readings = solve(4, [*branches, Branch(probed, 0, 10e6)]).volts
        assert readings[probed] == pytest.approx(volts, rel=1e-3)
        assert readings[2] - readings[3] == pytest.approx(0, abs=volts * 1e-3)
