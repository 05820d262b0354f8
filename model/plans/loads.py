"""The plan of the loads: every load with its real current, and what it does in every key state that tells more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from model.caution_words import GENERAL_CAUTIONS
from model.circuit.condition import Condition, switch_position
from model.circuit.faults import part_of_site
from model.harness.harness import Element, Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Fuse, Switch
from model.plans.load_coils import with_coil_caution
from model.plans.load_keys import asked_keys, works_in
from model.plans.load_proofs import with_proofs
from model.plans.load_rest import POSTS, rest_rows
from model.plans.load_rows import engine_off_only, fuse_row, load_name, state_row, way_of, working_rows
from model.plans.load_scene import LoadScene
from model.plans.load_switches import setting_rows
from model.plans.load_together import together_rows
from model.plans.plan import Measure, Plan, PlanKind, PlanRow
from model.plans.set_by_hand import with_hands
from model.plans.stages import Stage, place_ranks, stage_of
from model.tracing.hand_set import by_chance, how_brought
from model.words import clean

_ABOUT = (
    "The series lamp is off and the right fuses are in: each load is measured plugged in and with its real current.",
    "Of each load three readings in the condition in which it works: the volts across it, its feed and its ground "
    "terminal against the grounded battery post. They are the figures that later readings are held against.",
    "Then the volts across it in the key states in which it must stay off, or work with less closed than before. A "
    "state is passed over where another closes the same contacts and more with the same outcome.",
    "Figures are computed with the battery of the file: read the posts first, and take what they differ off every row.",
)

_SEEN_GROUP = "what is on"


def loads_plan(harness: Harness) -> Plan:
    """Make the plan that proves every load with its current, and the truth table of loads and key states.

    Each load has up to three rows with its current, one for each key state that can show something that no other
    shows (see `asked_keys`), and its fuse one for each condition; so the rows stay at about five a load. In each key
    state a row asks for what must be still while all is at rest, and one for each setting for what is on with it and
    what is not. A load that needs the starter to turn has its rows in
    that key state alone, and ignition wiring has none while the engine may turn.

    Notes
    -----
    Turning the key costs less than walking: while the engine is off each place is gone to once, and the key turned
    there, by a helper where it is out of reach; then once more while the starter turns, and while the engine runs.
    """
    scene = LoadScene(harness)
    rows: list[PlanRow] = [*rest_rows(scene), *setting_rows(scene)]
    left_out: list[str] = []
    undetected: list[str] = []
    for element in scene.elements:
        why = _why_never(harness, element)
        if why:
            left_out.append(why)
            continue
        rows += _rows_of(scene, element, undetected)
    rows += together_rows(scene)
    return Plan(
        kind=PlanKind.LOADS,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=tuple(
            with_coil_caution(scene, with_hands(harness, row)) for row in with_proofs(scene, _in_order(harness, rows))
        ),
        about=_ABOUT,
        cautions=tuple(caution.text for caution in GENERAL_CAUTIONS),
        left_out=tuple(dict.fromkeys(left_out)),
        undetected=tuple(dict.fromkeys(undetected)),
    )


def _why_never(harness: Harness, element: Element) -> str:
    refusals = (may_be_probed(harness, point) for point in (element.from_point, element.to_point))
    return next((refusal.reason for refusal in refusals if refusal is not None), "")


def _rows_of(scene: LoadScene, element: Element, undetected: list[str]) -> Iterator[PlanRow]:
    """Give every row of an element; what cannot be read is said in `undetected`."""
    working = scene.working(element)
    condition, name = working.condition, load_name(scene.harness, element)
    if not working.reached:
        undetected.append(f"{name} ({element.name}): nothing feeds it in the condition in which it should work.")
        return
    if works_in(scene, element, condition) is None:
        undetected.append(f"{name} ({element.name}): a relay chatters where it works, so that no reading rests.")
        return
    if engine_off_only(scene, element, condition):
        undetected.append(
            f"{name} ({element.name}): ignition wiring, measured with the engine off only, and it works only while "
            "the engine turns."
        )
    else:
        brought = _brought(scene, element, condition)
        rows = (*working_rows(scene, element, condition), *_fuse_rows(scene, element, condition))
        yield from (replace(row, before=(*brought, *row.before)) for row in rows)
    for found in asked_keys(scene, element, condition):
        if engine_off_only(scene, element, found.condition):
            continue
        row = state_row(scene, element, found)
        if row is not None:
            yield row


def _brought(scene: LoadScene, element: Element, condition: Condition) -> tuple[str, ...]:
    """Say how switches on the way of an element whose rest is chance come to where it works."""
    parts = {part_of_site(site): None for site in way_of(scene, element, condition)}
    switches = [part for part_id in parts if isinstance(part := scene.harness.parts.get(part_id), Switch)]
    return tuple(
        how_brought(scene.harness, switch, switch_position(scene.harness, switch, condition))
        for switch in switches
        if by_chance(switch) and switch.id not in condition.by_name
    )


def _fuse_rows(scene: LoadScene, element: Element, condition: Condition) -> Iterator[PlanRow]:
    feeds = scene.feeds(condition)
    if feeds is None:
        return
    fuses = feeds.feeding_fuses(feeds.feed_ends(element)[0])
    if fuses:
        row = fuse_row(scene, condition, scene.harness.part_of(fuses[-1], Fuse))
        if row is not None:
            yield row


def _in_order(harness: Harness, rows: Iterable[PlanRow]) -> tuple[PlanRow, ...]:
    """Put rows in working order, each once: by how the engine stands, then by place, then by key state and setting.

    The place of the posts comes first, then what is looked at all round.
    """
    once = {row.key: row for row in rows}
    order = tuple(Stage)
    stages = {condition: stage_of(harness, condition) for condition in {row.condition for row in once.values()}}
    keys = {key: rank for rank, key in enumerate(harness.key_names)}
    places = place_ranks(harness)
    settings = {row.condition.settings: rank for rank, row in enumerate(once.values())}
    posts = {row.place for row in once.values() if row.key.startswith(POSTS)}
    ranked = sorted(
        once.values(),
        key=lambda row: (
            order.index(stages[row.condition]),
            row.place not in posts,
            row.measure is not Measure.SEEN,
            places.get(row.place, len(places)),
            row.place,
            not row.key.startswith(POSTS),
            keys[row.condition.key],
            settings[row.condition.settings],
        ),
    )
    is_headed = len({stage_of(harness, Condition(key)) for key in harness.key_names}) > 1
    return tuple(replace(row, group=_group(stages[row.condition].value if is_headed else "", row)) for row in ranked)


def _group(head: str, row: PlanRow) -> str:
    return ": ".join(word for word in (head, row.place or _SEEN_GROUP) if word)
