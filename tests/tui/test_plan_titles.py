"""Titles of rows in few cells: what many begin with is cut, what differs stays."""

from __future__ import annotations

import pytest

from tui.plan_titles import short_titles
from tui.text import width

HEAD_LAMP = [
    f"Left head lamp {light}: {what}"
    for light in ("dip", "side", "main")
    for what in ("volts across it, working", "feed terminal with its current on", "ground terminal with its current on")
]
PINS = [f"A1 (Engine controller) pin {pin}, wire side: before it is plugged in" for pin in ("15", "30", "pump")]


def cut(titles: list[str], cells: int) -> list[str]:
    """Give titles of one group as they stand in so many cells."""
    found = short_titles(tuple(("nose", title) for title in titles), cells)
    return [found["nose", title] for title in titles]


@pytest.mark.parametrize("cells", [18, 22, 30, 42])
@pytest.mark.parametrize("titles", [HEAD_LAMP, PINS])
def test_rows_of_one_part_differ_and_fit(titles: list[str], cells: int) -> None:
    """No two are the same, none is wider than its column."""
    short = cut(titles, cells)
    assert len(set(short)) == len(titles)
    assert all(width(one) <= cells for one in short)


def test_the_words_that_differ_stand_whole() -> None:
    """Of the lamp which light and what is read; of the controller the pin."""
    assert cut(HEAD_LAMP, 22)[:4] == [
        "Left… dip: volts acr…", "Left… dip: feed term…", "Left… dip: ground te…", "Left…side: volts acr…",
    ]  # fmt: skip
    assert all(f"…{pin}, wire" in one for pin, one in zip(("15", "30", "pump"), cut(PINS, 22), strict=True))


def test_a_title_that_is_like_no_other_keeps_its_begin() -> None:
    """So does one of another group; what has room is not cut."""
    assert cut(["Horn: volts across it, working", "Starter turns"], 22) == ["Horn: volts across it…", "Starter turns"]
    assert cut(HEAD_LAMP, 60) == HEAD_LAMP
