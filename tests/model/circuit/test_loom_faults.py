"""Every single fault of a whole loom at once: as each circuit built with its fault and settled alone."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from model.circuit.bench import Bench
from model.circuit.build_parts import build_netlist
from model.circuit.cases import Cases
from model.circuit.condition import Condition
from model.circuit.fault_sites import every_fault, fault_sites
from model.circuit.faults import FaultKind, fault_kinds
from model.circuit.loom_faults import LoomFaults
from model.circuit.settle import Settled, settle_netlist
from model.circuit.survey import load_amps, load_volts
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from tests.benchmarks.looms import loom_text
from tests.model.circuit.many_harness import mixed

DEMO_BUILDS = Path(__file__).parents[3] / "demo_builds"
SAME = 1e-6


@cache
def loom() -> Harness:
    """Read a loom that falls into areas."""
    return read_harness_text(loom_text(450), "loom")


def differing(harness: Harness, key: str, count: int, *, of: int | None = None) -> list[str]:
    """Say in what some faults differ from being settled alone; those that may end in two ways, by their plain end.

    Parameters
    ----------
    count
        How many are compared.
    of
        How many are simulated; all where it is not given.
    """
    chance = random.Random(f"{count} {key}")
    every = every_fault(harness)
    faults = every if of is None else chance.sample(every, of)
    table = LoomFaults(Bench(harness), faults)
    cases = table.cases(Condition(key))
    found: list[str] = []
    for number in chance.sample(range(1, len(faults) + 1), count):
        spelled = faults[number - 1].spelled()
        try:
            alone = _alone(table, harness, Condition(key, (), table.variants[number].faults))
        except CircuitError:
            continue
        case = int(np.flatnonzero(cases.variant == number)[0])
        if not alone.buzzing:
            found += [f"{spelled}: {line}" for line in _unlike(cases, case, alone)]
    return found


def _alone(table: LoomFaults, harness: Harness, condition: Condition) -> Settled:
    """Settle a faulty circuit alone, with a microohm at each terminal as it is there."""
    return settle_netlist(build_netlist(harness, condition, split=table.split), condition)


def _unlike(cases: Cases, case: int, alone: Settled) -> list[str]:
    found = [f"relay {name}" for name, pulled in alone.relays.items() if bool(cases.relay(name)[case]) is not pulled]
    if cases.blown[case] != set(alone.blown):
        found.append(f"blown {sorted(cases.blown[case])}, not {alone.blown}")
    if abs(float(cases.posts_volts[case]) - alone.posts_volts) > SAME:
        found.append(f"posts {cases.posts_volts[case]}, not {alone.posts_volts}")
    for one in alone.net.elements:
        volts, amps = (float(figures[case]) for figures in cases.element(one.element.name))
        if abs(volts - load_volts(alone, one)) > SAME or abs(amps - load_amps(alone, one)) > 10 * SAME:
            found.append(f"{one.element.name} {volts} V {amps} A, not {load_volts(alone, one)} {load_amps(alone, one)}")
    return found


def test_the_faults_of_a_loom_agree_with_each_settled_alone() -> None:
    """Five panels, every kind of fault that names no partner: relays, fuses, posts, volts and amperes of all loads."""
    assert differing(loom(), "ignition", 6, of=120) == []


@pytest.mark.slow
@pytest.mark.parametrize("key", ["off", "running"])
def test_many_faults_of_a_loom_agree_with_each_settled_alone(key: str) -> None:
    """Of all of them at once."""
    assert differing(loom(), key, 15) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", ["field_tractor", "harbour_launch", "trail_buggy"])
def test_the_faults_of_the_demo_builds_agree_with_each_settled_alone(name: str) -> None:
    """In the last key state, which has most on."""
    harness = read_harness(DEMO_BUILDS / f"{name}.toml")
    assert differing(harness, harness.key_names[-1], 10) == []


def test_every_part_and_wire_is_among_the_sites() -> None:
    """Whatever can be faulty is named once: a part of every kind, its terminals, contacts and elements."""
    harness = mixed()
    sites = list(fault_sites(harness))
    assert len(sites) == len(set(sites))
    assert {part.id for part in harness.each_part()} <= set(sites)
    assert {"K1:30-87", "K1:coil", "K1.87", "S2:B-1", "E9:dip", "E1:load", "X1.4", "X1.1/2", "G1.+", "A1:out"} <= set(
        sites
    )


def test_every_kind_of_fault_without_a_partner_is_listed() -> None:
    """High ones in three sizes; what touches, and what lies elsewhere, is not listed."""
    harness = mixed()
    faults = every_fault(harness)
    assert {fault.kind for fault in faults} == set(FaultKind) - {FaultKind.TOUCHES, FaultKind.ELSEWHERE}
    assert len([fault for fault in faults if fault.site == "W3" and fault.kind is FaultKind.HIGH]) == 3
    assert all(fault.kind in fault_kinds(harness, fault.site) for fault in faults)
