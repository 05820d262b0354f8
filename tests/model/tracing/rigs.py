"""Small harnesses for the tests of the walk, each as short as what it shows allows."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import make_condition
from model.circuit.settle import Settled
from model.harness.harness import Harness, all_elements
from model.harness.toml_file import read_harness, read_harness_text
from model.tracing.rows import ToldWalk, tell_walk
from model.tracing.walk import Stretch, Walk, Walker, find_element

DEMO_BUILDS = Path(__file__).parents[3] / "demo_builds"
DEMO_NAMES = ("trail_buggy", "field_tractor", "harbour_launch")
STATES = '{ name = "off" }, { name = "on" }, { name = "running", charging = true }'


def rig(
    rows: str, *, build: str = "nominal_volts = 12", states: str = STATES, batteries: str = '{ id = "G1" }'
) -> Harness:
    """Read a harness: its own rows behind the head that most of them share."""
    head = f'format = 1\nbuild = {{ name = "Rig", {build} }}\nkey_states = [ {states} ]\nbatteries = [ {batteries} ]\n'
    return read_harness_text(head + rows, "rig.toml")


def wires(*ends: str) -> str:
    """Write wires W1, W2, … from pairs of points such as ``G1.+ F1.in``, a metre long each."""
    pairs = [one.split() for one in ends]
    rows = [
        f'{{ id = "W{n}", from = "{one}", to = "{other}", size = 1.5, length = 1.0 }}'
        for n, (one, other) in enumerate(pairs, 1)
    ]
    return f"wires = [ {', '.join(rows)} ]\n"


def demo(name: str) -> Harness:
    """Read a demo build."""
    return read_harness(DEMO_BUILDS / f"{name}.toml")


@cache
def demo_walks(name: str) -> tuple[Harness, tuple[ToldWalk, ...]]:
    """Tell the walk of every load of a demo build, once for all tests."""
    harness = demo(name)
    bench = Bench(harness)
    walker = Walker(bench)
    return harness, tuple(tell_walk(bench, walker.walk(element)) for element in all_elements(harness))


def settled(harness: Harness, *settings: str, key: str | None = None) -> Settled:
    """Settle a harness with what is set."""
    return Bench(harness).survey(make_condition(harness, key, settings)).settled


def walk_of(harness: Harness, load: str) -> Walk:
    """Walk a load."""
    return Walker(Bench(harness)).walk(find_element(harness, load))


def points(stretch: Stretch | None) -> list[str]:
    """Name the points of a stretch in their order."""
    assert stretch is not None
    return [step.point for step in stretch.steps]


def sites(stretch: Stretch | None) -> list[str]:
    """Name what joins each point of a stretch to the one before it."""
    assert stretch is not None
    return [step.link.site for step in stretch.steps if step.link is not None]
