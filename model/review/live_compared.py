"""Two conditions of a loom beside each other: what comes alive, what dies, what changes."""

from __future__ import annotations

from dataclasses import dataclass

from model.circuit.condition import Condition
from model.circuit.settle import Settled
from model.circuit.survey import Survey
from model.review.live_paths import LIVE_VOLTS

CHANGES_VOLTS = 0.5
"""By more than this the volts of a point that is live in both conditions are told as changed."""


@dataclass(frozen=True, slots=True)
class Change:
    """A point in both conditions; its volts are None where it floats, never rests, or is not there."""

    point: str
    before_volts: float | None
    after_volts: float | None


@dataclass(frozen=True, slots=True)
class Compared:
    """What differs between two conditions, each in the order of the file.

    Attributes
    ----------
    alive, dead
        Points that are live in the second alone, and in the first alone.
    changed
        Points live in both, by more than :data:`CHANGES_VOLTS` apart.
    restless
        Points that have no steady volts in one of them, for a relay that buzzes: to be taken as live.
    """

    before: Condition
    after: Condition
    alive: tuple[Change, ...]
    dead: tuple[Change, ...]
    changed: tuple[Change, ...]
    restless: tuple[Change, ...]


def compared(before: Survey, after: Survey) -> Compared:
    """Compare what is live in two conditions of one harness."""
    first, second = before.settled, after.settled
    names = dict.fromkeys(one.net.names[node] for one in (first, second) for node in one.point_nodes)
    alive, dead, changed, restless = [], [], [], []
    for name in names:
        change = Change(name, _volts(first, name), _volts(second, name))
        was, comes = _is_live(change.before_volts), _is_live(change.after_volts)
        if _is_restless(first, name) or _is_restless(second, name):
            restless.append(change)
        elif comes and not was:
            alive.append(change)
        elif was and not comes:
            dead.append(change)
        elif was and abs((change.after_volts or 0.0) - (change.before_volts or 0.0)) > CHANGES_VOLTS:
            changed.append(change)
    return Compared(first.condition, second.condition, *map(tuple, (alive, dead, changed, restless)))


def _volts(settled: Settled, name: str) -> float | None:
    return settled.volts_at(name) if name in settled.net.index else None


def _is_live(volts: float | None) -> bool:
    return volts is not None and abs(volts) > LIVE_VOLTS


def _is_restless(settled: Settled, name: str) -> bool:
    return settled.net.index.get(name) in settled.unsettled
