"""Two faults at once: thought of where no single one explains the readings, the likeliest pairs first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import islice

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import Check, CheckKind
from model.tracing.field import Field, complained_field
from model.tracing.foresee import Foresight
from model.tracing.foresee_joined import JoinedForesight
from model.tracing.hypotheses import pair_of
from model.tracing.inquiry import Couple, Inquiry, circuit_of
from model.tracing.suspects import Hypothesis

PAIRS_AT_ONCE = 300
"""So many pairs are solved together; no more while one of them explains the readings."""

ROUNDS_AT_MOST = 2
"""Nor more than twice as many for one question."""

CIRCUITS_AT_MOST = 12
"""And fewer where the answers were taken in so many circuits that this many would be solved."""

_EXPLAINS_SHARE = 1e-4
_KEPT_AT_MOST = 100
_MAY_EXPLAIN_SHARE = 1e-6
_HALF_WAY_AT_MOST = 60


def with_pairs(inquiry: Inquiry, answers: Sequence[Evidence], new_fuses: frozenset[str], *, counted: int) -> Inquiry:
    """Give the same inquiry with two faults at once thought of beside the single ones.

    Parameters
    ----------
    inquiry
        Of single faults, or with pairs already: then of more.
    answers
        What has been answered, what was said before the first check among it.
    new_fuses
        Fuses that have been put in new, and held, by now.
    counted
        How many answers of the trace there are by now.

    Notes
    -----
    Of the pairs those stay that explain the answers; all single faults stay. Those pairs are solved first of which one
    fault or the other explains each answer best.
    """
    single = inquiry.single or inquiry
    found, tried = inquiry.pairs, inquiry.tried
    weigh = partial(Belief, answers=answers, posts_volts=inquiry.posts_volts, new_fuses=new_fuses)
    before = tried
    left = (one for one in _likeliest_first(weigh(single.foresight)) if one[0] not in before)
    circuits = len({(circuit_of(one.check, inquiry.condition), one.new_fuses) for one in answers})
    for _ in range(min(ROUNDS_AT_MOST, max(1, CIRCUITS_AT_MOST // max(circuits, 1)))):
        some = dict(islice(left, PAIRS_AT_ONCE))
        if not some:
            break
        tried |= some.keys()
        made = tuple(some.values())
        more = complained_field(single.bench, single.complaint, single.condition, made, single.field.points)
        every = more if found is None else found.joined(more)
        if circuits > 1:
            every = _half_way(single, every, answers)
        belief = weigh(_beside(single, every))
        shares = belief.rows[single.field.solved :][: every.solved]
        found = every.only(_heaviest(shares, _KEPT_AT_MOST, _EXPLAINS_SHARE))
        if not belief.fits_badly():
            break
    if found is None or tried == inquiry.tried:
        return inquiry
    suspected = (*single.hypotheses, *(one for one in found.hypotheses if one.is_pair))
    return replace(
        inquiry,
        hypotheses=suspected,
        foresight=_beside(single, found) if found.solved else single.foresight,
        single=single,
        pairs=found,
        tried=tried,
        counted=counted,
    )


def _beside(single: Inquiry, more: Field) -> JoinedForesight:
    foresight = Foresight(single.bench, single.complaint, more)
    return JoinedForesight(single.foresight, foresight, single.field.joined(more))


def _half_way(single: Inquiry, every: Field, answers: Sequence[Evidence]) -> Field:
    """Give the pairs that explain what was answered in the complaint's own circuit; no others are solved further."""
    own = circuit_of(Check(CheckKind.LOOK, single.condition), single.condition)
    near = [one for one in answers if circuit_of(one.check, single.condition) == own and not one.new_fuses]
    shares = Belief(_beside(single, every), near, single.posts_volts).rows[single.field.solved :][: every.solved]
    return every.only(_heaviest(shares, _HALF_WAY_AT_MOST, _MAY_EXPLAIN_SHARE))


def _heaviest(shares: FloatArray, most: int, least_share: float) -> IntArray:
    """Give the places of the heaviest shares, rising."""
    heaviest = np.argsort(-shares, kind="stable")[:most]
    return np.sort(heaviest[shares[heaviest] > least_share])


def _likeliest_first(belief: Belief) -> Iterator[tuple[Couple, Hypothesis]]:
    """Give pairs of single faults by what they would be worth, did each answer hang on one of them alone.

    An answer is taken to be as likely under a pair as under that of the two which explains it better.
    """
    every = belief.field.hypotheses
    places = [place for place, one in enumerate(every) if one.ways]
    singles = [every[place] for place in places]
    logs = np.full((len(every), len(belief.logs)), -np.inf)
    np.maximum.at(logs, belief.field.owner, belief.logs.T)
    worth = np.add.outer(*[np.log([one.weight for one in singles])] * 2)
    for likely in logs[places].T:
        worth += np.maximum.outer(likely, likely)
    _, site = np.unique([one.site for one in singles], return_inverse=True)
    first, second = np.nonzero(np.triu(site[:, None] != site))
    for at in np.argsort(-worth[first, second], kind="stable").tolist():
        one, other = singles[first[at]], singles[second[at]]
        yield frozenset((one.name, other.name)), pair_of(one, other)
