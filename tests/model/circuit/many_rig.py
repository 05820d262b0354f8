"""Every fault that a harness can have, and the comparison of the fast cases with those settled one by one."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases, Variant
from model.circuit.faults import Fault, FaultKind, contact_names, fault_kinds, parse_fault
from model.circuit.instrumented import Setup
from model.circuit.many_faults import FaultBench
from model.circuit.netlist import METER_OHMS, Netlist
from model.circuit.resolved_cases import ResolvedCase, ResolvedCases
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.parts import Load, Module, Relay, ResistorPack, Switch
from model.harness.points import all_points, terminals_of
from model.harness.records import Connector, Wire

AGREE_VOLTS = 1e-3
LAMP_VOLTS, LAMP_WATTS = 0.05, 3.0
FLOATING_OHMS = 50e3
CLAMP_SHARE = 2e-4
"""A node at a battery's clamp has a microohm, which drops a millivolt at a thousand amperes."""

MOVED = (FaultKind.ELSEWHERE, FaultKind.TOUCHES, FaultKind.TO_BODY, FaultKind.SWAPPED)


Figures = FloatArray | IntArray | BoolArray


def sites(harness: Harness) -> Iterator[str]:
    """Give every site of the table "Names of faults" of the format."""
    for part in harness.each_part():
        yield part.id
        match part:
            case Connector():
                yield from (f"{part.id}.{cavity}" for cavity in range(1, part.cavities + 1))
                yield from (f"{part.id}.{cavity}/{cavity + 1}" for cavity in range(1, part.cavities))
            case Wire():
                yield f"{part.id}.a"
            case _:
                yield from (f"{part.id}.{terminal}" for terminal in terminals_of(part))
        match part:
            case Relay() | Switch():
                yield from (f"{part.id}:{name}" for name in (*contact_names(part), "coil"))
            case Load() | ResistorPack():
                yield from (f"{part.id}:{element.name}" for element in part.elements)
                yield f"{part.id}:load"
            case Module():
                yield from (f"{part.id}:{name}" for name in terminals_of(part))


def every_fault(harness: Harness, seed: int) -> list[Fault]:
    """List every fault of every site, high ones in three sizes, touches and wrong ends with partners by chance."""
    draw, points = random.Random(seed), list(all_points(harness))
    found: list[Fault] = []
    for site in sites(harness):
        for kind in fault_kinds(harness, site):
            words = [str(kind)]
            if kind is FaultKind.HIGH:
                words += ["0.3", "1000"]
            if kind in (FaultKind.TOUCHES, FaultKind.ELSEWHERE):
                words = [f"{kind}:{draw.choice(points)}" for _ in range(2)]
            if kind is FaultKind.TOUCHES:
                words.append(f"{kind}:{draw.choice(harness.wires).id}")
            for word in words:
                try:
                    found.append(parse_fault(harness, f"{site}={word}"))
                except ArgumentError:
                    continue
    return found


def drawn(harness: Harness, count: int, seed: int) -> list[Variant]:
    """Draw variants with one fault, each kind as often as the others as far as it goes, the sound circuit first."""
    draw = random.Random(seed)
    by_kind: dict[FaultKind, list[Fault]] = {}
    for fault in every_fault(harness, seed):
        by_kind.setdefault(fault.kind, []).append(fault)
    for faults in by_kind.values():
        draw.shuffle(faults)
    taken = [fault for place in range(count) for faults in by_kind.values() for fault in faults[place : place + 1]]
    return [Variant(), *(Variant((fault,)) for fault in taken[:count])]


def drawn_pairs(harness: Harness, count: int, seed: int) -> list[Variant]:
    """Draw variants with two faults each."""
    draw, faults = random.Random(seed), every_fault(harness, seed)
    return [Variant(), *(Variant(tuple(draw.sample(faults, 2))) for _ in range(count))]


def disagreements(
    harness: Harness,
    variants: Sequence[Variant],
    setup: Setup,
    *,
    reads: int = 4,
    seed: int = 1,
    within_volts: float = AGREE_VOLTS,
) -> list[str]:
    """Say in what the fast cases differ from those settled one by one; nothing where they agree.

    Relays, blown fuses, currents of fuses, volts and amperes of elements, posts; every point against the reference; and
    between a few pairs of points what a meter and a test lamp show, the ohms behind them and their spread.
    """
    points = list(all_points(harness))
    bench = Bench(harness)
    fast = FaultBench(bench, variants, points).cases(
        setup.condition, jumper=setup.jumper, lamp=setup.lamp, powered=setup.powered
    )
    plain = ResolvedCases(bench, variants, setup)
    compared = Compared(variants, fast, plain, within_volts)
    compared.differ("share", (fast.share, plain.share), 1e-12)
    for relay in harness.relays:
        compared.differ(relay.id, (fast.relay(relay.id), plain.relay(relay.id)), 0.0)
    for fuse in harness.fuses:
        compared.differ(fuse.id, (fast.fuse_amps(fuse.id), plain.fuse_amps(fuse.id)), 5e-3, 1e-3)
    for branch in plain.each[0].settled.net.elements:
        name = branch.element.name
        ours, theirs = fast.element(name), plain.element(name)
        compared.differ(f"volts of {name}", (ours[0], theirs[0]), compared.within_volts)
        compared.differ(f"amperes of {name}", (ours[1], theirs[1]), 2e-3, 1e-3)
    compared.differ("posts", (fast.posts_volts, plain.posts_volts), compared.within_volts, CLAMP_SHARE)
    _differ_at_points(compared, points)
    draw = random.Random(seed)
    for _ in range(reads):
        _differ_between(compared, *draw.sample(points, 2))
    return compared.found


class Compared:
    """The fast cases beside the plain ones, case by case."""

    def __init__(
        self, variants: Sequence[Variant], fast: Cases, plain: ResolvedCases, within_volts: float = AGREE_VOLTS
    ) -> None:
        self.within_volts = within_volts
        self.variants, self.fast, self.plain = variants, fast, plain
        self.found: list[str] = []
        ours, theirs = np.argsort(fast.variant, kind="stable"), np.argsort(plain.variant, kind="stable")
        if not np.array_equal(fast.variant[ours], plain.variant[theirs]):
            counts = [np.bincount(one.variant, minlength=len(variants)) for one in (fast, plain)]
            unlike = np.flatnonzero(counts[0] != counts[1]).tolist()
            self.found += [f"{self.spelled(k)}: {counts[0][k]} cases, not {counts[1][k]}" for k in unlike]
            same = np.isin(fast.variant[ours], unlike, invert=True)
            ours = ours[same]
            theirs = theirs[np.isin(plain.variant[theirs], unlike, invert=True)]
        self.ours, self.theirs = ours, theirs
        for one, other in zip(ours.tolist(), theirs.tolist(), strict=True):
            if fast.blown[one] != plain.blown[other]:
                self.found.append(f"{self.spelled(fast.variant[one])}: {fast.blown[one]}, not {plain.blown[other]}")

    def spelled(self, variant: int) -> str:
        """Spell the faults of a variant."""
        return " and ".join(fault.spelled() for fault in self.variants[variant].faults) or "sound"

    def is_moved(self) -> BoolArray:
        """Tell of each case whether a wire lies elsewhere or touches: then a new branch has a tolerance too."""
        kinds = [{fault.kind for fault in self.variants[k].faults} for k in self.plain.variant[self.theirs].tolist()]
        return np.array([bool(kind & set(MOVED)) for kind in kinds], dtype=np.bool_)

    def differ(self, what: str, both: tuple[Figures, Figures], within: float, share: float = 0.0) -> None:
        """Note where two rows of figures differ by more than an amount and a share of the second."""
        one = np.asarray(both[0], dtype=np.float64)[self.ours]
        other = np.asarray(both[1], dtype=np.float64)[self.theirs]
        with np.errstate(invalid="ignore"):
            same = (one == other) | (np.abs(one - other) <= within + share * np.abs(other))
        for place in np.flatnonzero(~same).tolist():
            variant = int(self.plain.variant[self.theirs[place]])
            self.found.append(f"{what}, {self.spelled(variant)}: {one[place]:.6g}, not {other[place]:.6g}")


def _differ_at_points(compared: Compared, points: list[str]) -> None:
    """Compare every point with the settled circuit: whether it floats, and its volts, or what a meter reads there."""
    plain = compared.plain
    for point in points:
        nodes = [(case, case.node(point)) for case in plain.each]
        volts = np.array([0.0 if node in case.settled.floating else case.settled.volts[node] for case, node in nodes])
        floats = np.array([node in case.settled.floating for case, node in nodes])
        reference = plain.each[0].settled.net.names[plain.each[0].settled.net.reference]
        ohms = compared.fast.source_ohms(point, reference)
        never = np.array([node in case.settled.unsettled for case, node in nodes])
        floats[compared.theirs] |= never[compared.theirs] & np.isinf(ohms)[compared.ours]
        compared.differ(f"floating of {point}", (np.isinf(ohms), floats), 0.0)
        read = compared.fast.volts(point, reference)
        unloaded = read * (1.0 + np.where(np.isinf(ohms), 0.0, ohms) / 10e6)
        ours, theirs = compared.ours, compared.theirs
        far = np.abs(unloaded[ours] - volts[theirs]) > compared.within_volts
        for one, other in zip(ours[far].tolist(), theirs[far].tolist(), strict=True):
            volts[other] = _meter_in(plain.each[other], point, reference)
            unloaded[one] = read[one]
        compared.differ(f"volts of {point}", (unloaded, volts), compared.within_volts, CLAMP_SHARE)


def _meter_in(case: ResolvedCase, red: str, black: str) -> float:
    """Give what a meter of 10 MΩ reads where it is not without effect on the circuit."""

    def add(net: Netlist, one: int, other: int) -> None:
        net.add(one, other, METER_OHMS)

    read = case.with_instrument(red, black, add)
    return float(read.relaxed.volts[case.node(red)] - read.relaxed.volts[case.node(black)])


def _differ_between(compared: Compared, red: str, black: str) -> None:
    fast, plain = compared.fast, compared.plain
    compared.differ(f"{red} to {black}", (fast.volts(red, black), plain.volts(red, black)), compared.within_volts)
    ours, theirs = fast.source_ohms(red, black), plain.source_ohms(red, black)
    stiff = tuple(np.where(ohms > FLOATING_OHMS, np.inf, ohms) for ohms in (ours, theirs))
    compared.differ(f"ohms behind {red} to {black}", (stiff[0], stiff[1]), 0.02, 0.02)
    _differ_under_a_lamp(compared, red, black)
    spreads = [one.spread_volts(red, black) for one in (fast, plain)]
    unmoved = ~compared.is_moved()
    one, other = spreads[0][compared.ours], spreads[1][compared.theirs]
    far = unmoved & (np.abs(one - other) > 2e-3 + 0.03 * other)
    cases = compared.plain.variant[compared.theirs]
    compared.found += [
        f"spread of {red} to {black}, {compared.spelled(int(cases[k]))}: {one[k]:.4f}, not {other[k]:.4f}"
        for k in np.flatnonzero(far).tolist()
    ]


def _differ_under_a_lamp(compared: Compared, red: str, black: str) -> None:
    """Compare a test lamp of 3 W where it neither moves a relay nor blows a fuse."""
    volts = np.zeros(len(compared.plain.each))
    moves = np.zeros(len(volts), dtype=np.bool_)
    for place, case in enumerate(compared.plain.each):
        nominal_volts = case.bench.harness.build.nominal_volts

        def add(net: Netlist, one: int, other: int, at_volts: float = nominal_volts) -> None:
            net.add_lamp((one, other), at_volts**2 / LAMP_WATTS, at_volts, "")

        lit = case.with_instrument(red, black, add)
        volts[place] = abs(float(lit.relaxed.volts[case.node(red)] - lit.relaxed.volts[case.node(black)]))
        moves[place] = lit.states != case.settled.states or lit.blown != case.settled.blown
    ours = compared.fast.lamp_volts(red, black, LAMP_WATTS)
    volts[compared.theirs] = np.where(moves[compared.theirs], ours[compared.ours], volts[compared.theirs])
    compared.differ(f"lamp from {red} to {black}", (ours, volts), LAMP_VOLTS)
