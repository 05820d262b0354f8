"""What the file still needs: asked one after the other, answered by keys alone, written at once."""

from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from tests.tui.builds import LAMP, build, loads_of, opened, standing_of
from tests.tui.filled_in import CART, asked, marked, names, needs_of, press, question_id, shown, typed
from tests.tui.hostile_build import hostile_build
from tests.tui.on_screen import screen_text, until
from tests.tui.test_hostile_build import assert_harmless
from tui.screens.loads import LoadsScreen
from tui.widgets.rows import RowList

SIZES = [(60, 20), (80, 24)]
FIRST = "build.nominal_volts"


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_every_question_is_answered_by_keys_alone(tmp_path: Path, size: tuple[int, int]) -> None:
    """By arrows, a number, ticks and turning; each answer is in the file at once, the first state of it is kept."""
    path = build(tmp_path, CART)
    async with opened(path, size) as (app, pilot):
        await asked(app, pilot)
        assert (question_id(app), marked(app)) == (FIRST, "12")
        await press(app, pilot, "down", "enter")
        assert read_harness(path).build.nominal_volts == 24
        await press(app, pilot, *typed("7.5"), "enter")
        assert read_harness(path).parts["F1"].amps == 7.5  # type: ignore[attr-defined]
        assert question_id(app) == "switches.S1.positions"
        await press(app, pilot, "down", "right", "right", "space", "enter")
        switch = read_harness(path).parts["S1"]
        assert switch.positions == {"off": (), "on": (("1", "2", "3"),)}  # type: ignore[attr-defined]
        await press(app, pilot, "down", "space", "enter")
        assert read_harness(path).parts["K1"].pins == {"30": 1, "86": 2, "85": 3, "87": 4}
        await press(app, pilot, *typed("150 cm"), "enter")
        assert read_harness(path).parts["W6"].length == 1.5  # type: ignore[attr-defined]
        assert "Nothing is left to answer" in shown(app)
        assert names(tmp_path) == ["build.rev3.unanswered.toml", "build.toml"]
        assert (tmp_path / "build.rev3.unanswered.toml").read_text(encoding="utf-8") == CART
        assert "# in the box" in path.read_text(encoding="utf-8")
        assert standing_of(app).harness == read_harness(path)
        await press(app, pilot, "escape")
        assert loads_of(app).harness == read_harness(path)


async def test_what_an_answer_did_to_the_findings_is_said(tmp_path: Path) -> None:
    """The length of the one assumed wire is given: its finding is gone, by name."""
    text = LAMP.replace('colour = "RD/BK"', 'colour = "RD/BK", size = 1, length = 1')
    text = text.replace('colour = "GN"', 'colour = "GN", size = 1').replace(
        'to = "CHASSIS", colour = "BK" }', 'to = "CHASSIS", colour = "BK", size = 1, length = 1 }'
    )
    text = text.replace('colour = "BK", size = 25', 'colour = "BK", size = 25, length = 1')
    async with opened(build(tmp_path, text)) as (app, pilot):
        await asked(app, pilot)
        assert question_id(app) == "wires.W3.length"
        await press(app, pilot, *typed("2"), "enter")
        await until(pilot, lambda: "gone: assumed (W3)" in shown(app))
        assert "Written: length of W3." in shown(app)


@pytest.mark.slow
async def test_a_question_is_left_assumed_and_comes_again_at_the_end(tmp_path: Path) -> None:
    """Tab leaves it, Left goes back to it; the counts stand on top, and the file is not touched."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await asked(app, pilot)
        assert "5 to answer" in shown(app)
        await press(app, pilot, "tab")
        assert question_id(app) == "fuses.F1.amps"
        assert "5 to answer, 1 left assumed" in shown(app)
        await press(app, pilot, "left")
        assert question_id(app) == FIRST
        await press(app, pilot, *["tab"] * 5)
        assert question_id(app) == FIRST
        assert path.read_text(encoding="utf-8") == CART


@pytest.mark.slow
async def test_enter_alone_gives_nothing(tmp_path: Path) -> None:
    """What is assumed is no answer by being marked: Enter goes on, the file stays; Space or yes gives it."""
    path = build(tmp_path, CART)
    async with opened(path, (60, 20)) as (app, pilot):
        await asked(app, pilot)
        assert "12 assumed" in shown(app)
        await press(app, pilot, *["enter"] * 4)
        assert "Left as assumed: pins of K1." in shown(app)
        assert "5 to answer, 4 left assumed" in shown(app)
        assert path.read_text(encoding="utf-8") == CART
        await press(app, pilot, *typed("2"), "enter", "space")
        assert read_harness(path).build.note == ""
        assert question_id(app) == "fuses.F1.amps"
        await press(app, pilot, "space", *typed("yes"), "enter", *typed("yes"), "enter")
        assert "Nothing is left to answer" in shown(app)
        foot = screen_text(app).splitlines()[-1]
        assert "Enter" not in foot
        assert "Tab" not in foot


async def test_the_foot_says_what_enter_does(tmp_path: Path) -> None:
    """Untouched it leaves the marked row assumed, and Space takes it; once something is typed or chosen Enter takes."""
    async with opened(build(tmp_path, CART), (60, 20)) as (app, pilot):
        await asked(app, pilot)

        def foot() -> str:
            return screen_text(app).splitlines()[-1]

        assert "12 assumed" in shown(app)
        assert "Enter leave it assumed" in foot()
        assert "Space take it" in foot()
        assert "Esc back" in foot()
        await press(app, pilot, "2")
        assert "Enter take " in foot()
        assert "Tab leave it assumed" in foot()
        await press(app, pilot, "backspace")
        assert "Enter leave it assumed" in foot()
        await press(app, pilot, "down")
        assert "Enter take " in foot()
        await press(app, pilot, "tab")
        assert question_id(app) == "fuses.F1.amps"
        assert "Enter leave it assumed" in foot()


@pytest.mark.slow
async def test_what_was_refused_is_replaced_by_what_is_typed_next(tmp_path: Path) -> None:
    """No two answers stand behind one another; who puts the cursor into it mends it instead."""
    path = build(tmp_path, CART)
    async with opened(path, (60, 20)) as (app, pilot):
        screen = await asked(app, pilot)
        await press(app, pilot, "tab", *typed("plenty"), "enter")
        assert "“plenty” is no number" in shown(app)
        await press(app, pilot, *typed("1x"), "enter")
        entry = screen.query_one("#typed")
        assert entry.value == "1x"  # type: ignore[attr-defined]
        await press(app, pilot, "left", "delete", "backspace")
        assert entry.value == ""  # type: ignore[attr-defined]
        await press(app, pilot, *typed("1x"), "enter", "backspace", *typed("5"), "enter")
        assert read_harness(path).parts["F1"].amps == 15  # type: ignore[attr-defined]
        assert "amps = 15," in path.read_text(encoding="utf-8") or "amps = 15 " in path.read_text(encoding="utf-8")


@pytest.mark.slow
async def test_a_wrong_answer_is_refused_in_words_and_stays(tmp_path: Path) -> None:
    """What was typed stands in the line still; what is wrong goes once something else stands there."""
    path = build(tmp_path, CART)
    async with opened(path, (60, 20)) as (app, pilot):
        screen = await asked(app, pilot)
        await press(app, pilot, "tab", *typed("plenty"), "enter")
        assert "“plenty” is no number" in shown(app)
        assert screen.query_one("#typed").value == "plenty"  # type: ignore[attr-defined]
        assert path.read_text(encoding="utf-8") == CART
        await press(app, pilot, "tab")
        assert question_id(app) == "fuses.F1.amps"
        await press(app, pilot, "escape", *typed("15"))
        assert "no number" not in shown(app)
        await press(app, pilot, "enter")
        assert read_harness(path).parts["F1"].amps == 15  # type: ignore[attr-defined]


@pytest.mark.slow
async def test_one_terminal_ticked_alone_is_asked_about(tmp_path: Path) -> None:
    """A lone tick joins nothing: it is told, and nothing is written."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await asked(app, pilot)
        await press(app, pilot, "tab", "tab", "space", "enter")
        assert "In off one terminal is ticked alone" in shown(app)
        assert path.read_text(encoding="utf-8") == CART
        await press(app, pilot, "space", *typed("off; on: 1-3"), "enter")
        assert read_harness(path).parts["S1"].positions["on"] == (("1", "3"),)  # type: ignore[attr-defined]


@pytest.mark.slow
async def test_a_file_changed_outside_is_told_and_read_anew(tmp_path: Path) -> None:
    """The answer stays in the line; Enter then puts it into the file as it is now, and the other change stays."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await asked(app, pilot)
        await press(app, pilot, "tab")
        path.write_text(CART.replace("watts = 21", "watts = 55"), encoding="utf-8")
        await press(app, pilot, *typed("15"), "enter")
        assert "changed by something else" in shown(app)
        assert "watts = 55" in path.read_text(encoding="utf-8")
        assert "amps = 10" in path.read_text(encoding="utf-8")
        assert standing_of(app).harness == read_harness(path)
        assert question_id(app) == "fuses.F1.amps"
        await press(app, pilot, "enter")
        found = read_harness(path)
        assert (found.parts["F1"].amps, found.parts["E1"].watts) == (15, 55)  # type: ignore[attr-defined]


@pytest.mark.slow
async def test_a_file_that_cannot_be_written_loses_no_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Why not is said; the answer stays in the line and can be put in later."""
    path = build(tmp_path, CART)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    async with opened(path) as (app, pilot):
        screen = await asked(app, pilot)
        with monkeypatch.context() as patch:
            patch.setattr("model.harness.kept_file._write", full)
            await press(app, pilot, "tab", *typed("15"), "enter")
        assert "cannot be written: No space left on device" in shown(app)
        assert screen.query_one("#typed").value == "15"  # type: ignore[attr-defined]
        await press(app, pilot, "enter")
        assert read_harness(path).parts["F1"].amps == 15  # type: ignore[attr-defined]


@pytest.mark.slow
async def test_letters_are_typed_and_only_an_empty_line_explains(tmp_path: Path) -> None:
    """The letter q does not quit, a digit is typed, ? opens the help of an empty line."""
    async with opened(build(tmp_path, CART)) as (app, pilot):
        screen = await asked(app, pilot)
        await press(app, pilot, *typed("q/"))
        assert screen.query_one("#typed").value.startswith("q/")  # type: ignore[attr-defined]
        await press(app, pilot, "escape", "question_mark")
        assert app.screen is not screen
        await press(app, pilot, "escape", "escape")
        assert isinstance(app.screen, LoadsScreen)


@pytest.mark.slow
@pytest.mark.parametrize("size", [SIZES[0], pytest.param(SIZES[1], marks=pytest.mark.thorough)])
async def test_nasty_names_are_asked_about_harmlessly(tmp_path: Path, size: tuple[int, int]) -> None:
    """Every question of a build with nasty names is shown as it is; no key obeys them."""
    async with opened(build(tmp_path, hostile_build()), size) as (app, pilot):
        await asked(app, pilot)
        count = len(needs_of(app).asked.open)  # type: ignore[union-attr]
        assert count > 10
        for _ in range(count):
            assert_harmless(app)
            await pilot.press("down", "tab")
            await pilot.pause()
        assert all(
            row.content.cell_length <= app.screen.query_one(RowList).room for row in app.screen.query_one(RowList).rows
        )
