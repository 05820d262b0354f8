"""The search of commands and of the harness."""

from collections.abc import Sequence
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from textual.events import Key
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input, Static

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import parse_fault
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Harness
from model.tracing.find import Search
from model.tracing.find import search as search_at_once
from tests.benchmarks.looms import loom_text
from tests.tui.on_bench import (
    BUGGY,
    app_of,
    every_kind,
    looking_at,
    no_control_bytes,
    put_on_bench,
    row_texts,
    standing_of,
)
from tests.tui.on_screen import NASTY, at_rest, screen_text, until
from tui.app import FusewalkApp
from tui.screens.card import CardScreen
from tui.screens.frame import Findable
from tui.screens.loads import LoadsScreen
from tui.screens.search import SearchScreen, fitting_commands, leading
from tui.screens.walk import WalkScreen
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

COMMANDS = [Findable(words, "key x", lambda: None) for words in ("settings", "change between dark and light", "quit")]


def search() -> SearchScreen:
    """Return the search with a few commands."""
    return SearchScreen(COMMANDS, BarFacts("Buggy", "K7", ""))


async def typed(pilot: Pilot[Any], text: str) -> list[list[str]]:
    """Type something, and return the words of each row that can be marked."""
    screen = pilot.app.screen
    screen.query_one(Input).value = text
    await at_rest(pilot)
    return [row.content.plain.split() for row in screen.query_one(RowList).rows if row.can_be_marked]


def top_of(pilot: Pilot[Any]) -> Screen[Any]:
    """Return the screen on top."""
    return pilot.app.screen


def detail_of(pilot: Pilot[Any]) -> str:
    """Return what is told of the marked row."""
    return " ".join(str(pilot.app.screen.query_one("#detail", Static).visual).split())


def test_commands_hold_every_word_and_lead_when_they_begin_so() -> None:
    """All words have to be there; a command comes before what is found only when its name begins as typed."""
    assert [one.words for one in fitting_commands("", COMMANDS)] == [one.words for one in COMMANDS]
    assert [one.words for one in fitting_commands("LIGHT dark", COMMANDS)] == ["change between dark and light"]
    assert fitting_commands("zebra", COMMANDS) == []
    assert leading("set", COMMANDS)
    assert not leading("se", COMMANDS)
    assert not leading("light", COMMANDS)


@pytest.mark.first_few(2)
@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ("W26", ["W26", "▕▓▓▓▏RD/BU", "2.5", "left", "sill", "to", "rear", "box", "12.50"]),
        ("green white 2.5", ["W27", "▕▓▓▓▏GN/WH", "2.5", "rear", "box", "to", "tank", "bay", "12.40"]),
        ("X2 6", ["X2.cab.6", "Bulkhead", "plug,", "engine,"]),
        ("fuel pump", ["M2", "Fuel", "pump,", "motor", "tank", "bay", "works"]),
        ("K7", ["K7", "Fuel", "pump", "relay,", "relay", "rear", "box", "pulled", "in"]),
        ("I hold a green/white 2.5 in the tank bay", ["W27"]),
    ],
)
async def test_what_one_knows_of_it_finds_it(asked: str, first: list[str]) -> None:
    """Id, colour and size, cavity, label, a whole sentence: what it is, where, and what to expect there now."""
    async with looking_at(search(), put_on_bench(key="ignition")) as pilot:
        rows = await typed(pilot, asked)
        assert rows[0][: len(first)] == first


async def test_a_load_stands_circuit_by_circuit() -> None:
    """A lamp with several filaments has a row for each."""
    async with looking_at(search(), put_on_bench()) as pilot:
        rows = await typed(pilot, "E5")
        assert {" ".join(row[:2]) for row in rows if row[0] == "E5"} == {"E5 indicator", "E5 stop", "E5 tail"}


async def test_what_does_not_fit_is_said() -> None:
    """A misspelled word is told, and so is what of the sentence does not fit; nothing found is told too."""
    async with looking_at(search(), put_on_bench()) as pilot:
        await typed(pilot, "gren/white 50 left sill")
        said = " ".join(str(pilot.app.screen.query_one("#remarks", Static).visual).split())
        assert "“gren”; taken as “green”" in said
        assert "Does not fit: 50." in detail_of(pilot)
        await typed(pilot, "qqqqq")
        assert "Nothing is found for “qqqqq”." in screen_text(pilot.app)
        await pilot.press("enter")
        assert isinstance(pilot.app.screen, SearchScreen)


async def test_a_wire_tells_both_ends_where_they_differ() -> None:
    """A broken wire has volts at one end alone."""
    standing = put_on_bench(key="ignition")
    faulty = standing.with_fault(parse_fault(standing.harness, "W26=open"))
    async with looking_at(search(), faulty) as pilot:
        rows = await typed(pilot, "W26")
        assert rows[0][-1].startswith("12.6")
        assert "/" in rows[0][-1]


@pytest.mark.slow
async def test_letters_go_into_the_entry_and_arrows_into_the_list() -> None:
    """Keys that are commands elsewhere are letters here; Enter goes to the card, Esc comes back to the same list."""
    screen = search()
    async with looking_at(screen, put_on_bench()) as pilot:
        await pilot.press("k", "7")
        await at_rest(pilot)
        assert screen.query_one(Input).value == "k7"
        assert standing_of(pilot).condition.key == "off"
        await pilot.press("down", "down", "up")
        rows = screen.query_one(RowList)
        assert rows.marked_row is not None
        assert rows.marked_row.key == "found W26"
        await pilot.press("enter")
        await at_rest(pilot)
        assert isinstance(pilot.app.screen, CardScreen)
        assert pilot.app.screen.part_id == "W26"
        await pilot.press("escape")
        assert top_of(pilot) is screen
        assert rows.marked_row.key == "found W26"
        await pilot.press("escape")
        assert top_of(pilot) is not screen


async def test_a_load_leads_to_its_walk_and_tab_to_its_card() -> None:
    """Enter on a load shows its walk; Tab shows its card."""
    from tui.screens.walk import WalkScreen

    async with looking_at(search(), put_on_bench()) as pilot:
        await typed(pilot, "fuel pump")
        await pilot.press("tab")
        await at_rest(pilot)
        assert isinstance(pilot.app.screen, CardScreen)
        assert pilot.app.screen.part_id == "M2"
        await pilot.press("escape", "enter")
        await at_rest(pilot)
        assert isinstance(pilot.app.screen, WalkScreen)
        assert pilot.app.screen.element_name == "M2:load"


async def test_volts_follow_what_was_turned_meanwhile() -> None:
    """Back from a card where the key was turned, the rows tell the volts of the new key state."""
    async with looking_at(search(), put_on_bench(key="off")) as pilot:
        assert (await typed(pilot, "W27"))[0][-1] == "0.00"
        await pilot.press("enter")
        await at_rest(pilot)
        await pilot.press("k", "k")
        await at_rest(pilot)
        await pilot.press("escape")
        await at_rest(pilot)
        screen = pilot.app.screen
        assert isinstance(screen, SearchScreen)
        assert screen.facts.doing == "find"
        assert row_texts(screen.query_one(RowList))[1].split()[-1] == "12.40"
        assert screen.facts.key_state == "ignition"


async def test_a_restraint_has_no_figure(tmp_path: Path) -> None:
    """Where no probe may go the row says so, and the detail gives no volts."""
    async with looking_at(search(), put_on_bench(every_kind(tmp_path))) as pilot:
        rows = await typed(pilot, "A2.15")
        assert rows[0][-2:] == ["no", "probe"]
        assert "V now" not in detail_of(pilot)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(40, 12), (60, 20), (120, 40)])
async def test_nasty_names_are_found_and_shown(tmp_path: Path, size: tuple[int, int]) -> None:
    """Whatever is typed and whatever is found, nothing is obeyed."""
    async with looking_at(search(), put_on_bench(every_kind(tmp_path)), size) as pilot:
        for text in [*NASTY, "W", "X2", "lamp", "E1"]:
            await typed(pilot, text)
            assert no_control_bytes(screen_text(pilot.app))
            await pilot.press("down")
        assert "E1 dip" in screen_text(pilot.app)


@pytest.mark.slow
async def test_a_command_is_found_and_run() -> None:
    """/ opens the search, a few letters and Enter do what the command does; without a harness too."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.press("slash")
        assert isinstance(app.screen, SearchScreen)
        await pilot.press(*"light")
        await pilot.press("enter")
        await until(pilot, lambda: app.theme == "fusewalk-light")
        await pilot.press("slash", "escape")
        assert not isinstance(app.screen, SearchScreen)
        await pilot.press("slash", *"quit", "enter")
        await until(pilot, lambda: app.return_value == 0)


async def test_commands_stand_beside_what_is_found() -> None:
    """A command that begins as typed comes first, one that only holds the word after all that was found."""
    async with looking_at(search(), put_on_bench()) as pilot:
        rows = await typed(pilot, "sett")
        assert rows[0][0] == "settings"
        rows = await typed(pilot, "light")
        assert rows[0][0] != "change"
        assert rows[-1][:2] == ["change", "between"]


@pytest.mark.slow
async def test_ten_thousand_wires_are_searched_without_a_pause(tmp_path: Path) -> None:
    """The index is made aside: letters typed meanwhile are taken at once, and then searched for."""
    path = tmp_path / "loom.toml"
    path.write_text(loom_text(10_000), encoding="utf-8")
    screen = search()
    app = FusewalkApp()
    async with app.run_test() as pilot:
        app_of(pilot).standing = put_on_bench(path)
        await app.push_screen(screen)
        await pilot.press(*"w9999")
        assert screen.query_one(Input).value == "w9999"
        await until(pilot, lambda: bool(screen.hits), 3000)
        assert screen.hits[0].name == "W9999"


async def test_a_circuit_without_an_answer_still_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is found is shown without volts where the circuit cannot be solved."""

    def fails(self: Bench, condition: Condition) -> Survey:
        raise CircuitError("The circuit finds no rest.")

    monkeypatch.setattr(Bench, "survey", fails)
    async with looking_at(search(), put_on_bench()) as pilot:
        rows = await typed(pilot, "W27")
        assert rows[0] == ["W27", "▕▓▓▓▏GN/WH", "2.5", "rear", "box", "to", "tank", "bay"]
        assert isinstance(pilot.app.screen, SearchScreen)


async def test_a_harness_read_only_now_is_searched_too() -> None:
    """Opened while the file is still being read, the search gathers the words once it has been."""
    screen = search()
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await app.push_screen(screen)
        await pilot.press(*"ignition", "space", *"coil")
        app.standing = put_on_bench()
        await until(pilot, lambda: bool(screen.hits), 1000)
        assert screen.hits[0].name == "L1 primary"
        assert "Gathering" not in screen_text(app)


async def test_enter_waits_for_what_is_being_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """Words typed before they could be searched are searched once they can be: Enter in between is not lost."""
    may_find = Event()

    def slowly(harness: Harness, words: Sequence[str], limit: int) -> Search:
        may_find.wait(30)
        return search_at_once(harness, words, limit)

    screen = search()
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await app.push_screen(screen)
        await pilot.press(*"fuel", "space", *"pump")
        monkeypatch.setattr("model.tracing.find.search", slowly)
        app.standing = put_on_bench()
        await until(pilot, lambda: screen.ready)
        screen.action_go()
        may_find.set()
        await until(pilot, lambda: isinstance(app.screen, WalkScreen), 1000)


async def test_enter_is_forgotten_once_something_else_is_typed() -> None:
    """Enter while the harness is still being read, then another letter taken back again: it leads nowhere by itself."""
    screen = search()
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await app.push_screen(screen)
        app.is_reading = lambda: True  # type: ignore[method-assign]
        await pilot.press(*"fuel", "space", *"pump", "enter")
        assert screen.wish == "fuel pump"
        await pilot.press("x", "backspace")
        assert screen.wish is None
        app.standing = put_on_bench()
        await until(pilot, lambda: bool(screen.hits) and bool(screen.now))
        assert app.screen is screen


async def test_what_is_pasted_behind_the_key_of_the_search_belongs_to_it() -> None:
    """Letters that come before the entry stands there are kept in their order; Enter waits for what is found."""
    app = FusewalkApp(BUGGY)
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        for sign in "/ignitiom\x7fn coil\n":
            named = {"/": "slash", " ": "space", "\n": "enter", "\x7f": "backspace"}.get(sign, sign)
            app.post_message(Key(named, sign if sign.isprintable() else None))
        await until(pilot, lambda: isinstance(app.screen, WalkScreen), 1000)
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.element_name == "L1:primary"


async def test_a_slash_begins_anew_but_behind_a_colour_or_a_gauge() -> None:
    """The key that opens the search empties it where it stands open; ``green/white`` and ``1/0`` are typed with it."""
    async with looking_at(search(), put_on_bench()) as pilot:
        entry = pilot.app.screen.query_one(Input)
        for letters, before in (("X3.rear.2", ""), ("grn", "grn/"), ("awg 1", "awg 1/"), ("fuel pump", "")):
            entry.value = letters
            entry.cursor_position = len(letters)
            await pilot.press("slash")
            assert entry.value == before, letters
