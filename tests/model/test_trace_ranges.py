"""Ranges of readings on paper: every reading falls into one of them."""

from __future__ import annotations

import math

from model.circuit.condition import Condition
from model.sheets.trace_ranges import Range, ranges_of
from model.tracing.asking import Outlook
from model.tracing.checks import Check, CheckKind, Outcome, Word, measured, seen

ON = Condition("on")


def foreseen(*outcomes: Outcome | float) -> tuple[Outlook, ...]:
    """Give outlooks of outcomes, each less likely than the one before."""
    made = [measured(one) if isinstance(one, float) else one for one in outcomes]
    return tuple(Outlook(str(one.word or one.value), 0.5 / (place + 1), 3, one) for place, one in enumerate(made))


def words(found: tuple[Range, ...]) -> list[str]:
    """Give what the ranges say."""
    return [one.words for one in found]


def test_borders_stand_midway_and_at_the_edge_of_the_good_band() -> None:
    """Between 0.0 and 6.0 V the border is 3.0 V; between 6.0 and 12.4 V it is the least good reading, 11.6 V."""
    check = Check(CheckKind.VOLTS, ON, red="K1.30", black="G1.-")
    found = ranges_of(check, foreseen(12.4, 0.0, 6.0), (11.6, 13.6))
    assert words(found) == ["under 3.00 V", "3.00 V to 11.60 V", "over 11.60 V"]
    assert [one.is_good for one in found] == [False, False, True]


def test_a_reading_above_the_good_band_is_parted_from_it() -> None:
    """A drop of 4 mV is good up to 12 mV; what lies over it is not."""
    check = Check(CheckKind.DROP, ON, red="GND1", black="CHASSIS")
    found = ranges_of(check, foreseen(0.004, 5.9), (-0.001, 0.012))
    assert words(found) == ["under 12 mV", "over 12 mV"]
    assert [one.is_good for one in found] == [True, False]


def test_what_a_hand_meter_does_not_tell_apart_is_one_range() -> None:
    """0.02 and 0.15 V are one, and what stands for both is the likelier; so are all readings within the good band."""
    check = Check(CheckKind.VOLTS, ON, red="K1.30", black="G1.-")
    found = ranges_of(check, foreseen(0.15, 0.02, 11.7, 12.6), (11.6, 13.6))
    assert words(found) == ["under 11.60 V", "over 11.60 V"]
    assert [one.outcome.value for one in found] == [0.15, 11.7]
    assert math.isclose(found[0].likely, 0.5 + 0.25)


def test_ohms_end_with_what_the_meter_shows_of_an_open_circuit() -> None:
    """1 and 100 ohm part at their geometric mean, 10 ohm; an open circuit is a reading of its own."""
    check = Check(CheckKind.OHMS, ON, red="E1.+", black="E1.-")
    found = ranges_of(check, foreseen(1.0, 100.0, math.inf), None)
    assert words(found) == ["under 10 Ω", "over 10 Ω", "OL (open)"]
    assert ranges_of(check, foreseen(1.0, math.inf), None)[0].words == "any number"


def test_a_single_outlook_takes_any_reading() -> None:
    """Nothing else is foreseen."""
    check = Check(CheckKind.AMPS, ON, part="F1")
    assert words(ranges_of(check, foreseen(4.0), None)) == ["any reading"]


def test_on_a_positive_ground_the_sign_is_left_aside() -> None:
    """Minus 6.2 V is read as 6.2 V by whoever holds the leads the other way round; the good band holds zero."""
    check = Check(CheckKind.VOLTS, ON, red="CHASSIS", black="G1.+")
    found = ranges_of(check, foreseen(-6.2, -0.01), (-0.11, 0.09), both_signs=True)
    assert words(found) == ["under 0.11 V", "over 0.11 V"]
    assert [one.is_good for one in found] == [True, False]


def test_words_stay_as_they_are() -> None:
    """The likeliest stands first, and the one of the sound circuit is marked."""
    check = Check(CheckKind.LAMP, ON, red="F1.out", black="G1.-", watts=3.0)
    found = ranges_of(check, foreseen(seen(Word.DARK), seen(Word.LIT)), None, healthy_words="lit")
    assert words(found) == ["dark", "lit"]
    assert [one.is_good for one in found] == [False, True]
