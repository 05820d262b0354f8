"""What is asked before the first check: few keys, each row with its values, Enter at once takes the defaults."""

from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.condition import Condition
from model.harness.toml_file import read_harness
from model.tracing.companions import Companion
from model.tracing.complaint import Complaint, LoomAge, Symptom
from tests.tui.builds import build, opened, standing_of
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.traced import RELAY_LAMP, asking, free, mark_load, press, scripted
from tui.app import FusewalkApp
from tui.screens.card import CardScreen
from tui.screens.choose import ChooseSeveral
from tui.screens.trace import TraceScreen
from tui.screens.trace_ask import TraceAskScreen
from tui.screens.walk import WalkScreen
from tui.trace_asked import (
    Asked,
    Choices,
    Seen,
    asked_rows,
    companion_words,
    is_too_low,
    turned,
    with_defaults,
    with_posts,
)
from tui.widgets.reading import ReadingLine

WITH_SPARE = RELAY_LAMP.replace(
    "wires = [", 'wires = [ { id = "W99", from_location = "nose", to_location = "dash", spare = true },'
)
OTHER = Companion("E2:load", "Tell-tale", ("fuse F1", "relay K1"), 8, "key ignition")
CHOICES = Choices((None, Condition("ignition"), Condition("off")), ("F1",), (OTHER,))


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


def asked_on(app: FusewalkApp) -> Asked:
    """Return what has been said on the screen on top."""
    assert isinstance(app.screen, TraceAskScreen)
    return app.screen.asked


def complaint_on(app: FusewalkApp) -> Complaint:
    """Return the complaint of the trace on top."""
    assert isinstance(app.screen, TraceScreen)
    assert app.screen.seen is not None
    return app.screen.seen.complaint


async def test_enter_at_once_takes_the_defaults(tmp_path: Path) -> None:
    """T and Enter: dead, an old loom, a helper, nothing seen, where it should work."""
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        assert complaint_on(app) == Complaint(("E1:load",))


@pytest.mark.slow
async def test_rows_change_with_space_and_the_posts_are_typed(tmp_path: Path) -> None:
    """Space turns the marked row on, Left back; digits are the volts of the posts; a companion is ticked."""
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("space", "down", "space", "space", "left")
        await pilot.press("1", "2", "comma", "6", "enter")
        await pilot.press("end", "space", "space")
        assert asked_on(app).ticked == {"E2:load": Seen.WEAK}
        assert "[weak]" in screen_text(app)
        await pilot.press("space")
        assert asked_on(app).ticked == {"E2:load": Seen.DEAD}
        assert "Shares relay K1" in screen_text(app)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        told = complaint_on(app)
        assert (told.symptom, told.age, told.posts_volts) == (Symptom.WEAK, LoomAge.YOUNG, 12.6)
        assert told.dead == ("E2:load",)


def test_other_loads_stand_there_by_their_whole_names(tmp_path: Path) -> None:
    """In 58 cells; when each should work is told below, of the marked one."""
    one = replace(OTHER, label="Right tail cluster indicator, rear left corner")
    harness = read_harness(build(tmp_path, RELAY_LAMP))
    choices = replace(CHOICES, companions=(one,))
    row = asked_rows(harness, Asked(("E1:load",)), choices, 58)[-1]
    assert row.content.plain.rstrip() == f"[?]       {one.label}"
    assert "should work with key ignition" in companion_words(choices, one.element)


async def test_what_was_said_stands_there_again_after_esc(tmp_path: Path) -> None:
    """Posts, a companion and the symptom are kept when one leaves and comes back, until a trace is started."""
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("space", "1", "2", "comma", "6", "enter", "end", "space")
        said = asked_on(app)
        assert (said.symptom, said.posts_volts, said.ticked) == (Symptom.WEAK, 12.6, {"E2:load": Seen.WORKS})
        await pilot.press("escape", "t")
        await asking(app, pilot)
        assert asked_on(app) == said
        await pilot.press("enter")
        assert app.said_before is None


async def test_posts_that_were_read_in_the_walk_are_carried_into_the_trace(tmp_path: Path) -> None:
    """Volts typed with b in the state in which the lamp should work hold for the trace in that key state."""
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen) and app.screen.walk is not None)
        app.standing = standing_of(app).with_posts(12.3)
        await pilot.press("t")
        await asking(app, pilot)
        assert "as seen: 12.30 V" in screen_text(app)
        complaint = asked_on(app).complaint
        assert (complaint.posts_volts, complaint.condition) == (12.3, Condition("ignition"))


def test_posts_go_with_the_setting_that_they_were_read_in() -> None:
    """Where a symptom takes another setting along, posts read in it are asked anew, not said to be at rest."""
    stays = replace(with_defaults(Asked(("E1:load",), Symptom.STAYS_ON), CHOICES), posts_volts=12.3)
    assert turned(stays, CHOICES, "symptom", -2).complaint.posts_volts is None
    working = replace(CHOICES, working=Condition("ignition"))
    carried = with_posts(Asked(("E1:load",)), working, 12.3, Condition("ignition"))
    assert with_defaults(carried, working) == replace(carried, fuse="F1", other_load="E2:load")
    assert with_posts(Asked(("E1:load",)), working, 12.3, Condition("off")).posts_volts is None


async def test_low_posts_are_told_at_once(tmp_path: Path) -> None:
    """Under 12.0 V at rest the row says to charge first; what cannot be is refused and stays to be mended."""
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("1", "1", "full_stop", "9", "enter")
        assert "charge the battery first" in screen_text(app)
        await pilot.press("9", "9", "enter")
        line = app.screen.query_one(ReadingLine).answering
        assert line.typed == "99"
        assert "cannot read 99 V" in line.wrong
        await pilot.press("escape")
        assert asked_on(app).posts_volts == 11.9
        await pilot.press("1", "x", "enter")
        assert "no reading" in app.screen.query_one(ReadingLine).answering.wrong


@pytest.mark.slow
async def test_t_traces_from_the_walk_and_the_card(tmp_path: Path) -> None:
    """The same key on the walk and the cards of a load, a battery and a wire with one load; a spare has no load."""
    async with opened(build(tmp_path, WITH_SPARE)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen) and app.screen.walk is not None)
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("escape")
        for part_id, loads in (("E1", ("E1:load",)), ("G1", ("G1",)), ("W6", ("E1:load",)), ("W99", None)):
            await app.push_screen(CardScreen(part_id))
            await at_rest(pilot)
            await pilot.press("t")
            if loads is None:
                await until(pilot, lambda: "No load hangs on this" in screen_text(app))
            else:
                await until(pilot, lambda: isinstance(app.screen, TraceAskScreen))
                assert asked_on(app).loads == loads
                await pilot.press("escape")


@pytest.mark.first_few(2)
@pytest.mark.parametrize(
    ("keys", "loads"),
    [
        (("enter",), ("E1:load",)),
        (("down", "enter"), ("E2:load",)),
        (("space", "down", "space", "enter"), ("E1:load", "E2:load")),
        (("space", "down", "space", "up", "space", "enter"), ("E2:load",)),
    ],
)
async def test_of_the_loads_of_a_fuse_one_or_several_are_traced(
    tmp_path: Path, keys: tuple[str, ...], loads: tuple[str, ...]
) -> None:
    """T on its card offers what it feeds and what its relay switches; Space ticks, Enter takes; Esc leads back."""
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        await app.push_screen(CardScreen("F1"))
        await at_rest(pilot)
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, ChooseSeveral))
        assert "it feeds" in screen_text(app)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, ChooseSeveral))
        await pilot.press(*keys)
        await until(pilot, lambda: isinstance(app.screen, TraceAskScreen))
        assert asked_on(app).loads == loads


async def test_a_trace_that_cannot_be_set_up_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What stops it is said in a dialog, and the screen before stands there again."""
    from model.errors import CircuitError
    from tui.screens.dialog import MessageDialog
    from tui.screens.loads import LoadsScreen

    def fails(*_: object) -> None:
        raise CircuitError("The circuit finds no rest.", do="Look for a loop.")

    monkeypatch.setattr("tui.trace_record.make_trace", fails)
    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        assert "The circuit finds no rest." in screen_text(app)
        await press(app, pilot, "enter")
        await free(app, pilot)
        assert isinstance(app.screen, LoadsScreen)


def test_what_a_symptom_wants_besides() -> None:
    """A blown fuse asks which, works with another asks with which; stays on was not seen where it should work."""
    blows = with_defaults(Asked(("E1:load",), Symptom.BLOWS_FUSE), CHOICES)
    assert blows.complaint.fuse == "F1"
    assert blows.complaint.condition is None
    other = with_defaults(Asked(("E1:load",), Symptom.WORKS_WITH_ANOTHER), CHOICES)
    assert other.complaint.other_load == "E2:load"
    stays = with_defaults(Asked(("E1:load",), Symptom.STAYS_ON), CHOICES)
    assert stays.complaint.condition == Condition("ignition")
    assert turned(stays, CHOICES, "condition", 1).complaint.condition == Condition("off")
    dead = turned(stays, CHOICES, "symptom", -2)
    assert (dead.symptom, dead.complaint.condition, dead.complaint.fuse) == (Symptom.DEAD, None, "")


def test_every_row_turns_round() -> None:
    """Twelve turns forth and twelve back change nothing; a companion goes works, weak, dead, not looked at."""
    asked = with_defaults(Asked(("E1:load",)), CHOICES)
    for row in ("symptom", "age", "helper", "condition", "fuse", "other", "E2:load"):
        for way in (1, -1):
            seen = asked
            for _ in range(12):
                seen = turned(seen, CHOICES, row, way)
            assert seen == asked, row
    once = turned(asked, CHOICES, "E2:load", 1)
    assert once.complaint.works == ("E2:load",)
    twice = turned(once, CHOICES, "E2:load", 1)
    assert twice.complaint.weak == ("E2:load",)
    assert turned(twice, CHOICES, "E2:load", 1).complaint.dead == ("E2:load",)


@pytest.mark.parametrize(
    ("nominal", "volts", "low"), [(12, 11.9, True), (12, 12.0, False), (6, 5.9, True), (6, 6.0, False)]
)
def test_too_low_at_rest_goes_by_the_battery(tmp_path: Path, nominal: int, volts: float, low: bool) -> None:
    """12.0 V at rest for each 12 V of the battery; what was read in another condition says nothing."""
    text = RELAY_LAMP.replace("nominal_volts = 12", f"nominal_volts = {nominal}").replace("emf = 12.7, ", "")
    harness = read_harness(build(tmp_path, text))
    assert is_too_low(harness, Asked(("E1:load",), posts_volts=volts)) is low
    assert not is_too_low(harness, Asked(("E1:load",), posts_volts=volts, condition=Condition("off")))
