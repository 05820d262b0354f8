"""The plan of cranking and charging: posts, clamps, both sides of the starter and of the charger."""

from __future__ import annotations

from collections.abc import Iterator

from model.caution_words import CAUTIONS, CautionKind
from model.harness.harness import Harness
from model.plans.charge_rows import charge_rows, charges
from model.plans.crank_rows import Crank, crank_rows
from model.plans.crank_scene import Scene, volts_row
from model.plans.limits import as_limit, limit_of
from model.plans.plan import Plan, PlanKind, PlanRow
from model.plans.stages import by_place
from model.tracing.names import id_and_label
from model.words import clean

AT_REST = "At rest"

_CAUTIONS = (CautionKind.UNFUSED, CautionKind.PROBING, CautionKind.STANDS, CautionKind.SMOKE)


def crank_and_charge_plan(harness: Harness) -> Plan:
    """Make the plan of cranking and charging.

    Notes
    -----
    What is expected is solved in the key state in which the starter turns and in the first in which the charger gives
    current. Limits are published ones by nominal volts: those of sources and leads go in proportion to them, those of
    contacts do not. What the loom does not have is left out, and said. At rest, while the starter turns and while the
    engine runs each place is gone to once.
    """
    scene = Scene(harness)
    for row in (*rest_rows(scene), *_starter_rows(scene), *_charger_rows(scene)):
        scene.add(row)
    return Plan(
        kind=PlanKind.CRANK_AND_CHARGE,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=tuple(by_place(harness, scene.rows)),
        about=_about(scene),
        cautions=tuple(CAUTIONS[kind].text for kind in _CAUTIONS),
        left_out=tuple(dict.fromkeys(scene.left_out)),
    )


def rest_rows(scene: Scene) -> Iterator[PlanRow]:
    """Give the row of the posts of each battery at rest."""
    for battery in scene.harness.batteries:
        ends = f"{battery.id}.+", f"{battery.id}.-"
        limit = as_limit(limit_of("posts at rest", scene.battery_volts[battery.id]))
        if battery.chemistry != "lead":
            limit = scene.band_limit(
                scene.at_rest, *ends, "its volts by the file; of lithium they say little of charge"
            )
        ask = f"rest {battery.id}", f"posts of {id_and_label(scene.harness, battery.id)}, at rest", AT_REST
        settle = "Lamps on for 15 s, off again, then wait 3 min."
        yield volts_row(scene, ask, scene.at_rest, ends, limit, (battery.id,), (settle,))


def _starter_rows(scene: Scene) -> Iterator[PlanRow]:
    for element, working in scene.starters:
        if working.reached:
            yield from crank_rows(Crank(scene, element, working.condition))
        else:
            name = id_and_label(scene.harness, element.part_id)
            scene.left_out.append(f"{name}: no key state and no switch was found in which it turns.")


def _charger_rows(scene: Scene) -> Iterator[PlanRow]:
    for charge in charges(scene):
        yield from charge_rows(charge)


def _about(scene: Scene) -> tuple[str, ...]:
    said = [
        "Proves that the battery starts the engine and is charged by it: every volt that is lost is found in a place."
    ]
    if scene.starters:
        said.append(
            "Make fuel or ignition dead for cranking: the engine must turn and not start. Read the posts in the same "
            "turn as the rest: a drop counts beside what the posts show then."
        )
    else:
        said.append("This loom has no starter, so that nothing of cranking is in the plan.")
    if not scene.harness.chargers:
        said.append("This loom has no charger, so that nothing of charging is in the plan.")
    else:
        said.append("Never lift a battery clamp while a charger gives current.")
    return tuple(said)
