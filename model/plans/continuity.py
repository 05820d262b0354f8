"""The continuity plan: each conductor from end to end, what must read open against it, and what a row cannot tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from model.caution_words import CAUTIONS, GENERAL_CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.circuit.condition import APART, OFF, OUT, Condition
from model.circuit.frame import wire_ohms
from model.circuit.ohms_net import OhmsNet
from model.circuit.settle import settle
from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.harness.metal import wire_points
from model.harness.parts import Battery, Charger, Fuse, Load, Module, Relay
from model.harness.places import WIRE_ENDS, Place, end_place, place_of, place_words, point_place
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.harness.supply import wire_length_m, wire_size
from model.harness.wire_words import size_words
from model.plans.exchanged import undetected_exchanges
from model.plans.grave import grave_words, reach_grave
from model.plans.limits import as_limit, limit_of
from model.plans.loom_state import about_state, state_condition, state_net
from model.plans.near_nets import Apart, must_be_apart
from model.plans.plan import Limit, LoomState, Measure, Plan, PlanKind, PlanRow
from model.plans.runs import LeftOut, Run, contact_runs, wire_runs
from model.plans.telling import Search, Telling, heavy_ohms, millivolts_limit, millivolts_tell, ohms_limit, ohms_tell
from model.plans.tour import Effort, Step, Task, effort_of, in_order
from model.tables import SourceKind
from model.tracing.names import id_and_label, wire_code, wire_name
from model.tracing.reached import ClosedMetal
from model.units import parse_size
from model.words import clean, ohms_text

HEAVY_MM2 = 8.0
"""From here on a cable is proven by its drop under a load, since an ohmmeter reads 0.0 whether it is good or hangs by a
strand; judgement."""
HEAVY_AMPS = 5.0

_RANKS: dict[type, float] = {Fuse: 0.3, Relay: 0.3, Connector: 1.0, Wire: 5.0}
_SAID_ONCE = frozenset({CautionKind.BATTERY_ORDER, CautionKind.METER_ONLY})
_STAYS = (Battery, Charger, GroundPoint, Joint)


@dataclass(frozen=True)
class _Scene:
    """What all rows are made from.

    Attributes
    ----------
    runs, told, apart
        By the key of the row: what is measured, what it can tell, what must read open.
    ends
        The end, ``a`` or ``b``, at which each wire that has to come off its terminal is taken off.
    """

    harness: Harness
    net: OhmsNet
    state: LoomState
    runs: dict[str, Run]
    told: dict[str, Telling]
    apart: dict[str, Apart]
    ends: dict[str, str]


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
    rows = [_row(scene, step) for step in steps]
    return Plan(
        PlanKind.CONTINUITY,
        clean(harness.build.name),
        harness.build.revision,
        tuple(rows),
        state,
        about=(*_about(state, rows), *grave_words(harness)),
        cautions=tuple(caution.text for caution in (CAUTIONS[CautionKind.BATTERY_ORDER], *GENERAL_CAUTIONS)),
        left_out=tuple(f"{clean(one.wire_id)}: {one.why}" for one in left_out),
        undetected=_undetected(scene, rows),
    )


def continuity_effort(harness: Harness, state: LoomState = LoomState.APART) -> Effort:
    """Count the places gone to and the plugs opened for a plan, beside the least that they could be."""
    scene, _, steps = _ordered(harness, state)
    return effort_of(steps, _place_of(harness, scene.ends))


def _ordered(harness: Harness, state: LoomState) -> tuple[_Scene, tuple[LeftOut, ...], tuple[Step, ...]]:
    net = state_net(harness, state)
    wires, left_out = _measured(harness, state)
    runs = wires if state is not LoomState.MATED else (*wires, *_unless_grave(harness, state, contact_runs(harness))[0])
    named = {" ".join(run.own): run for run in runs}
    search = Search(net, _rank(harness, state))
    out_at_first = _modules_reached(harness, state)
    told = {key: search.of(run, out_at_first(run), _amps(harness, run)) for key, run in named.items()}
    apart = {} if state is LoomState.MATED else {f"{one.black} open": one for one in must_be_apart(harness, net, wires)}
    tasks = [_run_task(harness, key, run, told[key]) for key, run in named.items()]
    for key, one in apart.items():
        tasks.append(Task(key, (_place_name(harness, one.black),), far=_place_name(harness, one.others[0])))
    ends = _ends_taken_off(harness, tasks)
    scene = _Scene(harness, net, state, named, told, apart, ends)
    return scene, left_out, in_order(tasks, _place_of(harness, ends))


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
    places = dict.fromkeys(_place_name(harness, point) for point in (run.red, run.black))
    mated = {site.partition(".")[0] for site in run.sites}
    return Task(key, tuple(places), frozenset(telling.opens), frozenset(mated))


def _place_name(harness: Harness, point: str) -> str:
    return point_place(harness, point).name


def _place_of(harness: Harness, ends: dict[str, str]) -> Callable[[str], str]:
    return lambda part_id: _taken_at(harness, part_id, ends).name


def _taken_at(harness: Harness, part_id: str, ends: dict[str, str]) -> Place:
    """Give the place where a part is taken out, or the end of a wire off its terminal."""
    part = harness.parts[part_id]
    return end_place(harness, part, ends[part_id]) if isinstance(part, Wire) else place_of(harness, part_id)


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
        points = metal.from_points((run.red, run.black))
        return frozenset(point.partition(".")[0] for point in points) & modules

    return reached


def _amps(harness: Harness, run: Run) -> float | None:
    """Give the amperes at which a heavy cable is proven; None where ohms serve."""
    wires = [part for site in run.own if isinstance(part := harness.parts.get(site), Wire)]
    heavy = any(parse_size(wire_size(harness, wire)).area_mm2 >= HEAVY_MM2 for wire in wires)
    return HEAVY_AMPS if heavy else None


def _row(scene: _Scene, step: Step) -> PlanRow:
    if step.key in scene.apart:
        return _apart_row(scene, step)
    harness, run, telling = scene.harness, scene.runs[step.key], scene.told[step.key]
    red, black = run.red, run.black
    if _place_name(harness, red) != step.place:
        red, black = black, red
    amps = _amps(harness, run)
    whole, broken = _whole_and_broken(scene, run, step.opened)
    tells = telling.tells and (ohms_tell(whole, broken) if amps is None else millivolts_tell(whole, broken, amps))
    condition = Condition(harness.key_names[0], tuple(_setting(scene, name) for name in sorted(step.opened)))
    return PlanRow(
        key=step.key,
        title=f"{_run_name(harness, run)}: {clean(red)} to {clean(black)}",
        group=place_words(point_place(harness, red)),
        measure=Measure.OHMS if amps is None else Measure.MILLIVOLTS,
        condition=condition,
        red=red,
        black=black,
        place=step.place,
        far_place=_place_name(harness, black),
        expect=whole if amps is None else 1000.0 * whole * amps,
        limit=_limit(harness, run, whole, amps),
        amps=amps,
        opens=telling.opens,
        covers=run.own,
        tells=tells,
        blind="" if tells else _blind(harness, telling),
        before=(*_moves(scene, step), *_how(amps)),
        cautions=_cautions(scene, (red, black), condition),
    )


def _whole_and_broken(scene: _Scene, run: Run, opened: Iterable[str]) -> tuple[float, float]:
    """Give the ohms of a run as the loom stands when it is read, and the least that any of its own, broken, leaves."""
    net = scene.net
    gone = tuple(place for name in sorted(opened) for place in net.branches_of(name))
    red, black = net.index[run.red], net.index[run.black]
    whole = net.ohms_without(red, black, gone)
    return whole, min(net.ohms_without(red, black, (*gone, *net.places_of(site))) for site in run.own)


def _cautions(scene: _Scene, points: Iterable[str], condition: Condition) -> tuple[str, ...]:
    """Give the cautions of a row beyond those of the plan; electronics are unplugged, so that ohms do them no harm."""
    found = cautions_for(scene.harness, points, _dead(scene, condition))
    return tuple(caution.text for caution in found if caution.kind not in _SAID_ONCE)


def _dead(scene: _Scene, condition: Condition) -> Condition:
    supplies = tuple((supply.id, OUT) for supply in (*scene.harness.batteries, *scene.harness.chargers))
    return Condition(condition.key, (*supplies, *condition.settings))


def _setting(scene: _Scene, name: str) -> tuple[str, str]:
    part = scene.harness.parts[name]
    if isinstance(part, Wire):
        return f"{name}.{scene.ends[name]}", OFF
    return name, APART if isinstance(part, Connector) else OUT


def _run_name(harness: Harness, run: Run) -> str:
    wires = [part for site in run.sites if isinstance(part := harness.parts.get(site), Wire)]
    if not wires:
        return f"contact {run.own[0]}"
    return " + ".join(f"{clean(wire.id)} {wire_code(harness, wire)}" for wire in wires)


def _limit(harness: Harness, run: Run, whole_ohms: float, amps: float | None) -> Limit:
    made_of = _made_of(harness, run)
    if amps is None:
        source = "computed, a quarter more for the wire, and a hand meter's error of 0.8 % and two digits of 0.1 Ω"
        return Limit(None, ohms_limit(whole_ohms), source, SourceKind.FROM_MEMORY, made_of)
    high = millivolts_limit(whole_ohms, amps)
    row = limit_of("any cranking path")
    if high < 999.0 * amps * heavy_ohms():
        source = "twice what is computed, and the meter's last digits"
    elif high > 1001.0 * amps * heavy_ohms():
        source = "computed, a quarter more for the cable"
    else:
        source = f"0.20 V in 100 A, as {row.source} asks of starting circuits"
    return Limit(None, high, source, SourceKind.JUDGEMENT, made_of)


def _made_of(harness: Harness, run: Run) -> str:
    words = []
    for site in run.sites:
        part = harness.parts.get(site)
        if not isinstance(part, Wire):
            plug = harness.part_of(site.partition(".")[0], Connector)
            return f"contact {ohms_text(plug.ohms or harness.defaults.contact)}"
        words.append(
            f"{clean(site)}, {wire_length_m(harness, part):g} m of {size_words(harness, part)} with its crimps "
            f"{ohms_text(wire_ohms(harness, part))}"
        )
    return "; ".join(words)


def _blind(harness: Harness, telling: Telling) -> str:
    beside = ", ".join(id_and_label(harness, name) for name in telling.hidden_by[:3])
    if not beside:
        return "whole and broken read alike, and nothing that may be taken apart changes that."
    return f"beside it the way through {beside} reads as little, and no few parts out make it tell."


def _moves(scene: _Scene, step: Step) -> tuple[str, ...]:
    """Say what to take apart, and what to put together again, before a row."""
    closing = [f"Put {id_and_label(scene.harness, name)} back in its place." for name in step.closes]
    return (*closing, *(_opening(scene, name) for name in step.opens))


def _opening(scene: _Scene, name: str) -> str:
    harness, thing = scene.harness, id_and_label(scene.harness, name)
    where = _taken_at(harness, name, scene.ends)
    at = f" ({place_words(where)})" if where else ""
    match harness.parts[name]:
        case Connector():
            return f"Pull plug {thing} apart{at}."
        case Wire() as wire:
            point = wire_points(harness, wire)[WIRE_ENDS.index(scene.ends[name])]
            return f"Take {wire_name(harness, wire)} off its terminal at {clean(point)}{at}."
        case Load() | Module():
            return f"Unplug {thing}{at}."
    return f"Take {thing} out{at}."


def _how(amps: float | None) -> tuple[str, ...]:
    if amps is None:
        return ()
    return (
        f"An ohmmeter cannot see a cable this thick. With a spare battery, a fuse in its lead and a 55 W lamp drive "
        f"about {amps:g} A through it, plus at the red end; the clips outside, the probes on the lugs between them. "
        "Read the amperes too. A dark lamp and the battery's volts: it is open.",
    )


def _apart_row(scene: _Scene, step: Step) -> PlanRow:
    harness, one = scene.harness, scene.apart[step.key]
    condition = Condition(harness.key_names[0])
    points = (one.black, *one.others)
    return PlanRow(
        key=step.key,
        title=f"{clean(one.black)} against its neighbours",
        group=place_words(point_place(harness, one.black)),
        measure=Measure.APART,
        condition=condition,
        black=one.black,
        others=one.others,
        place=step.place,
        far_place=_place_name(harness, one.others[0]),
        expect=min(scene.net.ohms(one.black, other) for other in one.others),
        limit=as_limit(limit_of("open group")),
        covers=one.wires,
        before=("Black stays; red goes to each of the others in turn. Type the lowest reading, or OL.",),
        cautions=_cautions(scene, points, condition),
    )


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


def _undetected(scene: _Scene, rows: list[PlanRow]) -> tuple[str, ...]:
    found = []
    for one in undetected_exchanges(scene.harness, scene.net, rows):
        wires = " and ".join(clean(wire) for wire in one.wires[:4])
        found.append(
            f"{clean(one.first)} and {clean(one.second)} exchanged ({wires}): no row reads otherwise for it, since "
            "both lead to the same metal, or what is read there does not tell."
        )
    return tuple(found)
