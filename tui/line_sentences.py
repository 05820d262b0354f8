"""The sentences of a trace without a screen: each stands on a line of its own and is whole in itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from model.harness.harness import Harness
from model.tracing.answer_words import expect_words, number_words, outcome_words, prompt_words
from model.tracing.asking import Answered, Finding, Offered, Question
from model.tracing.blown_fuses import left_words, renewed_words
from model.tracing.check_words import check_sentence
from model.tracing.checks import MEASURED, CheckKind
from model.tracing.fault_words import suspect_place, suspect_words
from model.tracing.names import part_name
from model.tracing.repair import NAMED_AT_MOST, only_part
from model.tracing.suspects import Suspect
from model.words import plural, volts_text

SUSPECTS_SAID = 8
_LEAST_SHARE = 0.005


def question_sentences(
    harness: Harness, question: Question, loads: tuple[str, ...], blown: Sequence[str] = ()
) -> Iterator[str]:
    """Ask for one check: its cautions, what to do, what a sound circuit shows, and which words answer it.

    Parameters
    ----------
    loads
        Elements complained of.
    blown
        Fuses that are known to be blown.
    """
    check = question.check
    reading = f", reading {question.reading} of {question.of}" if question.of > 1 else ""
    yield f"Check {question.step}{reading}, about {minutes_words(question.minutes)}."
    yield from (f"Caution: {caution}" for caution in question.cautions)
    yield check_sentence(harness, check, loads, left_words(harness, check, blown))
    if question.moving:
        yield f"Move {question.moving}."
    yield _expected(harness, question)
    letters = ", ".join(f"{one.word} ({one.letter})" for one in prompt_words(check.kind))
    if letters:
        yield f"Answer {letters}."


def _expected(harness: Harness, question: Question) -> str:
    check = question.check
    if check.kind is CheckKind.SWAP and question.healthy_words:
        name = part_name(harness, check.part) if check.part else "what was there"
        return f"Where {name} itself is sound, another good one shows: {question.healthy_words}."
    if check.kind not in MEASURED:
        return f"A sound circuit shows: {question.healthy_words}." if question.healthy_words else ""
    if question.low is None or question.high is None:
        return f"A sound circuit shows: {question.healthy_words or 'nothing that holds this point'}."
    band = expect_words(harness, check, question.low, question.high)
    healthy = (
        "" if question.healthy is None else f"A sound circuit shows {number_words(check.kind, question.healthy)}. "
    )
    posts = f"{volts_text(question.posts_volts)} V at the posts, {'as read' if question.posts_read else 'computed'}"
    return f"{healthy}Good is {band}, with {posts}."


def why_sentences(
    harness: Harness, question: Question | None, suspects: Sequence[Suspect], most: int = SUSPECTS_SAID
) -> Iterator[str]:
    """Say why a check is asked, what each answer would leave, and what may be wrong.

    Parameters
    ----------
    most
        So many suspects are named.
    """
    if question is not None:
        yield question.why
        for outlook in question.outlooks:
            yield f"{_sentence(outlook.words)}, {share_words(outlook.likely)}: {plural(outlook.left, 'suspect')} left."
    for suspect in suspects[:most]:
        yield f"{_sentence(share_words(suspect.probability))}: {suspect_words(harness, suspect)}."
    rest = suspects[most:]
    if rest:
        share = share_words(sum(suspect.probability for suspect in rest))
        yield f"{_sentence(share)}: {plural(len(rest), 'other')} together."


def other_sentences(harness: Harness, offered: Sequence[Offered]) -> Iterator[str]:
    """List the other checks by number."""
    if not offered:
        yield "No other check can be made now."
    for number, one in enumerate(offered, 1):
        yield f"{number}. About {minutes_words(one.minutes)}. {check_sentence(harness, one.check)}"
    if offered:
        yield f"Type take and a number, 1 to {len(offered)}, to make one of them."


def answer_sentences(harness: Harness, answers: Sequence[Answered], before: Sequence[Answered] = ()) -> Iterator[str]:
    """List the answers that count by number, with what is odd about them, then those before a repair in vain."""
    if not answers:
        yield "Nothing has been answered yet."
    for number, one in enumerate(answers, 1):
        odd = f" {one.surprise_words}" if one.surprising and one.surprise_words else ""
        yield f"{number}. {_answer(harness, one)}{odd}"
    yield from (f"Read before the repair, not weighed any more: {_answer(harness, one)}" for one in before)


def _answer(harness: Harness, one: Answered) -> str:
    return f"{check_sentence(harness, one.check)} {_sentence(outcome_words(one.check, one.outcome))}."


def finding_sentences(harness: Harness, finding: Finding, blown: Sequence[str] = ()) -> Iterator[str]:
    """Say how a trace ended: what is wrong and where, what says so, the cautions before the repair, and its proof.

    Parameters
    ----------
    blown
        Fuses that are known to be blown.
    """
    checks = f"{plural(finding.steps, 'check')}, about {minutes_words(finding.minutes)} of work"
    if finding.stopped or not finding.group:
        yield f"The trace ended without a finding: {finding.stopped or 'no group of suspects is left'}. {checks}."
        return
    yield f"Found, {share_words(finding.group_probability)} sure, with {checks}."
    yield finding.sentence
    if len(finding.group) > 1:
        part = only_part(harness, finding.group)
        of = f"a fault of {part}, one of these" if part else "one of these"
        yield f"It is {of}, which one and the same work mends or no check in reach tells apart."
        yield from (_suspect(harness, suspect) for suspect in finding.group[:NAMED_AT_MOST])
        if len(finding.group) > NAMED_AT_MOST:
            yield f"And {len(finding.group) - NAMED_AT_MOST} more: type why to list them."
    yield from (f"Because: {words}" for words in finding.because)
    yield from (f"Caution: {caution}" for caution in finding.cautions)
    if finding.repair:
        yield f"Repair: {finding.repair}"
    if finding.prove is not None:
        besides = renewed_words(harness, finding.prove, blown)
        yield f"To prove it: {check_sentence(harness, finding.prove, besides=besides)}"
        if finding.prove_low is not None and finding.prove_high is not None:
            yield f"Good is {expect_words(harness, finding.prove, finding.prove_low, finding.prove_high)}."


def minutes_words(minutes: float) -> str:
    """Say how long something takes: ``1 minute``, ``2.5 minutes``."""
    halves = max(round(minutes * 2) / 2, 0.5)
    return "1 minute" if halves == 1 else f"{halves:g} minutes"


def share_words(share: float) -> str:
    """Say a share in hundredths: ``31 %``, ``under 1 %``."""
    return "under 1 %" if share < _LEAST_SHARE else f"{100 * share:.0f} %"


def _suspect(harness: Harness, suspect: Suspect) -> str:
    share = _sentence(share_words(suspect.probability))
    return f"{share}: {suspect_words(harness, suspect)}; {suspect_place(harness, suspect)}."


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
