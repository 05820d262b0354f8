"""When a trace ends, and with which group of suspects."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.harness.records import Wire
from model.tracing.belief import Belief
from model.tracing.bounded import is_bounded
from model.tracing.foregone import IN_PLAY_SHARE
from model.tracing.suspects import NOT_SHOWN, RECORD, UNKNOWN
from model.tracing.works import is_cure, works_of

SURE_SHARE = 0.99
LIKELY_SHARE = 0.95
STRUCK_SHARE = 0.60
"""A group of 95 % ends a trace where it still has this much with any one reading struck."""

TELLS_APART = 0.5
"""Two suspects whose outcomes differ less than this (total variation) in every check are not told apart by any."""

MOSTLY_SHARE = 0.8
"""Where a few wires hold this much, looking along them is put off: what else is left is told from them first."""

FOLLOWED_WIRES = 4
"""So many wires at most are named together, to be followed one after another; judgement."""

NO_WORKS = (RECORD, NOT_SHOWN)
"""What names no work on a part: that the file or the complaint is untrue."""

_IN_GROUP_SHARE = 0.005
_IN_PLAY_SHARE = 1e-3
_LOOKED_AT_MOST = 60
_GROUP_AT_MOST = 24


@dataclass(frozen=True, slots=True)
class Ending:
    """A group that a trace may end with.

    Attributes
    ----------
    members
        Places of its hypotheses, the likeliest first.
    probability
        Their share together.
    """

    members: tuple[int, ...]
    probability: float


def settled_group(belief: Belief, shares: Sequence[FloatArray]) -> Ending | None:
    """Give the group of one work that ends the trace; None while none is sure enough.

    It must hold 99 %, or 95 % and still 60 % with any one reading struck, so that no single slip decides; or 95 % where
    nothing else is left and readings bound it on both sides: what could yet be asked would only repeat them. Suspects
    that no check tells from the likeliest one belong to it.

    Parameters
    ----------
    shares
        Of every check that can be made: shape (outcomes, rows).
    """
    best, share = _leading(belief)
    if best is None or share < LIKELY_SHARE:
        return None
    if share < SURE_SHARE and weak_answers(belief) and not _is_alone_and_bounded(belief, best):
        return None
    heavy = _heavy(belief)
    return _named(belief, _ending(belief, {best, *_alike(belief, shares, heavy)}))


def _is_alone_and_bounded(belief: Belief, best: int) -> bool:
    """Tell whether no other work than the leading one is in play, and readings bound its likeliest fault."""
    works, names = works_of(belief)
    shares = belief.hypotheses()
    others = np.bincount(works, shares, len(names))
    others[best] = 0.0
    if others.max() >= IN_PLAY_SHARE:
        return False
    likeliest = int(np.argmax(np.where(works == best, shares, 0.0)))
    return is_bounded(belief, belief.field.hypotheses[likeliest])


def weak_answers(belief: Belief) -> list[int]:
    """Give the places of the answers on each of which a likely group hangs alone: without it that has under 60 %.

    The one without which it has least comes first; none where no group is likely yet. That another relay cured it is
    seen, not read.
    """
    best, share = _leading(belief)
    if best is None or share < LIKELY_SHARE:
        return []
    is_best = _rows_of(belief, best)
    struck = {
        place: float(belief.without(place)[is_best].sum())
        for place, one in enumerate(belief.answers)
        if not one.given and not is_cure(one)
    }
    return sorted((place for place in struck if struck[place] < STRUCK_SHARE), key=lambda place: struck[place])


def leading_rows(belief: Belief) -> BoolArray:
    """Tell of each row whether it is of the work that leads, shape (rows,); of none where that is no work on a part."""
    best, _ = _leading(belief)
    return np.zeros(belief.field.count, dtype=np.bool_) if best is None else _rows_of(belief, best)


def _rows_of(belief: Belief, number: int) -> BoolArray:
    works, _ = works_of(belief)
    return np.asarray(works[belief.field.owner] == number)


def _leading(belief: Belief) -> tuple[int | None, float]:
    """Give the number of the work that leads and its share; None in place of what is no work on a part."""
    works, names = works_of(belief)
    shares = np.bincount(works, belief.hypotheses(), len(names))
    best = int(np.argmax(shares))
    return (None if names[best] in NO_WORKS else best), float(shares[best])


def _ending(belief: Belief, numbers: Collection[int]) -> Ending:
    works, _ = works_of(belief)
    shares = belief.hypotheses()
    members = [place for place in np.argsort(-shares, kind="stable").tolist() if works[place] in numbers]
    total = sum(float(shares[place]) for place in members)
    kept = [place for place in members if shares[place] >= _IN_GROUP_SHARE * total] or members[:1]
    return Ending(tuple(kept), total)


def untold_group(belief: Belief, shares: Sequence[FloatArray]) -> Ending | None:
    """Give the group of suspects that no check tells from the likeliest one; None where that is still no end.

    Parameters
    ----------
    shares
        Of every check that can be made: shape (outcomes, rows).

    Notes
    -----
    Suspects with the same work as one of the group belong to it. The group must hold 95 %; where those like the
    likeliest hold less, the next likeliest are taken in, since no check that is left tells enough to part them.
    """
    heavy = _heavy(belief)
    if not heavy or belief.field.hypotheses[heavy[0]].fault in NO_WORKS:
        return None
    ending = _ending(belief, _alike(belief, shares, heavy))
    if ending.probability < LIKELY_SHARE:
        ending = _ending(belief, _heaviest(belief))
    is_end = ending.probability >= LIKELY_SHARE and len(ending.members) <= _GROUP_AT_MOST
    return _named(belief, ending) if is_end else None


def _named(belief: Belief, ending: Ending) -> Ending | None:
    """Give an ending that names a fault; None of one whose likeliest member is a fault that is on no list."""
    return None if belief.field.hypotheses[ending.members[0]].fault == UNKNOWN else ending


def _heavy(belief: Belief) -> list[int]:
    """List the places of the hypotheses in play, the likeliest first."""
    shares = belief.hypotheses()
    order = np.argsort(-shares, kind="stable").tolist()
    return [place for place in order if shares[place] > _IN_PLAY_SHARE][:_LOOKED_AT_MOST]


def _alike(belief: Belief, shares: Sequence[FloatArray], heavy: list[int]) -> set[int]:
    """Give the numbers of the works of the suspects that no check tells from the likeliest one."""
    apart = _greatest_difference(belief, shares, heavy)
    works, names = works_of(belief)
    close = {int(works[place]) for place, far in zip(heavy, apart, strict=True) if far < TELLS_APART}
    return {number for number in close if names[number] not in NO_WORKS}


def _heaviest(belief: Belief, least_share: float = LIKELY_SHARE) -> tuple[int, ...]:
    """Give the numbers of the likeliest works that together hold enough, the likeliest first; for an end by default."""
    works, names = works_of(belief)
    shares = np.bincount(works, belief.hypotheses(), len(names))
    found: list[int] = []
    total = 0.0
    for number in np.argsort(-shares, kind="stable").tolist():
        if total >= least_share or shares[number] <= _IN_PLAY_SHARE:
            break
        if names[number] not in NO_WORKS:
            found.append(number)
            total += float(shares[number])
    return tuple(found)


def few_wires_left(belief: Belief, least_share: float = LIKELY_SHARE) -> bool:
    """Tell whether a few wires alone hold enough, for an end by default, none of them by one answer alone.

    To look along a wire is how its repair begins: a finding that names the wires, the likeliest first, leads to the
    same looks as one question after another would.
    """
    if weak_answers(belief):
        return False
    works, names = works_of(belief)
    parts = belief.foresight.bench.harness.parts
    likeliest = _heaviest(belief, least_share)
    share = float(belief.hypotheses()[np.isin(works, likeliest)].sum())
    is_few = 0 < len(likeliest) <= FOLLOWED_WIRES
    return is_few and share >= least_share and all(isinstance(parts.get(names[one]), Wire) for one in likeliest)


def _greatest_difference(belief: Belief, shares: Sequence[FloatArray], heavy: list[int]) -> FloatArray:
    """Give how far each hypothesis lies from the first of them in the check that tells them apart best."""
    mixed = _row_shares(belief, heavy)
    farthest = np.zeros(len(heavy))
    for outcomes in shares:
        each = outcomes @ mixed
        farthest = np.maximum(farthest, 0.5 * np.abs(each - each[:, :1]).sum(axis=0))
    return farthest


def _row_shares(belief: Belief, heavy: list[int]) -> FloatArray:
    """Give how each of some hypotheses is spread over its rows, shape (rows, hypotheses); columns sum to 1."""
    spread = np.zeros((belief.field.count, len(heavy)))
    for column, place in enumerate(heavy):
        rows: IntArray = np.flatnonzero(belief.field.owner == place)
        part = belief.rows[rows]
        spread[rows, column] = part / part.sum() if part.sum() > 0 else 1.0 / len(rows)
    return spread
