"""Fuses that blew: what is known of them while a trace goes on, and what is fitted anew with the repair."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, parse_fault
from model.tracing.asking import Answered
from model.tracing.blown_fuses import blown_fuses, blown_with, left_words, new_fuse_steps, renewed_words
from model.tracing.check_words import LineName, check_lines, check_sentence
from model.tracing.checks import Check, CheckKind, Word, seen
from model.tracing.complaint import Complaint, Symptom
from model.tracing.repair import repair_of
from model.tracing.suspects import Suspect
from tests.model.tracing.rigs import rig, wires

HARNESS = rig(
    'fuses = [ { id = "F1", amps = 10, label = "Lamps" }, { id = "F2", amps = 15, style = "breaker" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 55 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
    + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.+ F2.in", "F2.out E2.+", "E2.- CHASSIS", "G1.- CHASSIS")
)
ON = Condition("on")
VOLTS = Check(CheckKind.VOLTS, ON, red="E1.+", black="G1.-")
BLOWS = Complaint(("E1:load",), Symptom.BLOWS_FUSE, fuse="F1")
DEAD = Complaint(("E1:load",))


def answered(kind: CheckKind, fuse: str, word: Word) -> Answered:
    """Give an answer to a check on a fuse."""
    return Answered(Check(kind, ON, part=fuse), seen(word), 1, 1.0)


LOOKED = [
    (BLOWS, [], ("F1",)),
    (DEAD, [], ()),
    (DEAD, [(CheckKind.LOOK, "F1", Word.BAD)], ("F1",)),
    (DEAD, [(CheckKind.LOOK, "E1", Word.BAD)], ()),
    (DEAD, [(CheckKind.LOOK, "F1", Word.BAD), (CheckKind.NEW_FUSE, "F1", Word.HOLDS)], ()),
    (BLOWS, [(CheckKind.NEW_FUSE, "F1", Word.HOLDS), (CheckKind.NEW_FUSE, "F1", Word.BLOWS)], ("F1",)),
    (BLOWS, [(CheckKind.LOOK, "F1", Word.GOOD), (CheckKind.LOOK, "F2", Word.BAD)], ("F2",)),
]


@pytest.mark.parametrize(("complaint", "answers", "blown"), LOOKED)
def test_a_fuse_is_blown_until_a_new_one_holds(
    complaint: Complaint, answers: list[tuple[CheckKind, str, Word]], blown: tuple[str, ...]
) -> None:
    """The complaint, a look and a new fuse tell it; a look at anything else does not."""
    assert blown_fuses(HARNESS, complaint, [answered(*one) for one in answers]) == blown


def test_a_check_says_which_fuses_are_blown_while_it_is_made() -> None:
    """Among what is set, in the lines and in the sentence."""
    words = left_words(HARNESS, VOLTS, ("F1", "F2"))
    assert words == ("fuse F1 (Lamps) blown, no new one in", "fuse F2 tripped, not reset")
    lines = {line.name: line.words for line in check_lines(HARNESS, VOLTS, besides=words)}
    assert lines[LineName.SET] == ", ".join(words)
    assert words[0] in check_sentence(HARNESS, VOLTS, besides=words)


@pytest.mark.parametrize(
    "check",
    [
        Check(CheckKind.VOLTS, ON.with_setting("F1", "out"), red="E1.+", black="G1.-"),
        Check(CheckKind.LAMP, ON, part="F1", watts=55),
        Check(CheckKind.NEW_FUSE, ON, part="F1"),
        Check(CheckKind.LOOK, ON, part="W2"),
    ],
)
def test_nothing_is_said_of_a_fuse_that_is_out_or_that_the_check_is_on(check: Check) -> None:
    """The check itself says what stands in the fuse's place; a look wants none."""
    assert left_words(HARNESS, check, ("F1",)) == ()


def test_a_proof_says_which_fuse_is_new() -> None:
    """By rating and colour (ISO 8820-3: 10 A is red); of a breaker that it is reset."""
    words = renewed_words(HARNESS, VOLTS, ("F1", "F2"))
    assert words == ("a new 10 A blade fuse, red, as fuse F1 (Lamps)", "fuse F2 reset")


def test_what_a_fault_blows_is_found_by_solving_it() -> None:
    """A feed to the body blows the fuse before it; a broken one blows none; what cannot be solved blows none."""
    short, broken = parse_fault(HARNESS, "W2=to body"), parse_fault(HARNESS, "W2=open")
    bench = Bench(HARNESS)
    assert blown_with(bench, [(short,)], ON) == ("F1",)
    assert blown_with(bench, [(broken,)], ON) == ()
    assert blown_with(bench, [(Fault("W99", FaultKind.OPEN),), (short,)], ON) == ("F1",)


def test_a_repair_fits_anew_what_the_fault_blew() -> None:
    """Without it the lamp stays dark and the proof says nothing; a broken wire wants no new fuse."""
    step = new_fuse_steps(HARNESS, ("F1",))[0]
    assert "fit as fuse F1 (Lamps) one new 10 A blade fuse, red, never a larger one" in step
    shorted = repair_of(Bench(HARNESS), (Suspect("W2", "to body", "", 0.9),), DEAD, ON)
    broken = repair_of(Bench(HARNESS), (Suspect("W2", "open", "", 0.9),), DEAD, ON)
    assert shorted.prove.kind is not CheckKind.NEW_FUSE
    reconnect = next(one for one in shorted.steps if one.startswith("Put back what was taken apart"))
    assert shorted.steps.index(step) < shorted.steps.index(reconnect)
    assert "new 10 A" not in broken.text


def test_a_fuse_that_the_work_or_the_proof_fits_is_not_told_twice() -> None:
    """The blown fuse itself, and a short whose proof is the new fuse."""
    blown = repair_of(Bench(HARNESS), (Suspect("F1", "blown", "", 0.9),), DEAD, ON)
    assert blown.text.count("one new 10 A blade fuse") == 1
    proven = repair_of(Bench(HARNESS), (Suspect("E1:load", "short", "", 0.9),), BLOWS, ON)
    assert proven.prove.kind is CheckKind.NEW_FUSE
    assert "With all put together" not in proven.text
