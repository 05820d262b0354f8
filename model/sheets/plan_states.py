"""Key and settings of the rows of a plan in words: what holds for all of them said once, many alike said together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial

from model.circuit.condition import APART, OUT, Condition
from model.harness.fields import Part
from model.harness.harness import Harness
from model.plans.plan import Plan, PlanRow
from model.tracing.condition_words import held_words, key_words, settings_words
from model.tracing.names import either, id_and_label

_TOGETHER_FROM = 4
"""So many settings alike are said in one phrase."""

_NEARLY_ALL = 4
"""Where at most so many of a kind are not set, those are named with their labels."""


@dataclass(frozen=True, slots=True)
class _Alike:
    """A kind of setting that often stands for every part of its kind."""

    parts: Callable[[Harness], Iterable[Part]]
    value: str
    kind: str
    does: str


_ALIKE = (
    _Alike(lambda harness: harness.fuses, OUT, "fuse", "out"),
    _Alike(lambda harness: harness.relays, OUT, "relay", "out of its socket"),
    _Alike(lambda harness: harness.connectors, APART, "plug", "apart"),
    _Alike(lambda harness: harness.loads, OUT, "load", "unplugged"),
    _Alike(lambda harness: harness.modules, OUT, "control unit", "unplugged"),
)


def shared_settings(harness: Harness, plan: Plan) -> frozenset[tuple[str, str]]:
    """Give the settings that every row of a plan has, but for kinds of which many are set and not always the same.

    Of those each row says all, so that it reads ``every fuse out but F3``.
    """
    rows = [frozenset(row.condition.by_name.items()) for row in plan.rows]
    if not rows:
        return frozenset()
    shared = frozenset.intersection(*rows)
    several = frozenset.union(*rows)
    for alike in _ALIKE:
        every = {(part.id, alike.value) for part in alike.parts(harness)}
        if shared & every != several & every and len(several & every) >= _TOGETHER_FROM:
            shared -= every
    return shared


def shared_words(harness: Harness, plan: Plan) -> str:
    """Say in what all rows of a plan are alike: the key where it is always the same, and every setting in common.

    Of a continuity plan the state of the loom says the settings.
    """
    if not plan.rows:
        return ""
    common = shared_settings(harness, plan)
    first = plan.rows[0].condition
    condition = Condition(first.key, tuple(pair for pair in first.by_name.items() if pair in common))
    said = [] if has_several_keys(plan) or plan.state is not None else [key_words(harness, condition)]
    said += [] if plan.state is not None else together(harness, condition, ())
    return ", ".join(word for word in said if word)


def has_several_keys(plan: Plan) -> bool:
    """Tell whether the key is turned within a plan."""
    return len({row.condition.key for row in plan.rows}) > 1


def words_beyond(harness: Harness, row: PlanRow, shared: frozenset[tuple[str, str]], *, has_own_key: bool) -> str:
    """Say the condition of a row beyond what all rows share; empty where it is just that.

    Parameters
    ----------
    shared
        Of :func:`shared_settings`.
    has_own_key
        Whether the key state is to be said.
    """
    own = tuple(pair for pair in row.condition.by_name.items() if pair not in shared)
    condition = Condition(row.condition.key, own)
    said = [key_words(harness, condition), held_words(harness, condition, row.points)] if has_own_key else []
    said += together(harness, condition, row.points)
    return ", ".join(word for word in said if word)


def together(harness: Harness, condition: Condition, points: tuple[str, ...]) -> list[str]:
    """Say each setting, many of one kind in one phrase: ``every fuse out but F3``."""
    left = condition
    phrases: list[str] = []
    if len(condition.settings) < _TOGETHER_FROM:
        return list(settings_words(harness, condition, points))
    for alike in _ALIKE:
        every = [part.id for part in alike.parts(harness)]
        chosen = {name: None for name in every if left.by_name.get(name) == alike.value}
        if len(chosen) < _TOGETHER_FROM:
            continue
        phrases.append(_phrase(harness, alike, every, chosen))
        left = Condition(left.key, tuple(pair for pair in left.settings if pair[0] not in chosen))
    return [*phrases, *settings_words(harness, left, points)]


def _phrase(harness: Harness, alike: _Alike, every: list[str], chosen: Mapping[str, None]) -> str:
    name = partial(id_and_label, harness)
    rest = [part for part in every if part not in chosen]
    if not rest:
        return f"every {alike.kind} {alike.does}"
    if len(rest) <= _NEARLY_ALL:
        return f"every {alike.kind} {alike.does} but {either(map(name, rest), 'and')}"
    if len(rest) < len(chosen):
        return f"every {alike.kind} {alike.does} but {either(rest, 'and')}"
    return f"{alike.kind}s {', '.join(chosen)} {alike.does}"
