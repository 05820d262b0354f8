"""What is foreseen of readings: what is not known is never taken as less likely than what is known to be wrong."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import Check, CheckKind, Outcome, measured
from model.tracing.complaint import Complaint
from model.tracing.inquiry import Inquiry, open_inquiry

DEMOS = Path(__file__).parents[3] / "demo_builds"
HEAD_LAMP = "E1:load"


@pytest.fixture(scope="module")
def bench() -> Bench:
    """Give the field tractor, at rest."""
    return Bench(read_harness(DEMOS / "field_tractor.toml"))


@pytest.fixture(scope="module")
def inquiry(bench: Bench) -> Inquiry:
    """Give its left head lamp, dead."""
    return open_inquiry(bench, Complaint((HEAD_LAMP,)))


def belief_after(inquiry: Inquiry, *answers: tuple[Check, Outcome]) -> Belief:
    """Give what some answers leave."""
    return Belief(inquiry.foresight, [Evidence(check, outcome) for check, outcome in answers], inquiry.posts_volts)


@pytest.mark.parametrize("ohms", [math.inf, 5.0, 300.0])
def test_an_unknown_fault_may_read_any_ohms(inquiry: Inquiry, ohms: float) -> None:
    """Open or not, a fault of which nothing is known is likelier to read it than a circuit that should not."""
    check = next(one for one in inquiry.checks if one.kind is CheckKind.OHMS)
    belief = belief_after(inquiry, (check, measured(ohms)))
    likely, solved = np.exp(belief.logs[0]), belief.field.solved
    assert likely[solved:].max() > 5 * likely[:solved].min()


def test_ohms_read_where_it_should_be_open_are_a_slip(inquiry: Inquiry) -> None:
    """The slip of a circuit that should be open is spread like any other: 0.015 over the logarithm of 20,000."""
    check = next(one for one in inquiry.checks if one.kind is CheckKind.OHMS)
    numbers, _ = inquiry.foresight.exact_numbers(check, belief_after(inquiry).known)
    is_open = numbers.predicted > 50e6
    assert is_open.any()
    assert numbers.likelihood(300.0)[is_open] == pytest.approx(0.015 / math.log(20_000.0))


def test_posts_without_volts_are_no_measure_of_the_others(inquiry: Inquiry) -> None:
    """Posts that read nothing say so of themselves; all else is foreseen as if they had not been read."""
    posts = Check(CheckKind.VOLTS, inquiry.condition, red="G1.+", black="G1.-")
    other = next(one for one in inquiry.checks if one.kind is CheckKind.VOLTS and one.condition == inquiry.condition)
    belief = belief_after(inquiry, (posts, measured(0.0)), (other, measured(0.0)))
    assert belief.known.posts_volts == {}
    assert np.isfinite(belief.rows).all()
    assert belief_after(inquiry, (posts, measured(6.2))).known.posts_volts == {inquiry.condition.key: 6.2}
