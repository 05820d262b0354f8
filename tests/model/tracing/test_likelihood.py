"""The likelihood of readings, against general-purpose statistics and by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from model.tracing import likelihood as lk

FIGURES = st.floats(-15.0, 15.0, allow_nan=False)


def test_t4_is_student_t() -> None:
    """Density and distribution are those of Student's t with four degrees of freedom, as scipy has them."""
    z = np.linspace(-8.0, 8.0, 81)
    assert lk.t4_density(z) == pytest.approx(stats.t(4).pdf(z), abs=1e-12)
    assert lk.t4_below(z) == pytest.approx(stats.t(4).cdf(z), abs=1e-12)


@pytest.mark.parametrize("count", range(1, 9))
def test_surprise_is_the_tail_of_chi_square(count: int) -> None:
    """The p-value of squared residuals is the upper tail of chi-square, as scipy has it."""
    for squared in (0.1, 1.0, 5.0, 20.0):
        assert lk.surprise_p(squared, count) == pytest.approx(float(stats.chi2(count).sf(squared)), abs=1e-9)


def test_reading_likelihood_by_hand() -> None:
    """At the prediction it is 0.97 × 0.375 / (1.5 σ) + 0.03 / span: σ 0.1 V, span 12.5 V give 2.4274 per volt."""
    found = lk.reading_likelihood(12.0, np.array([12.0]), np.array([0.1]), 12.5)
    assert found[0] == pytest.approx(0.97 * 0.375 / 0.15 + 0.03 / 12.5)
    assert found[0] == pytest.approx(2.4274)


def test_no_reading_is_impossible() -> None:
    """However far a reading lies, its likelihood is the floor of a slip and not nought."""
    found = lk.reading_likelihood(12.0, np.array([0.0]), np.array([0.05]), 12.5)
    assert found[0] == pytest.approx(0.03 / 12.5, rel=0.01)


def test_floating_point_may_read_anything() -> None:
    """A point that floats gives 6 V about the half flat likelihood, and its own 0 V more."""
    read_6, read_0 = (lk.floating_likelihood(volts, np.array([0.0]), np.array([0.1]), 12.4)[0] for volts in (6.0, 0.0))
    assert read_6 == pytest.approx(0.5 / 13.0, rel=0.1)
    assert read_0 > 10 * read_6


@given(FIGURES, st.floats(0.01, 2.0), st.lists(FIGURES, min_size=1, max_size=9, unique=True))
def test_bins_sum_to_one(predicted: float, sigma: float, edges: list[float]) -> None:
    """A reading falls into one of the bins, whatever the edges."""
    shares = lk.bin_shares(np.array(sorted(edges)), np.array([predicted]), np.array([sigma]))
    assert shares.shape == (len(edges) + 1, 1)
    assert float(shares.sum()) == pytest.approx(1.0)
    assert (shares >= 0).all()


@given(st.lists(st.floats(-1.0, 3.0), min_size=1, max_size=6))
def test_steps_and_told_words_sum_to_one(values: list[float]) -> None:
    """What is there, and what is told of it, are shares that sum to one."""
    steps = lk.soft_steps(np.array(values), (0.25, 0.85), 0.05)
    assert steps.sum(axis=0) == pytest.approx(np.ones(len(values)))
    assert lk.told(steps).sum(axis=0) == pytest.approx(np.ones(len(values)))


def test_a_value_on_a_border_is_both() -> None:
    """A load at exactly 85 % is told as weak and as working alike; at 60 % as weak in 94 of 100."""
    steps = lk.soft_steps(np.array([0.85, 0.60]), (0.25, 0.85), 0.05)
    assert steps[1:, 0] == pytest.approx([0.5, 0.5], abs=1e-3)
    assert lk.told(steps)[1, 1] == pytest.approx(0.94, abs=1e-3)


def test_sigma_of_volts_by_hand() -> None:
    """12 V: meter 0.08, probe 0.04, parts 0.1, supply 0.48 V make 0.499; with the posts read 0.134."""
    predicted, spread = np.array([12.0]), np.array([0.1])
    unread = lk.volts_sigma(predicted, spread, lk.SUPPLY_SHARE, across_joint=False)
    read = lk.volts_sigma(predicted, spread, 0.0, across_joint=False)
    assert unread[0] == pytest.approx(np.sqrt(0.08**2 + 0.04**2 + 0.1**2 + 0.48**2))
    assert read[0] == pytest.approx(0.1342, abs=1e-4)
