"""Why a check is asked for, and what its reading did."""

from __future__ import annotations

import pytest

from model.circuit.condition import Condition
from model.tracing.asking import Outlook
from model.tracing.checks import Check, CheckKind, Word, measured, seen
from model.tracing.reasons import LONGEST, did_sentence, why_sentence
from model.tracing.suspects import RECORD, Suspect
from tests.model.tracing.loom_with_spares import loom

VOLTS = Check(CheckKind.VOLTS, Condition("on"), "K1.30", "G1.-")


def suspects(*parts: str) -> tuple[Suspect, ...]:
    """Give open suspects of these parts."""
    return tuple(Suspect(part, "open", "", 1 / len(parts)) for part in parts)


def test_a_reason_says_what_each_answer_would_leave() -> None:
    """How many suspects there are, and how many each reading leaves."""
    outlooks = (Outlook("near 12.3 V", 0.6, 5, measured(12.3)), Outlook("near 0 V", 0.4, 7, measured(0.0)))
    assert (
        why_sentence(loom(), outlooks, 12, VOLTS) == "12 suspects: a reading near 12.3 V leaves 5, near 0 V leaves 7."
    )


def test_an_answer_that_clears_none_or_fits_none_says_so() -> None:
    """Not that it leaves all or nothing."""
    outlooks = (Outlook("dim", 0.6, 3, seen(Word.DIM)), Outlook("dark", 0.1, 0, seen(Word.DARK)))
    sentence = why_sentence(loom(), outlooks, 3, VOLTS)
    assert sentence == "3 suspects: dim sets none aside, dark would fit none of them."


def test_a_reason_is_short_however_many_answers_there_are() -> None:
    """The least likely answers are left out."""
    outlooks = tuple(Outlook(f"near {number}.25 V", 0.1, number + 1, measured(number)) for number in range(12))
    sentence = why_sentence(loom(), outlooks, 40, VOLTS)
    assert len(sentence) <= LONGEST
    assert sentence.startswith("40 suspects: a reading near 0.25 V leaves 1, ")


def test_a_reason_without_outlooks_names_the_place() -> None:
    """Where nothing is foreseen the point is named."""
    assert why_sentence(loom(), (), 2, VOLTS).startswith("2 suspects: K1 (Lamp relay) pin 30, wire side tells most")


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (("F1", "W4", "K1.30"), ("K1.30",), "12.30 V: sets aside F1 (Lamp) and W4. 1 left."),
        (("F1", "W4"), ("W4",), "12.30 V: sets aside fuse F1 (Lamp): its clips make no contact. 1 left."),
        (("W4",), ("W4", "W5"), "12.30 V: brings back wire W5, BK 1.5, broken. 2 left."),
        (("W4",), ("W4",), "12.30 V: the shares moved, no part is set aside. 1 left."),
        (("W4",), (), "12.30 V: no suspect explains it: read it again. None left."),
        (
            ("W1", "W2", "W3", "W4", "W5"),
            ("W5",),
            "12.30 V: sets aside W1, W2 and 2 more. 1 left.",
        ),
    ],
)
def test_a_reading_says_what_it_set_aside_and_what_it_brought_back(
    before: tuple[str, ...], after: tuple[str, ...], words: str
) -> None:
    """Two parts by name, the others counted, then how many are left."""
    assert did_sentence(loom(), VOLTS, measured(12.3), suspects(*before), suspects(*after)) == words


def test_an_untrue_file_is_set_aside_as_a_clause() -> None:
    """What is no part reads as what it claims."""
    gone = (Suspect("", RECORD, "", 0.1), *suspects("W4"))
    sentence = did_sentence(loom(), VOLTS, measured(0.0), gone, suspects("W4"))
    assert sentence == "0.00 V: sets aside that the file is untrue here. 1 left."


def test_an_answer_in_words_begins_the_sentence() -> None:
    """What was seen, with a capital."""
    check = Check(CheckKind.LISTEN, Condition("on"), part="K1")
    sentence = did_sentence(loom(), check, seen(Word.SILENT), suspects("K1:coil", "W4"), suspects("K1:coil"))
    assert sentence == "It stays silent: sets aside wire W4, GN/BU 1.5, broken. 1 left."
