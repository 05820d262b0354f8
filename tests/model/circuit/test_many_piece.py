"""Faults of a large loom simulated in the piece that they are in: as in the whole, and as settled one by one."""

from __future__ import annotations

import random
import tracemalloc
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import model.circuit.many_faults
from model.circuit.arrays import FloatArray
from model.circuit.bench import Bench
from model.circuit.build_parts import build_netlist
from model.circuit.cases import Cases, Variant
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, part_of_site
from model.circuit.instrumented import Setup
from model.circuit.many_areas import areas_of
from model.circuit.many_faults import FaultBench
from model.harness.harness import Harness, all_elements
from model.harness.toml_file import read_harness, read_harness_text
from tests.benchmarks.looms import loom_text
from tests.model.circuit.many_rig import disagreements, every_fault
from tests.model.tracing.rigs import rig

DEMO_BUILDS = Path(__file__).parents[3] / "demo_builds"
SAME_VOLTS = 1e-6
SOME_POINTS = 6


@cache
def loom() -> Harness:
    """Read a loom of five panels."""
    return read_harness_text(loom_text(450), "loom")


@cache
def _faults() -> list[Fault]:
    return every_fault(loom(), 5)


def variants(count: int, panel: int | None = 2) -> list[Variant]:
    """Draw faults of the parts in one panel, of its wires and of the supply; of the whole loom without a panel."""
    harness = loom()
    places = {f"{place} {panel}" for place in ("box", "sill", "dash", "near end", "far end", "frame")}
    own = {part.id for part in harness.each_part() if getattr(part, "location", "") in places | {"battery tray 0"}}
    own |= {wire.id for wire in harness.wires if part_of_site(wire.from_point or "") in own}
    faults = [one for one in _faults() if panel is None or part_of_site(one.site) in own]
    return [Variant(), *(Variant((fault,)) for fault in random.Random(count).sample(faults, count))]


def told(cases: Cases, points: list[str]) -> tuple[list[tuple[object, ...]], FloatArray]:
    """Give what each case is, in an order that does not depend on how it was found, and its figures."""
    harness = loom()
    relays = np.array([cases.relay(relay.id) for relay in harness.relays]).T.tolist()
    found: list[tuple[object, ...]] = [
        (variant, sorted(blown), pulled)
        for variant, blown, pulled in zip(cases.variant.tolist(), cases.blown, relays, strict=True)
    ]
    order = sorted(range(len(found)), key=lambda case: str(found[case]))
    figures = [cases.posts_volts, *(cases.fuse_amps(fuse.id) for fuse in harness.fuses)]
    figures += [row for one in list(all_elements(harness))[::7] for row in cases.element(one.name)]
    figures += [cases.volts(point, "G1.-") for point in points]
    figures += [np.minimum(cases.source_ohms(point, "G1.-"), 1e3) for point in points[:3]]
    return [found[case] for case in order], np.array(figures)[:, order]


def test_a_loom_falls_into_areas_at_the_body_and_a_few_buses() -> None:
    """Everything but those nodes is in an area of at most 400 nodes, and a relay is in one with what it moves."""
    net = build_netlist(loom(), Condition("running"))
    areas = areas_of(net)
    assert areas is not None
    assert "CHASSIS" in {net.names[node] for node in areas.meeting}
    inside = areas.area[areas.area >= 0]
    assert len(inside) == len(net.names) - len(areas.meeting)
    assert np.bincount(inside).max() <= 400
    assert areas.area[net.index["K3.85"]] == areas.area[net.index["K3.87"]]


def test_a_relay_of_thousands_of_contacts_is_tied_together_once() -> None:
    """Its terminals hang together by the relay itself: tied each with each they would take gigabytes."""
    names = ", ".join(f'"t{number}"' for number in range(4000))
    rows = f'relays = [ {{ id = "K1", contacts = {{ rest = [[{names}]], pulled = [] }} }} ]\n'
    net = build_netlist(rig(rows), Condition("off"))
    tracemalloc.start()
    areas = areas_of(net)
    peak_bytes = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert areas is None
    assert peak_bytes < 20_000_000


@pytest.mark.parametrize("words", ["ignition", pytest.param("running S4=on S5=on", marks=pytest.mark.slow)])
def test_a_piece_is_told_as_the_whole(words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Relays, fuses, volts within a microvolt, amperes: of parts in the piece and outside, of supply faults too."""
    key, *settings = words.split()
    condition = Condition(key, tuple(tuple(one.split("=")) for one in settings))  # type: ignore[misc]
    some = variants(60)
    points = sorted({point for one in some for fault in one.faults for point in _ends(fault)})[:SOME_POINTS]
    piece = told(FaultBench(Bench(loom()), some, points).cases(condition), points)
    monkeypatch.setattr(model.circuit.many_faults, "piece_of", lambda *_: None)
    whole = told(FaultBench(Bench(loom()), some, points).cases(condition), points)
    assert piece[0] == whole[0]
    assert np.abs(piece[1] - whole[1]).max() < SAME_VOLTS


def _ends(fault: Fault) -> tuple[str, ...]:
    wire = next((one for one in loom().wires if one.id == fault.site), None)
    return () if wire is None or wire.from_point is None else (wire.from_point,)


def test_a_relay_fed_by_a_relay_elsewhere_pulls_in_a_step_later() -> None:
    """A coil's wire lies on a bus behind another panel's relay: nothing is at rest while that one still moves."""
    coil = next(one for one in loom().wires if one.from_point == "BBkey" and (one.to_point or "").startswith("K2."))
    moved = Variant((Fault(f"{coil.id}.a", FaultKind.ELSEWHERE, "BB1ign"),))
    cases = FaultBench(Bench(loom()), [Variant(), moved], ()).cases(Condition("ignition"))
    assert cases.relay("K2").tolist() == [1, 1]


@pytest.mark.slow
def test_a_loom_that_nothing_joins_to_the_rest_is_a_piece_of_its_own() -> None:
    """Plugs with hundreds of unused cavities: every contact is an area by itself, and no node is met at."""
    text = (DEMO_BUILDS / "trail_buggy.toml").read_text(encoding="utf-8")
    text = text.replace("connectors = [", 'connectors = [\n  { id = "X99", cavities = 900 },', 1)
    harness = read_harness_text(text, "buggy")
    net = build_netlist(harness, Condition("ignition"))
    areas = areas_of(net)
    assert areas is not None
    assert areas.meeting == ()
    some = [Variant(), *(Variant((one,)) for one in every_fault(harness, 5)[:300])]
    assert disagreements(harness, random.Random(1).sample(some, 20), Setup(Condition("ignition")), reads=1) == []
    spread_volts = FaultBench(Bench(harness), some, ()).cases(Condition("ignition")).spread_volts("F1.out", "G1.-")
    plain = read_harness(DEMO_BUILDS / "trail_buggy.toml")
    of_plain = FaultBench(Bench(plain), some, ()).cases(Condition("ignition")).spread_volts("F1.out", "G1.-")
    assert spread_volts == pytest.approx(of_plain, abs=1e-6)


def test_probes_outside_the_piece_are_solved_whole() -> None:
    """A point that nobody named beforehand, in another panel, reads what it does in the whole circuit."""
    cases = FaultBench(Bench(loom()), variants(20), ()).cases(Condition("ignition"))
    assert cases.volts("BB4live", "G1.-")[0] == pytest.approx(12.7, abs=0.05)
    assert len(cases.ohms("BB4live", "G1.-")) == len(cases.variant)


@pytest.mark.slow
@pytest.mark.parametrize("panel", [1, 3])
def test_a_piece_is_told_as_settled_one_by_one(panel: int) -> None:
    """Every case as the circuit built with the fault and settled alone."""
    assert disagreements(loom(), variants(25, panel), Setup(Condition("running")), reads=1) == []
