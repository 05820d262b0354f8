"""Every demo build against ngspice: volts, what floats, relays and fuses, over key states and settings."""

from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from tests.against_ngspice.compare import Asked, all_differences
from tests.against_ngspice.conditions import combinations, one_at_a_time, spread
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_settle import load

DEMO_BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))
TOLERANCE_VOLTS = 0.001
LEAST_SETTINGS = 20
SEED = 72552


def named(path: Path) -> str:
    """Name a test after the file it is about."""
    return path.stem


def test_there_are_demo_builds() -> None:
    """The folder is where this module looks for it."""
    assert len(DEMO_BUILDS) >= 3


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_demo_build_settles_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Every key state, every position of everything that is worked, and combinations agree within 1 mV."""
    bench = load(path, ngspice)
    conditions = spread(bench.harness, LEAST_SETTINGS, SEED)
    assert sum(bool(settings) for _, settings in conditions) >= LEAST_SETTINGS
    assert {key for key, _ in conditions} == set(bench.harness.key_states)
    every = [Asked(key, settings) for key, settings in conditions]
    assert all_differences(read_harness(path), bench, every, TOLERANCE_VOLTS) == []


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_demo_build_settles_as_in_ngspice_in_every_position(path: Path, ngspice: Ngspice) -> None:
    """Every position in every key state and a hundred combinations, pulled parts and loose ends among them."""
    bench = load(path, ngspice)
    conditions = one_at_a_time(bench.harness) + combinations(bench.harness, 100, SEED + 1)
    every = [Asked(key, settings) for key, settings in conditions]
    assert all_differences(read_harness(path), bench, every, TOLERANCE_VOLTS) == []


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_posts_are_sought_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """With 3 % less across the posts than at rest the emf is found, and all points agree."""
    bench = load(path, ngspice)
    harness = read_harness(path)
    key = next(iter(bench.harness.key_states))
    first = bench.harness.rows("batteries")[0]["id"]
    at_rest = bench.settle(key).points
    posts_volts = round(0.97 * (at_rest[f"{first}.+"] - at_rest[f"{first}.-"]), 2)
    asked = Asked(key, posts_volts=posts_volts)
    assert all_differences(harness, bench, [asked], TOLERANCE_VOLTS) == []
    settled = bench.settle(key, posts_volts=posts_volts).points
    assert settled[f"{first}.+"] - settled[f"{first}.-"] == pytest.approx(posts_volts, abs=1e-4)
