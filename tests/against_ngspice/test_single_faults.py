"""Single faults of the trail buggy against ngspice: open, high and to body at every site that has them."""

import os
import random
from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from tests.against_ngspice.compare import Asked, all_differences
from tests.against_ngspice.conditions import combinations, single_faults
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_harness import Harness
from tests.against_ngspice.spice_settle import load

TRAIL_BUGGY = Path(__file__).parents[2] / "demo_builds" / "trail_buggy.toml"
TOLERANCE_VOLTS = 0.010
KINDS = ("open", "high", "to body")
FEW, SAMPLE = 40, 200
SEED = 8820


def faulty_conditions(harness: Harness) -> list[Asked]:
    """Return every single fault in each key state at rest, and once more with several things worked."""
    faults = [(site, kind) for site, kind in single_faults(harness) if kind in KINDS]
    worked = combinations(harness, len(faults), SEED)
    at_rest = [Asked(key, {}, {site: kind}) for site, kind in faults for key in harness.key_states]
    return at_rest + [
        Asked(key, settings, {site: kind}) for (key, settings), (site, kind) in zip(worked, faults, strict=True)
    ]


def sample(harness: Harness, count: int) -> list[Asked]:
    """Return a sample of the faulty conditions, the same in every run."""
    return random.Random(SEED).sample(faulty_conditions(harness), count)


def test_every_kind_of_site_has_its_faults(ngspice: Ngspice) -> None:
    """Wires, contacts, terminals, coils, grounds and elements are all among them; none stands twice."""
    found = single_faults(load(TRAIL_BUGGY, ngspice).harness)
    sites = {site for site, _ in found}
    assert len(found) == len(set(found))
    assert {"W1", "F1", "K2:coil", "K2.87", "GND1", "G1", "A1:pump", "A1.31"} <= sites


@pytest.mark.slow
def test_few_single_faults_settle_as_in_ngspice(ngspice: Ngspice) -> None:
    """A fixed few agree within 10 mV at every point."""
    bench = load(TRAIL_BUGGY, ngspice)
    every = sample(bench.harness, FEW)
    assert all_differences(read_harness(TRAIL_BUGGY), bench, every, TOLERANCE_VOLTS) == []


@pytest.mark.slow
def test_single_faults_settle_as_in_ngspice(ngspice: Ngspice, request: pytest.FixtureRequest) -> None:
    """A fixed sample agrees within 10 mV; all of them with --every-fault, or EVERY_FAULT set."""
    bench = load(TRAIL_BUGGY, ngspice)
    take_all = request.config.getoption("--every-fault") or bool(os.environ.get("EVERY_FAULT"))
    every = faulty_conditions(bench.harness) if take_all else sample(bench.harness, SAMPLE)
    assert all_differences(read_harness(TRAIL_BUGGY), bench, every, TOLERANCE_VOLTS) == []
