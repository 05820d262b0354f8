"""Whatever keys are pressed, wherever is clicked, whatever the window: laws that hold on every screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.monkey import ROUTES, play, settle
from tests.fuzz.monkey_acts import key_event, resize
from tests.fuzz.monkey_laws import WatchedApp, broken_laws, state_of
from tests.tui.builds import build
from tests.tui.traced import RELAY_LAMP
from tui.plan_list import whole_sentences

STORM = (
    *((cells, lines) for cells in (1, 2, 3, 8, 39, 40, 41, 60, 79, 80, 81, 119, 120, 200, 400) for lines in (1, 2, 12)),
    *((cells, lines) for cells in (40, 60, 80, 120, 400) for lines in (24, 100, 200)),
)
"""Sixty sizes of a window, those round the steps of the layout among them."""

FEW = ((1, 1), (3, 200), (400, 100), (41, 12), (2, 2))
WORKED_IN = (("enter",), ("t", "enter"), ("f",))


async def storm(directory: Path, route: tuple[str, ...], sizes: tuple[tuple[int, int], ...]) -> None:
    """Go to a screen, change the window many times, and see that nothing has changed there."""
    app = WatchedApp(build(directory, RELAY_LAMP))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        for key in route:
            app.post_message(key_event(key))
            await settle(app, pilot)
        before = state_of(app)
        for size in sizes:
            await resize(pilot, size)
            assert not broken_laws(app)
        await resize(pilot, (80, 24))
        await settle(app, pilot)
        assert not broken_laws(app)
        assert state_of(app) == before


async def test_a_screen_bears_a_storm_of_sizes(tmp_path: Path) -> None:
    """From one cell to four hundred columns: screens, key, settings, marks and entries stay; nothing fails."""
    await storm(tmp_path, ("slash",), FEW)


@pytest.mark.parametrize("cells", [-1, 0, 1, 7])
def test_sentences_are_chosen_for_no_room_at_all(cells: int) -> None:
    """The list of plans in a window of two cells, where textual wraps nothing."""
    assert whole_sentences("Battery off. Fuses out.", cells, 3).startswith("Battery off.")


@pytest.mark.slow
@pytest.mark.parametrize("route", WORKED_IN, ids="-".join)
async def test_the_walk_the_trace_and_a_form_bear_thirty_sizes(route: tuple[str, ...], tmp_path: Path) -> None:
    """The same on screens that are worked in most."""
    await storm(tmp_path, route, STORM[::2])


@pytest.mark.thorough
@pytest.mark.parametrize("route", sorted(set(ROUTES) - set(WORKED_IN)), ids="-".join)
async def test_every_screen_bears_a_storm_of_sizes(route: tuple[str, ...], tmp_path: Path) -> None:
    """The same on every other screen that keys lead to, with sixty sizes."""
    await storm(tmp_path, route, STORM)


@pytest.mark.parametrize("seed", [40])
async def test_a_monkey_breaks_no_law(seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys, words, pastes, clicks, drags, the wheel and changes of the window in any order: no fault, nothing lost."""
    monkeypatch.chdir(tmp_path)
    found = await play(seed, tmp_path, acts=15)
    assert not found.broken, str(found)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1017, 2000])
async def test_monkeys_break_no_law(seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same for longer, with seeds that once broke one."""
    monkeypatch.chdir(tmp_path)
    found = await play(seed, tmp_path, acts=40)
    assert not found.broken, str(found)
