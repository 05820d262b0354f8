"""Sentences that name parts are cut only where a name ends."""

import pytest

from tui.plan_before import anew
from tui.sentences import first_sentence, is_balanced, out_to_names
from tui.trace_layout import TraceStep, step_lines

LABELS = ["House battery, upper", "Pump no. 2. Aft", "Lamp (old) left", "Horn [/15A] left", "Feed: left", "“Old” left"]
"""Labels with a comma, full stops, brackets and a colon, as builders write them."""

LAMP = "Lay a lamp of about 60 W, a fuse in its lead, from the post of battery {} to ground point GND2, the clip first."


@pytest.mark.parametrize("label", LABELS)
def test_a_name_that_differs_in_its_first_word_is_said_whole(label: str) -> None:
    """G1 and G2 with labels that end alike: what is new is the whole name, never the half up to where they agree."""
    now, before = LAMP.format(f"G1 ({label})"), LAMP.format(f"G2 (Not {label})")
    assert anew((now,), (before,)) == (f"As before, now G1 ({label}).",)


@pytest.mark.parametrize("label", LABELS)
def test_an_id_goes_with_its_label(label: str) -> None:
    """Two parts of one label: the id alone is new, the label stands behind it all the same."""
    now, before = LAMP.format(f"G1 ({label})"), LAMP.format(f"G2 ({label})")
    assert anew((now,), (before,)) == (f"As before, now G1 ({label}).",)


def test_a_terminal_stands_behind_its_part() -> None:
    """Two parts with a terminal of the same name: it is said with the one that is new."""
    now, before = LAMP.format("M1 (Starter) terminal 31, wire side"), LAMP.format("S6 (Switch) pin 31, wire side")
    assert anew((now,), (before,)) == ("As before, now M1 (Starter) terminal 31, wire side.",)


def test_where_a_bracket_is_left_open_the_sentence_stands_whole() -> None:
    """Nobody can say where such a name ends."""
    now, before = LAMP.format("G1 (House :( upper)"), LAMP.format("G2 (House :( upper)")
    assert not is_balanced(now)
    assert anew((now,), (before,)) == (now,)


def test_a_stretch_outside_all_names_stays_as_it_is() -> None:
    """Only what cuts a name is widened."""
    words = ["from", "G1", "(House,", "upper)", "to", "GND2", "at", "once"]
    assert out_to_names(words, 5, 6) == (5, 6)
    assert out_to_names(words, 2, 3) == (1, 4)
    assert out_to_names(words, 1, 2) == (1, 4)


@pytest.mark.parametrize("label", LABELS)
def test_the_first_sentence_of_a_caution_ends_behind_the_name(label: str) -> None:
    """A full stop of a label ends no sentence, and neither does that of a number."""
    first = f"Take fuse F1 ({label}) out before no. 3 of it."
    assert first_sentence(f"{first} Then wait. Then look.") == first
    assert first_sentence(first) == first


@pytest.mark.parametrize("label", LABELS)
def test_a_low_step_keeps_the_name_in_its_caution(label: str) -> None:
    """Where a caution has no room but for its first sentence, that sentence is whole."""
    step = TraceStep("", (f"Take F1 ({label}) out. {'Then wait a long while. ' * 9}",), (("do", "look"),))
    told = " ".join(line.plain.strip() for line in step_lines(step, 70, 4))
    assert f"Take F1 ({label}) out." in told
