"""Complaints that are more than one dead load: where each is seen, what is said with it, and faults behind faults."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.circuit.faults import parse_fault
from model.harness.harness import Harness
from model.tracing.asking import Also, Finding, Question, Repaired
from model.tracing.checks import Check, CheckKind, Outcome, Word, measured
from model.tracing.complained import complained_condition
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.complaint_words import Said, complaint_of
from model.tracing.finding import Stopped
from model.tracing.inquiry import open_inquiry
from model.tracing.suspects import Suspect
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle
from tests.model.tracing.hidden import answer_all, play, vehicle_of
from tests.model.tracing.rigs import demo, rig, wires

MASTER = rig(
    'fuses = [ { id = "F1", amps = 10 } ]\n'
    'switches = [ { id = "S1", label = "Master" }, { id = "S2" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
    + wires("G1.+ S1.1", "S1.2 F1.in", "F1.out S2.1", "S2.2 E1.+", "E1.- G1.-", "F1.out E2.+", "E2.- G1.-"),
    build="nominal_volts = 12, chassis = false",
)
"""A lamp behind a master switch and one of its own, and one that burns with the master switch; no body."""

ALWAYS = rig(
    'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
)
"""A lamp with nothing that puts it out."""


@cache
def bench(name: str) -> Bench:
    """Give a demo build."""
    return Bench(demo(name))


def trace_of(name: str, *loads: str, **said: object) -> Trace:
    """Give a trace of what is typed."""
    return Trace(bench(name), complaint_of(bench(name), Said(loads, **said)))  # type: ignore[arg-type]


def share_at(trace: Trace, *parts: str) -> float:
    """Sum the shares of what sits at some parts."""
    names = {name for one in parts for name in (one, f"{one}.", f"{one}:")}
    return sum(
        one.probability
        for one in trace.suspects()
        if any(one.part == part or one.part.startswith(part) for part in names)
    )


def test_what_stays_on_is_looked_at_with_its_own_switch_off() -> None:
    """With the master switch off no single stuck contact feeds the lamp: it is on, and the lamp's own switch is off."""
    condition = complained_condition(Bench(MASTER), Complaint(("E1:load",), Symptom.STAYS_ON))
    assert condition.by_name == {"S1": "on"}


def test_what_stays_on_is_looked_at_at_rest_where_one_contact_feeds_it() -> None:
    """The horn's relay alone, stuck, sounds it with the key off."""
    assert trace_of("trail_buggy", "P1", symptom="stays-on").condition == Condition("off")


@pytest.mark.slow
def test_winch_that_stays_on_is_looked_at_with_one_thing_less_set() -> None:
    """At rest two contacts must stick at once; with the isolator on one is enough."""
    trace = trace_of("trail_buggy", "M7", symptom="stays-on")
    assert trace.condition.by_name["S19"] == "on"
    assert "S20" not in trace.condition.by_name
    assert isinstance(trace.next(), Question)


@pytest.mark.slow
def test_condition_that_is_said_stands() -> None:
    """Key and settings as typed, whatever the load should do there."""
    trace = trace_of("trail_buggy", "M2", symptom="stays-on", key="crank", settings=("S21=drive",))
    assert trace.condition == make_condition(trace.harness, "crank", ("S21=drive",))


def test_what_works_with_another_is_off_while_that_one_works() -> None:
    """The condition is the other's; the sound circuit feeds what is complained of in it no quarter of its volts."""
    trace = trace_of("trail_buggy", "A2:75", symptom="works-with-another", other_load="E1:dip")
    loads = bench("trail_buggy").survey(trace.condition).loads
    assert loads["E1:dip"].volts > 10.0
    assert loads["A2:75"].volts < 3.0


NOTHING = [
    (ALWAYS, Complaint(("E1:load",), Symptom.STAYS_ON)),
    (ALWAYS, Complaint(("G1",), Symptom.STAYS_ON)),
    (MASTER, Complaint(("E2:load",), Symptom.WORKS_WITH_ANOTHER, other_load="E1:load")),
    (MASTER, Complaint(("E1:load",), Symptom.WEAK, condition=Condition("off"))),
    (MASTER, Complaint(("E1:load",), condition=Condition("off"))),
]


@pytest.mark.parametrize("case", range(len(NOTHING)))
def test_symptom_that_nothing_shows_ends_at_once(case: int) -> None:
    """What is always on, what the other's switch feeds, what is off by itself: the trace says so and asks nothing."""
    trace = Trace(Bench(NOTHING[case][0]), NOTHING[case][1])
    finding = trace.next()
    assert isinstance(finding, Finding)
    assert finding.stopped == Stopped.NOTHING_SHOWS
    assert not finding.group
    trace.reply(Also(Check(CheckKind.VOLTS, trace.condition, red="G1.+", black="E1.-"), measured(12.5)))
    assert isinstance(trace.next(), Finding)


HIDDEN = [
    ("trail_buggy", Said(("A2:75",)), 7),
    ("trail_buggy", Said(("G1",)), 7),
    ("trail_buggy", Said(("G1",), symptom="weak"), 7),
    ("trail_buggy", Said(("G2",)), 7),
    ("field_tractor", Said(("G2",), symptom="weak"), 3),
    ("field_tractor", Said(("E3", "E4")), 5),
    ("field_tractor", Said(("E3", "P1"), symptom="weak"), 5),
    ("field_tractor", Said(("P1",), has_helper=False), 3),
    ("harbour_launch", Said(("E1",), age="new"), 5),
]


@pytest.mark.slow
@pytest.mark.parametrize("case", range(len(HIDDEN)))
def test_finds_what_is_hidden(case: int) -> None:
    """A module's feed, a battery, a charger, two loads at once, nobody to help, no body: the fault is in the group."""
    name, said, seed = HIDDEN[case]
    found = play(bench(name), complaint_of(bench(name), said), seed)
    assert found is not None
    assert found.held, (found.hypothesis.name, found.finding)


def test_two_weak_loads_of_different_conditions_are_one_complaint() -> None:
    """What both share is suspected before what only the first has, though they work in different conditions."""
    alone, both = (trace_of("field_tractor", *loads, symptom="weak") for loads in (("E3",), ("E3", "P1")))
    assert isinstance(both.next(), Question)
    assert share_at(both, "E3") < 0.2 * share_at(alone, "E3")


def test_what_is_said_before_weighs() -> None:
    """A lamp on the same fuse that works sets the fuse aside; one that is dead too makes it likelier."""
    plain = trace_of("field_tractor", "E1")
    works = trace_of("field_tractor", "E1", works=("E2",))
    dead = trace_of("field_tractor", "E1", dead=("E2",))
    assert share_at(works, "F2") < 0.1 * share_at(plain, "F2")
    assert share_at(dead, "F2") > 1.2 * share_at(plain, "F2")
    assert not works.answers
    assert works.complaint.works == ("E2:load",)


@pytest.mark.slow
def test_another_weak_load_tells_a_poor_ground() -> None:
    """The brake lamp of the buggy is weak: its tail lamp weak too is likelier the ground of both, GND6, than its own.

    Working, it clears an open ground, which would leave both weak: they hang in series then. Dead, it speaks for less.
    """
    plain, weak, works, dead = (
        trace_of("trail_buggy", "E6:stop", symptom="weak", **said)
        for said in ({}, {"weak": ("E6:tail",)}, {"works": ("E6:tail",)}, {"dead": ("E6:tail",)})
    )
    assert share_at(weak, "GND6") > 1.3 * share_at(plain, "GND6")
    assert share_at(weak, "GND6") > 1.5 * max(share_at(works, "GND6"), share_at(dead, "GND6"))
    assert weak.complaint.weak == ("E6:tail",)
    assert not weak.answers


def test_what_is_said_of_a_load_off_by_itself_weighs_nothing() -> None:
    """That a lamp is dead where the file feeds it nowhere says nothing of another."""
    rows = 'loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
    harness = rig(rows + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "E2.- CHASSIS"))
    shares = [Trace(Bench(harness), Complaint(("E1:load",), dead=dead)).suspects() for dead in ((), ("E2:load",))]
    assert shares[0] == shares[1]


def at_emf(harness: Harness, emf: float) -> Harness:
    """Give a harness whose first battery has another emf."""
    first, *others = harness.batteries
    return replace(harness, batteries=(first.model_copy(update={"emf": emf}), *others))


@pytest.mark.slow
@pytest.mark.parametrize("emf", [6.1, 6.35, 6.7])
def test_posts_read_low_and_high_are_what_all_is_a_share_of(emf: float) -> None:
    """A battery low, usual or just charged, its posts read at rest: the lamp's broken wire is found alike."""
    harness = at_emf(demo("field_tractor"), emf)
    condition = trace_of("field_tractor", "E1").condition
    vehicle = Vehicle(harness, [parse_fault(harness, "W7=open")], ("E1:load",), condition, slips=0.0)
    posts = vehicle.answer(Check(CheckKind.VOLTS, Condition("off"), red="G1.+", black="G1.-")).value
    _, finding = answer_all(trace_of("field_tractor", "E1", posts_volts=posts), vehicle)
    assert "W7" in {one.part for one in finding.group}


@pytest.mark.slow
def test_low_posts_stop_a_trace_only_at_rest() -> None:
    """11.4 V while cranking or with the lamps on is no flat battery; at rest it is."""
    for said in ({"key": "crank"}, {"settings": ("S2=head",)}):
        assert isinstance(trace_of("trail_buggy", "M1", posts_volts=11.4, **said).next(), Question)
    finding = trace_of("trail_buggy", "M1", posts_volts=11.4).next()
    assert isinstance(finding, Finding)
    assert finding.stopped == Stopped.CHARGE_FIRST


def test_positive_ground_takes_readings_of_both_signs() -> None:
    """The black probe on the grounded positive post reads minus 6 V at a live point: 6 V counts the same."""
    shares = []
    for sign in (1.0, -1.0):
        trace = trace_of("field_tractor", "E1")
        check = Check(CheckKind.VOLTS, trace.condition, red="E1.-", black="G1.+")
        trace.reply(Also(check, measured(sign * 6.1)))
        shares.append(trace.suspects())
    assert [one.part for one in shares[0]] == [one.part for one in shares[1]]
    assert [one.probability for one in shares[0]] == pytest.approx([one.probability for one in shares[1]], abs=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("age", list(LoomAge))
def test_every_age_of_a_loom_is_traced(age: LoomAge) -> None:
    """Ages weigh suspects differently; the same broken wire is found in all."""
    trace = trace_of("field_tractor", "E1", age=str(age))
    inquiry = open_inquiry(bench("field_tractor"), trace.complaint)
    _, finding = answer_all(trace, vehicle_of(inquiry, (parse_fault(trace.harness, "W7=open"),)))
    assert "W7" in {one.part for one in finding.group}


def test_least_and_most_name_what_moves() -> None:
    """0.1 to 6.2 V across the lamp of a light that comes and goes: not the lamp, but what is ahead of it or behind."""
    trace = trace_of("field_tractor", "E1", symptom="comes-and-goes")
    before = share_at(trace, "E1:load")
    across = Check(CheckKind.DROP, trace.condition, red="E1.+", black="E1.-")
    trace.reply(Also(across, measured(0.1, 6.2)))
    assert share_at(trace, "E1:load") < 0.5 * before
    assert isinstance(trace.next(), Question)
    trace.undo()
    trace.reply(Also(across, measured(6.2)))
    assert share_at(trace, "E1:load") > before


def blown_fuse(*faults: str) -> tuple[Trace, Vehicle]:
    """Give a dead head lamp of the tractor and a vehicle with its faults."""
    trace = trace_of("field_tractor", "E1")
    inquiry = open_inquiry(bench("field_tractor"), trace.complaint)
    return trace, vehicle_of(inquiry, tuple(parse_fault(trace.harness, fault) for fault in faults), seed=3)


@pytest.mark.slow
def test_blown_fuse_asks_why_it_blew() -> None:
    """A fuse that was tired: what is found says that it may not have blown for nothing, and nothing else is named."""
    trace, vehicle = blown_fuse("F2=blown")
    asked, finding = answer_all(trace, vehicle)
    assert {one.part for one in finding.group} == {"F2"}
    assert "ask why" in finding.repair
    assert sum(one.kind is CheckKind.NEW_FUSE for one in asked) <= 1


@pytest.mark.slow
def test_short_behind_a_blown_fuse_is_the_finding() -> None:
    """The wire that blew it is named, and no new fuse is fed to it."""
    trace, vehicle = blown_fuse("W7=to body")
    assert vehicle.blown == {"F2"}
    asked, finding = answer_all(trace, vehicle)
    assert "W7" in {one.part for one in finding.group}
    assert not any(one.kind is CheckKind.NEW_FUSE for one in asked)


@pytest.mark.slow
def test_new_fuse_that_holds_or_blows_counts() -> None:
    """One that holds makes the fuse itself likelier, one that blows the shorts behind it."""
    shares = {}
    for word in (Word.HOLDS, Word.BLOWS):
        trace, _ = blown_fuse("F2=blown")
        trace.reply(Also(Check(CheckKind.LOOK, trace.condition, part="F2"), Outcome(Word.BAD)))
        trace.reply(Also(Check(CheckKind.NEW_FUSE, trace.condition, part="F2"), Outcome(word)))
        shares[word] = share_at(trace, "F2"), share_at(trace, "W7")
    assert shares[Word.HOLDS][0] > 3.0 * shares[Word.BLOWS][0]
    assert shares[Word.BLOWS][1] > 2.0 * shares[Word.HOLDS][1]


@pytest.mark.slow
def test_fault_behind_a_blown_fuse_is_traced_on() -> None:
    """With a new fuse in and the lamp still dead the fuse is hardly suspected, and the lamp is found."""
    trace, blown = blown_fuse("F2=blown")
    _, first = answer_all(trace, blown)
    assert "F2" in {one.part for one in first.group}
    trace.reply(Repaired(cured=False))
    assert share_at(trace, "F2") < 0.05
    _, left = blown_fuse("E1:load=open")
    _, second = answer_all(trace, left)
    assert "E1:load" in {one.part for one in second.group}
    trace.reply(Repaired(cured=True))
    assert isinstance(trace.next(), Finding)


def test_both_repairs_of_two_faults_count_as_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where two faults at once were mended in vain, neither part is suspected as before."""
    trace = trace_of("field_tractor", "E1")
    before = share_at(trace, "W7"), share_at(trace, "E1:load")
    both = Finding((Suspect("W7 + E1:load", "open + open", "", 0.99),), 0.99, 4, 6.0)
    with monkeypatch.context() as told:
        told.setattr(trace, "next", lambda: both)
        trace.reply(Repaired(cured=False))
    assert share_at(trace, "W7") < 0.3 * before[0]
    assert share_at(trace, "E1:load") < 0.3 * before[1]
