"""The most amperes of every fuse of the demo builds, and what dies without it, beside ngspice in the same condition."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import OUT
from model.harness.harness import all_elements
from model.harness.toml_file import read_harness
from model.review.fuse_use import fuse_review
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_settle import load

DEMO_BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))
AGREE_AMPS = 0.01


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=lambda path: path.stem)
def test_the_amperes_of_every_fuse_are_those_of_ngspice(path: Path, ngspice: Ngspice) -> None:
    """In the condition that the review names each fuse carries the same, within 10 mA and a thousandth."""
    bench = load(path, ngspice)
    conditions: dict[tuple[str, tuple[tuple[str, str], ...]], dict[str, float]] = {}
    for use in fuse_review(Bench(read_harness(path))):
        assert use.most is not None
        condition = use.most.condition
        key = (condition.key, condition.settings)
        if key not in conditions:
            conditions[key] = bench.settle(condition.key, condition.by_name).fuses
        assert use.most.amps == pytest.approx(abs(conditions[key][use.fuse.id]), rel=1e-3, abs=AGREE_AMPS)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("name", ["field_tractor", "trail_buggy"])
def test_what_dies_with_a_fuse_out_is_dead_in_ngspice(name: str, ngspice: Ngspice) -> None:
    """Of every second fuse: each load told dead has under a quarter of its volts there with the fuse out."""
    path = next(one for one in DEMO_BUILDS if one.stem == name)
    bench, harness = load(path, ngspice), read_harness(path)
    at_volts = {element.name: element.at_volts for element in all_elements(harness)}
    for use in fuse_review(Bench(harness))[::2]:
        for pulled in use.pulled[:1]:
            found = bench.settle(pulled.condition.key, {**pulled.condition.by_name, use.fuse.id: OUT})
            for element in pulled.dies:
                assert abs(found.loads[element][0]) < 0.25 * at_volts[element], (use.fuse.id, element)
