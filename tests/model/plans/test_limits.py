"""Limits looked up by name and volts."""

from __future__ import annotations

import pytest

from model.plans.limits import as_limit, high_of, limit_of, low_of, meter_error_ohms
from model.tables import SourceKind


def test_a_name_that_no_table_has_is_refused() -> None:
    """There is no limit by default."""
    with pytest.raises(KeyError):
        limit_of("feelings")


def test_a_side_that_a_limit_does_not_have_is_refused() -> None:
    """Rested posts have a least and no most."""
    assert low_of("posts at rest") == 12.4
    with pytest.raises(KeyError):
        high_of("posts at rest")


def test_the_row_for_the_volts_goes_before_the_one_in_proportion() -> None:
    """24 V are not twice the 9.6 V of a 12 V battery in cranking: 18 V are published (TM 9-2320-211-20)."""
    assert limit_of("posts cranking", 24).low == 18.0
    assert limit_of("posts cranking", 6).low == pytest.approx(4.8)


def test_ohms_become_the_millivolts_of_a_current() -> None:
    """2.5 mΩ at 5 A are 12.5 mV (AC 43.13-1B 11-188)."""
    limit = as_limit(limit_of("equipment to structure"), "5 A", factor=5.0 * 1000.0)
    assert limit.high == pytest.approx(12.5)
    assert (limit.low, limit.source, limit.source_kind) == (None, "AC 43.13-1B 11-188", SourceKind.PUBLISHED)


def test_the_meter_may_be_off_by_its_digits_and_a_share() -> None:
    """0.2 Ω and 0.8 % of 100 Ω are 1 Ω."""
    assert meter_error_ohms(100.0) == pytest.approx(1.0)
    assert meter_error_ohms(0.0) == pytest.approx(0.2)
