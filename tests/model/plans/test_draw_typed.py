"""What a person types for the rows of a draw: milliamperes that look like amperes, and millivolts across a fuse."""

from __future__ import annotations

import pytest

from model.errors import AnswerError
from model.plans.typed_value import read_typed
from tests.model.plans.test_draw_plan import horn, row_of


@pytest.mark.parametrize("typed", ["22 mA", "22mA", "0.022", "0,022 A"])
def test_milliamperes_are_taken_with_their_unit_or_as_amperes(typed: str) -> None:
    """All are 22 mA."""
    assert read_typed(row_of(horn()[1], "draw awake G1"), typed).value == pytest.approx(0.022)


def test_a_bare_number_where_milliamperes_are_expected_is_asked_back() -> None:
    """22 typed beside 63.5 mA would be 22 A: both ways of typing 22 mA are said; 2 A with its unit is taken."""
    row = row_of(horn()[1], "draw awake G1")
    with pytest.raises(AnswerError, match="22 without a unit is 22 A, and 63") as caught:
        read_typed(row, "22")
    assert "Type 22 mA, or 0.022." in caught.value.do
    assert read_typed(row, "2 A").value == pytest.approx(2.0)


def test_more_than_the_meter_in_line_bears_is_no_reading_of_it() -> None:
    """11 A through a socket and a jumper of 10 A: refused in words that name both."""
    row = row_of(horn()[1], "draw asleep G1")
    with pytest.raises(AnswerError, match="more than the 10 A socket of the meter and the jumper"):
        read_typed(row, "11 A")
    assert read_typed(row, "9.9 A").value == pytest.approx(9.9)


@pytest.mark.parametrize("typed", ["24 at 4.6", "24@4.6", "22 mA", "4 A", "22ma"])
def test_amperes_across_a_seated_fuse_are_refused(typed: str) -> None:
    """Its millivolts tell them: what was typed would count for nothing."""
    with pytest.raises(AnswerError, match="millivolts alone are asked"):
        read_typed(row_of(horn()[1], "fuse F1"), typed)


def test_millivolts_across_a_seated_fuse_are_read() -> None:
    """With and without their unit."""
    assert [read_typed(row_of(horn()[1], "fuse F1"), typed).value for typed in ("0.4", "0,4 mV")] == [0.4, 0.4]
