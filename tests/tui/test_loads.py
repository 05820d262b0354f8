"""The list of loads: names at once, the rest as it is worked out."""

from pathlib import Path
from threading import Event

import pytest

from model.harness.toml_file import read_harness
from model.review.findings import find_all
from tests.tui.builds import BUGGY, LAMP, build, loads_of, opened, standing_of, told
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp
from tui.load_filling import NeedsFound
from tui.load_lines import Order, in_order
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.open_harness import OpenHarness
from tui.screens.reviews import ReviewsScreen
from tui.screens.walk import WalkScreen
from tui.standing import Standing, stand
from tui.widgets.bars import BottomBar
from tui.widgets.rows import RowList


async def test_names_stand_before_anything_is_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the file still unread the loads stand in their places, what they do now is open."""
    monkeypatch.setattr(LoadsScreen, "read", lambda self: None)
    app = FusewalkApp(BUGGY)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        shown = screen_text(app).splitlines()
        assert app.standing is None
        pump = next(line for line in shown if "Fuel gauge" in line)
        assert pump.split()[2:] == ["…", "…", "…"]
        assert any(line.strip().startswith("dash, instrument panel forward") for line in shown)
        assert "key OFF" in shown[0]
        await pilot.press("k")
        assert "still being read" in screen_text(app)


@pytest.mark.slow
async def test_a_key_pressed_before_the_file_is_read_is_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    """The list of reviews, wished for while the file is unread, opens once it has been; the word of that is gone."""
    read = LoadsScreen.read
    monkeypatch.setattr(LoadsScreen, "read", lambda self: None)
    app = FusewalkApp(BUGGY)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        await pilot.press("o")
        screen = loads_of(app)
        assert "still being read" in screen_text(app)
        read(screen)
        await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is screen)
        assert "still being read" not in screen_text(app)


async def test_the_word_of_reading_goes_with_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A key that only tells that the file is being read leaves no trace of that once it has been."""
    read = LoadsScreen.read
    monkeypatch.setattr(LoadsScreen, "read", lambda self: None)
    app = FusewalkApp(BUGGY)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        await pilot.press("k")
        read(loads_of(app))
        await until(pilot, lambda: app.standing is not None)
        await until(pilot, lambda: "still being read" not in screen_text(app))


async def test_one_slow_batch_stops_no_filling() -> None:
    """A machine that was busy for a moment leaves no load open: the window is full and the others still follow."""
    async with opened(BUGGY, (60, 20)) as (app, pilot):
        screen = loads_of(app)
        await until(pilot, lambda: screen.quickest_seconds < 9)
        screen.filled(NeedsFound({}, 9.0), screen.harness)
        await until(pilot, lambda: len(screen.shown.needs) == len(screen.shown.lines))


@pytest.mark.slow
async def test_states_needs_and_fuses_follow() -> None:
    """Each load gets what it does now, what it needs and its fuse; the header counts wires, guesses, findings."""
    async with opened(BUGGY, (120, 70)) as (app, pilot):
        screen = loads_of(app)
        await until(pilot, lambda: len(screen.shown.needs) == len(screen.shown.lines) and bool(screen.findings))
        await pilot.pause()
        shown = screen_text(app)
        line = next(line for line in shown.splitlines() if "Fuel pump" in line)
        survey = standing_of(app).survey()
    assert screen.shown.needs["M2:load"].words == "key ignition, Inertia switch set"
    assert "key ignition, Inertia switch set" in line
    assert "F23" in line
    assert screen.shown.now == {name: load.state.value for name, load in survey.loads.items()}
    assert "189 wires" in shown
    assert "2 wires have assumed values" in " ".join(shown.split())
    assert f"{len(find_all(standing_of(app).walks.bench))} findings." in " ".join(shown.split())


@pytest.mark.slow
async def test_the_key_changes_what_works() -> None:
    """After two turns the fuel pump works, and the line on top counts the loads that do."""
    async with opened(BUGGY) as (app, pilot):
        screen = loads_of(app)
        assert screen.shown.now["M2:load"] == "off"
        await pilot.press("k", "right")
        await until(pilot, lambda: screen.shown.now.get("M2:load") == "works")
        assert standing_of(app).condition.key == "ignition"
        count = sum(state == "works" for state in screen.shown.now.values())
        await pilot.pause()
        assert screen.facts.doing == f"{count} of {len(screen.shown.lines)} circuits on"
        await pilot.press("K", "left")
        assert standing_of(app).condition.key == "off"


async def test_n_lists_by_name_and_the_mark_stays() -> None:
    """The order turns between place and name; the marked load keeps the mark."""
    async with opened(BUGGY) as (app, pilot):
        screen = loads_of(app)
        rows = screen.query_one(RowList)
        rows.mark_key("M2:load")
        await pilot.press("n")
        names = [row.key for row in rows.rows]
        assert names == [line.name for line in in_order(screen.shown.lines, Order.BY_NAME)]
        assert rows.marked_row is not None
        assert rows.marked_row.key == "M2:load"
        await pilot.press("n")
        assert screen.shown.order is Order.BY_PLACE
        assert not rows.rows[0].can_be_marked


async def test_a_walk_asked_for_too_early_opens_later() -> None:
    """Enter before the file has been read is not lost."""
    app = FusewalkApp(BUGGY)
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        screen = loads_of(app)
        if app.standing is None:
            screen.open_walk("M2:load")
            await told(app, pilot)
            assert isinstance(app.screen, WalkScreen)


async def test_all_breaches_are_told_and_the_choice_comes_back(tmp_path: Path) -> None:
    """A file with three faults shows all of them by line; Enter leads back to the list of files."""
    text = LAMP.replace("watts = 55", "watts = -1").replace('"S1.2"', '"S1.9"').replace("amps = 10", "amps = 0")
    path = build(tmp_path, text, "three [faults].toml")
    app = FusewalkApp(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        await pilot.pause()
        shown = screen_text(app)
        assert "3 things to put right" in shown
        for line, found in ((6, "fuses F1 amps"), (8, "loads E1 watts"), (12, "wires W3 from")):
            assert f"three [faults].toml:{line}: {found}" in shown
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        await pilot.pause()
        assert "three [faults]" not in screen_text(app)
        app.open_file(path)
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))


@pytest.mark.slow
async def test_thousands_of_breaches_are_one_dialog(tmp_path: Path) -> None:
    """A file that is wrong in every line is told within the patience of a test, the last line too."""
    wires = "".join(f'  {{ id = "V{n}", from = "X{n}.1", to = "X{n}.2" }},\n' for n in range(1500))
    app = FusewalkApp(build(tmp_path, LAMP.replace("wires = [\n", f"wires = [\n{wires}")))
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, MessageDialog), tries=2000)
        await pilot.press("end")
        await until(pilot, lambda: "V1499" in screen_text(app))


async def test_esc_leads_to_the_files_and_back_to_what_was_set() -> None:
    """Nothing set is lost where the same file is opened again."""
    async with opened(BUGGY) as (app, pilot):
        await pilot.press("k")
        before = standing_of(app)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        assert app.standing is before
        await until(pilot, lambda: bool(loads_of(app).shown.now))


async def test_another_file_starts_anew(tmp_path: Path) -> None:
    """Another build is not shown with the volts of the one before."""
    async with opened(BUGGY) as (app, pilot):
        await pilot.press("escape")
        app.open_file(build(tmp_path, LAMP))
        await until(pilot, lambda: app.standing is not None and app.standing.harness.build.name == "Lamp")


async def test_a_build_without_loads_says_so(tmp_path: Path) -> None:
    """There is nothing to choose, and Enter does no harm."""
    text = LAMP[: LAMP.index("loads = [")] + 'wires = [ { id = "W1", from = "G1.+", to = "F1.in" } ]\n'
    async with opened(build(tmp_path, text)) as (app, pilot):
        assert "No load is in this file. 1 wire" in screen_text(app)
        await pilot.press("enter", "n", "k", "down")
        await pilot.press("enter")
        assert app.screen.query_one(BottomBar).said == "There is no load to walk: a adds a circuit."


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", [(40, 12), (60, 20), (200, 60)])
async def test_resizing_fits_the_columns(size: tuple[int, int]) -> None:
    """After a change of size no row is wider than the window, and the marked one is in it."""
    async with opened(BUGGY) as (app, pilot):
        await pilot.press("end")
        await pilot.resize_terminal(*size)
        await pilot.pause()
        rows = app.screen.query_one(RowList)
        assert all(row.content.cell_length <= rows.room for row in rows.rows)
        assert rows.marked_row in rows.in_window()


async def test_what_was_counted_of_a_revision_before_is_counted_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counting a large loom takes seconds; meanwhile its file can be changed here."""
    counted: list[Standing] = []
    may_come = Event()

    def slowly(standing: Standing) -> str:
        counted.append(standing)
        count = len(counted)
        assert may_come.wait(20)
        return f"Findings of count {count}."

    monkeypatch.setattr("tui.screens.loads.findings_words", slowly)
    path = build(tmp_path, LAMP)
    async with opened(path) as (app, pilot):
        screen = loads_of(app)
        await until(pilot, lambda: len(counted) == 1)
        app.standing = stand(path, read_harness(path))
        await until(pilot, lambda: screen.harness is standing_of(app).harness)
        may_come.set()
        await until(pilot, lambda: bool(screen.findings))
        assert screen.findings == "Findings of count 2."
        assert counted[1] is standing_of(app)
