"""What is on with each switch in each position: one look for every setting, beside the measured rows."""

from __future__ import annotations

from collections.abc import Iterator

from model.cautions import cautions_for, crank_keys
from model.circuit.condition import Condition, rest_position
from model.harness.harness import Element, Harness
from model.harness.parts import Rated, Switch
from model.plans.load_keys import works_in
from model.plans.load_rest import on_in, on_words
from model.plans.load_rows import settings_key
from model.plans.load_scene import LoadScene
from model.plans.plan import Measure, PlanRow
from model.tracing.condition_words import settings_words

Settings = tuple[tuple[str, str], ...]


def setting_rows(scene: LoadScene) -> Iterator[PlanRow]:
    """Give a row for each setting in which something works: all loads are looked at, those on and those off.

    These are the settings in which the loads work, the other ones that the file names for them, and each position of
    a switch that none of those has and that turns something on or off. A contact that sticks, or a wire on the
    neighbouring terminal, shows here and in no row of one load alone.
    """
    harness = scene.harness
    seen: set[tuple[str, frozenset[tuple[str, str]]]] = set()
    for condition in (*_of_loads(scene), *_of_positions(scene)):
        asked = (condition.key, _moved(harness, condition))
        if asked in seen or condition.key in _turning(harness) or not asked[1]:
            continue
        seen.add(asked)
        row = _row(scene, condition)
        if row is not None:
            yield row


def _turning(harness: Harness) -> frozenset[str]:
    return crank_keys(harness) | {state.name for state in harness.key_states if state.charging}


def _moved(harness: Harness, condition: Condition) -> frozenset[tuple[str, str]]:
    """Give the settings of a condition that are not at rest anyway."""
    pairs = (pair for pair in condition.settings if settings_words(harness, Condition(condition.key, (pair,))))
    return frozenset(pairs)


def _of_loads(scene: LoadScene) -> Iterator[Condition]:
    """Give the conditions in which loads work, and the other settings that the file names for them."""
    for element in scene.elements:
        working = scene.working(element)
        if not working.reached:
            continue
        yield working.condition
        for settings in _choices(scene.harness, element):
            condition = Condition(working.condition.key, settings)
            row = works_in(scene, element, condition)
            if row is not None and row.volts > 0.0:
                yield condition


def _choices(harness: Harness, element: Element) -> tuple[Settings, ...]:
    """Give each of several settings that the file names for an element; none where it names one or nothing."""
    rows = [one for one in (element.record, harness.parts[element.part_id]) if isinstance(one, Rated)]
    named = next((one.works_with for one in rows if one.works_with is not None), None)
    return tuple(tuple(table.items()) for table in named) if isinstance(named, tuple) else ()


def _of_positions(scene: LoadScene) -> Iterator[Condition]:
    """Give a condition for each position of a switch that no load has named: the key state in which it does most."""
    harness = scene.harness
    named = {pair for condition in _of_loads(scene) for pair in condition.settings}
    for switch in harness.switches:
        if switch.key:
            continue
        for position in switch.positions:
            if (switch.id, position) not in named and position != rest_position(switch):
                found = _fullest(scene, switch, position)
                if found is not None:
                    yield found


def _fullest(scene: LoadScene, switch: Switch, position: str) -> Condition | None:
    best, most = None, 0
    for key in scene.harness.key_names:
        if key in _turning(scene.harness):
            continue
        rest, moved = Condition(key), Condition(key, ((switch.id, position),))
        before, after = (set(on_in(scene, one)) for one in (rest, moved))
        if len(before ^ after) > most:
            best, most = moved, len(before ^ after)
    return best


def _row(scene: LoadScene, condition: Condition) -> PlanRow | None:
    survey = scene.survey(condition)
    if survey is None or survey.settled.buzzing:
        return None
    harness = scene.harness
    words = ", ".join(settings_words(harness, condition))
    on = on_in(scene, condition)
    moved = on.keys() - on_in(scene, Condition(condition.key)).keys()
    hands = [element.from_point for element in scene.elements if element.name in moved]
    return PlanRow(
        key=f"seen {settings_key(condition)}",
        title=f"What is on with {words}",
        group="",
        measure=Measure.SEEN,
        condition=condition,
        expect_words=on_words(scene, condition),
        covers=tuple(on),
        before=("Go round every load once, or have a helper do it.",),
        cautions=tuple(caution.text for caution in cautions_for(harness, hands, condition)),
    )
