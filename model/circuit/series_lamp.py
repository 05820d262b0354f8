"""A lamp in series with a battery: what it shows, so that a loom is first powered with little current."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from model.circuit.build import TOUCH_OHMS
from model.circuit.build_parts import build_netlist
from model.circuit.condition import Condition, require_point
from model.circuit.live_part import live_part
from model.circuit.meter import LampLight, lamp_light
from model.circuit.netlist import METER_OHMS, Netlist
from model.circuit.relax import COLD_SHARE, LAMP_EXPONENT
from model.circuit.settle import Settled, settle_netlist
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.parts import Battery


@dataclass(frozen=True, slots=True)
class SeriesLamp:
    """What a lamp in series with a battery shows.

    Attributes
    ----------
    volts, amps
        Across the lamp and through it, whichever way.
    light
        How it looks.
    settled
        The circuit with the lamp in it, without what no current reaches.
    ends
        Nodes of the lamp: on the battery's own side, and on the loom's.
    """

    volts: float
    amps: float
    light: LampLight
    settled: Settled
    ends: tuple[int, int]

    def read_volts(self, red: str, black: str) -> float:
        """Give the volts from one point to another while the lamp is in."""
        index = self.settled.net.index
        return float(self.settled.relaxed.volts[index[red]] - self.settled.relaxed.volts[index[black]])


def read_series_lamp(
    harness: Harness,
    condition: Condition,
    post: str,
    watts: float,
    *,
    touching: tuple[str, str] | None = None,
    probes: tuple[str, str] | None = None,
    points: Iterable[str] = (),
    other_ohms: Mapping[str, float] | None = None,
) -> SeriesLamp:
    """Put a lamp between a battery post and all that is clamped to it, and give what it shows.

    Parameters
    ----------
    condition
        The posts' volts in it do not count: the battery has its own emf.
    post
        ``G1.+``; of a chain in series its live end.
    watts
        Power of the lamp at the nominal volts.
    touching
        Two points that lie against each other, over 0.01 Ω.
    probes
        Two points that a meter of 10 MΩ stands on.
    points
        Points whose volts are wanted in the circuit that is given: it has no others than those that current can reach.
    other_ohms
        Names of elements that are no lamps → what they resist in place of what they are rated at.

    Raises
    ------
    ArgumentError
        Where the post is none of a battery, or there is no such point.
    CircuitError
        Where the circuit cannot be as the condition says.
    """
    net = build_netlist(harness, condition)
    _put_ohms(net, other_ohms or {})
    ends = _insert_lamp(net, post, watts)
    wanted = [*ends, *_nodes(net, condition, points)]
    for pair, ohms in ((touching, TOUCH_OHMS), (probes, METER_OHMS)):
        if pair is not None:
            one, other = _nodes(net, condition, pair)
            net.add(one, other, ohms)
            wanted += (one, other)
    net = live_part(net, ends[0], wanted)
    ends = net.index[f"{post} behind the lamp"], net.index[post]
    return _shown(settle_netlist(net, replace(condition, posts_volts=None)), ends)


def lamp_volts(amps: float, watts: float, nominal_volts: float) -> float:
    """Give the volts across a lamp at some amperes by the law of its filament, cold under a few hundredths of a volt.

    Parameters
    ----------
    watts
        Power of the lamp at the nominal volts.
    """
    rated_amps = watts / nominal_volts
    cold_volts = amps * COLD_SHARE * nominal_volts / rated_amps
    return max(cold_volts, nominal_volts * math.pow(amps / rated_amps, 1.0 / LAMP_EXPONENT))


def _put_ohms(net: Netlist, other_ohms: Mapping[str, float]) -> None:
    for placed in net.elements:
        for branch in placed.branches if placed.element.name in other_ohms else ():
            net.ohms[branch] = other_ohms[placed.element.name]


def _nodes(net: Netlist, condition: Condition, points: Iterable[str]) -> list[int]:
    return [net.index[require_point(net.harness, point, condition).name] for point in points]


def _shown(settled: Settled, ends: tuple[int, int]) -> SeriesLamp:
    """Read the lamp that was put in last."""
    net, (inner, outer) = settled.net, ends
    volts = abs(float(settled.relaxed.volts[inner] - settled.relaxed.volts[outer]))
    amps = abs(float(settled.amps[net.lamps[-1].branch]))
    light = (
        LampLight.BUZZES if settled.unsettled.intersection(ends) else lamp_light(volts, net.harness.build.nominal_volts)
    )
    return SeriesLamp(volts, amps, light, settled, ends)


def _insert_lamp(net: Netlist, post: str, watts: float) -> tuple[int, int]:
    """Take what is inside a battery off its post and put a lamp between; give the lamp's nodes."""
    harness = net.harness
    battery_id, _, sign = post.partition(".")
    if not isinstance(harness.parts.get(battery_id), Battery) or sign not in ("+", "-"):
        raise ArgumentError(f"“{post}” is no post of a battery.", do="Name one such as G1.+.")
    outer = net.index[post]
    inner = net.node(f"{post} behind the lamp")
    for branch, site in enumerate(net.sites):
        if site == battery_id:
            net.one[branch] = inner if net.one[branch] == outer else net.one[branch]
            net.other[branch] = inner if net.other[branch] == outer else net.other[branch]
    if outer in net.posts:
        net.posts = (inner, net.posts[1]) if net.posts[0] == outer else (net.posts[0], inner)
    nominal_volts = harness.build.nominal_volts
    net.add_lamp((inner, outer), nominal_volts**2 / watts, nominal_volts, "")
    return inner, outer
