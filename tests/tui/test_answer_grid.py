"""Answers that are ticked and chosen: what they come to, and how they stand in a narrow window."""

import json

import pytest

from model.harness.toml_file import read_harness_text
from model.harness.wire_list_questions import questions
from tests.tui.filled_in import CART
from tui.answer_grid import PinChoice, TickGrid, grid_of

FOUR = TickGrid(("1", "2", "3", "4"), ("off", "on"), {})


def test_a_tick_goes_from_group_to_group_and_off_again() -> None:
    """Four terminals can be joined in two groups: free, first, second, free."""
    grid = FOUR
    signs = []
    for _ in range(4):
        signs.append(grid.rows(40, "on")[2].content.plain)
        grid = grid.ticked("on")
    assert [line[5] for line in signs] == ["·", "a", "b", "·"]
    assert grid.ticks == {("on", "1"): 1}


def test_groups_are_given_with_their_terminals() -> None:
    """1 and 2 in the first, 3 and 4 in the second group; a position without ticks joins nothing."""
    ticks = {("on", "1"): 1, ("on", "2"): 1, ("on", "3"): 2, ("on", "4"): 2}
    assert json.loads(TickGrid(FOUR.terminals, FOUR.positions, ticks).answer()) == {
        "off": [],
        "on": [["1", "2"], ["3", "4"]],
    }
    assert FOUR.ticked("on").lone() == "on"
    assert FOUR.lone() == ""


@pytest.mark.parametrize("cells", [20, 37, 58])
def test_the_terminal_in_question_stays_in_sight(cells: int) -> None:
    """Of twenty terminals with long names those are shown that there is room for; no row is wider than that."""
    grid = TickGrid(tuple(f"T{number}0" for number in range(20)), ("a position with a long name", "off"), {})
    for place in range(20):
        rows = grid.rows(cells, "off")
        assert all(row.content.cell_length <= cells for row in rows)
        assert f"T{place}0" in rows[0].content.plain
        assert "[·]" in rows[2].content.plain
        grid = grid.moved(1)
    assert grid.column == 19


def test_two_terminals_change_places() -> None:
    """Turning a cavity leaves each terminal in one cavity."""
    grid = PinChoice((1, 2, 5), ("30", "85", "87")).turned(1, 1)
    assert grid.terminals == ("85", "30", "87")
    assert json.loads(grid.turned(1, -1).answer()) == {"87": 1, "30": 2, "85": 5}


def test_only_positions_and_pins_have_a_grid() -> None:
    """As the file has them; a rating is typed."""
    harness = read_harness_text(CART, "x")
    found = {one.id: grid_of(harness, one) for one in questions(harness)}
    switch, relay = found["switches.S1.positions"], found["relays.K1.pins"]
    assert isinstance(switch, TickGrid)
    assert switch.ticks == {("on", "1"): 1, ("on", "2"): 1}
    assert relay == PinChoice((1, 2, 3, 4), ("30", "85", "86", "87"))
    assert found["fuses.F1.amps"] is None
