"""A new circuit by keys alone: a pattern chosen, its questions answered, what is proposed put in."""

from pathlib import Path
from threading import Event

import pytest
from textual.events import Key
from textual.widgets import Input

from model.amending import standing_amendments
from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.record import read_record
from model.review.patterns import Pattern
from tests.tui.builds import build, opened, standing_of
from tests.tui.filled_in import CART, form_of, mark, marked, names, press, shown, typed
from tests.tui.hostile_build import hostile_build
from tests.tui.on_screen import at_rest, until
from tests.tui.test_hostile_build import NO_GROUND, ONE_WIRE, assert_harmless
from tui.app import FusewalkApp
from tui.circuit_lines import Tried, try_circuit
from tui.form_rows import PUT_IN
from tui.screens.card import CardScreen
from tui.screens.circuit import CircuitScreen
from tui.screens.loads import LoadsScreen
from tui.screens.patterns import PatternsScreen
from tui.widgets.rows import RowList

SIZES = [(60, 20), (80, 24)]


def circuit_of(app: FusewalkApp) -> CircuitScreen:
    """Return the new circuit, which is on top."""
    assert isinstance(app.screen, CircuitScreen)
    return app.screen


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_a_circuit_is_asked_proposed_and_put_in(tmp_path: Path, size: tuple[int, int]) -> None:
    """A lamp fed always: figures typed, the place chosen, a proposal changed, the reasons read; then it is put in."""
    path = build(tmp_path, CART)
    async with opened(path, size) as (app, pilot):
        await press(app, pilot, "a")
        assert isinstance(app.screen, PatternsScreen)
        await mark(app, pilot, "permanent")
        await press(app, pilot, "enter")
        await until(pilot, lambda: marked(app) == "watts")
        assert "Still needed: watts or amps, at." in shown(app)
        assert "amps needed, or watts" in shown(app)
        assert "load length, m" in shown(app)
        await press(app, pilot, *typed("5"), "enter")
        await mark(app, pilot, "at")
        await press(app, pilot, "right", "right")
        assert form_of(app).values == {"watts": "5", "at": "box"}
        assert circuit_of(app).circuit is not None
        keys = [row.key for row in app.screen.query_one(RowList).rows]
        colour = next(key for key in keys if key.endswith("_colour"))
        await mark(app, pilot, colour)
        assert "Source:" in shown(app)
        await press(app, pilot, *typed("VT"), "enter", "tab")
        assert marked(app) == PUT_IN
        await until(pilot, lambda: "works always" in shown(app))
        await press(app, pilot, "enter")
        assert "Put this circuit into the file?" in shown(app)
        assert path.read_text(encoding="utf-8") == CART
        await press(app, pilot, "enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        after = read_harness(path)
        assert (after.build.revision, after.loads[-1].watts, after.loads[-1].location) == (4, 5, "box")
        assert any(wire.colour == "VT" for wire in after.wires)
        assert standing_of(app).harness == after
        assert names(tmp_path) == ["build.record.toml", "build.rev3.toml", "build.toml"]
        assert standing_amendments(read_record(path).entries)[0].change == "added"


@pytest.mark.slow
async def test_what_cannot_be_stays_in_its_row_and_says_why(tmp_path: Path) -> None:
    """A word for a figure is refused in words, nothing can be put in, and the word is there to be mended."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await press(app, pilot, "a", "enter")
        await until(pilot, lambda: marked(app) == "watts")
        await press(app, pilot, *typed("plenty"), "enter", "down", "right", "down", "right", "tab", "enter")
        await until(pilot, lambda: "“plenty” is no number" in shown(app))
        assert form_of(app).values["watts"] == "plenty"
        assert circuit_of(app).circuit is None
        assert path.read_text(encoding="utf-8") == CART


@pytest.mark.slow
async def test_leaving_asks_about_what_was_given(tmp_path: Path) -> None:
    """Esc asks once something was given; with nothing given it leaves at once."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await press(app, pilot, "a", "enter")
        await until(pilot, lambda: marked(app) == "watts")
        await press(app, pilot, *typed("5"), "enter", "escape")
        assert "Leave it?" in shown(app)
        await press(app, pilot, "enter", "enter")
        await until(pilot, lambda: marked(app) == "watts")
        await press(app, pilot, "escape", "escape")
        assert isinstance(app.screen, LoadsScreen)
        assert path.read_text(encoding="utf-8") == CART


@pytest.mark.slow
async def test_a_file_changed_outside_is_never_written_over(tmp_path: Path) -> None:
    """It is told when the circuit is to be put in; what was given stays."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await press(app, pilot, "a")
        await mark(app, pilot, "permanent")
        await press(app, pilot, "enter")
        await until(pilot, lambda: marked(app) == "watts")
        changed = CART.replace("watts = 21", "watts = 55")
        path.write_text(changed, encoding="utf-8")
        await press(app, pilot, *typed("5"), "enter")
        await mark(app, pilot, "at")
        await press(app, pilot, "right", "tab", "enter", "enter")
        await until(pilot, lambda: "changed by something else" in shown(app))
        assert path.read_text(encoding="utf-8") == changed
        assert form_of(app).values == {"watts": "5", "at": "nose"}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "size"),
    [
        (hostile_build(), (60, 20)),
        (ONE_WIRE, (80, 24)),
        pytest.param(NO_GROUND, (60, 20), marks=pytest.mark.thorough),
    ],
)
async def test_no_harness_breaks_the_screen(tmp_path: Path, text: str, size: tuple[int, int]) -> None:
    """With nasty names, or next to nothing in the file, each row can be walked and turned; nothing is obeyed."""
    path = build(tmp_path, text)
    before = path.read_bytes()
    async with opened(path, size) as (app, pilot):
        await press(app, pilot, "a")
        assert_harmless(app)
        await press(app, pilot, "enter")
        await until(pilot, lambda: bool(circuit_of(app).questions))
        await press(app, pilot, *typed("5"), "enter")
        rows = app.screen.query_one(RowList)
        await press(app, pilot, "home")
        for _ in range(24):
            await press(app, pilot, "right", "down")
            assert_harmless(app)
            assert all(row.content.cell_length <= rows.room for row in rows.rows)
        assert path.read_bytes() == before


async def test_keys_that_come_at_once_all_belong_to_the_row_that_the_first_opens(tmp_path: Path) -> None:
    """A pasted figure loses no digit while its entry opens; what is typed behind it goes on at its end."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await press(app, pilot, "a", "enter")
        await until(pilot, lambda: marked(app) == "watts")
        for sign in "1054":
            app.post_message(Key(sign, sign))
        await until(pilot, lambda: app.screen.query_one(Input).has_focus)
        await press(app, pilot, "7", "enter")
        assert form_of(app).values["watts"] == "10547"


async def test_a_file_changed_outside_is_told_in_place_of_waiting(tmp_path: Path) -> None:
    """A pattern cannot be asked for on a file that says something else now: the form says to open it again."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        await press(app, pilot, "a")
        path.write_text(CART.replace("watts = 21", "watts = 10"), encoding="utf-8")
        await press(app, pilot, "enter")
        await until(pilot, lambda: "was changed by something else" in shown(app))
        assert "open it again" in shown(app)
        assert "being worked out" not in shown(app)


async def test_what_is_emptied_while_it_is_proposed_for_is_needed_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A proposal that comes late is after figures that stand there no more: nothing of it is shown or put in."""
    may_come, tries = Event(), try_circuit

    def slowly(bench: Bench, pattern: Pattern, values: dict[str, str]) -> Tried:
        assert may_come.wait(20)
        return tries(bench, pattern, values)

    monkeypatch.setattr("tui.circuit_lines.try_circuit", slowly)
    async with opened(build(tmp_path, CART)) as (app, pilot):
        await press(app, pilot, "a")
        await mark(app, pilot, "permanent")
        await press(app, pilot, "enter")
        await until(pilot, lambda: marked(app) == "watts")
        form = circuit_of(app)
        form.give("watts", "5")
        form.give("at", "box")
        assert form.is_trying
        form.give("watts", "")
        may_come.set()
        await at_rest(pilot)
        assert form.circuit is None
        assert form.lead().endswith("Still needed: watts or amps.")
