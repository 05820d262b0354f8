"""Answers as a person types them."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from model.errors import AnswerError
from model.tracing.answer_words import prompt_words
from model.tracing.checks import MEASURED, WORDS_OF, CheckKind, Word, measured, seen
from model.tracing.typed_answer import MOST_AMPS, MOST_VOLTS, checked, echo_words, read_answer, read_trusted

VOLTS, DROP, OHMS, AMPS = CheckKind.VOLTS, CheckKind.DROP, CheckKind.OHMS, CheckKind.AMPS

NUMBERS = [
    (VOLTS, "12.4", 12.4, "12.4 V"),
    (VOLTS, "12,4", 12.4, "12.4 V"),
    (VOLTS, "12.4V", 12.4, "12.4 V"),
    (VOLTS, " 12.4  v ", 12.4, "12.4 V"),
    (VOLTS, "+12", 12.0, "12 V"),
    (VOLTS, ".5", 0.5, "0.5 V"),
    (VOLTS, ",5", 0.5, "0.5 V"),
    (VOLTS, "12.", 12.0, "12 V"),
    (VOLTS, "-0.02", -0.02, "-20 mV"),
    (VOLTS, "\u22120.2", -0.2, "-0.2 V"),
    (VOLTS, "-0", 0.0, "0 V"),
    (DROP, "0.3mV", 0.0003, "0.3 mV"),
    (DROP, "350 mV", 0.35, "0.35 V"),
    (DROP, "350 MV", 0.35, "0.35 V"),
    (DROP, "1e-3", 0.001, "1 mV"),
    (VOLTS, "12.345 volts", 12.345, "12.345 V"),
    (OHMS, "12k", 12e3, "12 kΩ"),
    (OHMS, "12K", 12e3, "12 kΩ"),
    (OHMS, "4.7 kΩ", 4.7e3, "4.7 kΩ"),
    (OHMS, "4.7 k\u2126", 4.7e3, "4.7 kΩ"),
    (OHMS, "4,7 kohm", 4.7e3, "4.7 kΩ"),
    (OHMS, "1e3", 1e3, "1 kΩ"),
    (OHMS, "1.2", 1.2, "1.2 Ω"),
    (OHMS, "0.05 ohms", 0.05, "50 mΩ"),
    (OHMS, "8.5 mΩ", 0.0085, "8.5 mΩ"),
    (OHMS, "1.5 M", 1.5e6, "1.5 MΩ"),
    (OHMS, "1.5 Mohm", 1.5e6, "1.5 MΩ"),
    (OHMS, "-0.1", 0.0, "0 Ω"),
    (AMPS, "4.1", 4.1, "4.1 A"),
    (AMPS, "4.1 A", 4.1, "4.1 A"),
    (AMPS, "-4.1 amps", -4.1, "-4.1 A"),
    (AMPS, "35mA", 0.035, "35 mA"),
]


@pytest.mark.parametrize(("kind", "typed", "value", "echo"), NUMBERS)
def test_a_number_is_read_with_its_unit_and_echoed(kind: CheckKind, typed: str, value: float, echo: str) -> None:
    """Point or comma, with a unit or without; shown back in the unit in which it is not small."""
    outcome = read_answer(kind, typed)
    assert (outcome.least, outcome.most) == pytest.approx((value, value))
    assert not outcome.across_fuse
    assert echo_words(kind, outcome) == echo


@pytest.mark.parametrize(
    ("kind", "typed", "least", "most", "echo"),
    [
        (VOLTS, "0?", 0.0, 0.0, "0 V, in doubt"),
        (VOLTS, "12.1 ?", 12.1, 12.1, "12.1 V, in doubt"),
        (DROP, "6.2 mV?", 0.0062, 0.0062, "6.2 mV, in doubt"),
        (VOLTS, "0.1..12.3?", 0.1, 12.3, "0.1 V to 12.3 V, in doubt"),
        (OHMS, "OL ?", math.inf, math.inf, "open (OL), in doubt"),
        (AMPS, "0.4mV??", 0.0004, 0.0004, "0.4 mV across the fuse, in doubt"),
    ],
)
def test_a_number_with_a_question_mark_is_in_doubt(
    kind: CheckKind, typed: str, least: float, most: float, echo: str
) -> None:
    """The number is the same as without it, and the words say that it is in doubt."""
    outcome = read_answer(kind, typed)
    assert (outcome.least, outcome.most) == pytest.approx((least, most))
    assert outcome.in_doubt
    assert echo_words(kind, outcome) == echo
    assert not read_answer(kind, typed.rstrip("? ")).in_doubt
    with pytest.raises(AnswerError, match="A number in doubt proves nothing"):
        read_trusted(kind, typed)


@pytest.mark.parametrize("typed", ["?", " ?? ", "?12", "1?2"])
def test_a_question_mark_is_no_number(typed: str) -> None:
    """Alone or elsewhere than behind the number."""
    with pytest.raises(AnswerError):
        read_answer(VOLTS, typed)


@pytest.mark.parametrize("typed", ["OL", "ol", "O.L", "0L", "0.L", "OL.", "OL MΩ", "open", "inf", "∞", "60M", "1e9"])
def test_open_is_read_in_the_ways_of_meters(typed: str) -> None:
    """The letters that meters show, the word, and ohms above what they can measure."""
    outcome = read_answer(OHMS, typed)
    assert math.isinf(outcome.least)
    assert not outcome.swings
    assert echo_words(OHMS, outcome) == "open (OL)"


@pytest.mark.parametrize("kind", [VOLTS, DROP, AMPS])
def test_overload_is_no_number_of_volts_or_amperes(kind: CheckKind) -> None:
    """The range is too small, which is said."""
    with pytest.raises(AnswerError, match="range is too small"):
        read_answer(kind, "OL")


RANGES = [
    (VOLTS, "0.1..12.3", 0.1, 12.3, "0.1 V to 12.3 V"),
    (VOLTS, "0.1...12.3", 0.1, 12.3, "0.1 V to 12.3 V"),
    (VOLTS, "0.1-12.3", 0.1, 12.3, "0.1 V to 12.3 V"),
    (VOLTS, "0,1 – 12,3 V", 0.1, 12.3, "0.1 V to 12.3 V"),
    (VOLTS, "0.1 to 12.3", 0.1, 12.3, "0.1 V to 12.3 V"),
    (VOLTS, "12.3 V to 0.1 V", 0.1, 12.3, "0.1 V to 12.3 V"),
    (VOLTS, "-0.5--0.1", -0.5, -0.1, "-0.5 V to -0.1 V"),
    (VOLTS, "1..3", 1.0, 3.0, "1 V to 3 V"),
    (VOLTS, "12V-3", 3.0, 12.0, "3 V to 12 V"),
    (DROP, "0.3-5 mV", 0.0003, 0.005, "0.3 mV to 5 mV"),
    (DROP, "300mV-1.5V", 0.3, 1.5, "0.3 V to 1.5 V"),
    (OHMS, "1-2k", 1e3, 2e3, "1 kΩ to 2 kΩ"),
    (AMPS, "1..4 A", 1.0, 4.0, "1 A to 4 A"),
]


@pytest.mark.parametrize(("kind", "typed", "least", "most", "echo"), RANGES)
def test_least_and_most_are_read_in_either_order(
    kind: CheckKind, typed: str, least: float, most: float, echo: str
) -> None:
    """Two numbers, the unit behind the last for both."""
    outcome = read_answer(kind, typed)
    assert (outcome.least, outcome.most) == pytest.approx((least, most))
    assert outcome.swings
    assert echo_words(kind, outcome) == echo


def test_volts_where_amperes_are_asked_were_read_across_the_fuse() -> None:
    """0.4 mV across the seated fuse is no ampere."""
    outcome = read_answer(AMPS, "0.4mV")
    assert outcome.least == pytest.approx(0.0004)
    assert outcome.across_fuse
    assert echo_words(AMPS, outcome) == "0.4 mV across the fuse"
    swinging = read_answer(AMPS, "0.4..0.9 mV")
    assert swinging.most == pytest.approx(0.0009)
    assert swinging.across_fuse


@pytest.mark.parametrize("kind", WORDS_OF)
def test_each_word_and_its_letter_answer_a_kind(kind: CheckKind) -> None:
    """Capitals or not; each word has one letter of its own."""
    for word in WORDS_OF[kind]:
        outcome = read_answer(kind, f" {word.upper()} ")
        assert outcome == seen(word)
        assert echo_words(kind, outcome) == word
    quick = prompt_words(kind)
    assert [read_answer(kind, one.letter) for one in quick] == [seen(word) for word in WORDS_OF[kind]]


@pytest.mark.parametrize(
    ("kind", "yes", "no"),
    [
        (CheckKind.LISTEN, Word.PULLS, Word.SILENT),
        (CheckKind.LOOK, Word.GOOD, Word.BAD),
        (CheckKind.SWAP, Word.CURED, Word.NOT_CURED),
        (CheckKind.BRIDGE, Word.CURED, Word.NOT_CURED),
        (CheckKind.NEW_FUSE, Word.HOLDS, Word.BLOWS),
    ],
)
def test_yes_and_no_answer_what_is_asked_so(kind: CheckKind, yes: Word, no: Word) -> None:
    """Whether it pulls in, is good, is cured, holds."""
    assert [read_answer(kind, typed).word for typed in ("yes", "Y", "no", "N")] == [yes, yes, no, no]


REFUSED = [
    (VOLTS, "", "Nothing was typed"),
    (VOLTS, "  ", "Nothing was typed"),
    (VOLTS, "dark", "“dark” cannot be read as volts"),
    (VOLTS, "1e9", "beyond the vehicle: more than 90 V"),
    (VOLTS, "-90.1", "beyond the vehicle"),
    (VOLTS, "1e999", "beyond the vehicle"),
    (VOLTS, "0..100", "beyond the vehicle"),
    (VOLTS, "nan", "cannot be read as volts"),
    (VOLTS, "12.4 A", "cannot be read as volts"),
    (VOLTS, "12.4.3", "cannot be read as volts"),
    (VOLTS, "1,234,5", "cannot be read as volts"),
    (VOLTS, "12 4", "cannot be read as volts"),
    (VOLTS, "١٢", "cannot be read as volts"),
    (DROP, "100 mV..12", "The unit of the second number"),
    (OHMS, "12 V", "cannot be read as ohms"),
    (OHMS, "1.2m", "may be milliohms or megohms"),
    (OHMS, "-5", "not below zero"),
    (AMPS, "5000", "more than 3000 A"),
    (AMPS, "100 V", "more than 90 V"),
    (AMPS, "1 A..3 V", "cannot be read as amperes"),
    (AMPS, "4 ohm", "cannot be read as amperes"),
    (CheckKind.LAMP, "12.4", "is no answer"),
    (CheckKind.LAMP, "drak", "Did you mean “dark”"),
    (CheckKind.OBSERVE, "yes", "Type one of: works, weak, dead, glows"),
    (CheckKind.LOOK, "[red]\x1b[31m", "is no answer"),
]


@pytest.mark.parametrize(("kind", "typed", "said"), REFUSED)
def test_what_is_no_answer_is_refused_with_what_to_type(kind: CheckKind, typed: str, said: str) -> None:
    """One sentence of what is wrong and one of what to do; nothing that a terminal obeys in it."""
    with pytest.raises(AnswerError) as refused:
        read_answer(kind, typed)
    assert said in str(refused.value)
    assert refused.value.do
    assert "\x1b" not in str(refused.value)


@given(st.sampled_from(CheckKind), st.text(st.characters(), max_size=60))
@example(VOLTS, "9" * 60)
@example(OHMS, "1e" + "9" * 3)
def test_nothing_typed_raises_anything_else(kind: CheckKind, typed: str) -> None:
    """Whatever is typed is an answer that can be echoed, or an `AnswerError`."""
    try:
        outcome = read_answer(kind, typed)
    except AnswerError:
        return
    assert echo_words(kind, outcome)


@given(
    st.sampled_from(sorted(MEASURED)),
    st.text(st.sampled_from("0123456789.,-+eEmMkVvAaΩ ol\u2013to"), max_size=14),
)
def test_what_is_near_a_number_gives_numbers_within_the_vehicle(kind: CheckKind, typed: str) -> None:
    """Never nan, never beyond a limit, never least above most."""
    try:
        outcome = read_answer(kind, typed)
    except AnswerError:
        return
    assert outcome.least <= outcome.most
    if kind is OHMS:
        assert outcome.least >= 0
        return
    limit = MOST_AMPS if kind is AMPS and not outcome.across_fuse else MOST_VOLTS
    assert max(abs(outcome.least), abs(outcome.most)) <= limit


@given(st.floats(-90, 90).map(lambda volts: round(volts, 4)))
def test_an_echo_typed_again_is_the_same_reading(volts: float) -> None:
    """What is shown before it counts is what counts."""
    outcome = checked(VOLTS, volts)
    again = read_answer(VOLTS, echo_words(VOLTS, outcome))
    assert again.least == pytest.approx(outcome.least, abs=1e-9)


def test_not_a_number_is_refused_by_the_check_of_numbers() -> None:
    """Of any kind."""
    for kind in sorted(MEASURED):
        with pytest.raises(AnswerError, match="not a number"):
            checked(kind, math.nan)


def test_a_bare_number_at_a_joint_is_asked_back_for_its_unit() -> None:
    """Where a good drop is millivolts, 12 may be either; with its unit, or small, it is taken."""
    with pytest.raises(AnswerError, match="12 mV or 12 V"):
        read_answer(CheckKind.DROP, "12", 0.02)
    assert read_answer(CheckKind.DROP, "12 mV", 0.02) == measured(0.012)
    assert read_answer(CheckKind.DROP, "12 V", 0.02) == measured(12.0)
    assert read_answer(CheckKind.DROP, "0.3", 0.02) == measured(0.3)
    assert read_answer(CheckKind.DROP, "12", 12.5) == measured(12.0)
