"""Replies taken one after another: which answers count, what is out of reach, where one stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.tracing.asking import (
    Also,
    Change,
    NoHelper,
    Reached,
    Read,
    Repaired,
    Reply,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.checks import Check, CheckKind, Outcome, Word
from model.tracing.costs import Costs, Standing

Target = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Event:
    """A reply, and what was asked when it came.

    Attributes
    ----------
    check
        None after a finding.
    step
        Of the question.
    left
        Readings of the same step that were still to come.
    repairs
        Of a repair that did not cure: the repairs that it made.
    """

    reply: Reply
    check: Check | None
    step: int
    left: tuple[Check, ...] = ()
    repairs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Counted:
    """An answer that counts.

    Attributes
    ----------
    new_fuses
        Fuses that had been put in new, and held, when it was given.
    """

    check: Check
    outcome: Outcome
    step: int
    minutes: float
    new_fuses: frozenset[str] = frozenset()


@dataclass
class Fold:
    """Where a trace stands after its replies.

    Attributes
    ----------
    answers
        Those that count, of this round: after a repair that did not cure a new one begins.
    steps
        Steps that were taken in all rounds.
    left
        Readings of the step that is under way.
    out_of_reach
        What cannot be reached, by kind of thing and name.
    unsure
        Checks that told nothing.
    unsure_again
        Those of them that told nothing when they were made once more.
    taken
        The check that the person wants to make next.
    mended
        The repairs that were made in vain.
    """

    standing: Standing
    answers: list[Counted] = field(default_factory=list)
    steps: int = 0
    minutes: float = 0.0
    left: tuple[Check, ...] = ()
    out_of_reach: set[Target] = field(default_factory=set)
    unsure: set[Check] = field(default_factory=set)
    unsure_again: set[Check] = field(default_factory=set)
    taken: Check | None = None
    mended: tuple[str, ...] = ()
    is_stopped: bool = False
    is_cured: bool = False

    @property
    def new_fuses(self) -> frozenset[str]:
        """Fuses that were put in new in this round and held."""
        return _held(self.answers)


def fold(costs: Costs, condition: Condition, events: Sequence[Event], *, has_helper: bool) -> Fold:
    """Take replies in their order.

    Parameters
    ----------
    condition
        The one in which the complaint was seen: there the trace begins.
    """
    state = Fold(costs.start(condition, has_helper=has_helper))
    for event in events:
        _take(costs, state, event)
    # an answer that put a fuse in may have been struck or changed since
    state.answers = [replace(one, new_fuses=_held(state.answers[:place])) for place, one in enumerate(state.answers)]
    return state


def _held(answers: Sequence[Counted]) -> frozenset[str]:
    held = (one for one in answers if one.check.kind is CheckKind.NEW_FUSE and one.outcome.word is Word.HOLDS)
    return frozenset(one.check.part for one in held)


def battery_posts(harness: Harness) -> frozenset[str]:
    """Name the posts of the batteries: always in reach."""
    return frozenset(f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-")


def target_of(check: Check, posts: frozenset[str]) -> Target:
    """Name what has to be reached for a check: the point of a probe that is on no battery post, a load, or a part."""
    match check.kind:
        case CheckKind.OBSERVE:
            return "load", check.load
        case CheckKind.LOOK | CheckKind.LISTEN | CheckKind.SWAP | CheckKind.AMPS | CheckKind.NEW_FUSE:
            return str(check.kind), check.part
        case CheckKind.BRIDGE:
            return "bridge", f"{check.red} {check.black}"
        case CheckKind.LAMP if check.part:
            return "fuse", check.part
        case CheckKind.OHMS:
            return "ohms", f"{check.red} {check.black}"
    away = [point for point in (check.red, check.black) if point not in posts]
    return "point", away[0] if away else check.red


def _take(costs: Costs, state: Fold, event: Event) -> None:
    reply, check = event.reply, event.check
    match reply:
        case Read(outcome=outcome) if check is not None:
            minutes = _spend(costs, state, check)
            state.answers.append(Counted(check, outcome, event.step, minutes))
            _step(state, event)
        case Also(check=other, outcome=outcome):
            minutes = _spend(costs, state, other)
            state.answers.append(Counted(other, outcome, event.step, minutes))
            state.left = tuple(one for one in event.left if one != other)
        case Take(check=other):
            state.is_stopped = False
            state.taken, state.left = other, ()
            state.out_of_reach.discard(target_of(other, battery_posts(costs.harness)))
            state.unsure.discard(other)
            state.unsure_again.discard(other)
        case Skip() if check is not None:
            state.out_of_reach.add(target_of(check, battery_posts(costs.harness)))
            _step(state, event)
        case Unsure() if check is not None:
            _spend(costs, state, check)
            (state.unsure_again if check in state.unsure else state.unsure).add(check)
            _step(state, event)
        case NoHelper():
            state.taken, state.left = None, ()
            state.standing = replace(state.standing, has_helper=False)
        case Reached(part=part):
            state.is_stopped = False
            state.out_of_reach = {one for one in state.out_of_reach if not _belongs(one, part)}
        case Strike(place=place):
            del state.answers[place]
        case Change(place=place, outcome=outcome):
            old = state.answers[place]
            state.answers[place] = replace(old, outcome=outcome)
        case Repaired(cured=cured):
            state.is_cured = cured
            if not cured:
                state.mended = (*state.mended, *event.repairs)
                state.answers, state.left, state.taken = [], (), None
                state.unsure, state.unsure_again = set(), set()
        case Stop():
            state.is_stopped = True


def _step(state: Fold, event: Event) -> None:
    state.steps, state.left, state.taken = event.step, event.left, None


def _spend(costs: Costs, state: Fold, check: Check) -> float:
    """Count the minutes of a check that was made; whoever says that nobody can hold a switch may have found a way."""
    minutes = costs.minutes(check, replace(state.standing, has_helper=True))
    state.standing = costs.after(check, state.standing)
    state.minutes += minutes
    return minutes


def _belongs(target: Target, name: str) -> bool:
    return any(one == name or one.partition(".")[0] == name for one in target[1].split())
