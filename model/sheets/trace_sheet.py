"""The trace on paper: two checks deep from where it stands, with what each reading leads to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from model.caution_words import GENERAL_CAUTIONS
from model.circuit.faults import part_of_site
from model.harness.harness import Harness
from model.sheets.trace_ranges import Range, ranges_of
from model.sheets.trace_sheet_words import (
    ALL_SUSPECTS,
    NEXT_SHOWN,
    answered_words,
    aside_words,
    ended_words,
    expected_words,
    most_suspect_words,
    posts_words,
    prove_words,
    sentence,
    suspect_rows,
    work_words,
)
from model.tracing.asking import Finding, Question, Read
from model.tracing.check_words import CheckLine, LineName, check_lines
from model.tracing.checks import Check, CheckKind, Outcome
from model.tracing.complaint_told import complained_name, complaint_sentences
from model.tracing.named_checks import named_check
from model.tracing.names import either
from model.tracing.trace import Trace

LIKELY_SHARE = 0.04
"""A reading less likely than this is not followed further on paper."""

JUDGEMENT = "The shares are judgement: the weights before any reading come from experience, not from counting."


@dataclass(frozen=True, slots=True)
class Exit:
    """What a reading leads to.

    Attributes
    ----------
    is_good
        Whether it is what the sound circuit shows.
    sets_aside
        What is suspect no longer, and how many suspects are left.
    box
        Number of the box that follows; None where none does.
    repair
        Letter of the repair that it leads to; empty where to none.
    then
        What to make of it where no box follows.
    """

    reading: str
    is_good: bool
    sets_aside: str
    box: int | None
    repair: str
    then: str


@dataclass(frozen=True, slots=True)
class Box:
    """One check on paper.

    Attributes
    ----------
    reached
        From which box and with which reading; empty of the first.
    title
        The check in a few words.
    cautions
        What stands before it, full sentences.
    lines
        Where, what is set, the meter, the probes.
    expect
        What a sound circuit shows, and the band of a good reading.
    parts
        Where the probes stand, and what is looked at or moved.
    """

    number: int
    step: int
    reached: str
    title: str
    cautions: tuple[str, ...]
    lines: tuple[CheckLine, ...]
    expect: str
    exits: tuple[Exit, ...]
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetRepair:
    """What an exit ends with: the fault, what stands before the work, and the work in short."""

    letter: str
    sentence: str
    cautions: tuple[str, ...]
    work: str
    prove: str


@dataclass(frozen=True)
class TraceSheet:
    """A trace on paper.

    Attributes
    ----------
    about
        The complaint and what has been answered already, in sentences.
    posts
        The posts to be read before all else.
    cautions
        They hold for every box.
    ended
        Why there is no check to make, in a sentence; empty where there is one.
    suspects
        Share and words of each, the likeliest first.
    """

    vehicle: str
    revision: str
    title: str
    about: tuple[str, ...]
    posts: str
    cautions: tuple[str, ...]
    ended: str
    boxes: tuple[Box, ...]
    repairs: tuple[SheetRepair, ...]
    suspects: tuple[tuple[str, str], ...]


def trace_sheet(trace: Trace) -> TraceSheet:
    """Give the sheet of a trace: the check that is asked now and those behind each likely reading of it.

    Parameters
    ----------
    trace
        It is left as it stands.

    Raises
    ------
    CircuitError
        Where a circuit finds no rest.

    Notes
    -----
    A reading that is less likely than 4 % is not followed; the sheet says what would be most suspect then.
    """
    harness, start = trace.harness, trace.next()
    tree = _Tree(harness)
    ended = ""
    if isinstance(start, Finding):
        ended = ended_words(start)
        if start.group:
            ended = " ".join(one for one in (start.leads, ended) if one)
            tree.repair(start)
    else:
        tree.grow(trace, start)
    names = [complained_name(harness, name) for name in trace.complaint.loads]
    return TraceSheet(
        harness.build.name,
        f"revision {harness.build.revision}{f', {harness.build.date}' if harness.build.date else ''}",
        f"Trace on paper: {either(names, 'and')}",
        (*complaint_sentences(harness, trace.complaint, trace.condition), *answered_words(trace)),
        posts_words(harness, start),
        tuple(caution.text for caution in GENERAL_CAUTIONS),
        ended,
        tuple(tree.boxes),
        tuple(tree.repairs.values()),
        suspect_rows(harness, trace.suspects(ALL_SUSPECTS)),
    )


@dataclass
class _Tree:
    """Boxes and repairs as they are found; the second level is numbered in the order of the exits of the first."""

    harness: Harness
    boxes: list[Box] = field(default_factory=list)
    repairs: dict[str, SheetRepair] = field(default_factory=dict)

    def grow(self, trace: Trace, question: Question) -> None:
        """Make the first box and the boxes that its exits lead to."""
        exits: list[Exit] = []
        behind: list[Box] = []
        for one in _ranges(self.harness, question):
            fork = _forked(trace, one.outcome)
            asked = fork.next() if one.likely >= LIKELY_SHARE else None
            if not isinstance(asked, Question):
                exits.append(self.last(one, trace, fork, asked))
                continue
            number = len(behind) + 2
            reached = f"from box 1, {one.words}"
            behind.append(self.box(number, reached, fork, asked, self.ends(fork, asked)))
            exits.append(_exit(one, trace, fork, box=number))
        self.boxes = [self.box(1, "", trace, question, exits), *behind]

    def ends(self, trace: Trace, question: Question) -> list[Exit]:
        """Give the exits of a box behind which no box stands."""
        found: list[Exit] = []
        for one in _ranges(self.harness, question):
            fork = _forked(trace, one.outcome)
            asked = fork.next() if one.likely >= LIKELY_SHARE else None
            found.append(self.last(one, trace, fork, asked))
        return found

    def last(self, one: Range, before: Trace, fork: Trace, asked: Question | Finding | None) -> Exit:
        """Give an exit behind which no box stands."""
        if isinstance(asked, Finding) and asked.group:
            letter = self.repair(asked)
            then = " ".join(one for one in (asked.leads, f"found, see repair {letter}") if one)
            return _exit(one, before, fork, repair=letter, then=then)
        rare = "" if one.likely >= LIKELY_SHARE else "Unlikely: take it again. "
        words = f"{rare}{most_suspect_words(self.harness, fork.suspects(NEXT_SHOWN))}"
        if isinstance(asked, Finding):
            words = f"{words} {sentence(ended_words(asked))}".strip()
        elif asked is not None:
            words = f"{words} Check next: {named_check(self.harness, asked.check, fork.condition)}."
        return _exit(one, before, fork, then=words)

    def repair(self, finding: Finding) -> str:
        """Keep a repair, each only once, and give its letter."""
        found = self.repairs.get(finding.sentence)
        if found is None:
            letter = _letter(len(self.repairs))
            work, prove = work_words(self.harness, finding), prove_words(self.harness, finding)
            found = SheetRepair(letter, finding.sentence, finding.cautions, work, prove)
            self.repairs[finding.sentence] = found
        return found.letter

    def box(self, number: int, reached: str, trace: Trace, question: Question, exits: Sequence[Exit]) -> Box:
        """Write a box."""
        check = question.check
        part = f", reading {question.reading} of {question.of}" if question.of > 1 else ""
        lines = check_lines(self.harness, check, trace.complaint.loads, healthy=question.healthy)
        moving = (CheckLine(LineName.MOVE, question.moving),) if question.moving else ()
        return Box(
            number,
            question.step,
            reached,
            f"{sentence(named_check(self.harness, check, trace.condition))}{part}",
            question.cautions,
            (*lines, *moving),
            expected_words(self.harness, question),
            tuple(exits),
            _parts_of(check),
        )


def _parts_of(check: Check) -> tuple[str, ...]:
    names = (check.red, check.part, check.other, check.load, check.black)
    return tuple(dict.fromkeys(part_of_site(name) for name in names if name))


def _forked(trace: Trace, outcome: Outcome) -> Trace:
    """Give a trace that has taken an outcome, the one it stems from left as it is."""
    trace.next()
    fork = trace.copy()
    fork.reply(Read(outcome))
    return fork


def _ranges(harness: Harness, question: Question) -> tuple[Range, ...]:
    band = None if question.low is None or question.high is None else (question.low, question.high)
    both_signs = harness.build.ground_side == "positive" and question.check.kind in (CheckKind.VOLTS, CheckKind.DROP)
    return ranges_of(
        question.check, question.outlooks, band, healthy_words=question.healthy_words, both_signs=both_signs
    )


def _exit(one: Range, before: Trace, after: Trace, *, box: int | None = None, repair: str = "", then: str = "") -> Exit:
    return Exit(one.words, one.is_good, aside_words(before, after), box, repair, then)


def _letter(place: int) -> str:
    return chr(ord("A") + place) if place < 26 else f"A{place - 25}"
