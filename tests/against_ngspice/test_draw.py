"""The draw with the key off beside what ngspice gives: through every fuse, out of every battery, sound and faulty."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.harness.toml_file import read_harness
from model.plans.draw_plan import draw_plan
from model.review.draw import draw_review
from model.review.draw_flow import Flow
from tests.against_ngspice import spice_instruments
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.ngspice_vehicle import standing_of
from tests.against_ngspice.spice_settle import Bench as SpiceBench
from tests.against_ngspice.spice_settle import load

DEMO_BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))
AGREE_AMPS = 5e-5
AGREE_MILLIVOLTS = 0.02
STUCK = {"trail_buggy": ("K5:30-87", "S17:1-case"), "field_tractor": ("S2:BT-T",), "harbour_launch": ("S21:1-2",)}


def named(path: Path) -> str:
    """Name a test after the file it is about."""
    return path.stem


def fuse_amps(bench: SpiceBench, condition: Condition) -> dict[str, float]:
    """Give the size of the current through every fuse by ngspice."""
    found = spice_instruments.settle(bench, standing_of(condition))
    return {name: abs(amps) for name, amps in found.fuses.items()}


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_each_fuse_draws_what_ngspice_gives(path: Path, ngspice: Ngspice) -> None:
    """Awake and asleep, to a twentieth of a milliampere and a thousandth."""
    bench, spice = Bench(read_harness(path)), load(path, ngspice)
    review = draw_review(bench)
    awake, asleep = (fuse_amps(spice, condition) for condition in (review.awake, review.asleep))
    for draw in review.fuses:
        assert abs(draw.awake_amps) == pytest.approx(awake.get(draw.fuse_id, 0.0), abs=AGREE_AMPS, rel=1e-3)
        assert abs(draw.asleep_amps) == pytest.approx(asleep.get(draw.fuse_id, 0.0), abs=AGREE_AMPS, rel=1e-3)


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_a_hidden_draw_stands_across_the_fuses_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """With a contact stuck the millivolts that the rows would read, red and black as they say, agree to 0.02 mV."""
    harness, spice = read_harness(path), load(path, ngspice)
    rows = [row for row in draw_plan(harness).rows if row.fuse is not None]
    for site in STUCK[path.stem]:
        condition = replace(rows[0].condition, faults=(Fault(site, FaultKind.STUCK),))
        flow = Flow(Bench(harness).survey(condition).settled)
        found = spice_instruments.settle(spice, standing_of(condition))
        assert max(map(abs, flow.fuse_amps.values())) > 0.1
        for row in rows:
            red, black = (spice.harness.end(point) for point in (row.red, row.black))
            across, fuse = found.across(red, black), row.covers[0]
            ohms = row.fuse.cold_ohms if row.fuse is not None else 0.0
            expect = 0.0 if across is None else 1000.0 * across
            assert 1000.0 * flow.fuse_amps[fuse] * ohms == pytest.approx(expect, abs=AGREE_MILLIVOLTS, rel=1e-3), fuse
