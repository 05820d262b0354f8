"""What is live with the key off, beside what ngspice gives: the points over a tenth of a volt, and none besides."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from model.circuit.bench import Bench as ModelBench
from model.circuit.condition import make_condition
from model.harness.toml_file import read_harness
from model.review.live_points import LIVE_VOLTS, live_points
from model.review.live_review import live_review
from model.sheets.live_json import live_json
from tests.against_ngspice.conditions import WORKED, NamedCondition, settable
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_harness import Harness, load_harness
from tests.against_ngspice.spice_settle import load
from tests.benchmarks.looms import loom_text

DEMO_BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))
AGREE_VOLTS = 0.001
SETTINGS = 10
SEED = 4411


def named(path: Path) -> str:
    """Name a test after the file it is about."""
    return path.stem


def key_off(harness: Harness, count: int, seed: int) -> list[NamedCondition]:
    """Give conditions with the key in its first state: at rest, then with several things set, pulled or off."""
    draw = random.Random(seed)
    choices = settable(harness)
    worked = [name for name in choices if harness.table_of[name.partition(".")[0]] in WORKED]
    pulled = [name for name in choices if name not in worked]
    key = next(iter(harness.key_states))
    found: list[NamedCondition] = [(key, {})]
    while len(found) < count:
        names = draw.sample(worked, min(len(worked), draw.randint(1, 4)))
        names += draw.sample(pulled, min(len(pulled), draw.randint(0, 3)))
        found.append((key, {name: draw.choice(choices[name]) for name in names}))
    return found


def unlike(path: Path, ngspice: Ngspice, count: int, seed: int) -> list[str]:
    """Say which points are live in one and not in the other, or have other volts, over some conditions of a file."""
    bench, rig = load(path, ngspice), read_harness(path)
    model = ModelBench(rig)
    lines: list[str] = []
    for key, settings in key_off(bench.harness, count, seed):
        condition = make_condition(rig, key, tuple(f"{name}={choice}" for name, choice in settings.items()))
        points = live_json(live_review(model, condition))["points"]
        spice = bench.settle(key, settings).points
        wanted = {name: volts for name, volts in spice.items() if abs(volts) > LIVE_VOLTS}
        for name in sorted(points.keys() | wanted.keys()):
            there = spice.get(name, 0.0)
            here = points.get(name, 0.0)
            at_the_border = abs(abs(there) - LIVE_VOLTS) < AGREE_VOLTS
            if abs(here - there) > AGREE_VOLTS and not at_the_border:
                lines.append(f"{settings}: {name} is {here:.4f} V here, {there:.4f} V in ngspice")
    return lines


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_the_live_points_with_the_key_off_are_those_of_ngspice(path: Path, ngspice: Ngspice) -> None:
    """At rest and in nine settings more, plugs apart, fuses pulled and wires off among them, each within 1 mV."""
    assert unlike(path, ngspice, SETTINGS, SEED) == []


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_the_settings_change_what_is_live(path: Path) -> None:
    """Among the ten settings of a build at least four have other points live: the comparison is of more than one."""
    model = ModelBench(read_harness(path))
    found = set()
    for key, settings in key_off(load_harness(path), SETTINGS, SEED):
        condition = make_condition(model.harness, key, tuple(f"{name}={choice}" for name, choice in settings.items()))
        found.add(frozenset(live_points(model.survey(condition)).by_name))
    assert len(found) >= 4


@pytest.mark.parametrize("seed", [3, 8])
def test_the_live_points_of_a_made_loom_are_those_of_ngspice(seed: int, tmp_path: Path, ngspice: Ngspice) -> None:
    """Looms of eighty wires, at rest and in three settings."""
    path = tmp_path / "loom.toml"
    path.write_text(loom_text(80, seed), encoding="utf-8")
    assert unlike(path, ngspice, 4, seed) == []
