"""The step in the room there is."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.bench import Bench
from model.tracing.rows import tell_walk
from model.tracing.walk import Walker, find_element
from tests.model.tracing.rigs import demo
from tests.tui.on_screen import NASTY
from tui.text import width
from tui.walk_step import Step, make_step, step_content, step_height, step_sentences

STEP = Step(
    "K7.30  Fuel pump relay",
    (CAUTIONS[CautionKind.FUEL_VAPOUR], CAUTIONS[CautionKind.FUEL]),
    (("where", "rear box, two clips"), ("red", "K7.30, pin 30"), ("expect", "12.41 V, good 11.40 to 13.43")),
    (("low", "The feed is poor. " * 6), ("high", "Less current runs.")),
)


def test_cautions_stand_first_and_in_full() -> None:
    """Where there is room both cautions stand whole before the step, then what a wrong reading says."""
    lines = step_content(STEP, 60, 30).plain.splitlines()
    told = " ".join(lines)
    assert lines[0].startswith("Caution: Fuel vapour")
    for caution in STEP.cautions:
        assert caution.text in told
    heads = [line[:7].strip() for line in lines]
    wanted = step_height(STEP, 60)
    assert heads[wanted - 3 : wanted + 1] == ["where", "red", "expect", "low"]
    assert heads[-1] == "high"


def test_the_gravest_is_kept_and_the_others_are_counted() -> None:
    """With room for one caution the gravest stands in full, the other with the key that shows it; the step is whole."""
    gravest = Step("", STEP.cautions[:1], STEP.lines, ())
    height = step_height(gravest, 60) + 1
    lines = step_content(STEP, 60, height).plain.splitlines()
    assert len(lines) == height
    assert STEP.cautions[0].text in " ".join(lines)
    assert "1 more caution first, key a: fuel" in lines
    assert [line.split()[0] for line in lines[-3:]] == ["where", "red", "expect"]


def test_with_no_room_they_are_named() -> None:
    """A window that is too short for a sentence names what the cautions are about and the key that shows them."""
    assert step_content(STEP, 60, 4).plain.splitlines()[0] == "2 cautions first, key a: fuel vapour, fuel"
    assert step_sentences(STEP)[:2] == [f"Caution: {caution.text}" for caution in STEP.cautions]


def test_what_comes_after_is_left_out_whole() -> None:
    """A wrong reading's meaning is never cut in the middle of its sentence."""
    bare = Step("", (), STEP.lines, STEP.after)
    shown = step_content(bare, 60, 4).plain
    assert "high" in shown
    assert "low" not in shown


@given(st.text(max_size=80) | st.sampled_from(NASTY), st.integers(12, 80))
def test_no_line_is_wider_than_the_window(words: str, cells: int) -> None:
    """Any words are broken to fit, and none is lost where they have room."""
    lines = step_content(Step("", (), (("red", words),), ()), cells, 99).plain.split("\n")
    assert all(width(line) <= cells for line in lines)


def test_what_a_band_below_zero_says_is_told_from_zero() -> None:
    """On a positive ground the higher reading is the weaker battery: nearer 0, not "high"."""
    harness = demo("field_tractor")
    bench = Bench(harness)
    told = tell_walk(bench, Walker(bench).walk(find_element(harness, "E3")), None)
    assert told.sections[0].rows[0].point == "G1.-"
    step = make_step(harness, told, "0 0", told.condition, known=True)
    assert step is not None
    said = dict(reversed(step.after))
    assert said["if"].startswith("nearer 0: The battery is low")
    assert "high" not in said


def test_at_the_posts_their_key_is_told_until_they_were_read() -> None:
    """Every band rests on them: what a wrong reading says comes after it, and other points do not tell it."""
    harness = demo("trail_buggy")
    bench = Bench(harness)
    told = tell_walk(bench, Walker(bench).walk(find_element(harness, "P1:load")))
    read = replace(told.condition, posts_volts=12.4)
    steps = [
        make_step(harness, told, *one, known=True) for one in (("0 0", told.condition), ("0 0", read), ("0 1", read))
    ]
    assert all(steps)
    posts, once_read, other = ([name for name, _ in step.after] for step in steps if step is not None)
    assert posts[:2] == ["first", "low"]
    assert "key b" in (steps[0].after[0][1] if steps[0] is not None else "")
    assert "first" not in (*once_read, *other)
