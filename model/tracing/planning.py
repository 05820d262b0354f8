"""The next check: the one that tells most about repairs for the minutes it takes from here."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.harness.records import Wire
from model.tracing.asking import Offered
from model.tracing.belief import Belief
from model.tracing.checks import Check, CheckKind
from model.tracing.choose import Ranked, ranked
from model.tracing.confirm import confirming
from model.tracing.costs import Standing
from model.tracing.ending import MOSTLY_SHARE, NO_WORKS, few_wires_left, weak_answers
from model.tracing.folding import Fold, battery_posts, target_of
from model.tracing.foregone import is_foregone
from model.tracing.inquiry import Inquiry
from model.tracing.repeating import as_asked, told_nothing_twice
from model.tracing.suspects import UNKNOWN
from model.tracing.works import works_of

TELLS_BITS = 0.02
"""A check that is expected to tell less than this is not worth asking; judgement."""

TELLS_BITS_A_MINUTE = 0.02
"""Nor is one that tells less than this a minute: what is left is told together then; judgement."""

ASKING_MINUTES = 0.6
"""What reading and answering one more question counts beside its own minutes when checks are compared; judgement."""

OFF_WAY_MINUTES = 0.5
"""What finding a point that is on no way of the load counts besides: it is not on the walk before one; judgement."""

_ON_NO_LIST = (*NO_WORKS, UNKNOWN)


@dataclass(frozen=True, eq=False)
class Plan:
    """The checks that can be made, in the order in which they are best offered.

    Attributes
    ----------
    ranked
        Empty where none can be made.
    shares
        Of each that can be made, what it could bring: shape (outcomes, rows).
    rows
        Shape (rows,), the shares by which they were compared.
    owner
        Shape (rows,), the hypothesis of each row.
    off_way
        Readings at points that are on no way of the load.
    left_to_repair
        Looks along wires that the repair begins with anyway: where such a look comes first, nothing more is asked.
    put_off
        Such looks before that: what else can be told is told first.
    as_asked
        Checks in whose place one that told nothing is asked once more, as it was.
    confirms
        The place among `ranked` of the check that most surely lets the trace end; None where none is likely to.
    """

    checks: tuple[Check, ...]
    ranked: tuple[Ranked, ...]
    shares: tuple[FloatArray, ...]
    rows: FloatArray
    owner: IntArray
    off_way: frozenset[Check] = frozenset()
    left_to_repair: frozenset[Check] = frozenset()
    put_off: frozenset[Check] = frozenset()
    as_asked: Mapping[Check, Check] = field(default_factory=dict)
    confirms: int | None = None

    def offered(self) -> tuple[Offered, ...]:
        """List what can be made."""
        return tuple(
            Offered(check, one.gain_bits, one.minutes - asking_minutes(check, self.off_way))
            for one in self.ranked
            for check in (self.checks[one.option],)
        )

    @cached_property
    def best(self) -> Check | None:
        """The check that is asked for; None where none tells enough, or every answer of those that do is foregone."""
        worth = ((one, shares) for one, shares in zip(self.ranked, self.shares, strict=True) if _is_worth_asking(one))
        confirms = None if self.confirms is None else self.ranked[self.confirms]
        first = confirms or next((one for one, shares in worth if self._may_be_asked(one, shares)), None)
        check = None if first is None else self.checks[first.option]
        return None if check is None or check in self.left_to_repair else self.as_asked.get(check, check)

    def _may_be_asked(self, one: Ranked, shares: FloatArray) -> bool:
        is_put_off = self.checks[one.option] in self.put_off
        return not is_put_off and not is_foregone(one.gain_bits, self.rows, self.owner, shares)


def _is_worth_asking(one: Ranked) -> bool:
    return one.gain_bits >= TELLS_BITS and one.worth >= TELLS_BITS_A_MINUTE


def asking_minutes(check: Check, off_way: Collection[Check]) -> float:
    """Give what a question counts beside its own minutes."""
    return ASKING_MINUTES + (OFF_WAY_MINUTES if check in off_way else 0.0)


class _Costing:
    """What checks cost from where one stands; those that cannot be made take for ever."""

    def __init__(self, inquiry: Inquiry, places: tuple[int, ...], may: list[bool]) -> None:
        self._priced = inquiry.costs.priced(inquiry.checks)
        self._places = places
        self._asking = [
            asking_minutes(inquiry.checks[place], inquiry.off_way) if is_in else math.inf
            for place, is_in in zip(places, may, strict=True)
        ]

    def minutes(self, option: int, state: Standing) -> float:
        return self._asking[option] + self._priced.minutes(self._places[option], state)

    def after(self, option: int, state: Standing) -> Standing:
        return self._priced.after(self._places[option], state)


def plan_of(
    inquiry: Inquiry, belief: Belief, state: Fold, *, looks_at_all: bool = False, doubts_all: bool = False
) -> Plan:
    """Rank the checks of an inquiry after the answers so far.

    Where a likely group hangs on one answer alone, checks are ranked as if that had not been given: the one comes first
    that would say the same without it.

    Parameters
    ----------
    looks_at_all
        True where every circuit is looked at, however long that takes: before a trace ends for want of a check.
    doubts_all
        True where that the file or the complaint is untrue, or a part's fault on no list, counts like any suspect.
    """
    works, _ = works_of(belief)
    options = inquiry.options_for(belief, None if looks_at_all else len(state.answers))
    checks = tuple(inquiry.checks[place] for place in options.places)
    done = {one.check for one in state.answers} | state.unsure | told_nothing_twice(state, checks)
    posts = battery_posts(inquiry.harness)
    may = [check not in done and target_of(check, posts) not in state.out_of_reach for check in checks]
    costing = _Costing(inquiry, options.places, may)

    def nearer(option: int) -> tuple[object, ...]:
        return order_of(checks[option])

    weak = weak_answers(belief)
    rows = belief.without(weak[0]) if weak else belief.rows
    weights = rows if doubts_all else _of_works(belief, rows, works)
    found = ranked(weights, works[belief.field.owner], options.table, costing, state.standing, nearer=nearer)
    outcomes = tuple(options.table.options[one.option].shares for one in found)
    looks = _looks_along(inquiry, checks) if few_wires_left(belief, MOSTLY_SHARE) else frozenset()
    sorts = (looks, frozenset[Check]()) if few_wires_left(belief) else (frozenset[Check](), looks)
    again = as_asked(state, checks, inquiry.costs)
    confirms = confirming(belief, weak, found, outcomes)
    return Plan(checks, tuple(found), outcomes, weights, belief.field.owner, inquiry.off_way, *sorts, again, confirms)


def _of_works(belief: Belief, rows: FloatArray, works: IntArray) -> FloatArray:
    """Give the shares by which checks are compared: of the faults on the list, while these are to be told apart.

    That the complaint or the file is untrue, or that a part has a fault on no list, counts only once it is what chiefly
    stands against the leading work. Before that a check that every suspect foresees alike would seem to tell something,
    for it tells them from what foresees nothing, and being cheap it would come first.
    """
    is_work = np.array([one.fault not in _ON_NO_LIST for one in belief.field.hypotheses])[belief.field.owner]
    masses = np.bincount(works[belief.field.owner], np.where(is_work, rows, 0.0))
    of_works, leading = float(masses.sum()), float(masses.max())
    others = float(rows.sum()) - of_works
    return rows if others >= of_works - leading else np.where(is_work, rows, 0.0)


def _looks_along(inquiry: Inquiry, checks: tuple[Check, ...]) -> frozenset[Check]:
    """Give the looks along wires."""
    parts = inquiry.harness.parts
    return frozenset(one for one in checks if one.kind is CheckKind.LOOK and isinstance(parts.get(one.part), Wire))


def order_of(check: Check) -> tuple[object, ...]:
    """Give a key that sorts checks by name."""
    condition = check.condition
    names = (check.red, check.black, check.part, check.load, check.other)
    return str(check.kind), names, condition.key, condition.settings


def socket_readings(plan: Plan, check: Check) -> tuple[Check, ...]:
    """Give the other readings of the relay-out test that a check begins; none where it is none.

    They are the volts at the other terminals of the relay that is out, in the same condition; those that would tell
    nothing any more are left out.
    """
    relay_id = relay_out(check)
    if not relay_id:
        return ()
    telling = [plan.checks[one.option] for one in plan.ranked if one.gain_bits >= TELLS_BITS]
    return tuple(
        other
        for other in sorted(telling, key=plan.checks.index)
        if other != check and other.condition == check.condition and relay_out(other) == relay_id
    )


def relay_out(check: Check) -> str:
    """Name the relay at whose socket a check measures volts while it is out; empty of any other check."""
    if check.kind is not CheckKind.VOLTS:
        return ""
    out = [name for name, value in check.condition.settings if value == "out"]
    points = (check.red, check.black)
    return next((name for name in out if any(point.startswith(f"{name}.") for point in points)), "")
