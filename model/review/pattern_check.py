"""A new circuit tried out: the harness with its rows is solved and held against what was asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from model.circuit.bench import Bench
from model.harness.applied_changes import AddRow
from model.harness.harness import ROW_TYPES, Element, Harness, all_elements
from model.review.defects.drop import lost_on_the_way
from model.review.finding import Finding, Gravity
from model.review.findings import find_all
from model.review.key_feeds import Feed, LoadFeeds, key_feeds
from model.review.review_scene import ReviewScene
from model.tracing.working import working_condition

_WORKS = frozenset({Feed.AT_REST, Feed.FED})
_GRAVITIES = tuple(Gravity)
_SOLVED_AT_MOST = 60
"""A load that nothing feeds in so many settings is taken as not fed: a proposal is to be there at once."""


@dataclass(frozen=True, slots=True)
class Working:
    """In which key states an element of the new circuit works, beside those asked for.

    Attributes
    ----------
    feeds
        Key state → how it stands there.
    settings
        What is moved by hand for it, as solved; empty where nothing is.
    lost_volts
        Lost out and back in the first key state in which it works; None where that cannot be told.
    """

    name: str
    asked: tuple[str, ...]
    works_in: tuple[str, ...]
    feeds: dict[str, Feed]
    settings: dict[str, str]
    lost_volts: float | None

    @property
    def is_as_asked(self) -> bool:
        """Tell whether it works in the key states asked for and in no others."""
        return self.asked == self.works_in


def with_rows(harness: Harness, rows: Iterable[AddRow]) -> Harness:
    """Give a harness with rows added at the ends of their tables.

    Raises
    ------
    pydantic.ValidationError
        Where a row is none of its table.
    """
    tables: dict[str, Any] = {}
    for one in rows:
        record = ROW_TYPES[one.table].model_validate(one.row)  # type: ignore[attr-defined]
        tables[one.table] = (*tables.get(one.table, getattr(harness, one.table)), record)
    return replace(harness, **tables)


def workings(scene: ReviewScene, asked: dict[str, tuple[str, ...]]) -> tuple[Working, ...]:
    """Tell in which key states elements work.

    Parameters
    ----------
    asked
        Name of an element → the key states asked for.
    """
    return tuple(
        _working(scene, one, asked[one.element.name])
        for one in key_feeds(scene.bench, scene.sweep)
        if one.element.name in asked
    )


def _working(scene: ReviewScene, load: LoadFeeds, asked: tuple[str, ...]) -> Working:
    element, feeds = load.element, {one.key: one.feed for one in load.keys}
    found = working_condition(scene.bench, element)
    conditions = [one.condition for one in load.keys if one.feed in _WORKS and one.condition is not None]
    conditions = [found.condition] if found.reached else conditions
    lost = lost_on_the_way(scene, scene.bench.survey(conditions[0]), element) if conditions else None
    settings = {name: value for name, value in found.condition.settings if name != element.part_id}
    works_in = tuple(key for key in scene.harness.key_names if feeds[key] in _WORKS)
    return Working(
        element.name,
        asked,
        works_in,
        feeds,
        settings if found.reached else {},
        lost.volts if lost is not None else None,
    )


def new_elements(before: Harness, after: Harness) -> tuple[Element, ...]:
    """List the elements of one harness that another does not have yet."""
    known = {element.name for element in all_elements(before)}
    return tuple(element for element in all_elements(after) if element.name not in known)


def new_findings(before: Bench, after: Bench) -> tuple[Finding, ...]:
    """List the findings that a loom has and did not have, or has graver than before.

    A finding counts as had where one of the same rule, no less grave, tells of the part that it begins with.
    """
    had = _kept_findings(before)
    return tuple(one for one in find_all(after) if not any(_is_same(one, other) for other in had))


@lru_cache(maxsize=2)
def _kept_findings(bench: Bench) -> tuple[Finding, ...]:
    return find_all(bench)


def _is_same(one: Finding, other: Finding) -> bool:
    if one.rule is not other.rule or _GRAVITIES.index(other.gravity) > _GRAVITIES.index(one.gravity):
        return False
    return one.part_ids[0] in other.part_ids
