"""A circuit with what the user has put into it for a check: a jumper, a lamp in place of a fuse, the supply off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.build_parts import build_netlist
from model.circuit.condition import Condition, without_supply
from model.circuit.netlist import Netlist
from model.harness.harness import Harness
from model.harness.points import resolve_point

JUMPER_OHMS = 0.01


@dataclass(frozen=True, slots=True)
class Setup:
    """A condition, and what the user has put into the circuit.

    Attributes
    ----------
    jumper
        Two points that a fused wire joins, or None.
    lamp
        Red point, black point and watts at the nominal volts of a lamp that is part of the circuit, or None.
    powered
        False where all batteries and chargers are disconnected.
    """

    condition: Condition
    jumper: tuple[str, str] | None = None
    lamp: tuple[str, str, float] | None = None
    powered: bool = True

    def without_supply(self, harness: Harness) -> Condition:
        """Give the condition, with batteries and chargers out where it is not powered."""
        if self.powered:
            return self.condition
        return without_supply(harness, self.condition)


def build_setup(
    bench: Bench, setup: Setup, *, split: frozenset[str] = frozenset(), blown: frozenset[str] = frozenset()
) -> Netlist:
    """Build the netlist of a setup; fuses that have blown before are open and blow no more."""
    harness = bench.harness
    net = build_netlist(harness, setup.without_supply(harness), split=split)
    for link in net.fuses:
        if link.part_id in blown:
            net.ohms[link.branch] = math.inf
    net.fuses = [link for link in net.fuses if link.part_id not in blown]
    if setup.jumper is not None:
        one, other = (net.index[resolve_point(harness, point)] for point in setup.jumper)
        net.add(one, other, JUMPER_OHMS)
    if setup.lamp is not None:
        red, black, watts = setup.lamp
        nominal_volts = harness.build.nominal_volts
        ends = net.index[resolve_point(harness, red)], net.index[resolve_point(harness, black)]
        net.add_lamp(ends, nominal_volts**2 / watts, nominal_volts, "")
    return net
