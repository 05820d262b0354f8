"""Loads that share a ground, all on together: how far the ground that they share is lifted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from model.cautions import cautions_for, crank_keys
from model.circuit.bands import Band
from model.circuit.condition import Condition
from model.circuit.survey import LoadState
from model.harness.harness import Element
from model.harness.hazards import may_be_probed
from model.harness.places import point_place
from model.harness.points import all_points
from model.plans.load_keys import works_in
from model.plans.load_limits import LAMPS_AND_MOTORS, lifted_limit
from model.plans.load_rows import beyond_limit, engine_off_only, load_name, settings_key
from model.plans.load_scene import LoadScene
from model.plans.plan import Measure, PlanRow
from model.tracing.names import point_name
from model.words import clean

LIFTED_VOLTS = 0.1
"""A shared ground that a sound loom lifts by less is left out, at 12 V."""

_RULE_VOLTS = 12.0
_NAMED_AT_MOST = 6


def together_rows(scene: LoadScene) -> Iterator[PlanRow]:
    """Give a row for each shared ground that all its loads together lift by more than 0.1 V at 12 V.

    The loads are those that can be on together: each is set as it works alone where no load before it stands in the
    way. Of points one behind another the farthest from the post counts, since it is lifted most.
    """
    key = _fullest_key(scene)
    if key is not None:
        yield from _rows_in(scene, key)


def _fullest_key(scene: LoadScene) -> str | None:
    """Name the key state in which most loads work, cranking and the engine running aside; None where there is none."""
    charging = {state.name for state in scene.harness.key_states if state.charging}
    keys = [key for key in scene.harness.key_names if key not in crank_keys(scene.harness) | charging]
    return max(keys, key=lambda key: len(_working_in(scene, key)), default=None)


def _working_in(scene: LoadScene, key: str) -> list[Element]:
    """List the elements that work in a key state with the switches of their own working condition."""
    found = []
    for element in scene.elements:
        working = scene.working(element)
        if not working.reached or engine_off_only(scene, element, working.condition.at_key(key)):
            continue
        row = works_in(scene, element, working.condition.at_key(key))
        if row is not None and row.state is LoadState.WORKS:
            found.append(element)
    return found


def _rows_in(scene: LoadScene, key: str) -> Iterator[PlanRow]:
    taken: set[frozenset[str]] = set()
    for point, sharing in _shared_grounds(scene, key).items():
        names = frozenset(element.name for element in sharing)
        if names in taken or len({element.part_id for element in sharing}) < 2:
            continue
        taken.add(names)
        condition, on = _all_on(scene, key, sharing)
        row = _row(scene, condition, point, on)
        if row is not None:
            yield row


def _shared_grounds(scene: LoadScene, key: str) -> dict[str, list[Element]]:
    """Give the points at which the ground ways of loads that work in a key state meet, and those loads."""
    found: dict[str, list[Element]] = {}
    for element in _working_in(scene, key):
        for point in _ground_points(scene, element, scene.working(element).condition.at_key(key)):
            found.setdefault(point, []).append(element)
    return found


def _ground_points(scene: LoadScene, element: Element, condition: Condition) -> tuple[str, ...]:
    """Name the points of the ground way of an element, its own end first."""
    feeds = scene.feeds(condition)
    if feeds is None:
        return ()
    points = all_points(scene.harness)
    way = feeds.grounding_points(feeds.feed_ends(element)[1])
    return tuple(point for point in reversed(way) if point in points)


def _all_on(scene: LoadScene, key: str, sharing: list[Element]) -> tuple[Condition, list[Element]]:
    """Set all that can be on together; give the condition and the loads that work in it."""
    condition = Condition(key)
    on: list[Element] = []
    for element in sharing:
        wanted = scene.working(element).condition.by_name
        if all(condition.by_name.get(name, value) == value for name, value in wanted.items()):
            condition = replace(condition, settings=tuple({**condition.by_name, **wanted}.items()))
            on.append(element)
    return condition, on


def _row(scene: LoadScene, condition: Condition, point: str, on: list[Element]) -> PlanRow | None:
    """Give the row of a shared ground; None where it is hardly lifted or may not be probed, or nothing rests there."""
    band = scene.band(condition, point, scene.black)
    least_volts = LIFTED_VOLTS * scene.harness.build.nominal_volts / _RULE_VOLTS
    if band is None or abs(band.volts) <= least_volts or may_be_probed(scene.harness, point) is not None:
        return None
    survey = scene.survey(condition)
    if survey is None or survey.settled.blown or len(on) < 2:
        return None
    if any(works_in(scene, element, condition) is None for element in on):
        return None
    return _ground_row(scene, condition, (point, band), on)


def _ground_row(scene: LoadScene, condition: Condition, lifted: tuple[str, Band], on: list[Element]) -> PlanRow:
    harness, (point, band) = scene.harness, lifted
    feeds = scene.feeds(condition)
    limit = lifted_limit(harness, LAMPS_AND_MOTORS)
    names = [load_name(harness, element) for element in on]
    more = f" and {len(names) - _NAMED_AT_MOST} more" if len(names) > _NAMED_AT_MOST else ""
    place = clean(point_place(harness, point).name)
    return PlanRow(
        key=f"{point} all on {settings_key(condition)}",
        title=f"Shared ground {clean(point_name(harness, point))}: all on together",
        group=place,
        measure=Measure.VOLTS,
        condition=condition,
        red=point,
        black=scene.black,
        place=place,
        far_place=clean(point_place(harness, scene.black).name),
        expect=round(band.volts, 4),
        limit=limit,
        covers=() if feeds is None else feeds.grounding_sites(point),
        blind=beyond_limit(band, limit),
        before=(f"Have these on together: {', '.join(names[:_NAMED_AT_MOST])}{more}.",),
        cautions=tuple(caution.text for caution in cautions_for(harness, (point,), condition)),
    )
