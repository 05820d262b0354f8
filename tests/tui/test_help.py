"""The help of every place."""

import re
from collections.abc import Callable, Iterator
from itertools import cycle, islice
from pathlib import Path
from typing import Any

import pytest
from textual.screen import Screen
from textual.widgets import Input

from model.circuit.survey import LoadState
from model.plans.judging import Standing
from model.plans.plan import LoomState
from model.review.finding import Gravity
from model.review.key_feeds import Feed
from model.tracing.expect import FLOATING, UNSETTLED
from tests.tui.builds import LAMP, build, opened, told
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp
from tui.commands import COMMANDS, Place, commands_of, help_of, key_label
from tui.glyphs import GLYPHS
from tui.screen_words import TRADE, signs_of, words_of
from tui.screens.dialog import CarefulDialog, MessageDialog, QuestionDialog
from tui.screens.help import HelpScreen, help_lines
from tui.screens.loads import LoadsScreen
from tui.trace_rows import Known
from tui.widgets.rows import RowList

GOLDEN = Path(__file__).parent.parent / "golden"
GOLDEN_OF = {
    "loads": Place.LOADS, "walk": Place.WALK, "card": Place.CARD, "search": Place.FIND, "trace": Place.TRACE,
    "trace_ask": Place.TRACE_ASK, "trace_word": Place.TRACE, "trace_why": Place.WHY, "trace_found": Place.FOUND,
    "plans": Place.PLANS, "plan": Place.PLAN, "plan_answered": Place.PLAN, "plan_record": Place.RECORD,
    "reviews": Place.REVIEWS, "review_findings": Place.REVIEW, "review_live": Place.LIVE, "needs": Place.NEEDS,
    "needs_ticked": Place.NEEDS, "patterns": Place.PATTERNS, "circuit": Place.CIRCUIT, "amend": Place.AMEND,
    "what_if": Place.SEEN,
}  # fmt: skip
FRAME = set("─▁▂▃▄▅▆▇█")
READ_AS_THEY_ARE = set("Ω±≥≤²µ°×")


@pytest.mark.parametrize("place", Place)
def test_every_key_has_a_line_of_its_own(place: Place) -> None:
    """Each command of a place stands in its help, all its keys named, with a sentence that is no mere word."""
    lines = dict(help_of(place))
    assert len(lines) == len(help_of(place)) == len(commands_of(place))
    for command in commands_of(place):
        words = lines[" ".join(map(key_label, command.keys))]
        assert len(words.split()) >= 2 or words in {"goes on", "goes back"}, command.id


def test_no_key_words_are_left_over() -> None:
    """What has words is a command, in a place that has it."""
    from tui import key_words

    assert set(key_words._WORDS) == {command.id for command in COMMANDS}
    assert {(name, Place[place]) for name, place in key_words._IN_PLACE} <= {
        (command.id, place) for command in COMMANDS for place in command.where
    }
    assert set(key_words._ALSO) <= {place.name for place in Place}


@pytest.mark.parametrize("name", GOLDEN_OF)
def test_every_sign_of_a_screen_is_explained(name: str) -> None:
    """No sign stands on a screen, as its golden text has it, that the help of the screen does not name."""
    place = GOLDEN_OF[name]
    shown = "".join((GOLDEN / f"{name}_{size}.txt").read_text("utf-8") for size in ("60x20", "80x24", "120x40"))
    named = {sign for signs, _ in signs_of(place) for sign in signs}
    assert (set(shown) & set(GLYPHS)) - FRAME - READ_AS_THEY_ARE <= named


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place.LOADS, [str(state) for state in LoadState]),
        (Place.SEEN, [str(state) for state in LoadState]),
        (Place.WALK, [FLOATING, UNSETTLED, "expect", "unplugged", "as built", "never probed", "read", "not read"]),
        (Place.KEYS, [FLOATING, UNSETTLED, "estimate"]),
        (Place.TRACE, [str(known) for known in Known]),
        (Place.WHY, ["suspect", "set aside", "share"]),
        (Place.PLAN, [str(standing) for standing in Standing]),
        (Place.PLANS, [*map(str, Standing), *map(str, LoomState)]),
        (Place.REVIEW, [*map(str, Gravity), *map(str, Feed)]),
        (Place.LIVE, ["unfused", FLOATING, UNSETTLED]),
    ],
)
def test_every_word_of_a_screen_is_explained(place: Place, words: list[str]) -> None:
    """The words that the model has for how something stands are those that the help explains."""
    assert set(words) <= {word for word, _ in words_of(place)}


def test_the_words_of_the_trade_are_in_every_help() -> None:
    """What a beginner does not know stands at the end, whatever screen is explained."""
    words = {word for names, _ in TRADE for word in names.split(", ")}
    assert {"feed", "ground", "splice", "drop", "cavity", "key state", "posts"} <= words
    told_of = "\n".join(line.plain for line in help_lines(Place.PROVE, 56))
    assert "Words of the trade" in told_of
    assert all(names in told_of for names, _ in TRADE)


@pytest.mark.parametrize("cells", [35, 55, 115])
def test_no_line_is_wider_than_the_screen(cells: int) -> None:
    """Whatever the width nothing is cut."""
    for place in Place:
        assert max(line.cell_length for line in help_lines(place, cells)) <= cells


@pytest.mark.parametrize("size", [pytest.param((40, 12), marks=pytest.mark.thorough), (60, 20)])
async def test_the_whole_help_can_be_read(tmp_path: Path, size: tuple[int, int]) -> None:
    """Page by page every word comes into the window, and as long as there is more the bottom says so."""
    async with opened(build(tmp_path, LAMP), size) as (app, pilot):
        await pilot.press("question_mark")
        await until(pilot, lambda: "Down more" in screen_text(app))
        seen: list[str] = []
        scroll = app.screen.query_one("#help")
        while "Down more" in screen_text(app):
            seen += screen_text(app).split()
            await pilot.press("pagedown")
            await pilot.pause()
        seen += screen_text(app).split()
        assert scroll.scroll_offset.y == scroll.max_scroll_y > 0
        wanted = " ".join(line.plain for line in help_lines(Place.LOADS, size[0] - 6)).split()
        assert set(wanted) - set(seen) == set()


def screens_over(app: FusewalkApp) -> Iterator[tuple[Place, Callable[[], Screen[Any]]]]:
    """Return screens that need no more than a harness, each with its place."""
    from tui.screens.ask import AskScreen
    from tui.screens.card import CardScreen
    from tui.screens.choose import ChooseScreen, ChooseSeveral
    from tui.screens.needs import NeedsScreen
    from tui.screens.open_harness import OpenHarness
    from tui.screens.patterns import PatternsScreen
    from tui.screens.plans import PlansScreen
    from tui.screens.practice import PracticeScreen
    from tui.screens.reviews import ReviewsScreen
    from tui.screens.settings import SettingsScreen
    from tui.screens.trace_ask import TraceAskScreen
    from tui.screens.what_if import WhatIfScreen

    standing = app.standing
    assert standing is not None
    yield Place.OPEN, OpenHarness
    yield Place.CARD, lambda: CardScreen("E1")
    yield Place.SETTINGS, SettingsScreen
    yield Place.WHAT_IF, lambda: WhatIfScreen(["E1"], "E1")
    yield Place.TRACE_ASK, lambda: TraceAskScreen(("E1:load",))
    yield Place.PRACTICE, lambda: PracticeScreen(standing.harness, 1)
    yield Place.PLANS, lambda: PlansScreen(standing)
    yield Place.REVIEWS, lambda: ReviewsScreen(standing)
    yield Place.NEEDS, lambda: NeedsScreen(standing)
    yield Place.PATTERNS, lambda: PatternsScreen(standing)
    yield Place.DIALOG, lambda: MessageDialog("Heading", ["Words."])
    yield Place.DIALOG, lambda: QuestionDialog("Heading", "Leave?", "leave")
    yield Place.DIALOG, lambda: CarefulDialog("Heading", "Leave?", "leave")
    yield Place.DIALOG, lambda: AskScreen("Which?", "letters", str)
    yield Place.DIALOG, lambda: ChooseScreen("Which?", [("a head", "a", "first"), ("a head", "b", "second")])
    yield Place.DIALOG, lambda: ChooseSeveral("Which?", [("a head", "a", "first"), ("a head", "b", "second")])


@pytest.mark.parametrize(
    ("size", "every"),
    [
        ((40, 12), 4),
        pytest.param((40, 12), 1, marks=pytest.mark.slow),
        pytest.param((60, 20), 1, marks=pytest.mark.thorough),
    ],
)
async def test_help_comes_and_goes_everywhere(tmp_path: Path, size: tuple[int, int], every: int) -> None:
    """? explains each screen, an empty entry or a dialog too; ?, Esc and Enter lead back to the same focus and mark."""
    async with opened(build(tmp_path, LAMP), size) as (app, pilot):
        leaves = cycle(["question_mark", "escape", "enter"])
        for place, make in islice(screens_over(app), 0, None, every):
            await app.push_screen(make())
            await pilot.pause()
            below, focus = app.screen, app.screen.focused
            marks = [rows.marked for rows in below.query(RowList)]
            await pilot.press("question_mark")
            assert isinstance(app.screen, HelpScreen), place
            assert app.screen.place is place
            await pilot.press(next(leaves))
            assert app.screen is below
            assert below.focused is focus
            assert not marks or [rows.marked for rows in below.query(RowList)] == marks
            await app.pop_screen()


async def test_what_has_been_typed_keeps_its_question_mark(tmp_path: Path) -> None:
    """In an entry that has begun ? is a sign like any other; the search keeps what was typed when help has gone."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        await pilot.press("slash")
        await until(pilot, lambda: isinstance(app.focused, Input))
        await pilot.press("question_mark")
        assert isinstance(app.screen, HelpScreen)
        assert app.screen.place is Place.FIND
        await pilot.press("escape", "x", "question_mark")
        assert not isinstance(app.screen, HelpScreen)
        assert app.screen.query_one(Input).value == "x?"


async def test_a_walk_is_as_it_was_before_the_help(tmp_path: Path) -> None:
    """The mark, the key and what is set stay; the help is that of the walk."""
    async with opened(build(tmp_path, LAMP), (60, 20)) as (app, pilot):
        assert isinstance(app.screen, LoadsScreen)
        app.screen.open_walk("E1:load")
        await told(app, pilot)
        await pilot.press("down", "down", "down", "k")
        await told(app, pilot)
        before, standing = screen_text(app), app.standing
        await pilot.press("question_mark")
        await pilot.pause()
        assert "▪" in "\n".join(line.plain for line in help_lines(Place.WALK, 55))
        await pilot.press("question_mark")
        await told(app, pilot)
        await pilot.pause()
        assert screen_text(app) == before
        assert app.standing is standing


async def test_ascii_signs_are_explained() -> None:
    """Where twins stand for signs the help says which."""
    told_of = "\n".join(line.plain for line in help_lines(Place.WALK, 75, ascii_only=True))
    assert "R ohms" in told_of
    app = FusewalkApp(ascii_only=True)
    async with app.run_test() as pilot:
        await pilot.press("question_mark", "end")
        await pilot.pause()
        assert "R ohms" in screen_text(app)
        assert re.search(r"^.*[^\x00-\x7f].*$", screen_text(app), re.MULTILINE) is None
