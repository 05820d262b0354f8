"""Millivolts across a seated fuse and the current that they mean, beside figures printed in the trade."""

from __future__ import annotations

import pytest

from model.harness.parts import Fuse, FuseStyle
from model.review.draw_fuse import fuse_ohms
from model.tables import fuse_figures


@pytest.mark.parametrize(
    ("rated_amps", "millivolts", "milliamperes"), [(10.0, 1.0, 130.0), (15.0, 0.1, 22.0), (15.0, 1.0, 218.0)]
)
def test_a_reading_is_the_current_that_is_printed_for_it(
    rated_amps: float, millivolts: float, milliamperes: float
) -> None:
    """10 A blade: 1 mV is about 130 mA (a training firm); 15 A mini: 22 and 218 mA (a trade society, June 2017).

    Typical cold ohms give 129.9, 20.8 and 208 mA; the printed figures lie within the band of a quarter.
    """
    fuse = fuse_ohms(Fuse(id="F1", amps=rated_amps))
    least, most = fuse.span_amps(millivolts)
    assert 1000.0 * least <= milliamperes <= 1000.0 * most
    assert 1000.0 * fuse.amps(millivolts) == pytest.approx(milliamperes, rel=0.06)


@pytest.mark.parametrize("rated_amps", [5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
def test_at_its_rating_a_fuse_drops_what_its_maker_prints(rated_amps: float) -> None:
    """Drop at rated current of medium blades, 40 A: 96 mV (series 287 data sheet); cold ohms alone give 57.6 mV."""
    fuse = fuse_ohms(Fuse(id="F1", amps=rated_amps))
    drop = fuse_figures("drop at rated current")[rated_amps]
    assert fuse.millivolts(rated_amps) == pytest.approx(drop)
    assert fuse.amps(drop) == pytest.approx(rated_amps)
    assert fuse.millivolts(rated_amps) > 1.29 * 1000.0 * rated_amps * fuse.cold_ohms


@pytest.mark.parametrize("amps", [0.001, 0.05, 1.0, 2.9, 3.1, 6.0, 9.9])
def test_millivolts_and_amperes_lead_back_to_each_other(amps: float) -> None:
    """Whatever the current, warm or cold, and whichever way it flows."""
    fuse = fuse_ohms(Fuse(id="F1", amps=10.0))
    assert fuse.amps(fuse.millivolts(amps)) == pytest.approx(amps)
    assert fuse.amps(-fuse.millivolts(amps)) == pytest.approx(-amps)


def test_up_to_three_tenths_of_its_rating_a_fuse_is_cold() -> None:
    """10 A blade, 7.7 mΩ: 23.1 mV at 3 A; at 6 A 7.7 x (1 + (0.36 - 0.09)/0.91 x 0.4156) = 8.65 mΩ, 51.9 mV."""
    fuse = fuse_ohms(Fuse(id="F1", amps=10.0))
    assert fuse.millivolts(3.0) == pytest.approx(23.1)
    assert fuse.millivolts(6.0) == pytest.approx(51.9, abs=0.05)


def test_ohms_of_the_file_go_before_the_table_and_other_styles_are_less_certain() -> None:
    """A glass fuse has twice the band of a blade; one whose ohms the file gives has the narrow one."""
    blade, glass = fuse_ohms(Fuse(id="F1", amps=10.0)), fuse_ohms(Fuse(id="F1", amps=10.0, style=FuseStyle.GLASS))
    given = fuse_ohms(Fuse(id="F1", amps=10.0, style=FuseStyle.GLASS, ohms=0.02))
    assert (blade.band_share, glass.band_share, given.band_share) == (0.25, 0.5, 0.25)
    assert given.amps(1.0) == pytest.approx(0.05)
    thermal = fuse_ohms(Fuse(id="F1", style=FuseStyle.THERMAL))
    assert thermal.amps(1.0) == pytest.approx(0.2)
