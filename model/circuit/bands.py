"""The band in which a good reading lies: prediction and tolerances, one function for all who expect a figure."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.faults import part_of_site
from model.circuit.relax import COLD_SHARE, LAMP_EXPONENT
from model.circuit.settle import Settled
from model.circuit.solver import islands, nodal_solver
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Diode, Load, Module, ResistorPack
from model.harness.records import Wire
from model.harness.supply import assumed_of

METER_SHARE = 0.005
METER_DIGITS_VOLTS = 0.02
PROBE_VOLTS = 0.04
SUPPLY_SHARE = 0.04
WIRE_TOLERANCE = 0.25
ASSUMED_WIRE_TOLERANCE = 1.0
LOAD_TOLERANCE = 0.12
CONTACT_TOLERANCE = 0.50
NARROWEST_VOLTS = 0.1
NARROWEST_DROP_VOLTS = 0.005


@dataclass(frozen=True, slots=True)
class Band:
    """What a meter should read, least and most, in volts."""

    volts: float
    low: float
    high: float


@dataclass(frozen=True)
class Bands:
    """The bands of one settled circuit.

    Notes
    -----
    The spread of a prediction is that of the meter (0.5 % and two digits), of the probe's contact (0.04 V), of each
    part's own tolerance (wires 25 %, loads 12 %, contacts 50 %, assumed wires 100 %) taken through the circuit, and of
    the supply (4 %) where its posts were not read. The tolerances are judgement. First order: the circuit is taken as
    linear about its point of rest.
    """

    settled: Settled

    def at(self, red: int, black: int, *, across_joint: bool = False) -> Band:
        """Give the band of the volts from one node to another.

        Parameters
        ----------
        across_joint
            True where both stand on one joint, so that millivolts count.
        """
        volts = float(self.settled.volts[red] - self.settled.volts[black])
        digits_volts = METER_DIGITS_VOLTS / 100 if across_joint else METER_DIGITS_VOLTS
        probe_volts = 0.0 if across_joint else PROBE_VOLTS
        supply_share = 0.0 if self.settled.condition.posts_volts is not None else SUPPLY_SHARE
        meter_volts = METER_SHARE * abs(volts) + digits_volts
        sigma = math.hypot(meter_volts, probe_volts, self.spread_volts(red, black), supply_share * volts)
        half = max(2.0 * sigma, NARROWEST_DROP_VOLTS if across_joint else NARROWEST_VOLTS)
        return Band(volts, volts - half, volts + half)

    def spread_volts(self, red: int, black: int) -> float:
        """Give one sigma of the volts from one node to another by the tolerances of the parts alone."""
        sensitivity = self._transfer(red) - self._transfer(black)
        if self.settled.condition.posts_volts is not None:
            sensitivity = self._at_read_posts(sensitivity)
        per_branch = (sensitivity[self._ends[0]] - sensitivity[self._ends[1]]) * self._spread_amps
        return float(np.sqrt(np.sum(per_branch**2)))

    def _at_read_posts(self, sensitivity: FloatArray) -> FloatArray:
        """Take from a sensitivity what the supply gives back, so that the posts stay at what they read.

        Parameters
        ----------
        sensitivity
            Shape (nodes,), volts of a reading for one ampere into each node.
        """
        plus, minus = self.settled.net.posts
        posts = self._transfer(plus) - self._transfer(minus)
        by_supply = float(posts @ self._supply_amps)
        if by_supply == 0.0:
            return sensitivity
        return np.asarray(sensitivity - posts * (float(sensitivity @ self._supply_amps) / by_supply), dtype=np.float64)

    @cached_property
    def _supply_amps(self) -> FloatArray:
        """Current in amperes into each node for one volt more of what holds the posts, shape (nodes,).

        That is the chargers where one carries, else the emf of the first battery: as the posts were solved for.
        """
        net = self.settled.net
        branches = [net.lines[place].branch for place in net.charger_lines]
        if not any(self._siemens[branch] for branch in branches):
            line = net.first_battery_line
            branches = [] if line is None else [net.lines[line].branch, net.first_battery_tie]
        amps = np.zeros(len(net.names))
        for branch in branches:
            amps[net.other[branch]] += self._siemens[branch]
            amps[net.one[branch]] -= self._siemens[branch]
        return amps

    def source_ohms(self, node: int, black: int) -> float:
        """Give the ohms that stand behind a point, seen from a meter whose black probe is on another.

        Infinite where one of them has no closed way to the reference.
        """
        if self._apart[node] or self._apart[black]:
            return math.inf
        there, here = self._transfer(node), self._transfer(black)
        return float(there[node] + here[black] - 2.0 * there[black])

    @cached_property
    def _ends(self) -> tuple[np.ndarray, np.ndarray]:
        net = self.settled.net
        return np.array(net.one, dtype=np.int64), np.array(net.other, dtype=np.int64)

    @cached_property
    def _spread_amps(self) -> FloatArray:
        """Current in amperes by which each branch may differ from its rated one, one sigma."""
        tolerance_of = _tolerance_of(self.settled.net.harness)
        return np.array([tolerance_of(site) for site in self.settled.net.sites]) * self.settled.amps

    def _transfer(self, node: int) -> FloatArray:
        """Volts at each node for one ampere into one of them, shape (nodes,); 0 for one that floats."""
        if node not in self._rows:
            size = len(self.settled.net.names)
            right = np.zeros(size)
            if not self._apart[node]:
                right[node] = 1.0
            volts = self._solver(right)
            self._rows[node] = np.where(self._apart, 0.0, volts)
        return self._rows[node]

    @cached_property
    def _rows(self) -> dict[int, FloatArray]:
        return {}

    @cached_property
    def _apart(self) -> np.ndarray:
        """Which nodes have no branch that carries to the reference, shape (nodes,)."""
        one, other = self._ends
        joins = self._siemens != 0.0
        island = islands(len(self.settled.net.names), one[joins], other[joins])
        return np.asarray(island != island[self.settled.net.reference])

    @cached_property
    def _siemens(self) -> FloatArray:
        return _tangents(self.settled)

    @cached_property
    def _solver(self) -> Callable[[FloatArray], FloatArray]:
        """The circuit about its point of rest, ready to be solved for any current into it."""
        net, (one, other) = self.settled.net, self._ends
        return nodal_solver(len(net.names), (one, other), self._siemens, net.reference)


def _tangents(settled: Settled) -> FloatArray:
    """Give the conductance in siemens of each branch about the point of rest; 0 where it does not carry."""
    net, relaxed = settled.net, settled.relaxed
    across = settled.relaxed.volts[np.array(net.one)] - settled.relaxed.volts[np.array(net.other)]
    siemens = np.where(relaxed.joins, 1.0 / np.array(net.ohms), 0.0)
    for lamp, volts in zip(net.lamps, relaxed.lamp_volts.tolist(), strict=True):
        share = (abs(volts) / lamp.at_volts) ** (1.0 - LAMP_EXPONENT) if volts else 0.0
        hot = share > COLD_SHARE
        siemens[lamp.branch] = (
            LAMP_EXPONENT / (lamp.rated_ohms * share) if hot else 1.0 / (lamp.rated_ohms * COLD_SHARE)
        )
    for line, carrying in zip(net.lines, relaxed.carrying.tolist(), strict=True):
        siemens[line.branch] = 1.0 / line.ohms if carrying else 0.0
    for mover in net.movers:
        if mover.watts and relaxed.joins[mover.closes[0]]:
            siemens[mover.closes[0]] = -mover.watts / float(across[mover.closes[0]]) ** 2
    return np.asarray(siemens, dtype=np.float64)


@once_per_harness
def _tolerance_of(harness: Harness) -> Callable[[str], float]:
    return cache(lambda site: site_tolerance(harness, site))


def site_tolerance(harness: Harness, site: str) -> float:
    """Give the tolerance of a fault site as a share of its current: one sigma, by judgement."""
    part = harness.parts.get(part_of_site(site))
    match part:
        case None | Battery() | Charger() | Diode():
            return 0.0
        case Wire():
            return ASSUMED_WIRE_TOLERANCE if {"size", "length"} & set(assumed_of(harness, part)) else WIRE_TOLERANCE
        case Load() | Module() | ResistorPack():
            return LOAD_TOLERANCE
    return LOAD_TOLERANCE if site.endswith(":coil") else CONTACT_TOLERANCE
