"""A new circuit as rows of a form: what its pattern asks, then what is proposed for it with reasons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.errors import FusewalkError
from model.harness.file_read import FileRead
from model.harness.harness import Harness
from model.review.pattern_choices import OpenQuestion, open_questions
from model.review.patterns import Pattern, Proposal, ProposedCircuit, propose
from model.sheets.circuit_sheet import circuit_sheet, value_words
from tui.form_rows import FormLine
from tui.putting_in import read_for
from tui.standing import Standing

NEEDED = "needed"
_OTHER = {"watts": "amps", "amps": "watts"}
"""Either of the two will do."""

SOLVED, TO_LOOK_AT = "Solved with it", "To look at"
"""Headings of the sheet of a circuit."""


@dataclass(frozen=True)
class Tried:
    """What came of a try.

    Attributes
    ----------
    circuit
        None where something is missing or does not fit.
    wrong
        Why there is none; empty where there is.
    """

    circuit: ProposedCircuit | None
    wrong: str = ""


def try_circuit(bench: Bench, pattern: Pattern, answers: Mapping[str, str]) -> Tried:
    """Propose a circuit, or say what is missing or does not fit; takes a while."""
    try:
        return Tried(propose(bench, pattern, {key: value for key, value in answers.items() if value.strip()}))
    except FusewalkError as error:
        return Tried(None, f"{error.what} {error.do}".rstrip())


def begin(standing: Standing, pattern: Pattern) -> tuple[tuple[OpenQuestion, ...], FileRead]:
    """Find what a pattern asks with its choices, and read the file as it is.

    Raises
    ------
    ChangedOutsideError
        Where the file no longer says what stands on the bench.
    """
    read = read_for(standing.path, standing.harness)
    return open_questions(standing.walks.bench, pattern), read


def question_lines(
    questions: Sequence[OpenQuestion], values: Mapping[str, str], proposals: Sequence[Proposal]
) -> Iterator[FormLine]:
    """Return a row a question, what is needed first; what is taken for those not answered stands in quiet letters."""
    is_either = {"watts", "amps"} <= {one.question.key for one in questions}
    rated = is_either and any(values.get(key) for key in _OTHER)
    proposed = {one.key: one for one in proposals}
    for one in questions:
        question, found = one.question, proposed.get(one.question.key)
        is_needed = question.is_needed and not (question.key in _OTHER and rated)
        needed = f"{NEEDED}, or {_OTHER[question.key]}" if is_either and question.key in _OTHER else NEEDED
        taken = question.default if found is None else value_words(found.value)
        yield FormLine(
            question.key,
            _head(question.key),
            values.get(question.key, ""),
            needed if is_needed else taken or "-",
            _sentence(question.words),
            "" if found is None else _why(found),
            (("", ""), *((choice.value, choice.words) for choice in one.choices)) if one.choices else (),
            is_changed=bool(values.get(question.key)),
        )


def _head(key: str) -> str:
    words = key.replace("_", " ")
    return f"{words}, m" if key.endswith("_length") else f"{words}, %" if key == "drop" else words


def unanswered(lines: Sequence[FormLine]) -> list[str]:
    """List the keys of the questions that need an answer and have none."""
    return [one.key for one in lines if one.stands_for.startswith(NEEDED) and not one.value]


def missing(lines: Sequence[FormLine]) -> list[str]:
    """Name the questions that need an answer and have none; where one of two will do both at once."""
    keys = unanswered(lines)
    words = {key: key.replace("_", " ") for key in keys}
    if _OTHER.keys() <= words.keys():
        del words["amps"]
        words["watts"] = "watts or amps"
    return list(words.values())


def proposal_lines(
    proposals: Sequence[Proposal], asked: Sequence[OpenQuestion], values: Mapping[str, str]
) -> Iterator[FormLine]:
    """Return a row a proposal that is no answer to a question, each with its reason and source."""
    questions = {one.question.key for one in asked}
    for one in proposals:
        if one.key in questions:
            continue
        is_mm2 = one.key.endswith("size") and not isinstance(one.value, str)
        yield FormLine(
            one.key,
            f"{one.what}, mm²" if is_mm2 else one.what,
            values.get(one.key) or value_words(one.value),
            words=_sentence(one.what),
            why=_why(one),
            is_changed=one.is_given,
        )


def outcome_words(harness: Harness, circuit: ProposedCircuit) -> str:
    """Say how a circuit comes out once it is solved, and what is to be looked at."""
    sections = circuit_sheet(harness, circuit).sections
    return " ".join(item for one in sections if one.head in (SOLVED, TO_LOOK_AT) for item in one.items)


def caution_words(harness: Harness, circuit: ProposedCircuit) -> str:
    """Say what stands before the work."""
    return " ".join(circuit_sheet(harness, circuit).cautions)


def _why(one: Proposal) -> str:
    source = one.source if str(one.source_kind) in one.source else f"{one.source}; {one.source_kind}"
    return f"{_sentence(one.why)} Source: {source}."


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."
