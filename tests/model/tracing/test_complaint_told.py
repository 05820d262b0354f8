"""A complaint as a person would tell it."""

from __future__ import annotations

from model.circuit.condition import Condition
from model.tracing.complaint import Complaint, Symptom
from model.tracing.complaint_told import complaint_sentences
from tests.model.tracing.rigs import demo

BUGGY = demo("trail_buggy")


def test_what_other_loads_do_is_told_in_a_sentence_for_each_answer() -> None:
    """Those that do the same stand together; of one load the words are for one."""
    complaint = Complaint(
        ("E6:stop",), Symptom.WEAK, works=("P1:load", "M2:load"), dead=("E6:indicator",), weak=("E6:tail",)
    )
    told = complaint_sentences(BUGGY, complaint, Condition("ignition"))
    assert told[0] == "Right tail cluster stop (E6:stop) works weakly."
    assert told[2:5] == (
        "Of the others Horn (P1) and Fuel pump (M2) work.",
        "Of the others Right tail cluster tail (E6:tail) works weakly.",
        "Of the others Right tail cluster indicator (E6:indicator) does nothing.",
    )


def test_where_no_other_was_looked_at_nothing_is_told_of_any() -> None:
    """What, when and how long it worked are three sentences."""
    assert len(complaint_sentences(BUGGY, Complaint(("M2:load",)), Condition("ignition"))) == 3
