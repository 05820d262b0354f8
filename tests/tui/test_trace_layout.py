"""The step of a trace: whole in whatever room there is, cautions before it."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.tui.on_screen import screen_text
from tests.tui.traced import press, scripted, tracing
from tui.trace_layout import (
    TraceStep,
    at_most,
    caution_lines,
    least_height,
    step_lines,
    step_sentences,
    wanted_height,
)

LONG = "No fuse stands before this metal. Rings, watch and chains off, an insulated tool, nothing that bridges it."
STEP = TraceStep(
    "volts at K7",
    (LONG, "Fuel vapour: no sparks."),
    (("place", "rear box"), ("red", "K7 pin 30"), ("expect", "12.3 V")),
    (("why", "it halves what may be wrong"),),
)

LONG_STEP = TraceStep(
    "volts at F10",
    (LONG, "The gas of a battery can explode: no spark or flame at the posts, fresh air, and eye protection on."),
    (
        ("place", "engine room, hatch behind the wheel"),
        ("set", "key off, S10 (House isolator) on, S20 (Navigation lamp switch) at way"),
        ("load", "E2 (Side lamp, starboard) plugged in and on"),
        ("with", "DC millivolts; where it shows OL, DC volts"),
        ("red", "F10 (Console feeder) out, RD 25"),
        ("black", "the negative post of battery G2 (House battery, lower), with a long lead"),
        ("expect", "25.24 V, good 23.20 V to 27.28 V"),
    ),
    (("why", "it halves what may be wrong"),),
)


def words_of(cells: int, height: int) -> str:
    """Return what a step says in so much room, on one line."""
    return " ".join(" ".join(line.plain for line in step_lines(STEP, cells, height)).split())


@pytest.mark.parametrize("cells", [38, 58, 78, 118])
@pytest.mark.parametrize("height", range(4, 14))
def test_the_step_is_never_left_out(cells: int, height: int) -> None:
    """Where there is room for it all three lines stand there, and that there is a caution stands before them."""
    told = words_of(cells, height)
    assert "rear box red K7 pin 30 expect 12.3 V" in told
    assert told.index("aution") < told.index("rear box")


@pytest.mark.parametrize("cells", [58, 78])
@pytest.mark.parametrize("height", range(5, 20))
@pytest.mark.parametrize("has_cautions", [True, False])
def test_the_probes_and_the_band_are_never_given_up(cells: int, height: int, has_cautions: bool) -> None:
    """However low, no line lies below the height: cautions fold to a row, then the rest of the step goes."""
    step = LONG_STEP if has_cautions else replace(LONG_STEP, cautions=())
    lines = [line.plain for line in step_lines(step, cells, height)]
    assert len(lines) <= height
    assert all(line.strip() for line in lines)
    heads = [line.split()[0] for line in lines]
    assert {"red", "black", "expect"} <= set(heads)
    assert "caution" not in lines[-1]
    assert heads[0] in {"place", "Caution:", "a:"}
    if has_cautions:
        assert "aution" in lines[0]
    if "load" not in heads:
        assert any("a: " in line for line in lines)


def test_cautions_in_one_row_say_which_key_shows_them() -> None:
    """Where nothing else is to be given up, one row says how the gravest begins, and which key shows all."""
    lines = [line.plain for line in step_lines(LONG_STEP, 58, least_height(LONG_STEP, 58) - 2)]
    assert lines[0].startswith("Caution: No fuse stands before this metal. Rings")
    assert lines[0].endswith("… a: all 2")
    assert lines[1].startswith("place")


async def test_a_low_window_keeps_the_band_and_both_probes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In 60 by 20 the walk gives way, so that a long step ends with what to expect, also while a number is typed."""
    scripted(monkeypatch)
    monkeypatch.setattr("tui.trace_step.question_step", lambda *_: LONG_STEP)
    async with tracing(tmp_path, size=(60, 20)) as (app, pilot, _):
        for keys in ((), ("1",), ("2", "x", "enter")):
            await press(app, pilot, *keys)
            await pilot.pause()
            told = screen_text(app)
            assert " red     F10" in told
            assert " black   the negative post" in told
            assert " expect  25.24 V, good" in told
            assert "aution" in told.partition(" place ")[0]


def test_with_room_everything_stands_there() -> None:
    """As high as it wants to be it leaves nothing out; why it is asked needs one line more."""
    height = wanted_height(STEP, 78)
    assert LONG in words_of(78, height)
    assert "no sparks" in words_of(78, height)
    assert "why" not in words_of(78, height)
    assert "why it halves" in words_of(78, height + 1)


def test_what_has_no_room_is_counted() -> None:
    """Of the gravest at least the first sentence stands, and how many there are besides, with the key."""
    lines = [line.plain for line in caution_lines(STEP.cautions, 78, 1)]
    assert lines == ["Caution: No fuse stands before this metal.", "a: the rest, and 1 more caution"]


def test_as_paragraphs_nothing_is_left_out() -> None:
    """Cautions first, then each line with its name."""
    assert step_sentences(STEP)[:3] == [f"Caution: {LONG}", "Caution: Fuel vapour: no sparks.", "place: rear box"]


def test_a_long_sentence_is_cut_with_a_sign() -> None:
    """In two lines of twenty cells the end goes, and is seen to go; what fits stays as it is."""
    told = at_most("12.6 V: the feed up to K7 is good, and much besides. 7 left.", 20, 2).plain
    assert told.splitlines() == ["12.6 V: the feed up", "to K7 is good, and…"]
    assert at_most("7 left.", 20, 2).plain == "7 left."
