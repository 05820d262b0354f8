"""What may be wrong with each load of the demo builds: enough, not too much, and every one of it can be solved."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, fault_kinds, parse_fault
from model.circuit.survey import LoadState
from model.errors import CircuitError
from model.harness.harness import all_elements
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.hypotheses import hypotheses
from model.tracing.suspects import RECORD, UNKNOWN, Hypothesis
from model.tracing.what_if import fault_sites
from model.tracing.working import working_condition
from tests.model.tracing.rigs import DEMO_NAMES, demo

WITH_PARTNERS = (FaultKind.TOUCHES, FaultKind.ELSEWHERE, FaultKind.SWAPPED)


@cache
def bench_of(name: str) -> Bench:
    """Put a demo build on the bench, once for all tests."""
    return Bench(demo(name))


@cache
def dead_loads(name: str, age: LoomAge = LoomAge.NEW) -> dict[str, tuple[Hypothesis, ...]]:
    """Map each load of a build, found dead where it should work, to its hypotheses."""
    bench = bench_of(name)
    return {
        one.name: hypotheses(bench, Complaint((one.name,), age=age), working_condition(bench, one).condition)
        for one in all_elements(bench.harness)
    }


def count_ways(found: tuple[Hypothesis, ...]) -> int:
    """Count the circuits that are to be solved for some hypotheses."""
    return sum(len(one.ways) for one in found)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_each_way_is_a_fault_that_its_site_can_have(name: str) -> None:
    """It is read back from its own spelling; partners are points or wires of the file."""
    harness = demo(name)
    for found in dead_loads(name).values():
        for way in (way for one in found for way in one.ways):
            assert way.kind in fault_kinds(harness, way.site)
            if way.kind is not FaultKind.HIGH:
                assert parse_fault(harness, way.spelled()) == way


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_name_stands_twice_and_the_weights_are_shares(name: str) -> None:
    """One hypothesis a name; together one; each solved in some way but the unknown ones and the record."""
    for found in dead_loads(name).values():
        assert len({one.name for one in found}) == len(found)
        assert sum(one.weight for one in found) == pytest.approx(1.0)
        assert all(bool(one.ways) is (one.fault not in (UNKNOWN, RECORD)) for one in found)
        assert all(one.repair for one in found)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "most"), [("trail_buggy", 1700), ("field_tractor", 600), ("harbour_launch", 1700)])
def test_there_are_not_too_many(name: str, most: int) -> None:
    """As many circuits as can be solved in a second, and no fewer than the parts of a way want."""
    counts = [count_ways(found) for found in dead_loads(name).values()]
    assert max(counts) <= most
    assert min(counts) >= 200


@pytest.mark.slow
@pytest.mark.parametrize("symptom", [Symptom.STAYS_ON, Symptom.WORKS_WITH_ANOTHER])
def test_current_from_beside_is_bounded_too(symptom: Symptom) -> None:
    """Every load of the buggy at rest: no more than 2500 circuits."""
    bench = bench_of("trail_buggy")
    for one in all_elements(bench.harness):
        complaint = Complaint((one.name,), symptom, LoomAge.NEW)
        assert count_ways(hypotheses(bench, complaint, Condition("off"))) <= 2500


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_same_question_gives_the_same_list(name: str) -> None:
    """A harness read anew gives every hypothesis with the same weight in the same order."""
    fresh = Bench(demo(name))
    element = all_elements(fresh.harness)[0]
    condition = working_condition(fresh, element).condition
    again = hypotheses(fresh, Complaint((element.name,), age=LoomAge.NEW), condition)
    assert again == dead_loads(name)[element.name]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "load"),
    [
        ("field_tractor", "E3:load"),
        pytest.param("trail_buggy", "P1:load", marks=pytest.mark.slow),
        pytest.param("harbour_launch", "E16:load", marks=pytest.mark.slow),
    ],
)
def test_every_fault_that_makes_a_load_dead_or_weak_is_suspected(name: str, load: str) -> None:
    """Each fault without a partner is put in and solved: where the load fails, it is on the list."""
    bench = bench_of(name)
    element = next(one for one in all_elements(bench.harness) if one.name == load)
    condition = working_condition(bench, element).condition
    listed = {(one.site, one.fault) for one in dead_loads(name)[load]}
    failed = [fault for fault in single_faults(name) if state_with(bench, condition, fault, load) in FAILED]
    assert len(failed) >= 25
    assert [fault.spelled() for fault in failed if (fault.site, fault.kind) not in listed] == []


FAILED = (LoadState.DEAD, LoadState.WEAK)


def single_faults(name: str) -> list[Fault]:
    """List every fault of a build that has no partner; open of a fuse is blown."""
    harness = demo(name)
    sites = [site for part_id in harness.parts for site in fault_sites(harness, part_id)]
    fuses = {fuse.id for fuse in harness.fuses}
    return [
        Fault(site, kind)
        for site, kinds in sites
        for kind in kinds
        if kind not in WITH_PARTNERS and not (kind is FaultKind.OPEN and site in fuses)
    ]


def state_with(bench: Bench, condition: Condition, fault: Fault, load: str) -> LoadState:
    """Solve a fault and name the state of a load; off where the circuit cannot be."""
    try:
        return bench.survey(replace(condition, faults=(fault,))).loads[load].state
    except CircuitError:
        return LoadState.OFF


def test_a_module_brings_its_driver_feeds_and_ground() -> None:
    """The fuel pump behind K7, whose coil the controller grounds while its own feed from the ignition is live."""
    names = {(one.site, one.fault) for one in dead_loads("trail_buggy")["M2:load"]}
    assert {
        ("A1:pump", "open"),
        ("A1.pump", "open"),
        ("A1.15", "open"),
        ("A1.31", "high"),
        ("K7:coil", "open"),
    } <= names
    assert ("K5:coil", "open") not in names


def test_a_charger_complained_of_may_give_nothing() -> None:
    """Its output, terminals, cable and link are suspects while it should charge; at rest it gives nothing anyway."""
    bench = bench_of("trail_buggy")
    running, off = (
        {(one.site, one.fault) for one in hypotheses(bench, Complaint(("G2",)), Condition(key))}
        for key in ("running", "off")
    )
    assert {("G2", "no output"), ("G2.+", "open"), ("F3", "blown"), ("G1", "flat"), ("N4", "high")} <= running
    assert ("G2", "no output") not in off
