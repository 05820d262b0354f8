"""From a bad row to a trace: the load that fails by it, how, and the reading as a check already made."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.survey import LoadState
from model.harness.harness import Element, Harness
from model.harness.records import Wire
from model.plans.continuity import continuity_plan
from model.plans.insulation import insulation_plan
from model.plans.judging import Standing, Taken
from model.plans.plan import Limit, LoomState, Measure, Plan, PlanRow
from model.plans.to_trace import NoTrace, RowTrace, trace_of_row
from model.tables import SourceKind
from model.tracing.asking import Also
from model.tracing.checks import CheckKind
from model.tracing.complaint import Symptom
from model.tracing.trace import Trace
from model.tracing.walk import Walk, Walker
from tests.model.tracing.rigs import demo, rig, wires

LAMPS = rig(
    """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 55 },
  { id = "E2", kind = "lamp", watts = 5 },
]
"""
    + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "F1.out E2.+", "E2.- CHASSIS")
)
MOST = Limit(None, 0.45, "computed", SourceKind.JUDGEMENT)
LEAST = Limit(1e5, None, "a judgement", SourceKind.JUDGEMENT)


@cache
def walks(harness_name: str) -> tuple[Bench, Callable[[Element], Walk]]:
    """Give a bench of a build and what makes its walks, each once."""
    bench = Bench(LAMPS if harness_name == "lamps" else demo(harness_name))
    walker = Walker(bench)
    kept: dict[str, Walk] = {}

    def walk_of(element: Element) -> Walk:
        if element.name not in kept:
            kept[element.name] = walker.walk(element)
        return kept[element.name]

    return bench, walk_of


def traced(row: PlanRow, taken: Taken, state: LoomState | None = LoomState.APART) -> RowTrace | NoTrace:
    """Give what a row of the two lamps leads to."""
    bench, walk_of = walks("lamps")
    return trace_of_row(bench, walk_of, row, taken, state)


def ohms_row(wire: str, red: str, black: str) -> PlanRow:
    """Give the row of a wire."""
    rest = Condition(LAMPS.key_names[0])
    return PlanRow(wire, wire, "", Measure.OHMS, rest, red, black, expect=0.02, limit=MOST, covers=(wire,))


def found(came: RowTrace | NoTrace) -> RowTrace:
    """Take what came as a trace."""
    assert isinstance(came, RowTrace), came
    return came


def test_an_open_wire_is_complained_of_by_the_nearest_dead_load() -> None:
    """W3 feeds E1 alone; W1 both, and E2 stands two links behind it where E1 stands four: the nearer one is named."""
    came = found(traced(ohms_row("W3", "S1.2", "E1.+"), Taken(math.inf)))
    assert (came.complaint.loads, came.complaint.symptom) == (("E1:load",), Symptom.DEAD)
    came = found(traced(ohms_row("W1", "G1.+", "F1.in"), Taken(math.inf)))
    assert came.complaint.loads == ("E2:load",)


def test_the_reading_is_weighed_in_a_circuit_that_shows_the_same() -> None:
    """With E1 out W3 reads as it does with everything out; of all parts the trace then suspects W3 alone."""
    came = found(traced(ohms_row("W3", "S1.2", "E1.+"), Taken(math.inf)))
    also = came.also
    assert isinstance(also, Also)
    assert (also.check.kind, also.check.red, also.check.black) == (CheckKind.OHMS, "S1.2", "E1.+")
    assert math.isinf(also.outcome.value)
    bench, _ = walks("lamps")
    trace = Trace(bench, came.complaint)
    before = {suspect.part for suspect in trace.suspects()}
    trace.reply(also)
    after = {suspect.part for suspect in trace.suspects() if suspect.part}
    assert "F1" in before
    assert after == {"W3"}


def test_ohms_that_leave_a_load_weak_are_told_as_weak() -> None:
    """E1 is 12²/55 = 2.6 Ω hot: with 0.8 Ω more it has about three quarters of its volts; with 0.02 Ω nothing shows."""
    came = found(traced(ohms_row("W3", "S1.2", "E1.+"), Taken(0.82)))
    assert came.complaint.symptom is Symptom.WEAK
    none = traced(ohms_row("W3", "S1.2", "E1.+"), Taken(0.03))
    assert isinstance(none, NoTrace)
    assert "No load that hangs on it fails by this" in none.why


def test_a_wire_against_ground_blows_its_fuse() -> None:
    """F1.out against the body: F1 blows as soon as power comes; one other point is one check that is weighed."""
    rest = Condition(LAMPS.key_names[0])
    row = PlanRow(
        "F1.out open", "F1.out apart", "", Measure.APART, rest, black="F1.out", others=("CHASSIS",), expect=math.inf,
        limit=LEAST, covers=("W2",),
    )  # fmt: skip
    came = found(traced(row, Taken(0.2)))
    assert (came.complaint.symptom, came.complaint.fuse) == (Symptom.BLOWS_FUSE, "F1")


def test_ohms_a_little_below_nothing_are_weighed_as_none() -> None:
    """Leads zeroed badly read -0.1 Ω on a wire that is against ground: a trace takes it for 0 Ω."""
    row = next(row for row in insulation_plan(LAMPS).rows if row.key == "group F1.out")
    also = found(traced(row, Taken(-0.1), None)).also
    assert isinstance(also, Also)
    assert (also.outcome.least, also.outcome.most) == (0.0, 0.0)


def test_volts_with_power_on_name_their_own_load() -> None:
    """At E1 across 0.4 V of 12.2 is dead, 9 V weak; 5 V where it should be off is a load that stays on."""
    bench, _ = walks("lamps")
    on, off = Condition(LAMPS.key_names[0], (("S1", "on"),)), Condition(LAMPS.key_names[0])
    expect = abs(bench.survey(on).loads["E1:load"].volts)
    row = PlanRow(
        "E1 across", "E1", "", Measure.VOLTS, on, "E1.+", "E1.-", expect=expect,
        limit=Limit(10.8, None, "ISO 10133", SourceKind.PUBLISHED), covers=("E1:load", "W3"),
    )  # fmt: skip
    dead, weak = found(traced(row, Taken(0.4), None)), found(traced(row, Taken(9.0), None))
    assert (dead.complaint.symptom, weak.complaint.symptom) == (Symptom.DEAD, Symptom.WEAK)
    assert dead.complaint.condition == on
    assert dead.also is not None
    assert dead.also.check.kind is CheckKind.VOLTS
    stays = found(traced(PlanRow("E1 off", "E1", "", Measure.VOLTS, off, "E1.+", "E1.-", expect=0.0), Taken(5.0), None))
    assert stays.complaint.symptom is Symptom.STAYS_ON


def test_what_draws_too_much_blows_its_fuse_and_too_little_names_the_load_behind() -> None:
    """A lamp in series bright behind F1 is a short there; 0.1 A of 4.9 at F1 is a dead load behind it."""
    on = Condition(LAMPS.key_names[0], (("S1", "on"),))
    lamp = PlanRow(
        "F1 off", "F1 in", "", Measure.LAMP, on, "G1.+", expect=0.0, limit=Limit(None, 0.01, "", SourceKind.JUDGEMENT),
        covers=("F1",),
    )  # fmt: skip
    short = found(traced(lamp, Taken(12.0), None))
    assert (short.complaint.symptom, short.complaint.fuse) == (Symptom.BLOWS_FUSE, "F1")
    assert short.also is None
    amps = PlanRow(
        "F1 amps", "F1", "", Measure.AMPS, on, expect=4.9, limit=Limit(4.0, 6.0, "", SourceKind.JUDGEMENT),
        covers=("F1",),
    )  # fmt: skip
    little = found(traced(amps, Taken(0.1), None))
    assert little.complaint.symptom is Symptom.DEAD
    assert little.complaint.loads[0] in {"E1:load", "E2:load"}
    assert little.also is not None
    assert little.also.check.part == "F1"
    bare = PlanRow("bare", "G1", "", Measure.LAMP, on, "G1.+", expect=0.0, limit=lamp.limit)
    assert isinstance(traced(bare, Taken(12.0), None), NoTrace)


def test_rows_of_power_that_prove_nothing_of_their_own_lead_on() -> None:
    """A fuse that the lamp proves not is known by its key; a ground terminal that loads share by the load named there.

    A lifted ground is no terminal: the nearest load behind the last wire that the row proves is weak by it.
    """
    on = Condition(LAMPS.key_names[0], (("S1", "on"),))
    most = Limit(None, 0.01, "", SourceKind.JUDGEMENT)
    lamp = PlanRow("F1 off", "F1 in", "", Measure.LAMP, on, "G1.+", expect=0.0, limit=most)
    assert found(traced(lamp, Taken(12.0), None)).complaint.fuse == "F1"
    ground = PlanRow("E2:load ground", "E2", "", Measure.VOLTS, on, "CHASSIS", "G1.-", expect=0.02, covers=("W5",))
    assert found(traced(ground, Taken(2.0), None)).complaint.loads == ("E2:load",)
    shared = PlanRow("CHASSIS all on", "", "", Measure.VOLTS, on, "CHASSIS", "G1.-", expect=0.02, covers=("W5", "W4"))
    lifted = found(traced(shared, Taken(2.0), None)).complaint
    assert (lifted.loads, lifted.symptom) == (("E1:load",), Symptom.WEAK)


def test_what_was_only_said_is_a_complaint_without_a_reading() -> None:
    """A row that was said to be bad leads to its load; nothing is weighed, and a row of no load says so."""
    rest = Condition(LAMPS.key_names[0])
    row = PlanRow("E2 on", "E2 glows", "", Measure.SEEN, rest, covers=("E2",))
    came = found(traced(row, Taken(said=Standing.BAD), None))
    assert came.complaint.loads == ("E2:load",)
    assert came.also is None
    assert came.unweighed
    none = traced(PlanRow("rest", "at rest", "", Measure.SEEN, rest), Taken(said=Standing.BAD), None)
    assert isinstance(none, NoTrace)


@cache
def buggy_plan() -> Plan:
    """Give the continuity plan of the buggy with all apart."""
    return continuity_plan(demo("trail_buggy"), LoomState.APART)


def lost_by(harness: Harness, bench: Bench, walk_of: Callable[[Element], Walk], row: PlanRow) -> set[str]:
    """Solve what a row proves as open, one after the other, and name the loads that are then dead or weak by it."""
    from model.harness.harness import all_elements

    lost = set()
    for element in all_elements(harness):
        condition = walk_of(element).working.condition
        for site in row.covers:
            faulty = bench.survey(Condition(condition.key, condition.settings, (Fault(site, FaultKind.OPEN),)))
            if faulty.loads[element.name].state in (LoadState.DEAD, LoadState.UNASKED, LoadState.WEAK):
                lost.add(element.name)
    return lost


def assert_leads_to_a_load_that_fails(row: PlanRow) -> bool:
    """Check that an open row names a load that is dead or weak by it; where it names none, that no load is."""
    bench, walk_of = walks("trail_buggy")
    came = trace_of_row(bench, walk_of, row, Taken(math.inf), LoomState.APART)
    if isinstance(came, RowTrace):
        assert came.complaint.loads
        (name,) = came.complaint.loads
        assert name in lost_by(bench.harness, bench, walk_of, row), row.key
        return True
    assert lost_by(bench.harness, bench, walk_of, row) == set(), row.key
    return False


def wire_rows() -> list[PlanRow]:
    """List the rows of the buggy's wires."""
    harness = demo("trail_buggy")
    return [
        row
        for row in buggy_plan().rows
        if row.measure is Measure.OHMS and all(isinstance(harness.parts.get(name), Wire) for name in row.covers)
    ]


@pytest.mark.slow
def test_some_wires_of_the_buggy_lead_to_a_load_that_fails() -> None:
    """Every fifteenth wire, open: the load complained of is dead or weak by it, and where none is named none is."""
    assert [assert_leads_to_a_load_that_fails(row) for row in wire_rows()[::15]].count(True) >= 7


@pytest.mark.thorough
def test_every_wire_of_the_buggy_leads_to_a_load_that_fails() -> None:
    """Every wire, open: more than eight of ten lead to a load; where none is named no load is dead or weak by it."""
    led = [assert_leads_to_a_load_that_fails(row) for row in wire_rows()]
    assert led.count(True) > 0.8 * len(led)
