"""What the plans of the first power and of the loads expect, beside what ngspice gives in the same conditions."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.condition import OUT
from model.harness.harness import Harness
from model.harness.metal import wire_points
from model.harness.toml_file import read_harness
from model.plans.first_power import first_power_plan
from model.plans.first_power_scene import FirstPower
from model.plans.loads import loads_plan
from model.plans.plan import LAMP_WATTS, Measure, PlanRow
from tests.against_ngspice import spice_instruments
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.ngspice_vehicle import standing_of
from tests.against_ngspice.spice_branches import Branch, Kind
from tests.against_ngspice.spice_readout import Settled
from tests.against_ngspice.spice_settle import Bench, load

DEMO_BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))
AGREE_VOLTS = 0.002


def named(path: Path) -> str:
    """Name a test after the file it is about."""
    return path.stem


def beyond(harness: Harness, post: str) -> str:
    """Name the point at the far end of the first thing that is clamped to a post: less than a milliohm from it."""
    ends = [(joint.from_point, joint.to_point) for joint in harness.joints]
    ends += [wire_points(harness, wire) for wire in harness.wires]
    return next(other if one == post else one for one, other in ends if post in (one, other))


def lamp_in_series(harness: Harness, bench: Bench, row: PlanRow, post: str) -> tuple[Settled, tuple[str, str]]:
    """Settle a row by ngspice with a lamp between a battery's post and what is clamped to it; give the lamp's ends."""
    standing = standing_of(row.condition)
    apart = replace(standing, faults={**standing.faults, post: "open"})
    nominal_volts = bench.harness.nominal_volts
    ends = (post, beyond(harness, post))
    lamp = Branch("series lamp", Kind.LAMP, *ends, nominal_volts**2 / LAMP_WATTS, nominal_volts)
    return spice_instruments.settle(bench, apart, lamp), ends


def lamp_volts(harness: Harness, bench: Bench, row: PlanRow) -> float:
    """Give the volts across the lamp of a row."""
    found, ends = lamp_in_series(harness, bench, row, row.red)
    across = found.across(*ends)
    assert across is not None
    return abs(across)


def plug_volts(harness: Harness, bench: Bench, row: PlanRow) -> float:
    """Give the volts of a row at the plug of a module that is out, the lamp in series.

    A probe on the live post stands beyond the lamp, on what is clamped to the post.
    """
    banks = FirstPower(harness, LAMP_WATTS).banks
    live = next(bank.live for bank in banks if row.condition.by_name.get(bank.live[:-2]) != OUT)
    found, (_, behind) = lamp_in_series(harness, bench, row, live)
    red, black = (behind if point == live else bench.harness.end(point) for point in (row.red, row.black))
    across = found.across(red, black)
    assert across is not None
    return across


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_the_lamp_shows_what_ngspice_gives(path: Path, ngspice: Ngspice) -> None:
    """Every row of the lamp that rests, and of the volts at unplugged modules, agrees within 2 mV.

    The lamp of the second solver is laid to the next point behind the clamp, less than a milliohm away.
    """
    harness, bench = read_harness(path), load(path, ngspice)
    rows = [row for row in first_power_plan(harness, LAMP_WATTS).rows if row.expect is not None]
    lamps = [row for row in rows if row.measure is Measure.LAMP]
    plugs = [row for row in rows if row.measure is Measure.VOLTS]
    assert len(lamps) >= 12
    assert bool(plugs) is bool(harness.modules)
    read = [(row, lamp_volts(harness, bench, row)) for row in lamps]
    read += [(row, plug_volts(harness, bench, row)) for row in plugs]
    assert [
        f"{row.key}: model {row.expect}, ngspice {found:.4f}"
        for row, found in read
        if abs(found - (row.expect or 0.0)) > AGREE_VOLTS
    ] == []


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_loads_have_the_volts_and_amperes_that_ngspice_gives(path: Path, ngspice: Ngspice) -> None:
    """Every second row of volts, meter and all, agrees within 2 mV, and every row of amperes within a thousandth."""
    harness, bench = read_harness(path), load(path, ngspice)
    plan = loads_plan(harness)
    volts = [row for row in plan.rows if row.measure is Measure.VOLTS][::2]
    amps = [row for row in plan.rows if row.measure is Measure.AMPS]
    assert len(volts) + len(amps) >= 30
    unlike = [line for row in volts if (line := _unlike_volts(bench, row))]
    unlike += [line for row in amps if (line := _unlike_amps(bench, row))]
    assert unlike == []


def _unlike_volts(bench: Bench, row: PlanRow) -> str:
    found = spice_instruments.volts(bench, standing_of(row.condition), row.red, row.black)
    if found is not None and abs(found - (row.expect or 0.0)) <= AGREE_VOLTS:
        return ""
    return f"{row.key}: model {row.expect}, ngspice {found}"


def _unlike_amps(bench: Bench, row: PlanRow) -> str:
    found = abs(spice_instruments.settle(bench, standing_of(row.condition)).fuses[row.covers[0]])
    expect = row.expect or 0.0
    return "" if abs(found - expect) <= 0.001 + 0.001 * expect else f"{row.key}: model {expect}, ngspice {found}"
