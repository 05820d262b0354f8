"""Suspects that the same work mends are not told apart: all faults of one wire are one work."""

from __future__ import annotations

from collections import Counter, defaultdict
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.faults import parse_fault, part_of_site
from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.toml_file import read_harness
from model.tracing.asking import Question, Read
from model.tracing.belief import Belief, Evidence
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.ending import FOLLOWED_WIRES, SURE_SHARE
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.suspects import Suspect
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle
from model.tracing.works import is_cure, works_of

TRACTOR = read_harness(Path(__file__).parents[3] / "demo_builds" / "field_tractor.toml")
COMPLAINT = Complaint(("E1:load",))


@pytest.fixture(scope="module")
def inquiry() -> Inquiry:
    """Give what is worked out for the tractor's left head lamp, dead."""
    return open_inquiry(Bench(TRACTOR), COMPLAINT)


def wire_of(harness: Harness, site: str) -> str:
    """Name the wire of a site; empty of another part's."""
    part_id = part_of_site(site)
    return part_id if isinstance(harness.parts.get(part_id), Wire) else ""


def test_every_wire_is_one_work_and_every_other_repair_its_own(inquiry: Inquiry) -> None:
    """A wire that is open, on the body, or whose end is elsewhere is followed first; other repairs stay apart."""
    numbers, names = works_of(Belief(inquiry.foresight, (), {}))
    hypotheses = inquiry.field.hypotheses
    wires = [wire_of(TRACTOR, one.site) for one in hypotheses]
    assert max(Counter(wire for wire in wires if wire).values()) > 1
    for one, wire, number in zip(hypotheses, wires, numbers, strict=True):
        assert names[int(number)] == (wire or one.repair)


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["W7=open", "W8=open", "W7=to body"])
def test_asks_no_more_once_one_wire_is_sure(inquiry: Inquiry, fault: str) -> None:
    """No question is asked while the faults of one wire hold 99 % together, and the finding names that wire."""
    hidden = parse_fault(TRACTOR, fault)
    vehicle = Vehicle(TRACTOR, [hidden], COMPLAINT.loads, inquiry.condition, slips=0.0)
    trace = Trace(inquiry.bench, COMPLAINT, opened=inquiry)
    while isinstance(asked := trace.next(), Question):
        assert max(_by_wire(asked.suspects).values(), default=0.0) < SURE_SHARE
        trace.reply(Read(vehicle.answer(asked.check)))
    assert hidden.site in {wire_of(TRACTOR, one.part) for one in asked.group}


def _by_wire(suspects: tuple[Suspect, ...]) -> dict[str, float]:
    """Sum the shares of the faults of each wire."""
    found: defaultdict[str, float] = defaultdict(float)
    for one in suspects:
        found[wire_of(TRACTOR, one.part)] += one.probability
    found.pop("", None)
    return found


@pytest.mark.slow
def test_wires_of_one_run_are_named_together_and_not_looked_along_in_turn() -> None:
    """Behind the tractor's plug X1 a wire of the tail lamps lies on the body: four are left, and all four are named."""
    complaint = Complaint(("E3:load",), Symptom.DEAD, LoomAge.NEW)
    inquiry = open_inquiry(Bench(TRACTOR), complaint)
    vehicle = Vehicle(TRACTOR, [parse_fault(TRACTOR, "W17=to body")], complaint.loads, inquiry.condition, slips=0.0)
    trace = Trace(inquiry.bench, complaint, opened=inquiry)
    left = 0
    while isinstance(asked := trace.next(), Question):
        left = len(_by_wire(asked.suspects))
        trace.reply(Read(vehicle.answer(asked.check)))
    wires = {wire_of(TRACTOR, one.part) for one in asked.group}
    assert "W17" in wires
    assert 1 < len(wires) <= FOLLOWED_WIRES <= left
    assert not any(wire_of(TRACTOR, one.check.part) in wires for one in trace.answers)


@pytest.mark.slow
def test_relay_that_another_cured_ends_the_trace() -> None:
    """Once another relay in the horn relay's place has cured the horn, coil, contact and socket are one work."""
    harness = read_harness(Path(__file__).parents[3] / "demo_builds" / "trail_buggy.toml")
    complaint = Complaint(("P1:load",))
    trace = Trace(Bench(harness), complaint)
    vehicle = Vehicle(harness, [parse_fault(harness, "K5:coil=open")], complaint.loads, trace.condition, slips=0.0)
    while isinstance(asked := trace.next(), Question):
        assert not any(is_cure(Evidence(one.check, one.outcome)) for one in trace.answers)
        trace.reply(Read(vehicle.answer(asked.check)))
    assert {part_of_site(one.part) for one in asked.group} == {"K5"}
    assert "Put K1 back where it belongs." in asked.repair
