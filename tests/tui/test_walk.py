"""The walk: from the start to the volts in a few keys, key and settings followed, the step whole."""

from threading import Event

import pytest

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.condition import Condition
from model.circuit.faults import parse_fault
from model.circuit.survey import survey
from model.harness.toml_file import read_harness
from model.tracing.walk import Walk
from model.words import volts_text
from tests.tui.builds import BUGGY, LAMP, TRACTOR, build, opened, standing_of, told, walk_of, walking
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.open_harness import OpenHarness
from tui.screens.walk import WalkScreen
from tui.standing import Standing
from tui.telling import Told, tell
from tui.text import signed
from tui.walk_step import Step, leaves_out, step_content
from tui.widgets.bars import BottomBar
from tui.widgets.rows import RowList
from tui.widgets.step import StepStrip

TO_THE_BUGGY = ("end", "enter")
TO_THE_PUMP = ("end", "up", "enter")
TO_ITS_RELAY = ("down", "pagedown", "down")


@pytest.mark.slow
async def test_eight_keys_to_the_volts_at_the_pump_relay() -> None:
    """From the choice of a file eight keys at most lead to what to expect at the pump's relay with the key on ignition.

    The buggy is the last of the files, the pump the last load but one by place; its walk turns the key by itself.
    """
    settled = survey(read_harness(BUGGY), Condition("ignition", (("S16", "set"),))).settled
    expected = {name: settled.volts_at(name) for name in ("K7.30", "K7.87", "G1.-")}
    app = FusewalkApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        await pilot.pause()
        await pilot.press(*TO_THE_BUGGY)
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        await pilot.press(*TO_THE_PUMP)
        await told(app, pilot)
        await pilot.press(*TO_ITS_RELAY)
        await pilot.pause()
        shown = screen_text(app).splitlines()
        step = app.screen.query_one(StepStrip).render().plain
    assert len([*TO_THE_BUGGY, *TO_THE_PUMP, *TO_ITS_RELAY]) <= 8
    assert standing_of(app).condition.key == "ignition"
    assert "key IGNITION" in shown[0]
    for name in ("K7.30", "K7.87"):
        volts = (expected[name] or 0.0) - (expected["G1.-"] or 0.0)
        assert any(name in line and volts_text(volts) in line.split() for line in shown), name
    assert f"expect {volts_text(expected['K7.30'] or 0.0)} V" in step


@pytest.mark.slow
async def test_entering_sets_and_leaving_puts_back() -> None:
    """The walk turns the key and sets what its load needs, says so, and puts back what stood before."""
    async with opened(BUGGY) as (app, pilot):
        app.standing = standing_of(app).with_setting("F15", "out")
        before = standing_of(app).condition
        app.push_screen(WalkScreen("E3:load"))
        await told(app, pilot)
        assert standing_of(app).condition == Condition("ignition", (("F15", "out"), ("S5", "left")))
        assert "Set for this load: key ignition, Indicator stalk left." in screen_text(app)
        await pilot.press("k")
        await pilot.pause()
        assert "Changed; it needs key ignition, Indicator stalk left." in screen_text(app)
        await pilot.press("escape")
        assert standing_of(app).condition == before


@pytest.mark.slow
async def test_turning_the_key_only_draws_anew() -> None:
    """All key states are told at once: after the first, none is told again, and every figure is that of the survey."""
    harness = read_harness(BUGGY)
    async with walking(BUGGY, "M2:load") as (app, pilot):
        screen = walk_of(app)
        first = screen.told
        for _ in harness.key_names:
            await pilot.press("k")
            key = standing_of(app).condition.key
            settled = survey(harness, Condition(key, (("S16", "set"),))).settled
            ground = settled.volts_at("G1.-")
            assert screen.told is first
            for row in screen.query_one(RowList).rows:
                if not row.can_be_marked:
                    continue
                point = row.content.plain[2:].split()[0]
                volts = settled.volts_at(point)
                assert volts is not None
                assert ground is not None
                assert volts_text(volts - ground) in row.content.plain.split(), (key, point)


@pytest.mark.slow
async def test_a_setting_is_followed_on_every_screen() -> None:
    """With the pump's fuse pulled in the settings the walk behind them and the list behind that have the new volts."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        screen = walk_of(app)
        await pilot.press("s")
        await pilot.pause()
        app.standing = standing_of(app).with_setting("F23", "out")
        await pilot.press("escape")
        await told(app, pilot)
        row = next(row for row in screen.query_one(RowList).rows if "F23.out" in row.content.plain)
        assert "0.00" in row.content.plain.split()
        assert row.content.plain.startswith("○")
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert "F23" not in dict(standing_of(app).condition.settings)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("element", "size"),
    [
        ("M2:load", (60, 20)),
        ("P1:load", (120, 40)),
        pytest.param("M1:motor", (60, 20), marks=pytest.mark.slow),
        pytest.param("E1:dip", (80, 24), marks=pytest.mark.slow),
    ],
)
async def test_the_step_is_whole_at_every_point(element: str, size: tuple[int, int]) -> None:
    """At each point place, key, both probes and the figure stand in the window, after a caution where there is one."""
    async with walking(BUGGY, element, size) as (app, pilot):
        screen = walk_of(app)
        rows = screen.query_one(RowList)
        for place in [number for number, row in enumerate(rows.rows) if row.can_be_marked]:
            rows.mark_key(rows.rows[place].key)
            await pilot.pause()
            await pilot.pause()
            strip = screen.query_one(StepStrip)
            drawn = strip.render().plain.splitlines()
            assert strip.step is not None
            assert len(drawn) <= strip.content_size.height
            names = [line.split()[0] for line in drawn if line.split()]
            for name in ("where", "set", "red", "black", "expect"):
                assert name in names, (rows.rows[place].content.plain, drawn)
            for name, words in strip.step.lines:
                said = " ".join(line[7:].strip() for line in drawn)
                assert signed(" ".join(words.split())) in " ".join(said.split()), name
            if strip.step.cautions:
                first = f"Caution: {strip.step.cautions[0].text}".split()[:4]
                assert drawn[0].split()[:4] == first or "key a" in drawn[0]
            assert rows.marked_row in rows.in_window()


@pytest.mark.slow
async def test_a_low_window_opens_where_rows_are_seen_and_folds_cautions_once_read() -> None:
    """At 60×20 five rows stand there at first; a caution is whole at its first point, one line at the next, a tells it.

    With every caution folded, the column keeps five rows too.
    """
    async with walking(BUGGY, "M2:load", (60, 20)) as (app, pilot):
        screen = walk_of(app)
        rows, strip = screen.query_one(RowList), screen.query_one(StepStrip)
        await pilot.pause()
        assert rows.size.height >= 5
        cautioned = []
        for row in [row for row in rows.rows if row.can_be_marked]:
            rows.mark_key(row.key)
            await pilot.pause()
            await pilot.pause()
            assert strip.step is not None
            if strip.step.cautions:
                cautioned.append((strip.step, rows.size.height, strip.render().plain))
        assert not cautioned[0][0].is_folded
        assert cautioned[0][0].cautions[0].text.split()[0] in cautioned[0][2]
        again = [one for one in cautioned if one[0].is_folded]
        assert again
        for step, height, drawn in again:
            assert height >= 5
            counted = "1 caution" if len(step.cautions) == 1 else f"{len(step.cautions)} cautions"
            assert drawn.splitlines()[0].split(":")[0] == f"{counted} as before, key a"


async def test_a_shows_the_step_with_nothing_left_out() -> None:
    """All cautions, the step, and what a wrong reading says stand in a dialog."""
    async with walking(BUGGY, "M2:load", (60, 20)) as (app, pilot):
        rows = walk_of(app).query_one(RowList)
        rows.mark_key(next(row.key for row in rows.rows if "M2.+" in row.content.plain))
        await pilot.pause()
        step = walk_of(app).query_one(StepStrip).step
        assert step is not None
        assert len(step.cautions) == 2
        await pilot.press("a")
        dialog = app.screen_stack[-1]
        assert isinstance(dialog, MessageDialog)
        assert dialog.sentences[0].startswith("Caution: Fuel")
        assert [line.partition(":")[0] for line in dialog.sentences[2:]] == [
            name for name, _ in (*step.lines, *step.after)
        ]
        await pilot.press("escape")
        assert isinstance(app.screen, WalkScreen)


@pytest.mark.slow
async def test_the_page_is_the_sheet_in_the_key_as_it_is() -> None:
    """What is sent and written is the walk as the command gives it, in the key state as it is now."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        await pilot.press("k", "c")
        assert "Walk of M2:load, Fuel pump" in app.clipboard
        assert "Condition: key crank" in app.clipboard
        assert "K7.87" in app.clipboard


async def test_positive_ground_has_volts_below_zero() -> None:
    """On the tractor the posts are grounded by their plus, so live points read below zero and are marked live."""
    async with opened(TRACTOR) as (app, pilot):
        assert isinstance(app.screen, LoadsScreen)
        app.screen.open_walk(app.screen.shown.lines[0].name)
        await told(app, pilot)
        rows = [row.content.plain for row in app.screen.query_one(RowList).rows if row.can_be_marked]
        live = [row for row in rows if row.startswith("·")]
        assert live
        assert all("-" in "".join(row.split()[-2:]) for row in live)


@pytest.mark.slow
async def test_a_load_that_is_not_there_is_said(tmp_path: object) -> None:
    """A walk of a name that the harness does not have says so and can be left."""
    async with opened(BUGGY) as (app, pilot):
        app.push_screen(WalkScreen("E99:load"))
        await until(pilot, lambda: "There is no load E99:load here." in screen_text(app))
        for key in ("enter", "a", "c", "m", "escape", "k", "b", "escape"):
            await pilot.press(key)
        assert app.return_code is None


async def test_an_open_feed_is_said(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Where nothing feeds the load in any setting the walk says so, and floating points say their word."""
    text = LAMP.replace('{ id = "W3", from = "S1.2", to = "E1.+", colour = "GN" },', "")
    path = build(tmp_path_factory.mktemp("open"), text)
    async with opened(path) as (app, pilot):
        assert isinstance(app.screen, LoadsScreen)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        await told(app, pilot)
        shown = screen_text(app)
        assert "Nothing feeds this load in any setting" in shown
        assert "No metal leads from E1 load to a supply." in shown
        assert app.screen.query_one(BottomBar).said == ""


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (40, 30), (160, 50)])
async def test_resizing_fits_rows_and_step(size: tuple[int, int]) -> None:
    """After a change of size, even to nothing and back, rows fit the window, with the mark in it and the step whole."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        screen = walk_of(app)
        await pilot.press("pagedown")
        marked = screen.query_one(RowList).marked_row
        for each in ((10, 3), (40, 12), size):
            await pilot.resize_terminal(*each)
            await pilot.pause()
        await until(pilot, lambda: app.screen is screen)
        await pilot.pause()
        rows, strip = screen.query_one(RowList), screen.query_one(StepStrip)
        assert rows.marked_row is not None
        assert marked is not None
        assert rows.marked_row.key == marked.key
        assert rows.marked_row in rows.in_window()
        assert all(row.content.cell_length <= rows.room for row in rows.rows if row.can_be_marked)
        assert "expect" in strip.render().plain
        beside = strip.region.x > rows.region.x
        assert beside == (size[0] >= 120)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 30)])
async def test_what_a_bad_reading_means_is_in_sight(size: tuple[int, int]) -> None:
    """On the feed side that is what a low reading says, on the ground side a high one; what has no room is told of."""
    async with walking(BUGGY, "M2:load", size) as (app, pilot):
        rows, strip = walk_of(app).query_one(RowList), walk_of(app).query_one(StepStrip)
        for point, telling in (("K7.30", "low"), ("GND7", "high")):
            rows.mark_key(next(row.key for row in rows.rows if point in row.content.plain and row.can_be_marked))
            await pilot.pause()
            await pilot.pause()
            assert strip.step is not None
            drawn = strip.render().plain
            assert strip.step.after[0][0] == telling
            said = " ".join(line[7:].strip() for line in drawn.splitlines())
            assert " ".join(strip.step.after[0][1].split()) in said
            whole = all(name in drawn.split() for name, _ in strip.step.after)
            assert ("a: all of it" in screen_text(app)) is not whole


@pytest.mark.slow
async def test_with_a_fault_nothing_is_headed_as_good() -> None:
    """Head, strip and the table of key states say that the figures are those with the fault."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        app.standing = standing_of(app).with_fault(parse_fault(standing_of(app).harness, "W26=open"))
        await told(app, pilot)
        shown = screen_text(app)
        assert "with this fault, V  unplugged" in shown
        assert "V with this fault, " in shown
        assert "good " not in shown
        await pilot.press("m")
        await told(app, pilot)
        assert "Volts to expect with this fault" in screen_text(app)


@pytest.mark.parametrize("height", [3, 5, 6, 20])
def test_the_gravest_caution_is_read_first(height: int) -> None:
    """Of a restraint's caution at least the first sentence stands before the step, however little room there is."""
    cautions = (CAUTIONS[CautionKind.RESTRAINT], CAUTIONS[CautionKind.PROBING])
    step = Step("A2.15", cautions, (("where", "dash"), ("never", "No probe here.")), ())
    drawn = " ".join(step_content(step, 58, height).plain.split())
    assert drawn.startswith(
        "Caution: This wiring belongs to an airbag or a belt tensioner: no meter, no test lamp, no splice."
    )
    assert leaves_out(step, 58, height) is (height < 20)


async def test_a_wire_without_a_colour_is_told_with_its_size(tmp_path_factory: pytest.TempPathFactory) -> None:
    """What is not given is said in its place, set off from the size."""
    text = LAMP.replace('colour = "RD", size = 2.5', "size = 2.5")
    async with walking(build(tmp_path_factory.mktemp("bare"), text), "E1:load") as (app, pilot):
        await pilot.press("down")
        await pilot.pause()
        assert "F1.in, pin in, colour not given, 2.5 mm²" in screen_text(app)


async def test_what_is_told_too_late_does_not_hide_what_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault put in and taken out again while its volts are still worked out leaves the volts as they were."""
    go_on, begun = Event(), Event()

    def slow(standing: Standing, walk: Walk) -> Told:
        begun.set()
        go_on.wait(20)
        return tell(standing, walk)

    async with walking(BUGGY, "M2:load") as (app, pilot):
        screen, whole = walk_of(app), standing_of(app)
        monkeypatch.setattr("tui.screens.told.tell", slow)
        app.standing = whole.with_fault(parse_fault(whole.harness, "W6=open"))
        await until(pilot, begun.is_set)
        app.standing = whole
        go_on.set()
        await until(pilot, lambda: not screen._asides)
        assert screen.now is not None
