"""What a person types for a row of a plan."""

from __future__ import annotations

import math

import pytest

from model.circuit.condition import Condition
from model.errors import AnswerError
from model.plans.judging import Standing, Taken
from model.plans.plan import Limit, Measure, PlanRow
from model.plans.typed_value import read_typed
from model.tables import SourceKind


def row(measure: Measure) -> PlanRow:
    """Give a row in which something is measured."""
    return PlanRow("r", "a wire", "", measure, Condition("off"), red="F1.out", black="K1.30", amps=5.0)


@pytest.mark.parametrize(
    ("measure", "typed", "value"),
    [
        (Measure.OHMS, "0.24", 0.24),
        (Measure.OHMS, "0,24", 0.24),
        (Measure.OHMS, "4.7k", 4700.0),
        (Measure.OHMS, "-0,1", -0.1),
        (Measure.APART, "\u22121 Ω", -1.0),
        (Measure.OHMS, "OL", math.inf),
        (Measure.APART, "open", math.inf),
        (Measure.APART, "2 MΩ", 2e6),
        (Measure.VOLTS, "12,36 V", 12.36),
        (Measure.VOLTS, "-0.3mV", -0.0003),
        (Measure.LAMP, "11.9", 11.9),
        (Measure.AMPS, "35 mA", 0.035),
        (Measure.MILLIVOLTS, "24", 24.0),
        (Measure.MILLIVOLTS, "2,4", 2.4),
        (Measure.MILLIVOLTS, "24 mV", 24.0),
        (Measure.MILLIVOLTS, "0.024 V", 24.0),
        (Measure.MILLIVOLTS, "-1", -1.0),
    ],
)
def test_a_number_is_in_the_unit_of_its_row(measure: Measure, typed: str, value: float) -> None:
    """With its own unit it is turned into that of the row: 0.024 V are 24 mV."""
    taken = read_typed(row(measure), typed)
    assert taken.value == pytest.approx(value)
    assert taken.said is None
    assert taken.amps is None


@pytest.mark.parametrize("typed", ["24 at 4.6", "24 mV at 4.6 A", "24@4,6", "0.024 V @ 4.6 A"])
def test_millivolts_may_say_the_amperes_that_flowed(typed: str) -> None:
    """A lamp draws what it draws: both numbers are typed."""
    taken = read_typed(row(Measure.MILLIVOLTS), typed)
    assert taken.value == pytest.approx(24.0)
    assert taken.amps == pytest.approx(4.6)


@pytest.mark.parametrize("measure", Measure)
def test_any_row_can_be_said_to_be_good_bad_or_skipped(measure: Measure) -> None:
    """In whatever letters."""
    for word, said in (("good", Standing.GOOD), ("BAD", Standing.BAD), (" Skipped ", Standing.SKIPPED)):
        assert read_typed(row(measure), word) == Taken(said=said)


@pytest.mark.parametrize(
    ("measure", "typed", "words"),
    [
        (Measure.SEEN, "0.2", "no answer"),
        (Measure.SEEN, "goood", "Did you mean “good”"),
        (Measure.OHMS, "", "Nothing was typed"),
        (Measure.OHMS, "12 V", "cannot be read as ohms"),
        (Measure.OHMS, "nan", "cannot be read as ohms"),
        (Measure.OHMS, "0.1..0.9", "swings"),
        (Measure.OHMS, "-4", "below zero"),
        (Measure.VOLTS, "OL", "range is too small"),
        (Measure.VOLTS, "500", "beyond the vehicle"),
        (Measure.AMPS, "0.4 mV", "Those are volts"),
        (Measure.MILLIVOLTS, "24 at 0", "At no amperes"),
        (Measure.MILLIVOLTS, "24 at", "cannot be read"),
        (Measure.MILLIVOLTS, "24 at lamp", "cannot be read"),
    ],
)
def test_anything_else_is_refused_in_words(measure: Measure, typed: str, words: str) -> None:
    """Nothing is guessed."""
    with pytest.raises(AnswerError, match=words):
        read_typed(row(measure), typed)


@pytest.mark.parametrize("typed", ["lamp", "24 at", "24 at lamp", "12..x"])
def test_millivolts_are_told_how_millivolts_are_typed(typed: str) -> None:
    """Not as volts are: 24, or 24 at 4.6; of what swings it stays what to do about it."""
    with pytest.raises(AnswerError) as refused:
        read_typed(row(Measure.MILLIVOLTS), typed)
    assert refused.value.do == "Type the millivolts as 24, or with the amperes that flow as 24 at 4.6."
    with pytest.raises(AnswerError) as swings:
        read_typed(row(Measure.MILLIVOLTS), "12..24")
    assert "Hold the probes still" in swings.value.do


@pytest.mark.parametrize(("measure", "typed"), [(Measure.VOLTS, "12.1?"), (Measure.MILLIVOLTS, "24 mV? at 4.6")])
def test_a_row_takes_no_number_in_doubt(measure: Measure, typed: str) -> None:
    """A plan proves: what is not trusted is read again."""
    with pytest.raises(AnswerError, match="A number in doubt proves nothing"):
        read_typed(row(measure), typed)


DARK = PlanRow(
    "F1 off",
    "F1 in",
    "",
    Measure.LAMP,
    Condition("off"),
    red="G1.-",
    limit=Limit(None, 0.0029, "", SourceKind.JUDGEMENT),
)


@pytest.mark.parametrize(
    ("typed", "volts"), [("1.3 mV", 0.0013), ("0", 0.0), ("0.00", 0.0), ("6 mV", 0.006), ("5 V", 5.0), ("0.05 V", 0.05)]
)
def test_a_lamp_that_is_to_stay_dark_is_read_in_millivolts(typed: str, volts: float) -> None:
    """With a unit it is taken as it stands, good or bad, and nothing is nothing."""
    assert read_typed(DARK, typed).value == pytest.approx(volts)


@pytest.mark.parametrize(
    ("typed", "do"),
    [("1.3", "Type 1.3 mV"), ("0.01", "Volts: 0.01 V"), ("0.01 V", "DC mV"), ("0,02V", "DC mV"), ("-0.1 V", "DC mV")],
)
def test_volts_too_coarse_for_a_dark_lamp_are_asked_back(typed: str, do: str) -> None:
    """A bare number may be of either range, and two digits of a range in volts are more than 2.9 mV: not bad yet."""
    with pytest.raises(AnswerError) as caught:
        read_typed(DARK, typed)
    assert do in caught.value.do
