"""How a practice fits its window: the step whole, cautions before it, each check once, hostile names."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
import tomli_w
from textual.widgets import Static

from tests.tui.on_bench import looking_at, no_control_bytes, put_on_bench, row_texts
from tests.tui.on_screen import NASTY, at_rest, screen_text, until
from tests.tui.practising import long_names, practised, press, said
from tests.tui.test_cli_practice import HARNESS, two_fuses
from tui.practice_rows import WantsRoom, wanted_lines
from tui.practice_words import asked_sentence
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.practice import PracticeScreen
from tui.widgets.rows import RowList


async def test_a_step_with_a_caution_is_whole_in_a_low_window(tmp_path: Path) -> None:
    """At 60 x 20 the cautions are folded into one row, so that the question at the end of the step stays."""
    async with practised(long_names(tmp_path), (60, 20)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        check = next(one for one in practice.offered if practice.cautions(one) and one.part)
        screen.mark(check)
        await press(pilot, "enter")
        shown = screen_text(pilot.app)
        asked = asked_sentence(practice, check)
        assert len(asked) > 5 * 58
        assert "a: all" in next(line for line in shown.splitlines() if "Caution: " in line)
        assert asked.split()[-1] in shown
        assert screen.query_one(RowList).size.height >= 4


@pytest.mark.parametrize(
    ("most", "unfolded", "wanted"),
    [
        (20, 20, ["Caution: ", "Caution: ", "At "]),
        (20, 4, ["Caution: ", "At "]),
        (3, 3, ["Caution: ", "At "]),
    ],
)
async def test_a_step_takes_no_more_than_its_room(tmp_path: Path, most: int, unfolded: int, wanted: list[str]) -> None:
    """Cautions unfold where there is room for them; where there is none for the step it says which key has the rest."""
    async with practised(long_names(tmp_path)) as (_, screen):
        practice = screen.practice
        assert practice is not None
        check = next(one for one in practice.offered if len(practice.cautions(one)) == 2 and one.part)
        drawn = [line.plain for line in wanted_lines(practice, check, 58, WantsRoom(most, unfolded))]
        assert len(drawn) <= most
        assert [head for line in drawn for head in ("Caution: ", "At ") if line.startswith(head)] == wanted
        assert drawn[-1].endswith(" a: all of it") is (most == 3)
        assert all(len(line) <= 58 for line in drawn)


@pytest.mark.slow
async def test_a_check_is_found_by_words_of_it(tmp_path: Path) -> None:
    """/ offers the checks that have every word, and marks the one that is taken; what none has is told."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        wanted = next(name for name in reversed(screen.named) if name.startswith("look at"))
        await press(pilot, "slash", *wanted.split()[-1], "space", *"look")
        assert wanted in screen_text(pilot.app)
        await press(pilot, "enter")
        assert pilot.app.screen is screen
        marked = screen.query_one(RowList).marked_row
        assert marked is not None
        assert marked.key == wanted
        await press(pilot, "slash", *"xyzzy", "enter")
        assert "No check has “xyzzy”." in screen_text(pilot.app)


async def test_cautions_stand_before_the_check(tmp_path: Path) -> None:
    """Above the list with the step, whole with a."""
    async with practised(two_fuses(tmp_path)) as (pilot, screen):
        practice = screen.practice
        assert practice is not None
        check = next(one for one in practice.offered if practice.cautions(one))
        screen.mark(check)
        await at_rest(pilot)
        assert "Caution: " in str(screen.query_one("#wants", Static).content)
        await press(pilot, "a")
        dialog = pilot.app.screen
        assert isinstance(dialog, MessageDialog)
        assert dialog.sentences[:-1] == tuple(f"Caution: {one}" for one in practice.cautions(check))


@pytest.mark.slow
async def test_it_is_reached_from_the_loads_by_key_and_by_search(tmp_path: Path) -> None:
    """p, and the words of the command."""
    standing = put_on_bench(two_fuses(tmp_path))
    for keys in (["p"], ["slash", *"practise", "enter"]):
        async with looking_at(LoadsScreen(standing.path), standing) as pilot:
            await pilot.press(*keys)
            await until(pilot, lambda: isinstance(pilot.app.screen, PracticeScreen))
            await at_rest(pilot)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(120, 40), (80, 24), (60, 20)])
async def test_it_fits_in_three_sizes(tmp_path: Path, size: tuple[int, int]) -> None:
    """Complaint, step, list and last reading are all on the screen."""
    async with practised(two_fuses(tmp_path), size) as (pilot, screen):
        await press(pilot, "enter")
        shown = screen_text(pilot.app)
        assert "does nothing" in shown or "works weakly" in shown or "stays on" in shown or "blows" in shown
        assert "› " in shown
        assert said(screen)[:20] in shown
        assert all(len(line) == size[0] for line in shown.splitlines())
        assert screen.query_one(RowList).size.height >= 4


@pytest.mark.slow
async def test_hostile_labels_are_shown_as_they_are(tmp_path: Path) -> None:
    """Brackets stand there, control bytes do not, nothing crashes."""
    for place, nasty in enumerate(text for text in NASTY if text and "\ud800" not in text):
        tables = tomllib.loads(HARNESS)
        tables["fuses"][0]["label"] = nasty
        tables["loads"][0]["label"] = nasty
        tables["build"]["name"] = nasty
        path = tmp_path / "nasty.toml"
        path.write_bytes(tomli_w.dumps(tables).encode())
        async with practised(path) as (pilot, screen):
            await press(pilot, "enter", "g")
            assert no_control_bytes(screen_text(pilot.app)), place
            await press(pilot, "escape")
            assert screen not in pilot.app.screen_stack


async def test_rows_show_every_check_once(tmp_path: Path) -> None:
    """No two rows are named alike."""
    async with practised(two_fuses(tmp_path)) as (_, screen):
        rows = screen.query_one(RowList)
        keys = [row.key for row in rows.rows if row.can_be_marked]
        assert len(set(keys)) == len(keys)
        assert len(row_texts(rows)) == len(rows.rows)
