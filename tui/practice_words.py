"""What is said in practice: the complaint, the checks that are offered, the readings, and how it went."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from model.errors import AnswerError
from model.harness.harness import Harness
from model.harness.places import NO_PLACE_WORDS
from model.harness.wire_words import kind_of
from model.tracing.answer_words import outcome_words
from model.tracing.check_words import check_place, check_sentence
from model.tracing.checks import Check
from model.tracing.complaint_told import complaint_sentences
from model.tracing.fault_words import suspect_place, suspect_words
from model.tracing.named_checks import at_rest_words, named_check
from model.tracing.names import either, part_name, site_parts
from model.tracing.practice import Made, Planned, Practice, Verdict
from model.tracing.suspects import Hypothesis, Suspect
from model.words import plural

VEHICLE_WORDS = (
    "A fault is hidden here. Parts are off their ratings, and now and then a reading slips: repeat what does not fit. "
    "A wrong name is counted; try another."
)
MAY_SLIP = "Readings may slip."


def named_as_typed(practice: Practice, typed: str) -> tuple[Hypothesis, ...]:
    """Give the suspects that were typed: a part or site, and its fault where that is said.

    What a part is may stand before it, as it is said: ``fuse F5 blown``, ``wire W9``.

    Raises
    ------
    AnswerError
        Where there is none, naming what is near.
    """
    first, _, rest = typed.strip().partition(" ")
    try:
        return practice.named(first, rest)
    except AnswerError:
        if rest and first.casefold() in _kinds(practice):
            return named_as_typed(practice, rest)
        raise


def _kinds(practice: Practice) -> set[str]:
    """Give the words that say what the suspected parts are."""
    parts = practice.harness.parts
    names = {name for one in practice.suspects for name in site_parts(practice.harness, one.site) if name in parts}
    return {word for name in names for word in kind_of(parts[name]).split()}


def told_complaint(practice: Practice) -> tuple[str, ...]:
    """Tell what does not work, as a person would."""
    return complaint_sentences(practice.harness, practice.complaint, practice.condition)


def asked_sentence(practice: Practice, check: Check) -> str:
    """Ask for a check in one sentence; what is set in the complaint and is at rest in it is named too."""
    besides = at_rest_words(practice.harness, check, practice.condition)
    return check_sentence(practice.harness, check, practice.complaint.loads, besides)


def offer_words(practice: Practice, place: int) -> str:
    """Name an offered check by its place among them, counted from 0."""
    return named_check(practice.harness, practice.offered[place], practice.condition)


def offers_by_place(practice: Practice) -> dict[str, list[int]]:
    """Map each place in words to the checks that are made there, counted from 0."""
    found: dict[str, list[int]] = {}
    for number, check in enumerate(practice.offered):
        found.setdefault(check_place(practice.harness, check) or NO_PLACE_WORDS, []).append(number)
    return found


def made_words(practice: Practice, made: Made) -> str:
    """Say a check that was made and what came of it."""
    return f"{named_check(practice.harness, made.check, practice.condition)}: {outcome_words(made.check, made.outcome)}"


def hypothesis_words(harness: Harness, one: Hypothesis) -> str:
    """Say what a suspect is."""
    return suspect_words(harness, Suspect(one.site, one.fault, one.partner, 0.0))


def verdict_sentences(practice: Practice, verdict: Verdict) -> Iterator[str]:
    """Say whether it was named right, and what was hidden."""
    harness, hidden = practice.harness, practice.hidden
    words, place = hypothesis_words(harness, hidden), suspect_place(harness, Suspect(hidden.site, "", "", 0.0))
    truth = f"It was {words}, {place}."
    if verdict.is_alike:
        named = _named(harness, verdict.named)
        yield f"Right: no check in reach tells {named} from what was hidden. {truth}"
        return
    if verdict.is_right:
        yield f"Right. {truth}"
        return
    if not verdict.named:
        yield truth
        return
    if verdict.is_effect:
        yield f"{_named(harness, verdict.named)}: so it is, but something blew it. {truth}"
        return
    yield f"No: not {_named(harness, verdict.named)}. {truth}"


def wrong_sentence(practice: Practice, verdict: Verdict) -> str:
    """Say that something was named wrong, and that it goes on."""
    named, count = _named(practice.harness, verdict.named), plural(practice.wrong_names, "wrong name")
    if verdict.is_effect:
        return f"{named[:1].upper()}{named[1:]}: so it is, but something blew it. Look on; {count} so far."
    return f"No: not {named}. Look on; {count} so far."


def _named(harness: Harness, named: Sequence[Hypothesis]) -> str:
    """Name one suspect in full, several by their parts."""
    if len(named) == 1:
        return hypothesis_words(harness, named[0])
    return either(dict.fromkeys(part_name(harness, site_parts(harness, one.site)[0]) for one in named), "and")


def compared_sentences(practice: Practice, planned: Planned) -> Iterator[str]:
    """Say what the person and the plan needed, and the plan's checks."""
    counted = ((practice.hints, "hint"), (practice.wrong_names, "wrong name"))
    more = " and ".join(plural(count, word) for count, word in counted if count)
    yield f"You: {_work(practice.steps, practice.minutes)}{f', with {more}' if more else ''}."
    yield f"The plan on the same vehicle: {_work(planned.steps, planned.minutes)}."
    yield from (f"{number}. {made_words(practice, one)}." for number, one in enumerate(planned.made, 1))
    missed = "" if planned.found else " That is not what was hidden: a slip misleads the plan as well."
    yield f"The plan ends with: {planned.sentence.rstrip('.')}.{missed}"
    yield "Minutes are judgement, by the same rules for both."


def seed_sentence(practice: Practice) -> str:
    """Say how to have the same again."""
    return f"The same fault again: --seed {practice.seed}."


def _work(steps: int, minutes: float) -> str:
    return f"{plural(steps, 'check')}, about {plural(round(minutes), 'minute')}"
