"""Enter at a finding: the whole of it has stood on the screen before it leads on to the proof."""

from dataclasses import replace
from pathlib import Path

import pytest

from model.tracing.asking import Finding
from tests.tui.on_screen import screen_text, until
from tests.tui.traced import press, scripted, tracing
from tests.tui.traced_by_script import TracedByScript
from tui.commands import Place, foot_of
from tui.screens.trace_found import FoundScreen
from tui.screens.trace_prove import ProveScreen
from tui.widgets.bars import BottomBar

TO_THE_END = ("1", "2", "enter", "0", "enter", "1", "enter", "1", "enter")
CAUTION = "Take the battery off before the wire is opened, the grounded post first, and put it on last."
REPAIR = "Cut the bad piece out. " + "Crimp a new piece in and shrink a sleeve over each joint. " * 6 + "Tie it down."


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


@pytest.fixture
def _long(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the finding be long: what says so, cautions and repair."""
    short = TracedByScript.next

    def long(trace: TracedByScript) -> object:
        now = short(trace)
        if not isinstance(now, Finding) or not now.group:
            return now
        because = tuple(f"12.3{place} V at a point on the way" for place in range(8))
        return replace(now, because=because, cautions=(CAUTION,) * 2, repair=REPAIR)

    monkeypatch.setattr(TracedByScript, "next", long)


@pytest.mark.first_few(1)
@pytest.mark.usefixtures("_long")
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_enter_reads_on_until_the_end_stands_there(tmp_path: Path, size: tuple[int, int]) -> None:
    """Cautions and repair are below: page by page each line of them is shown, then Enter asks for the proof."""
    async with tracing(tmp_path, size=size) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END)
        found = app.screen
        assert isinstance(found, FoundScreen)
        await until(pilot, lambda: ("Enter", "read on") in found.query_one(BottomBar).keys)
        seen = screen_text(app)
        assert "Tie it down." not in seen
        pages = 1
        while not found.is_read():
            before = screen_text(app)
            await press(app, pilot, "enter")
            assert isinstance(app.screen, FoundScreen)
            assert screen_text(app) != before
            seen += screen_text(app)
            pages += 1
        assert pages > 1
        told = " ".join(seen.split())
        assert "Before it" in told
        assert "on last." in told
        assert "Tie it down." in told
        await until(pilot, lambda: found.query_one(BottomBar).keys == tuple(foot_of(Place.FOUND)))
        await press(app, pilot, "enter")
        assert isinstance(app.screen, ProveScreen)


@pytest.mark.slow
@pytest.mark.usefixtures("_long")
async def test_the_arrows_read_as_well(tmp_path: Path) -> None:
    """Who has gone to the end by other keys goes on with one Enter; back up, Enter reads on again."""
    async with tracing(tmp_path, size=(60, 20)) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END)
        found = app.screen
        assert isinstance(found, FoundScreen)
        await press(app, pilot, "end")
        await until(pilot, found.is_read)
        await press(app, pilot, "home")
        await until(pilot, lambda: not found.is_read())
        await press(app, pilot, "enter")
        assert isinstance(app.screen, FoundScreen)
        await press(app, pilot, "end")
        await until(pilot, found.is_read)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, ProveScreen)


async def test_a_finding_that_has_room_is_read_at_once(tmp_path: Path) -> None:
    """Where nothing is below, Enter goes on as it says."""
    async with tracing(tmp_path, size=(100, 40)) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END)
        assert ("Enter", "go on") in app.screen.query_one(BottomBar).keys
        await press(app, pilot, "enter")
        assert isinstance(app.screen, ProveScreen)
