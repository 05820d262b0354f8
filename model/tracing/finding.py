"""How a trace ends: the finding with part, place, fault, readings, repair and proof."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from model.tracing.asking import Finding
from model.tracing.belief import Belief
from model.tracing.checks import CheckKind
from model.tracing.ending import Ending
from model.tracing.folding import Fold
from model.tracing.in_doubt import rests_on_doubt
from model.tracing.inquiry import Inquiry
from model.tracing.questions import healthy_of, suspects_of
from model.tracing.repair import borrowed_steps, repair_of
from model.tracing.suspects import Suspect
from model.tracing.told_checks import told_check
from model.tracing.works import is_cure

_SAYS_SO_LOG = 0.7
_ABOUT_ZERO_VOLTS = 0.02
_BY_LEADS = (CheckKind.VOLTS, CheckKind.DROP, CheckKind.OHMS)


class Stopped(StrEnum):
    """Why a trace ends without a fault that was found."""

    CHARGE_FIRST = "charge the battery first"
    BY_HAND = "stopped"
    FILE_DIFFERS = "the readings fit no fault, nor two at once: the vehicle differs from the file"
    NOTHING_TELLS = "no check in reach tells more, and no fault on the list fits: see whether the load works now"
    NOTHING_SHOWS = (
        "no fault on the list shows this there: say in which key state, and with what switched on, it is seen"
    )
    TOO_LONG = (
        "thirty answers have not told it: look along the likeliest suspects, and trace anew when it is seen again"
    )


def finding_of(inquiry: Inquiry, belief: Belief, ending: Ending, state: Fold) -> Finding:
    """Give the finding of a trace that ended with a group."""
    shares = belief.hypotheses()
    group = tuple(
        Suspect(one.site, one.fault, one.partner, float(shares[place]))
        for place in ending.members
        for one in (belief.field.hypotheses[place],)
    )
    repair = repair_of(inquiry.bench, group, inquiry.complaint, inquiry.condition)
    borrowed = borrowed_steps(inquiry.harness, (one.check for one in belief.answers if is_cure(one)))
    healthy = healthy_of(inquiry, belief, repair.prove)
    leads = leads_words(inquiry, belief)
    return Finding(
        group=group,
        group_probability=ending.probability,
        steps=state.steps,
        minutes=state.minutes,
        sentence=repair.sentence,
        because=because_of(inquiry, belief, ending),
        repair=" ".join((*rests_on_doubt(belief, ending), *leads, *borrowed, repair.text)),
        leads=" ".join(leads),
        cautions=repair.cautions,
        prove=repair.prove,
        prove_low=healthy.low,
        prove_high=healthy.high,
        others=tuple(one for one in suspects_of(belief, 6) if one not in group),
    )


def leads_words(inquiry: Inquiry, belief: Belief) -> tuple[str, ...]:
    """Say that the leads are to be proved first, where all that was read is about zero, as with one off the meter."""
    if inquiry.complaint.posts_volts is not None:
        return ()
    read = [one for one in belief.answers if one.check.kind in _BY_LEADS]
    volts = [max(abs(one.outcome.least), abs(one.outcome.most)) for one in read if one.check.kind is not CheckKind.OHMS]
    has_ohms = any(np.isfinite(one.outcome.value) for one in read if one.check.kind is CheckKind.OHMS)
    if not volts or has_ohms or max(volts) > _ABOUT_ZERO_VOLTS:
        return ()
    return (
        "All volts read are about zero, as with a lead off the meter: touch the battery posts with the same leads "
        "first; where they do not read their volts there, nothing is found yet.",
    )


def stopped_finding(belief: Belief | None, state: Fold, why: Stopped | None) -> Finding:
    """Give the end of a trace without a group, and why; None where all works again."""
    others = () if belief is None else suspects_of(belief, 6)
    return Finding((), 0.0, state.steps, state.minutes, stopped=str(why or ""), others=others)


def because_of(inquiry: Inquiry, belief: Belief, ending: Ending) -> tuple[str, ...]:
    """Give the answers that speak for a group against all others, in words; where none does much, all of them."""
    inside = np.isin(belief.field.owner, np.array(ending.members))
    telling: list[str] = []
    every: list[str] = []
    for place, one in enumerate(belief.answers):
        before = belief.without(place)
        likely = np.exp(belief.logs[place] - belief.logs[place].max())
        within = _mean(likely, before * inside)
        beyond = _mean(likely, before * ~inside)
        words = told_check(one.check, one.outcome)
        every.append(words)
        if np.log(within + 1e-9) - np.log(beyond + 1e-9) > _SAYS_SO_LOG:
            telling.append(words)
    return tuple(telling or every)


def _mean(values: np.ndarray, weights: np.ndarray) -> float:
    total = float(weights.sum())
    return float((values * weights).sum()) / total if total > 0 else 0.0
