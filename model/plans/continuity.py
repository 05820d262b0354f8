"""The continuity plan: each conductor from end to end, what must read open against it, and what a row cannot tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from model.caution_words import CAUTIONS, GENERAL_CAUTIONS, CautionKind
from model.circuit.settle import settle
from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.harness.parts import Battery, Charger, Fuse, Relay
from model.harness.places import WIRE_ENDS, end_place
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.plans.chargers_off import chargers_off_words
from model.plans.continuity_rows import Scene, drive_amps, opened_at, place_name, step_rows
from model.plans.exchanged import undetected_exchanges
from model.plans.grave import grave_words, reach_grave
from model.plans.loom_state import about_state, state_condition, state_net
from model.plans.near_nets import must_be_apart
from model.plans.plan import LoomState, Plan, PlanKind, PlanRow
from model.plans.runs import LeftOut, Run, contact_runs, wire_runs
from model.plans.telling import Search, Telling
from model.plans.tour import Effort, Step, Task, effort_of, in_order
from model.tracing.reached import ClosedMetal
from model.words import clean

_RANKS: dict[type, float] = {Fuse: 0.3, Relay: 0.3, Connector: 1.0, Wire: 5.0}
_STAYS = (Battery, Charger, GroundPoint, Joint)


def continuity_plan(harness: Harness, state: LoomState = LoomState.APART) -> Plan:
    """Make the plan that proves every conductor in a state of the loom.

    Raises
    ------
    CircuitError
        Where the harness cannot be solved at all.

    Notes
    -----
    Whether a row could fail is solved, whole and broken, with what stands apart when it is read. A row tells only where
    both differ by more than the meter's error.
    """
    scene, left_out, steps = _ordered(harness, state)
    rows = list(step_rows(scene, steps))
    return Plan(
        PlanKind.CONTINUITY,
        clean(harness.build.name),
        harness.build.revision,
        tuple(rows),
        state,
        about=(*_about(state, rows), *chargers_off_words(harness), *grave_words(harness)),
        cautions=tuple(caution.text for caution in (CAUTIONS[CautionKind.BATTERY_ORDER], *GENERAL_CAUTIONS)),
        left_out=tuple(f"{clean(one.wire_id)}: {one.why}" for one in left_out),
        undetected=_undetected(scene, rows),
    )


def continuity_effort(harness: Harness, state: LoomState = LoomState.APART) -> Effort:
    """Count the places gone to and the plugs opened for a plan, beside the least that they could be."""
    scene, _, steps = _ordered(harness, state)
    return effort_of(steps, opened_at(harness, scene.ends))


def _ordered(harness: Harness, state: LoomState) -> tuple[Scene, tuple[LeftOut, ...], tuple[Step, ...]]:
    net = state_net(harness, state)
    wires, left_out = _measured(harness, state)
    runs = wires if state is not LoomState.MATED else (*wires, *_unless_grave(harness, state, contact_runs(harness))[0])
    named = {" ".join(run.own): run for run in runs}
    search = Search(net, _rank(harness, state))
    out_at_first = _modules_reached(harness, state)
    told = {key: search.of(run, out_at_first(run), drive_amps(harness, run)) for key, run in named.items()}
    apart = {} if state is LoomState.MATED else {f"{one.black} open": one for one in must_be_apart(harness, net, wires)}
    tasks = [_run_task(harness, key, run, told[key]) for key, run in named.items()]
    for key, one in apart.items():
        tasks.append(Task(key, (place_name(harness, one.black),), far=place_name(harness, one.others[0])))
    ends = _ends_taken_off(harness, tasks)
    scene = Scene(harness, net, state, named, told, apart, ends)
    return scene, left_out, in_order(tasks, opened_at(harness, ends))


def _measured(harness: Harness, state: LoomState) -> tuple[tuple[Run, ...], tuple[LeftOut, ...]]:
    runs, left_out = wire_runs(harness)
    kept, refused = _unless_grave(harness, state, runs)
    return kept, (*left_out, *refused)


def _unless_grave(
    harness: Harness, state: LoomState, runs: Iterable[Run]
) -> tuple[tuple[Run, ...], tuple[LeftOut, ...]]:
    """Part the runs that may be measured from the wires of those that would reach what nobody may probe."""
    why = reach_grave(harness, state)
    told = [(run, why(run)) for run in runs]
    refused = [LeftOut(site, reason) for run, reason in told if reason for site in run.own]
    return tuple(run for run, reason in told if not reason), tuple(refused)


def _ends_taken_off(harness: Harness, tasks: Iterable[Task]) -> dict[str, str]:
    """Choose the end at which each wire is taken off its terminal: the one where most of the rows that want it are."""
    wanted: dict[str, list[str]] = {}
    for task in tasks:
        for name in task.needs:
            if isinstance(harness.parts[name], Wire):
                wanted.setdefault(name, []).extend(task.places)
    return {
        name: max(WIRE_ENDS, key=lambda end: places.count(end_place(harness, harness.part_of(name, Wire), end).name))
        for name, places in wanted.items()
    }


def _run_task(harness: Harness, key: str, run: Run, telling: Telling) -> Task:
    places = dict.fromkeys(place_name(harness, point) for point in (run.red, run.black))
    mated = {site.partition(".")[0] for site in run.sites}
    return Task(key, tuple(places), frozenset(telling.opens), frozenset(mated))


def _rank(harness: Harness, state: LoomState) -> Callable[[str], float | None]:
    """Give how gladly each part is taken apart: fuses and relays before plugs, a wire off its terminal last."""

    def rank(part_id: str) -> float | None:
        part = harness.parts.get(part_id)
        if part is None or isinstance(part, _STAYS):
            return None
        if state is not LoomState.MATED and not isinstance(part, Wire):
            return None
        if not NEVER_PROBED.isdisjoint(hazards_of_part(harness, part_id)):
            return None
        if Hazard.FUEL in hazards_of_part(harness, part_id) and not isinstance(part, Fuse | Relay):
            return None
        return _RANKS.get(type(part), 1.0)

    return rank


def _modules_reached(harness: Harness, state: LoomState) -> Callable[[Run], frozenset[str]]:
    """Name the control units that an ohmmeter on a run would reach through closed metal: they are unplugged first."""
    if state is not LoomState.MATED or not harness.modules:
        return lambda _run: frozenset()
    condition = state_condition(harness, state)
    metal = ClosedMetal(settle(harness, condition), condition, is_powered=False)
    modules = {module.id for module in harness.modules}

    def reached(run: Run) -> frozenset[str]:
        return (metal.parts_from(run.red) | metal.parts_from(run.black)) & modules

    return reached


def _about(state: LoomState, rows: Iterable[PlanRow]) -> tuple[str, ...]:
    blind = sum(not row.tells for row in rows)
    said = [
        about_state(state),
        "Zero the leads first, or take off what they show held together. Go by cavity, never by colour.",
        "Where the other end lies elsewhere, somebody holds the black probe there, or a long lead is clipped on.",
        "A row proves its conductor whole, not that it carries its current: the drops of the loads plan do that.",
    ]
    if state is LoomState.MATED:
        said.append("Shorts are not looked for in this state: the insulation plan does, and this plan with all apart.")
    if blind:
        said.append(f"{blind} of the rows could not fail; they are marked and count for nothing.")
    return tuple(said)


def _undetected(scene: Scene, rows: list[PlanRow]) -> tuple[str, ...]:
    found = []
    for one in undetected_exchanges(scene.harness, scene.net, rows):
        wires = " and ".join(clean(wire) for wire in one.wires[:4])
        found.append(
            f"{clean(one.first)} and {clean(one.second)} exchanged ({wires}): no row reads otherwise for it, since "
            "both lead to the same metal, or what is read there does not tell."
        )
    return tuple(found)
