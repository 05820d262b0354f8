"""The choice of a harness file."""

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from model.circuit.faults import parse_fault
from tests.tui.on_screen import NASTY, screen_text, small_harness, until
from tui import remembered
from tui.app import FusewalkApp
from tui.places import demo_builds
from tui.remembered import recent_files
from tui.screens.dialog import MessageDialog
from tui.screens.open_harness import Choice, OpenHarness, as_rows, first_choices, home_short
from tui.widgets.bars import BottomBar
from tui.widgets.rows import RowList


class Chooser(FusewalkApp):
    """The program, noting the file that was chosen instead of opening it."""

    def __init__(self) -> None:
        super().__init__()
        self.chosen: list[Path | None] = []

    def open_file(self, path: Path | None) -> None:
        """Note the file."""
        self.chosen.append(path)


@pytest.fixture
def builds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the current directory, with two harness files and a directory with one."""
    directory = tmp_path / "builds"
    (directory / "barn").mkdir(parents=True)
    for name in ("buggy.toml", "boat.toml", "barn/tractor.toml"):
        (directory / name).touch()
    monkeypatch.chdir(directory)
    return directory


async def typed(pilot: Pilot[Any], name: str) -> None:
    """Type a name key by key."""
    keys = {".": "full_stop", "/": "slash", "_": "underscore"}
    await pilot.press(*(keys.get(letter, letter) for letter in name))


def test_recent_files_stand_before_the_builds_to_try(tmp_path: Path) -> None:
    """Each file once, with the reason why it is there."""
    file = small_harness(tmp_path)
    remembered.remember_file(demo_builds()[0])
    remembered.remember_file(file)
    choices = first_choices()
    assert [choice.path for choice in choices[:2]] == [file, demo_builds()[0]]
    assert choices[0].note == f"opened before, {tmp_path}"
    assert {choice.note for choice in choices[2:]} <= {"a build to try"}
    assert len({choice.path for choice in choices}) == len(choices)


def test_a_copy_and_the_build_that_it_is_of_are_told_apart(tmp_path: Path) -> None:
    """Of two lines with one name the copy says where it lies, the build to try that it is as it came."""
    demo, *others = demo_builds()
    copied = tmp_path / demo.name
    copied.write_bytes(demo.read_bytes())
    remembered.remember_file(copied)
    choices = first_choices()
    assert [choice.note for choice in choices if choice.name == demo.name] == [
        f"opened before, {home_short(tmp_path)}",
        "a build to try, as it came",
    ]
    rows = [row.content.plain for row in as_rows(choices, 58)]
    assert "a build to try, as it came" in rows[1]
    assert sum(row.endswith("a build to try") for row in rows) == len(others)


def test_a_directory_is_written_from_home_and_cut_in_front(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two files of one name are told apart by the ends of their directories; a way back up is not written."""
    monkeypatch.setenv("HOME", str(tmp_path))
    far = "/".join(["looms"] * 12)
    for place in ("one", "two"):
        (tmp_path / far / place).mkdir(parents=True)
        (tmp_path / far / place / "rig.toml").touch()
        remembered.remember_file(tmp_path / far / place / ".." / place / "rig.toml")
    choices = first_choices()[:2]
    assert [choice.note for choice in choices] == [f"opened before, ~/{far}/{place}" for place in ("two", "one")]
    rows = [row.content.plain for row in as_rows(choices, 40)]
    assert [len(row) for row in rows] == [40, 40]
    assert [row[-4:] for row in rows] == ["/two", "/one"]
    assert home_short(tmp_path) == "~"
    assert home_short(Path("/srv/looms/../boats")) == "/srv/boats"


async def test_enter_opens_the_marked_file(builds: Path) -> None:
    """The first build is marked at the start; Down and Enter open the next one."""
    app = Chooser()
    async with app.run_test() as pilot:
        await pilot.press("down", "enter")
        await until(pilot, lambda: bool(app.chosen))
    assert app.chosen == [demo_builds()[1]]


async def test_a_name_is_typed_and_completed(builds: Path) -> None:
    """F goes into the entry, Tab completes, Enter opens."""
    app = Chooser()
    async with app.run_test() as pilot:
        await pilot.press("f")
        await typed(pilot, "bu")
        await pilot.press("tab")
        assert app.screen.query_one(Input).value == "buggy.toml"
        await pilot.press("enter")
        await until(pilot, lambda: bool(app.chosen))
    assert app.chosen == [builds / "buggy.toml"]


async def test_letters_in_the_entry_are_no_commands(builds: Path) -> None:
    """Q and ? are typed like any other letter while a name is typed."""
    app = Chooser()
    async with app.run_test() as pilot:
        await pilot.press("tab")
        await pilot.press("q", "question_mark", "slash")
        assert app.screen.query_one(Input).value == "q?/"
        assert app.return_code is None
        await pilot.press("escape")
        assert app.screen.query_one(RowList).has_focus
        assert app.screen.query_one(Input).value == ""


async def test_a_directory_is_gone_into(builds: Path) -> None:
    """Down and Enter on a directory put its name into the entry and list what is in it."""
    app = Chooser()
    async with app.run_test() as pilot:
        await pilot.press("f")
        await typed(pilot, "ba")
        await pilot.press("down", "enter")
        assert app.screen.query_one(Input).value == "barn/"
        await pilot.press("enter")
        await until(pilot, lambda: bool(app.chosen))
    assert app.chosen == [builds / "barn" / "tractor.toml"]


async def test_a_name_that_is_none_is_told(builds: Path) -> None:
    """What was typed stays, and the bottom line says that there is no such file."""
    app = Chooser()
    async with app.run_test() as pilot:
        await pilot.press("f")
        await typed(pilot, "zz")
        await pilot.press("enter")
        assert app.screen.query_one(BottomBar).said == "There is no file zz. Check its name and directory."
        assert "Nothing begins like that." in screen_text(app)
        assert app.chosen == []


async def test_a_name_that_cannot_be_looked_for_is_told(builds: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that is too long, one in a directory that may not be entered: the system's reason, and nothing else."""

    def refused(path: Path) -> bool:
        raise PermissionError(13, "Permission denied")

    app = Chooser()
    async with app.run_test() as pilot:
        await pilot.press("f")
        entry, bar = app.screen.query_one(Input), app.screen.query_one(BottomBar)
        entry.value = "n" * 300
        await pilot.press("enter")
        await until(pilot, lambda: bar.said == "That file cannot be looked for: File name too long.")
        entry.value = "locked/loom.toml"
        monkeypatch.setattr(Path, "is_file", refused)
        await pilot.press("enter")
        await until(pilot, lambda: bar.said == "That file cannot be looked for: Permission denied.")
        assert entry.value == "locked/loom.toml"
        assert app.chosen == []


async def test_files_with_nasty_names(builds: Path) -> None:
    """A file can be called anything and still be shown and opened."""
    names = [f"{label.replace('/', '_')}.toml" for label in NASTY if label and "\ud800" not in label]
    for name in names:
        (builds / "barn" / name).touch()
    app = Chooser()
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.press("f")
        await typed(pilot, "barn/")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, OpenHarness)
        assert {choice.path for choice in screen.choices} == set((builds / "barn").iterdir())
        assert "barn/S1 [on].toml" in screen_text(app)
        await pilot.press("down", "end", "enter")
        await until(pilot, lambda: bool(app.chosen))
    assert app.chosen[0] in set((builds / "barn").iterdir())


def test_notes_stand_in_one_column() -> None:
    """Short names are filled up, a name of any length is cut to the column."""
    rows = as_rows(
        [Choice("a.toml", "note", Path("/a")), Choice("前" * 40, "note", Path("/b")), Choice("b/", "", None, "b/")],
        60,
    )
    assert rows[0].content.plain == "a.toml" + " " * 29 + "note"
    assert rows[1].content.plain.endswith("…    note")
    assert rows[2].key == "b/"


async def test_a_damaged_file_is_not_among_those_opened_before(tmp_path: Path) -> None:
    """Only a file that could be read is remembered."""
    good, bad = small_harness(tmp_path), tmp_path / "bad.toml"
    bad.write_text("format = 1\n", encoding="utf-8")
    app = FusewalkApp(bad)
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        assert recent_files() == []
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        app.open_file(good)
        await until(pilot, lambda: app.standing is not None)
        assert recent_files() == [good]


async def test_a_fault_is_not_told_where_a_file_is_chosen(tmp_path: Path) -> None:
    """The choice of a file belongs to no vehicle: the line of the fault stands on the list of loads alone."""
    app = FusewalkApp(small_harness(tmp_path))
    async with app.run_test() as pilot:
        await until(pilot, lambda: app.standing is not None)
        assert app.standing is not None
        app.standing = app.standing.with_fault(parse_fault(app.standing.harness, "W2=open"))
        await until(pilot, lambda: "W2 open" in screen_text(app))
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        await pilot.pause()
        assert "X takes it out" not in screen_text(app)
