"""What a multimeter or a test lamp shows in a harness: the instrument is part of the circuit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from model.circuit.build_parts import build_netlist
from model.circuit.condition import Condition, require_point, without_supply
from model.circuit.netlist import METER_OHMS, Netlist
from model.circuit.settle import Settled, settle_netlist
from model.harness.harness import Harness
from model.units import SHOWN_OPEN_OHMS

TEST_LAMP_WATTS = 3.0
LEAD_OHMS = 0.2
LIT_SHARE = 0.60
DIM_SHARE = 0.20
_OHMS_SOURCE_VOLTS = 0.2
_OHMS_SOURCE_OHMS = 1000.0


class LampLight(StrEnum):
    """How a test lamp looks."""

    LIT = "lit"
    DIM = "dim"
    DARK = "dark"
    BUZZES = "buzzes"


@dataclass(frozen=True, slots=True)
class LampReading:
    """Volts across a test lamp and how it looks."""

    volts: float
    light: LampLight


def read_volts(
    harness: Harness, condition: Condition, red: str, black: str, *, before: Settled | None = None
) -> float | None:
    """Give the volts that a meter of 10 MΩ shows; None where the circuit buzzes at its probes.

    Parameters
    ----------
    red, black
        Points at which the probes stand.
    before
        The harness settled without the meter: relays start from there, and the first battery has its emf.

    Raises
    ------
    ArgumentError
        Where there is no such point.
    CircuitError
        Where the circuit cannot be as the condition says.
    """
    net, probes = _probed(harness, condition, red, black)
    net.add(*probes, METER_OHMS)
    settled = _settle(net, condition, before)
    return None if settled.unsettled.intersection(probes) else _across(settled, probes)


def read_lamp(
    harness: Harness,
    condition: Condition,
    red: str,
    black: str,
    *,
    watts: float = TEST_LAMP_WATTS,
    before: Settled | None = None,
) -> LampReading:
    """Give how a test lamp looks between two points.

    Parameters
    ----------
    watts
        Power of the lamp at the nominal volts: 3 for a test lamp, 55 for a head lamp in place of a fuse.
    before
        As for :func:`read_volts`.

    Raises
    ------
    ArgumentError
        Where there is no such point.
    CircuitError
        Where the circuit cannot be as the condition says.
    """
    net, probes = _probed(harness, condition, red, black)
    nominal_volts = harness.build.nominal_volts
    net.add_lamp(probes, nominal_volts**2 / watts, nominal_volts, "")
    settled = _settle(net, condition, before)
    volts = abs(_across(settled, probes))
    if settled.unsettled.intersection(probes):
        return LampReading(volts, LampLight.BUZZES)
    return LampReading(volts, lamp_light(volts, nominal_volts))


def _settle(net: Netlist, condition: Condition, before: Settled | None) -> Settled:
    return settle_netlist(net, condition, before=before, first_emf=None if before is None else before.first_emf)


def _across(settled: Settled, probes: tuple[int, int]) -> float:
    red, black = probes
    return float(settled.relaxed.volts[red] - settled.relaxed.volts[black])


def lamp_light(volts: float, nominal_volts: float) -> LampLight:
    """Say how a lamp looks at some volts: lit from 60 % of nominal, dim from 20 %."""
    if volts >= LIT_SHARE * nominal_volts:
        return LampLight.LIT
    return LampLight.DIM if volts >= DIM_SHARE * nominal_volts else LampLight.DARK


def read_ohms(harness: Harness, condition: Condition, red: str, black: str, *, nulled: bool = True) -> float | None:
    """Give the ohms that a meter shows with the battery's clamps off; None where it shows open.

    Batteries and chargers are open and filaments cold. The meter's volts are too few for leds and diodes; what it
    shows through those or through a module is not to be relied on.

    Parameters
    ----------
    nulled
        False where the 0.2 Ω of the leads are in the reading.

    Raises
    ------
    ArgumentError
        Where there is no such point.
    """
    condition = without_supply(harness, condition)
    net, (red_node, black_node) = _probed(harness, condition, red, black)
    source = net.add(black_node, red_node, _OHMS_SOURCE_OHMS, emf_volts=_OHMS_SOURCE_VOLTS)
    settled = settle_netlist(net, condition)
    amps, across = float(settled.relaxed.amps[source]), _across(settled, (red_node, black_node))
    if amps * SHOWN_OPEN_OHMS <= across:
        return None
    return max(across / amps, 0.0) + (0.0 if nulled else LEAD_OHMS)


def _probed(harness: Harness, condition: Condition, red: str, black: str) -> tuple[Netlist, tuple[int, int]]:
    """Build a netlist that an instrument is added to, and number the points of its probes."""
    names = [require_point(harness, point, condition).name for point in (red, black)]
    net = build_netlist(harness, condition)
    return net, (net.index[names[0]], net.index[names[1]])
