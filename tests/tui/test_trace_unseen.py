"""A trace in a low window: the page never runs over its end, and no reading goes to a row that nobody sees."""

from pathlib import Path

import pytest

from model.record_entries import Reading
from tests.tui.on_screen import screen_text, until
from tests.tui.traced import answering_of, asked_of, entries_of, press, scripted, trace_of, tracing
from tests.tui.traced_by_script import TracedByScript
from tui.widgets.rows import RowList

DID = "10 mV: sets aside GND1 (Battery strap on the gearbox); brings back E1 (Head lamp, left) and GND2. " * 2
LOW = [(60, 20), (60, 16), (60, 13), (44, 12)]


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)
    monkeypatch.setattr(TracedByScript, "did", lambda trace: DID if trace.answers else "")


@pytest.mark.slow
@pytest.mark.parametrize("size", LOW)
async def test_what_the_last_answer_did_makes_room_for_itself(tmp_path: Path, size: tuple[int, int]) -> None:
    """Two lines more under the step: it gives up lines, the page gets no scroll bar, and the cut sentence its sign."""
    async with tracing(tmp_path, size=size) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter")
        trace = trace_of(app)
        assert trace.max_scroll_y == 0
        assert trace.size.width == size[0]
        assert "…" in screen_text(app)
        assert "expect" in screen_text(app)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("key", ["down", "up", "pagedown", "pageup", "home", "end"])
async def test_no_key_marks_a_row_that_is_not_on_the_screen(tmp_path: Path, key: str) -> None:
    """Where the step has all the room, the number typed next answers what is asked."""
    async with tracing(tmp_path, size=(44, 12)) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter")
        trace, before = trace_of(app), asked_of(app)
        assert not trace.shows_walk()
        home = app.screen.query_one(RowList).marked_row
        await press(app, pilot, key)
        assert app.screen.query_one(RowList).marked_row == home
        assert "No row of the walk has room here" in " ".join(screen_text(app).split())
        assert answering_of(app).at == ""
        await press(app, pilot, *"0.19", "enter")
        assert asked_of(app).check != before.check
        reading = entries_of(path)[-1]
        assert isinstance(reading, Reading)
        assert not reading.unasked


async def test_in_big_letters_no_row_is_marked(tmp_path: Path) -> None:
    """The walk is away there; g brings it back, and with it the arrows."""
    async with tracing(tmp_path, size=(80, 40)) as (app, pilot, _):
        await press(app, pilot, "g", "down")
        assert answering_of(app).at == ""
        assert "No row is seen in big letters" in screen_text(app)
        await press(app, pilot, "g", "down")
        assert answering_of(app).at


async def test_a_row_that_is_seen_takes_a_number_as_ever(tmp_path: Path) -> None:
    """With the walk on the screen the arrows lead a reading to its row."""
    async with tracing(tmp_path, size=(80, 24)) as (app, pilot, _):
        assert trace_of(app).shows_walk()
        await press(app, pilot, "down")
        assert answering_of(app).at


async def test_the_row_that_a_number_goes_to_comes_back_into_the_window(tmp_path: Path) -> None:
    """A wheel has moved the walk away from the mark: with the first sign typed the marked row is seen again."""
    async with tracing(tmp_path, size=(60, 20)) as (app, pilot, _):
        rows = app.screen.query_one(RowList)
        await press(app, pilot, "end")
        assert rows.marked_row in rows.in_window()
        rows.scroll_to(y=0, animate=False, force=True)
        await until(pilot, lambda: rows.marked_row not in rows.in_window())
        await press(app, pilot, "1")
        await until(pilot, lambda: rows.marked_row in rows.in_window())
        assert answering_of(app).at
