"""The rows of a continuity plan, from what is measured and what each can tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from model.caution_words import CautionKind
from model.cautions import cautions_for
from model.circuit.condition import APART, OFF, OUT, Condition, without_supply
from model.circuit.frame import wire_ohms
from model.circuit.ohms_net import OhmsNet
from model.harness.harness import Harness
from model.harness.metal import wire_points
from model.harness.parts import Load, Module
from model.harness.places import WIRE_ENDS, Place, end_place, place_of, place_words, point_place
from model.harness.records import Connector, Wire
from model.harness.supply import wire_length_m, wire_size
from model.harness.wire_words import size_words
from model.plans.limits import as_limit, limit_of
from model.plans.near_nets import Apart
from model.plans.plan import Limit, LoomState, Measure, PlanRow
from model.plans.runs import Run
from model.plans.telling import Telling, heavy_ohms, millivolts_limit, millivolts_tell, ohms_limit, ohms_tell
from model.plans.tour import Step
from model.tables import SourceKind
from model.tracing.names import id_and_label, wire_code, wire_name
from model.units import parse_size
from model.words import clean, ohms_text

HEAVY_MM2 = 8.0
"""From here on a cable is proven by its drop under a load, since an ohmmeter reads 0.0 whether it is good or hangs by a
strand; judgement."""
HEAVY_AMPS = 5.0

_SAID_ONCE = frozenset({CautionKind.BATTERY_ORDER, CautionKind.METER_ONLY})


@dataclass(frozen=True)
class Scene:
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


def place_name(harness: Harness, point: str) -> str:
    """Name the place of a point; empty where none is given."""
    return point_place(harness, point).name


def opened_at(harness: Harness, ends: dict[str, str]) -> Callable[[str], str]:
    """Give what names the place where a part is taken out, or a wire off its terminal at the end that `ends` gives."""
    return lambda part_id: _taken_at(harness, part_id, ends).name


def _taken_at(harness: Harness, part_id: str, ends: dict[str, str]) -> Place:
    """Give the place where a part is taken out, or the end of a wire off its terminal."""
    part = harness.parts[part_id]
    return end_place(harness, part, ends[part_id]) if isinstance(part, Wire) else place_of(harness, part_id)


def drive_amps(harness: Harness, run: Run) -> float | None:
    """Give the amperes at which a heavy cable is proven; None where ohms serve."""
    wires = [part for site in run.own if isinstance(part := harness.parts.get(site), Wire)]
    heavy = any(parse_size(wire_size(harness, wire)).area_mm2 >= HEAVY_MM2 for wire in wires)
    return HEAVY_AMPS if heavy else None


@dataclass(frozen=True)
class _Stand:
    """How the loom stands while some rows are read one after the other: its network, and what is set in it."""

    net: OhmsNet
    condition: Condition
    unsupplied: Condition


def step_rows(scene: Scene, steps: Iterable[Step]) -> Iterator[PlanRow]:
    """Give the rows of steps, solved with what stands apart then: one network for all while nothing is moved."""
    key = scene.harness.key_names[0]
    for opened, together in groupby(steps, key=lambda step: step.opened):
        names = sorted(opened)
        net = scene.net.taken_out(place for name in names for place in scene.net.branches_of(name))
        condition = Condition(key, tuple(_setting(scene, name) for name in names))
        stand = _Stand(net, condition, without_supply(scene.harness, condition))
        yield from (_step_row(scene, stand, step) for step in together)


def _step_row(scene: Scene, stand: _Stand, step: Step) -> PlanRow:
    if step.key in scene.apart:
        return _apart_row(scene, step)
    harness, run, telling = scene.harness, scene.runs[step.key], scene.told[step.key]
    red, black = run.red, run.black
    if place_name(harness, red) != step.place:
        red, black = black, red
    amps = drive_amps(harness, run)
    whole, broken = _whole_and_broken(stand.net, run)
    tells = telling.tells and (ohms_tell(whole, broken) if amps is None else millivolts_tell(whole, broken, amps))
    return PlanRow(
        key=step.key,
        title=f"{_run_name(harness, run)}: {clean(red)} to {clean(black)}",
        group=place_words(point_place(harness, red)),
        measure=Measure.OHMS if amps is None else Measure.MILLIVOLTS,
        condition=stand.condition,
        red=red,
        black=black,
        place=step.place,
        far_place=place_name(harness, black),
        expect=whole if amps is None else 1000.0 * whole * amps,
        limit=_limit(harness, run, whole, amps),
        amps=amps,
        opens=telling.opens,
        covers=run.own,
        tells=tells,
        blind="" if tells else _blind(harness, telling),
        before=(*_moves(scene, step), *_how(amps)),
        cautions=_cautions(scene, (red, black), stand.unsupplied),
    )


def _whole_and_broken(net: OhmsNet, run: Run) -> tuple[float, float]:
    """Give the ohms of a run as the loom stands when it is read, and the least that any of its own, broken, leaves."""
    red, black = net.index[run.red], net.index[run.black]
    return net.ohms_between(red, black), min(net.ohms_without(red, black, net.places_of(site)) for site in run.own)


def _cautions(scene: Scene, points: Iterable[str], condition: Condition) -> tuple[str, ...]:
    """Give the cautions of a row beyond those of the plan; electronics are unplugged, so that ohms do them no harm."""
    found = cautions_for(scene.harness, points, condition)
    return tuple(caution.text for caution in found if caution.kind not in _SAID_ONCE)


def _setting(scene: Scene, name: str) -> tuple[str, str]:
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


def _moves(scene: Scene, step: Step) -> tuple[str, ...]:
    """Say what to take apart, and what to put together again, before a row."""
    closing = [f"Put {id_and_label(scene.harness, name)} back in its place." for name in step.closes]
    return (*closing, *(_opening(scene, name) for name in step.opens))


def _opening(scene: Scene, name: str) -> str:
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


def _apart_row(scene: Scene, step: Step) -> PlanRow:
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
        far_place=place_name(harness, one.others[0]),
        expect=min(scene.net.ohms(one.black, other) for other in one.others),
        limit=as_limit(limit_of("open group")),
        covers=one.wires,
        before=("Black stays; red goes to each of the others in turn. Type the lowest reading, or OL.",),
        cautions=_cautions(scene, points, without_supply(harness, condition)),
    )
