"""The words of a trace on paper."""

from __future__ import annotations

from collections.abc import Sequence

from model.harness.harness import Harness
from model.harness.supply import least_rest_volts
from model.tracing.answer_words import expect_words, number_words
from model.tracing.asking import Finding, Question
from model.tracing.checks import MEASURED
from model.tracing.fault_words import is_of_a_part, suspect_place, suspect_words
from model.tracing.names import either, point_name, site_part
from model.tracing.repair import work_steps
from model.tracing.suspects import Suspect
from model.tracing.told_checks import short_check
from model.tracing.trace import Trace
from model.tracing.wire_repair import BATTERY_OFF
from model.words import plural, volts_text

ALL_SUSPECTS = 10_000
"""More than there ever are."""

NEXT_SHOWN = 3
_SUSPECTS_SHOWN = 12
_ASIDE_SHOWN = 5
_REPAIR_SENTENCES = 2


def aside_words(before: Trace, after: Trace) -> str:
    """Say which parts are suspect no longer, and how many suspects are left."""
    there, left = before.suspects(ALL_SUSPECTS), after.suspects(ALL_SUSPECTS)
    parts = list(dict.fromkeys(site_part(before.harness, one.part) for one in there if is_of_a_part(one)))
    kept = {site_part(before.harness, one.part) for one in left}
    gone = [part for part in parts if part not in kept]
    shown = gone[:_ASIDE_SHOWN]
    if len(gone) > len(shown):
        shown.append(f"{len(gone) - len(shown)} more")
    aside = f"sets aside {either(shown, 'and')}; " if gone else ""
    return f"{aside}{plural(len(left), 'suspect')} left"


def most_suspect_words(harness: Harness, suspects: Sequence[Suspect]) -> str:
    """Name the likeliest suspects with their shares."""
    told = [f"{suspect_words(harness, one)} {share_words(one.probability)}" for one in suspects[:NEXT_SHOWN]]
    return f"Most suspect: {'; '.join(told)}." if told else ""


def work_words(harness: Harness, finding: Finding) -> str:
    """Give the first sentences of what mends the likeliest of a group, the battery's cable before them."""
    steps = work_steps(harness, finding.group[0])
    own = [step for step in steps if step != BATTERY_OFF][:_REPAIR_SENTENCES]
    return " ".join([*((BATTERY_OFF,) if BATTERY_OFF in steps else ()), *own])


def prove_words(harness: Harness, finding: Finding) -> str:
    """Say which reading proves the repair."""
    if finding.prove is None:
        return ""
    words = short_check(finding.prove)
    if finding.prove_low is None or finding.prove_high is None:
        return words
    return f"{words}: {expect_words(harness, finding.prove, finding.prove_low, finding.prove_high)}"


def expected_words(harness: Harness, question: Question) -> str:
    """Say what a sound circuit shows, and the band of a good reading."""
    check = question.check
    if check.kind not in MEASURED:
        return question.healthy_words
    if question.low is None or question.high is None:
        return question.healthy_words or "any reading: nothing holds this point"
    band = expect_words(harness, check, question.low, question.high)
    healthy = "" if question.healthy is None else f"{number_words(check.kind, question.healthy)}, "
    return f"{healthy}good is {band}"


def posts_words(harness: Harness, start: Question | Finding) -> str:
    """Ask for the posts before all else, and say below which nothing that follows means anything."""
    battery = harness.batteries[0].id
    least_volts = least_rest_volts(harness, harness.batteries[:1])
    ends = f"red on {point_name(harness, f'{battery}.+')}, black on {point_name(harness, f'{battery}.-')}"
    asked = f"Read the posts first, {ends}, everything off: at least {volts_text(least_volts)} V."
    charge = "Under that charge the battery first: all else misleads."
    if not isinstance(start, Question):
        return f"{asked} {charge}"
    origin = "as read" if start.posts_read else "as computed"
    under = f"In the first check they stand at {volts_text(start.posts_volts)} V, {origin}."
    signs = " On a positive ground the sign of volts is left aside." if _is_positive(harness) else ""
    return f"{asked} {charge} {under} Where they differ, all volts differ alike.{signs}"


def _is_positive(harness: Harness) -> bool:
    return harness.build.ground_side == "positive"


def answered_words(trace: Trace) -> tuple[str, ...]:
    """Say how far the trace has come already."""
    count = len(trace.answers)
    return (f"{sentence(plural(count, 'answer'))} {'is' if count == 1 else 'are'} taken in already.",) if count else ()


def ended_words(finding: Finding) -> str:
    """Say why no check is asked, in a sentence."""
    if finding.stopped:
        return f"{sentence(finding.stopped).rstrip('.')}."
    return "It is found already." if finding.group else "Nothing is left to trace."


def suspect_rows(harness: Harness, suspects: Sequence[Suspect]) -> tuple[tuple[str, str], ...]:
    """Give share and words of the likeliest suspects, and how many there are besides."""
    rows = [
        (
            share_words(one.probability),
            f"{suspect_words(harness, one)}{f'; {suspect_place(harness, one)}' if is_of_a_part(one) else ''}",
        )
        for one in suspects[:_SUSPECTS_SHOWN]
    ]
    rest = suspects[_SUSPECTS_SHOWN:]
    if rest:
        rows.append((share_words(sum(one.probability for one in rest)), plural(len(rest), "other")))
    return tuple(rows)


def share_words(share: float) -> str:
    """Say a share in hundredths: ``31 %``, ``under 1 %``."""
    return "under 1 %" if share < 0.005 else f"{100 * share:.0f} %"


def sentence(words: str) -> str:
    """Give words with a capital letter first."""
    return f"{words[:1].upper()}{words[1:]}"
