"""The size of wire that is proposed for a current, a length and what may be lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.harness.fuse_tables import wire_bears_amps
from model.review.wire_size import SizeSystem, least_cmil, smallest_gauge, smallest_wire


@pytest.mark.parametrize(
    ("amps", "length_m", "drop_volts", "size"),
    [
        (10, 10, 1.34, 1.5),
        (10, 10, 1.2, 2.5),
        (10, 10, 0.79, 4),
        (10, 10, 0.80, 2.5),
        (10, 10, 0.36, 6),
        (1, 5, 1.2, 0.5),
        (30, 0.1, 1.2, 2.5),
    ],
)
def test_the_smallest_metric_wire_loses_no_more_than_allowed(
    amps: float, length_m: float, drop_volts: float, size: float
) -> None:
    """IEC 60228 class 5: 10 A on 10 m lose 1.33 V in 1.5 mm², 0.798 V in 2.5, 0.495 in 4, 0.330 in 6.

    For 1.2 V they want 2.5 mm²; 30 A on a tenth of a metre lose next to nothing and want what bears them.
    """
    found = smallest_wire(amps, length_m, drop_volts)
    assert found is not None
    assert found.size == size
    assert found.drop_volts <= drop_volts


def test_the_fuse_that_guards_a_wire_makes_it_thicker() -> None:
    """2 A on a metre go through 0.5 mm², but behind a fuse of 15 A the wire bears 15 A: 1.0 mm² bears 17.5 A."""
    thin, guarded = smallest_wire(2, 1, 1.2), smallest_wire(2, 1, 1.2, fuse_amps=15)
    assert thin is not None
    assert guarded is not None
    assert (thin.size, guarded.size) == (0.5, 1.0)


def test_a_gauge_is_proposed_in_the_spelling_of_the_file() -> None:
    """10 A, 10 ft out and back, 0.36 V: 2,986 cmil, 14 AWG (Navico marine wire catalogue 2024, p. 62)."""
    found = smallest_wire(10, 3.048, 0.36, system=SizeSystem.AWG)
    assert found is not None
    assert found.size == "AWG 14"


def test_strands_of_a_vehicle_want_a_gauge_more_where_the_formula_just_serves() -> None:
    """5 A, 20 ft, 0.3 V: 3,583 cmil by the formula, 14 AWG; of strands 10 % under size it loses 0.278 V, still enough.

    0.27 V are 3,981 cmil, which 14 AWG (4,107) has, but its strands lose more than that: 12 AWG.
    """
    enough, short = (smallest_wire(5, 6.096, volts, system=SizeSystem.AWG) for volts in (0.3, 0.27))
    assert smallest_gauge(least_cmil(5, 20, 0.27)) == "14"
    assert enough is not None
    assert short is not None
    assert (enough.size, short.size) == ("AWG 14", "AWG 12")


def test_where_no_wire_serves_none_is_proposed() -> None:
    """A thousand amperes over a hundred metres in half a volt are no work for a wire."""
    assert smallest_wire(1000, 100, 0.5) is None
    assert smallest_wire(1000, 100, 0.5, system=SizeSystem.AWG) is None
    assert smallest_gauge(300_000) is None


@pytest.mark.parametrize("system", SizeSystem)
def test_a_wire_that_may_lose_nothing_is_refused(system: SizeSystem) -> None:
    """No copper is without resistance."""
    with pytest.raises(ValueError, match="no wire loses as little"):
        smallest_wire(1, 1, 0.0, system=system)
    with pytest.raises(ValueError, match="no wire loses as little"):
        least_cmil(1, 1, -0.1)


@given(
    amps=st.floats(0.1, 80),
    length_m=st.floats(0.1, 12),
    drop_volts=st.floats(0.3, 2.4),
    system=st.sampled_from(SizeSystem),
)
def test_what_is_proposed_bears_its_current_and_more_drop_never_wants_more_copper(
    amps: float, length_m: float, drop_volts: float, system: SizeSystem
) -> None:
    """Whatever is asked: the wire bears it, loses no more than allowed, and a looser limit is no thicker."""
    found = smallest_wire(amps, length_m, drop_volts, system=system)
    looser = smallest_wire(amps, length_m, 2 * drop_volts, system=system)
    if found is None:
        return
    assert wire_bears_amps(found.area_mm2) >= amps
    assert found.drop_volts <= drop_volts * (1 + 1e-9)
    assert looser is not None
    assert looser.area_mm2 <= found.area_mm2
