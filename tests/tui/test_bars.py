"""The line on top and the line at the bottom."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from model.words import clean
from tests.tui.on_screen import NASTY
from tui.widgets.bars import BarFacts, bottom_line, top_line

WALK = BarFacts("Trail buggy", "fuel pump", "ignition", 12.524, "read")
ANY_TEXT = st.sampled_from(NASTY) | st.text(max_size=40)


@pytest.mark.parametrize(
    ("cells", "shown"),
    [
        (78, "Trail buggy fuel pump key IGNITION posts 12.52 V read"),
        (60, "Trail buggy fuel pump key IGNITION posts 12.52 V read"),
        (58, "Trail buggy fuel pump key IGNITION 12.52 V read"),
        (38, "fuel pump key IGNITION 12.52 V read"),
        (37, "fuel pump key IGNITION 12.52 V"),
        (30, "fuel pump IGNITION 12.52 V"),
        (26, "fuel pu… IGNITION 12.52 V"),
    ],
)
def test_what_goes_first_when_it_is_narrow(cells: int, shown: str) -> None:
    """The key state and the volts stay whole; words that explain go first, then the vehicle."""
    line = top_line(WALK, cells).plain
    assert line.split() == shown.split()
    assert cell_len(line) == cells


def test_a_line_without_key_or_volts() -> None:
    """What is not known leaves no gap and no unit."""
    assert top_line(BarFacts("Fusewalk", "which harness?"), 60).plain.rstrip() == "Fusewalk   which harness?"
    assert top_line(BarFacts("", "", "", None), 40).plain.strip() == ""
    assert top_line(BarFacts("Buggy", "", "off", None), 40).plain.split() == ["Buggy", "key", "OFF"]


@given(ANY_TEXT, ANY_TEXT, ANY_TEXT, st.none() | st.floats(-100, 100), st.integers(40, 130))
def test_any_words_fit(vehicle: str, doing: str, state: str, volts: float | None, cells: int) -> None:
    """At 40 columns and more nothing runs over, whatever the file calls things, and no bracket is read."""
    line = top_line(BarFacts(vehicle, doing, state, volts, "read"), cells)
    assert cell_len(line.plain) <= cells
    assert clean(line.plain, 1000) == line.plain


def test_a_long_name_is_cut_and_marked() -> None:
    """The load's name gives way before the key state does."""
    line = top_line(BarFacts("Buggy", "x" * 60, "ignition", 12.0, "not read"), 40).plain
    assert cell_len(line) == 40
    assert "…" in line
    assert line.endswith("IGNITION  12.00 V")


def test_the_last_keys_go_first() -> None:
    """Keys are left out whole, from the end; the help stays."""
    keys = [("?", "help"), ("k", "key"), ("s", "settings"), ("w", "write")]
    assert bottom_line(keys, 80).plain == "? help   k key   s settings   w write"
    assert bottom_line(keys, 36).plain == "? help  k key  s settings  w write"
    assert bottom_line(keys, 27).plain == "? help   k key   s settings"
    assert bottom_line(keys, 8).plain == "? help"
    assert bottom_line(keys, 3).plain == ""
