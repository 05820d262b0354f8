"""The step of a trace: whole in whatever room there is, cautions before it."""

import pytest

from tui.trace_layout import TraceStep, at_most, caution_lines, step_lines, step_sentences, wanted_height

LONG = "No fuse stands before this metal. Rings, watch and chains off, an insulated tool, nothing that bridges it."
STEP = TraceStep(
    "volts at K7",
    (LONG, "Fuel vapour: no sparks."),
    (("place", "rear box"), ("red", "K7 pin 30"), ("expect", "12.3 V")),
    (("why", "it halves what may be wrong"),),
)


def words_of(cells: int, height: int) -> str:
    """Return what a step says in so much room, on one line."""
    return " ".join(" ".join(line.plain for line in step_lines(STEP, cells, height)).split())


@pytest.mark.parametrize("cells", [38, 58, 78, 118])
@pytest.mark.parametrize("height", range(3, 14))
def test_the_step_is_never_left_out(cells: int, height: int) -> None:
    """Whatever the room, all three lines stand there, and that there is a caution stands before them."""
    told = words_of(cells, height)
    assert "rear box red K7 pin 30 expect 12.3 V" in told
    assert told.index("aution") < told.index("rear box")


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
