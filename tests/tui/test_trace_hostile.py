"""A trace on builds that nobody meant to be kind: nasty names everywhere, small windows, ASCII, no walk at all."""

from pathlib import Path

import pytest

from model.words import clean
from tests.tui.builds import build, opened
from tests.tui.hostile_build import LABELS, hostile_build
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.test_hostile_build import assert_harmless
from tests.tui.traced import RELAY_LAMP, asked_of, begun, mark_load, press, scripted, to_the_proof, trace_of, tracing
from tui.app import FusewalkApp
from tui.screens.loads import LoadsScreen
from tui.screens.trace_found import FoundScreen
from tui.text import signed
from tui.widgets.rows import RowList
from tui.widgets.trace_view import BigView, TraceStepView

SIZES = [
    (60, 20),
    (40, 30),
    pytest.param((80, 24), marks=pytest.mark.slow),
    pytest.param((120, 40), marks=pytest.mark.slow),
]
KEYS = (
    *("a", "escape", "y", "escape", "r", "escape", "b", "b", "p", "escape", "question_mark", "escape", "c", "w"),
    *(
        "down",
        "9",
        "escape",
        "escape",
        "o",
        "E",
        "down",
        "escape",
        "slash",
        "e",
        "escape",
        "k",
        "L",
        "L",
        "e",
        "escape",
    ),
)


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_nasty_names_break_no_screen_of_a_trace(tmp_path: Path, size: tuple[int, int]) -> None:
    """Every key on every screen of a trace: nothing is obeyed, nothing breaks, and the check still stands there."""
    async with opened(build(tmp_path, hostile_build()), size) as (app, pilot):
        mark_load(app, "E1:load")
        await begun(app, pilot)
        before = asked_of(app)
        for key in KEYS:
            await pilot.press(key)
            await at_rest(pilot)
            assert_harmless(app)
        assert asked_of(app) == before
        for key in ("1", "2", "enter", "0", "enter", "1", "enter", "1", "enter"):
            await press(app, pilot, key)
            assert_harmless(app)
        assert isinstance(app.screen, FoundScreen)
        await to_the_proof(app, pilot)
        await press(app, pilot, "1", "enter", "1", "enter", "enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert_harmless(app)


async def test_nasty_names_stand_in_the_step(tmp_path: Path) -> None:
    """The label of the fuse that is probed stands in the step with its brackets and without its escapes."""
    async with opened(build(tmp_path, hostile_build()), (120, 40)) as (app, pilot):
        mark_load(app, "E1:load")
        await begun(app, pilot)
        assert clean(LABELS[1]) in screen_text(app)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (40, 30)])
async def test_the_step_is_whole_at_every_size(tmp_path: Path, size: tuple[int, int]) -> None:
    """Place, key, load, meter, both probes and the band stand in the window, with at least three rows of the walk."""
    async with tracing(tmp_path, size=size) as (app, pilot, _):
        view = app.screen.query_one(TraceStepView)
        step = view.step
        assert step is not None
        assert len(step.lines) <= 7
        shown = " ".join(screen_text(app).split())
        for name, words in step.lines:
            assert name in shown
            said = [" ".join(line.split()) for line in view.render().plain.splitlines()]
            assert signed(" ".join(words.split())) in " ".join(said)
        assert len(view.render().plain.splitlines()) <= view.size.height
        assert app.screen.query_one(RowList).size.height >= 3
        assert "Type what the meter shows," in shown
        await press(app, pilot, "g")
        assert trace_of(app).is_big
        assert "Caution: Fuel vapour" in screen_text(app)
        assert "█" in screen_text(app)
        assert app.screen.query_one(BigView).size.height >= 6


async def test_a_trace_in_ascii(tmp_path: Path) -> None:
    """Drawn with ASCII alone, big letters too."""
    path = build(tmp_path, RELAY_LAMP)
    app = FusewalkApp(path, ascii_only=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        mark_load(app, "E1:load")
        await begun(app, pilot)
        await press(app, pilot, "b")
        big = screen_text(app)
        assert "##" in big
        await press(app, pilot, "g", "1", "2")
        filtered = [strip.text for strip in app.screen._compositor.render_strips()]
        assert any("12_" in line for line in filtered)


async def test_a_battery_can_be_traced_without_a_walk(tmp_path: Path) -> None:
    """A complaint about a battery has no column: the step alone stands there, and is answered as ever."""
    from model.circuit.condition import Condition
    from model.tracing.checks import Check, CheckKind
    from model.tracing.complaint import Complaint
    from tests.tui.builds import standing_of
    from tests.tui.traced_by_script import TracedByScript
    from tui.screens.trace import TraceScreen
    from tui.trace_run import TraceRun

    async with opened(build(tmp_path, RELAY_LAMP)) as (app, pilot):
        standing = standing_of(app)
        checks = [
            Check(CheckKind.VOLTS, Condition("off"), "G1.+", "G1.-"),
            Check(CheckKind.AMPS, Condition("off"), part="F1"),
        ]
        trace = TracedByScript(standing.walks.bench, Complaint(("E1:load",)), checks)
        trace.complaint = Complaint(("G1",))
        app.push_screen(TraceScreen(lambda: TraceRun(trace, standing.walks, None), "battery"))
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        await pilot.pause()
        assert app.screen.query_one(RowList).rows == ()
        await press(app, pilot, "1", "2", "enter")
        await press(app, pilot, "0", "full_stop", "4", "m", "V", "enter")
        assert isinstance(app.screen, FoundScreen)
