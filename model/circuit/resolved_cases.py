"""Many variants settled one by one: the plain way, which the fast one must agree with."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bands import Bands
from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import Condition
from model.circuit.instrumented import Setup, build_setup
from model.circuit.netlist import METER_OHMS, MoverKind, Netlist
from model.circuit.settle import Settled, settle_netlist
from model.circuit.survey import load_amps, load_volts
from model.circuit.uncertain import CASES_AT_MOST, Forced, may_end_otherwise
from model.harness.points import resolve_point
from model.units import SHOWN_OPEN_OHMS

STIFF_OHMS = 1e4
_OHMS_SOURCE_VOLTS = 0.2
_OHMS_SOURCE_OHMS = 1000.0


@dataclass(frozen=True)
class ResolvedCase:
    """One variant settled, with one of its uncertain ends where it has several.

    Attributes
    ----------
    variant
        Number of the variant.
    forced
        What ends otherwise than by its figures; None of the plain case.
    known
        The plain case at rest, where it has been settled before.
    """

    bench: Bench
    setup: Setup
    given: Variant
    variant: int
    forced: Forced | None = None
    known: Settled | None = None

    def _in(self, condition: Condition) -> Condition:
        """Give a condition with what is set and what is wrong in the case."""
        return replace(condition, settings=(*condition.settings, *self.given.settings), faults=self.given.faults)

    def netlist(self) -> Netlist:
        """Build the circuit of the case."""
        condition = self._in(self.setup.condition)
        blown = self.given.blown
        if self.forced is not None and self.forced.fuse and not self.forced.is_on:
            blown = blown | {self.forced.fuse}
        net = build_setup(self.bench, replace(self.setup, condition=condition), blown=blown)
        if self.forced is not None:
            _force(net, self.forced)
        return net

    def settle(self, net: Netlist) -> Settled:
        """Settle a netlist of the case, such as one with an instrument added."""
        condition = self._in(self.setup.without_supply(self.bench.harness))
        return settle_netlist(net, condition, first_emf=self.bench.first_emf)

    @cached_property
    def settled(self) -> Settled:
        """The circuit at rest."""
        if self.known is not None and self.forced is None:
            return self.known
        return self.settle(self.netlist())

    @cached_property
    def bands(self) -> Bands:
        """The circuit made linear about its rest."""
        if self.known is None or self.forced is not None:
            return Bands(self.settled)
        # what was settled before may have its wires in halves, each with a tolerance of its own
        return Bands(self.settle(self.netlist()))

    @property
    def blown(self) -> frozenset[str]:
        """Fuses that are open because they blew."""
        forced = self.forced
        also = {forced.fuse} if forced is not None and forced.fuse and not forced.is_on else set()
        return self.given.blown | set(self.settled.blown) | also

    def node(self, point: str) -> int:
        """Give the node of a point."""
        return self.settled.net.index[resolve_point(self.bench.harness, point)]

    def with_instrument(self, red: str, black: str, add: Callable[[Netlist, int, int], None]) -> Settled:
        """Settle the case with an instrument between two points."""
        net = self.netlist()
        harness = self.bench.harness
        ends = [net.index[resolve_point(harness, point)] for point in (red, black)]
        add(net, ends[0], ends[1])
        return self.settle(net)


def _force(net: Netlist, forced: Forced) -> None:
    always = -1.0 if forced.is_on else math.inf
    net.movers = [
        replace(mover, on_volts=always, off_volts=always)
        if forced.relay and mover.kind is MoverKind.RELAY and mover.name == forced.relay
        else mover
        for mover in net.movers
    ]
    net.fuses = [replace(link, amps=None) if link.part_id == forced.fuse else link for link in net.fuses]


def uncertain_ends(case: ResolvedCase) -> tuple[Forced, ...]:
    """List what may end otherwise in a case, relays first; of the fuses that blew only the first."""
    settled = case.settled
    found = [Forced(relay=name, is_on=not settled.relays[name]) for name in settled.uncertain]
    found += [Forced(fuse=name, is_on=False) for name, ratio in _ratios(settled).items() if may_end_otherwise(ratio)]
    for fuse_id in settled.blown[:1]:
        if may_end_otherwise(_ratio_before(case, fuse_id)):
            found.append(Forced(fuse=fuse_id, is_on=True))
    return tuple(found[: CASES_AT_MOST - 1])


def _ratio_before(case: ResolvedCase, fuse_id: str) -> float:
    """Give the current of the fuse that blows first as a share of its rating, before it does."""
    net = case.netlist()
    amps = next(link.amps for link in net.fuses if link.part_id == fuse_id) or 1.0
    net.fuses = [replace(link, amps=None) for link in net.fuses]
    branch = next(link.branch for link in net.fuses if link.part_id == fuse_id)
    return abs(float(case.settle(net).amps[branch])) / amps


def _ratios(settled: Settled) -> dict[str, float]:
    """Give the current of each whole fuse as a share of its rating."""
    whole = [link for link in settled.net.fuses if link.amps is not None and link.part_id not in settled.blown]
    return {link.part_id: abs(float(settled.amps[link.branch])) / (link.amps or 1.0) for link in whole}


class ResolvedCases:
    """Variants settled one by one in one setup; see :class:`model.circuit.cases.Cases`.

    Parameters
    ----------
    only
        Numbers of the variants that are wanted; all where it is not given.
    meters_in
        False where a meter is reckoned from the ohms behind its reading, as long as they are few.
    known
        Variants by number that have been settled before.
    """

    def __init__(
        self,
        bench: Bench,
        variants: Sequence[Variant],
        setup: Setup,
        *,
        only: Sequence[int] | None = None,
        meters_in: bool = True,
        known: Mapping[int, Settled] = MappingProxyType({}),
    ) -> None:
        self._meters_in = meters_in
        self._harness = bench.harness
        self._sound = ResolvedCase(bench, setup, Variant(), -1)
        plain: list[ResolvedCase] = []
        more: list[ResolvedCase] = []
        share: dict[int, float] = {}
        for number in range(len(variants)) if only is None else only:
            case = ResolvedCase(bench, setup, variants[number], number, known=known.get(number))
            ends = self._own_ends(case) if variants[number].faults else []
            plain.append(case)
            more += [replace(case, forced=end) for end in ends]
            share[number] = 1.0 / (1 + len(ends))
        self.each = (*plain, *more)
        self.variant: IntArray = np.array([case.variant for case in self.each], dtype=np.int64)
        self.share: FloatArray = np.array([share[case.variant] for case in self.each])
        self.posts_volts: FloatArray = np.array([_across(case.settled, *case.settled.net.posts) for case in self.each])
        self.blown: tuple[frozenset[str], ...] = tuple(case.blown for case in self.each)

    def _own_ends(self, case: ResolvedCase) -> list[Forced]:
        """List what may end otherwise in a case and does not in the sound circuit, which is settled only for that."""
        ends = uncertain_ends(case)
        return [one for one in ends if one not in self._always] if ends else []

    @cached_property
    def _always(self) -> frozenset[Forced]:
        return frozenset(uncertain_ends(self._sound))

    def volts(self, red: str, black: str, *, roughly: bool = False) -> FloatArray:
        """Give what a meter of 10 MΩ reads between two points, in volts, shape (cases,)."""

        def one(case: ResolvedCase) -> float:
            ends = case.node(red), case.node(black)
            if roughly:
                return 0.0 if case.settled.idle.intersection(ends) else _across(case.settled, *ends)
            if not self._meters_in:
                if case.settled.unsettled.intersection(ends):
                    return 0.0
                ohms = _source_ohms(case, red, black)
                if math.isinf(ohms) and not _may_wake(case.settled, *ends):
                    return 0.0
                if ohms < STIFF_OHMS:
                    return _across(case.settled, *ends) / (1.0 + ohms / METER_OHMS)
            settled = case.with_instrument(red, black, _add_meter)
            return 0.0 if settled.unsettled.intersection(ends) else _across(settled, *ends)

        return np.array([one(case) for case in self.each])

    def source_ohms(self, red: str, black: str) -> FloatArray:
        """Give the ohms behind a reading, shape (cases,); infinite where one of the points floats."""
        return np.array([_source_ohms(case, red, black) for case in self.each])

    def spread_volts(self, red: str, black: str) -> FloatArray:
        """Give one sigma of a reading by the parts' tolerances alone, in volts, (cases,); 0 where one floats."""
        return np.array(
            [
                0.0
                if math.isinf(_source_ohms(case, red, black))
                else case.bands.spread_volts(case.node(red), case.node(black))
                for case in self.each
            ]
        )

    def unsettled(self, red: str, black: str) -> BoolArray:
        """Tell whether a relay chatters so that a reading never rests, shape (cases,)."""
        nodes = [(case.settled.unsettled, {case.node(red), case.node(black)}) for case in self.each]
        return np.array([bool(never & ends) for never, ends in nodes], dtype=np.bool_)

    def element(self, name: str) -> tuple[FloatArray, FloatArray]:
        """Give the volts across an element of a load or a feed, and its amperes, both of shape (cases,)."""
        volts, amps = np.zeros(len(self.each)), np.zeros(len(self.each))
        for place, case in enumerate(self.each):
            branch = next(one for one in case.settled.net.elements if one.element.name == name)
            volts[place], amps[place] = load_volts(case.settled, branch), load_amps(case.settled, branch)
        return volts, amps

    def relay(self, relay_id: str) -> IntArray:
        """Tell of a relay whether it is pulled in (1), at rest (0) or buzzes (-1), shape (cases,)."""
        found = [-1 if relay_id in case.settled.buzzing else int(case.settled.relays[relay_id]) for case in self.each]
        return np.array(found, dtype=np.int64)

    def fuse_amps(self, fuse_id: str) -> FloatArray:
        """Give the amperes through a fuse, shape (cases,); 0 where it is open."""
        amps = np.zeros(len(self.each))
        for place, case in enumerate(self.each):
            for link in case.settled.net.fuses:
                if link.part_id == fuse_id and fuse_id not in case.blown:
                    amps[place] = abs(float(case.settled.amps[link.branch]))
        return amps

    def lamp_volts(self, red: str, black: str, watts: float, *, roughly: bool = False) -> FloatArray:
        """Give the volts across a test lamp of some watts at nominal volts between two points, shape (cases,)."""
        if roughly:
            return np.abs(self.volts(red, black, roughly=True))
        nominal_volts = self._harness.build.nominal_volts

        def add(net: Netlist, one: int, other: int) -> None:
            net.add_lamp((one, other), nominal_volts**2 / watts, nominal_volts, "")

        settled = [case.with_instrument(red, black, add) for case in self.each]
        return np.array(
            [abs(_across(one, case.node(red), case.node(black))) for one, case in zip(settled, self.each, strict=True)]
        )

    def ohms(self, red: str, black: str) -> FloatArray:
        """Give what an ohmmeter reads, leads nulled, shape (cases,); infinite where open."""
        return np.array([self._ohms_of(case, red, black) for case in self.each])

    def _ohms_of(self, case: ResolvedCase, red: str, black: str) -> float:
        source: list[int] = []

        def add(net: Netlist, one: int, other: int) -> None:
            source.append(net.add(other, one, _OHMS_SOURCE_OHMS, emf_volts=_OHMS_SOURCE_VOLTS))

        settled = case.with_instrument(red, black, add)
        amps = float(settled.relaxed.amps[source[0]])
        volts = _across(settled, case.node(red), case.node(black))
        return math.inf if amps * SHOWN_OPEN_OHMS <= volts else max(volts / amps, 0.0)


def _may_wake(settled: Settled, red: int, black: int) -> bool:
    """Tell of two points, one of them floating, whether a meter may read something between them.

    So it may within one island, and on an island that a one-way line ends on that does not carry.
    """
    island, net = settled.relaxed.island, settled.net
    if island[red] == island[black]:
        return True
    idle = [line.branch for line in net.lines if not settled.relaxed.joins[line.branch] or line.always_joins]
    ends = {int(island[node]) for branch in idle for node in (net.one[branch], net.other[branch])}
    return bool({int(island[node]) for node in (red, black) if node in settled.floating} & ends)


def _source_ohms(case: ResolvedCase, red: str, black: str) -> float:
    ends = case.node(red), case.node(black)
    return math.inf if case.settled.floating.intersection(ends) else case.bands.source_ohms(*ends)


def _add_meter(net: Netlist, one: int, other: int) -> None:
    net.add(one, other, METER_OHMS)


def _across(settled: Settled, red: int, black: int) -> float:
    return float(settled.relaxed.volts[red] - settled.relaxed.volts[black])
