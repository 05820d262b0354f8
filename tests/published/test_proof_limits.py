"""The limits of the plans beside what their sources print."""

from __future__ import annotations

import pytest

from model.plans.limits import limit_of, limit_rows
from model.tables import SourceKind

PUBLISHED = [
    ("equipment to structure", 12, None, 0.0025, "ohm", "AC 43.13-1B 11-188"),
    ("bonding jumper joint", 24, None, 0.003, "ohm", "AC 43.13-1B 11-189"),
    ("posts at rest", 12, 12.4, None, "V", "US Army TM 5-3805-262-20, p. 5-142"),
    ("posts cranking", 24, 18.0, None, "V", "US Army TM 9-2320-211-20"),
    ("posts in the load test", 12, 9.6, None, "V", "Hyundai Accent workshop manual, load-test table"),
    ("posts charging", 24, 27.0, 29.0, "V", "US Army TM 9-2815-259-24, p. 4-14"),
    ("frame to post", 24, None, 0.1, "V", "US Army TM 9-2320-211-20"),
    ("ground path, battery to frame", 24, None, 0.1, "V", "US Army TM 9-2320-211-20"),
    ("battery + to starter", 12, None, 0.4, "V", "US Army TM 10-3930-671-24, p. F-303"),
    ("any cranking path", 24, None, 0.2, "V per 100 A", "US Army TM 10-3930-671-24, p. F-303"),
    ("starter control circuit, both sides added", 12, None, 1.0, "V", "US Army TM 5-2420-230-24-2, p. 13-33"),
    ("starter control circuit, both sides added", 24, None, 2.0, "V", "US Army TM 5-2420-230-24-2, p. 13-33"),
    ("alternator output lead", 24, None, 0.4, "V", "US Army TM 9-2320-361-24-1"),
]


@pytest.mark.parametrize(("name", "volts", "low", "high", "unit", "source"), PUBLISHED)
def test_a_published_limit_is_as_its_source_has_it(
    name: str, volts: float, low: float | None, high: float | None, unit: str, source: str
) -> None:
    """The figure, its unit and the source's own name, as printed there."""
    row = limit_of(name, volts)
    assert (row.low, row.high, row.unit, row.source) == (low, high, unit, source)
    assert row.source_kind is SourceKind.PUBLISHED


def test_a_limit_of_a_source_is_doubled_for_24_volts() -> None:
    """12.4 V of a rested 12 V battery are 24.8 V of a 24 V one: that is reckoned, not printed, and says so.

    US Army TM 5-2420-230-24-1 has a charged 24 V system at 25.2 V, twice the 12.6 V of TM 5-3805-262-20.
    """
    row = limit_of("posts at rest", 24)
    assert row.low == pytest.approx(24.8)
    assert row.source_kind is SourceKind.JUDGEMENT
    assert "given for 12 V and taken in proportion for 24 V" in row.source


def test_a_contact_keeps_its_limit_at_24_volts() -> None:
    """0.3 V across a solenoid contact at 12 V are 0.3 V at 24 V: ohms and amperes make them, not the nominal volts.

    The BMW manual prints them for 12 V, so that for 24 V they are a judgement that says so.
    """
    row = limit_of("switch or solenoid contact", 24)
    assert row.high == limit_of("switch or solenoid contact", 12).high == 0.3
    assert row.source_kind is SourceKind.JUDGEMENT
    assert row.source.endswith("given for 12 V and kept for 24 V")


@pytest.mark.parametrize("volts", [6, 12])
def test_the_frame_of_a_24_volt_truck_is_a_judgement_elsewhere(volts: float) -> None:
    """TM 9-2320-211-20 is on trucks of 24 V: 0.1 V are kept for 6 V and 12 V, alike in both tables, as a judgement."""
    for name in ("frame to post", "ground path, battery to frame"):
        row = limit_of(name, volts)
        assert (row.high, row.source_kind) == (0.1, SourceKind.JUDGEMENT)
        assert row.source == f"US Army TM 9-2320-211-20, given for 24 V and kept for {volts} V"


def test_the_volts_of_a_load_test_are_practice_for_cranking() -> None:
    """9.6 V at half the cold-cranking amperes for 15 s (Hyundai Accent workshop manual), not of a starter."""
    row, test = limit_of("posts cranking", 12), limit_of("posts in the load test", 12)
    assert row.low == test.low == 9.6
    assert row.source_kind is SourceKind.COMMON_PRACTICE
    assert "load test" in row.source
    assert "15 s at about 20 °C" in row.source


def test_what_is_a_judgement_is_not_given_a_standard() -> None:
    """Figures that no source prints are marked so, with no standard's name beside them."""
    for name in ("all fuses out", "open group", "ground lug"):
        (row,) = limit_rows(name)
        assert row.source_kind is SourceKind.JUDGEMENT
        assert row.source == "a judgement"
