"""What instruments show on a harness that ngspice settles: meter, lamp and ohmmeter are branches of the circuit."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from tests.against_ngspice.spice_branches import Branch, Kind
from tests.against_ngspice.spice_builder import Fault
from tests.against_ngspice.spice_readout import Settled
from tests.against_ngspice.spice_settle import Bench

METER_OHMS = 10e6
JUMPER_OHMS = 0.01
OHMMETER_VOLTS = 0.2
OHMMETER_OHMS = 1000.0
OPEN_FROM_OHMS = 50e6


@dataclass(frozen=True)
class Standing:
    """A condition as the second solver is asked for it."""

    key: str
    settings: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, Fault] = field(default_factory=dict)


def settle(bench: Bench, standing: Standing, *laid: Branch) -> Settled:
    """Settle a condition, with what is laid between points of the harness."""
    return bench.settle(standing.key, standing.settings, standing.faults, laid=laid)


def jumper(one: str, other: str) -> Branch:
    """Return a jumper between two points."""
    return Branch("jumper", Kind.OHMS, one, other, ohms=JUMPER_OHMS)


def volts(bench: Bench, standing: Standing, red: str, black: str) -> float | None:
    """Return the volts that a meter of 10 MΩ shows, None where the circuit buzzes at its probes."""
    red, black = bench.harness.end(red), bench.harness.end(black)
    return settle(bench, standing, Branch("meter", Kind.OHMS, red, black, ohms=METER_OHMS)).across(red, black)


def lamp_volts(bench: Bench, standing: Standing, red: str, black: str, watts: float) -> float | None:
    """Return the volts across a lamp held between two points, None where they never rest."""
    red, black = bench.harness.end(red), bench.harness.end(black)
    nominal_volts = bench.harness.nominal_volts
    lamp = Branch("lamp in hand", Kind.LAMP, red, black, nominal_volts**2 / watts, nominal_volts)
    across = settle(bench, standing, lamp).across(red, black)
    return None if across is None else abs(across)


def ohms(bench: Bench, standing: Standing, red: str, black: str) -> float:
    """Return the ohms between two points with every battery and charger out, infinite where open."""
    red, black = bench.harness.end(red), bench.harness.end(black)
    supplies = [row["id"] for table in ("batteries", "chargers") for row in bench.harness.rows(table)]
    without = replace(standing, settings={**standing.settings, **dict.fromkeys(supplies, "out")})
    meter = Branch("ohmmeter", Kind.SOURCE, red, black, OHMMETER_OHMS, OHMMETER_VOLTS)
    across = settle(bench, without, meter).across(red, black) or 0.0
    amps = (OHMMETER_VOLTS - across) / OHMMETER_OHMS
    return max(across / amps, 0.0) if amps * OPEN_FROM_OHMS > across else math.inf
