"""Practice: the vehicle answers, what is named is judged, the plan is set beside it."""

from __future__ import annotations

from functools import cache

import pytest

from model.circuit.bench import Bench
from model.circuit.faults import FaultKind
from model.errors import AnswerError, ArgumentError
from model.harness.harness import Harness
from model.tracing.checks import Check, CheckKind, Word
from model.tracing.complained import usual_condition
from model.tracing.complaint import Symptom
from model.tracing.costs import Costs
from model.tracing.named_checks import named_check
from model.tracing.practice import Practice
from model.tracing.practice_fault import OTHERS_MOST, are_told_apart, is_told
from model.tracing.vehicle import Vehicle
from tests.model.tracing.rigs import demo, rig, wires
from tui.practice_words import told_complaint

SEEDS = range(7)
FEEDS = ("G1.+ F1.in", "F1.out S1.1", "S1.2 M1.+", "G1.+ F2.in", "F2.out P1.+")
GROUNDS = ("M1.- CHASSIS", "P1.- CHASSIS", "G1.- CHASSIS")


@cache
def pump() -> Harness:
    """Give a pump behind a fuse and a switch, a horn beside it."""
    return rig(
        'locations = [ { name = "dash" }, { name = "tail", access = "panel" } ]\n'
        'fuses = [ { id = "F1", amps = 15, location = "dash" }, { id = "F2", amps = 10, location = "dash" } ]\n'
        'switches = [ { id = "S1", location = "dash", positions = { off = [], on = [[1, 2]] } } ]\n'
        'loads = [ { id = "M1", kind = "motor", amps = 6, label = "Fuel pump", location = "tail" },\n'
        '  { id = "P1", kind = "horn", amps = 4, location = "dash" } ]\n' + wires(*FEEDS, *GROUNDS)
    )


def practice(seed: int = 1) -> Practice:
    """Give a practice on the pump's harness."""
    return Practice(Bench(pump()), seed)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_vehicle_shows_what_is_complained_of(seed: int) -> None:
    """Its parts off their ratings, the load does in the condition of the complaint what the symptom says."""
    one = practice(seed)
    vehicle = Vehicle(one.harness, one.hidden.ways, one.complaint.loads, one.condition, seed=0)
    assert one.hidden.ways
    if one.complaint.symptom is Symptom.BLOWS_FUSE:
        assert one.complaint.fuse in vehicle.blown
        return
    looks = one.make(Check(CheckKind.OBSERVE, one.condition, load=one.complaint.loads[0])).outcome.word
    wanted = {Symptom.DEAD: {Word.DEAD}, Symptom.WEAK: {Word.WEAK}, Symptom.STAYS_ON: {Word.WORKS, Word.GLOWS}}
    assert looks in wanted[one.complaint.symptom]


@pytest.mark.slow
def test_the_same_seed_hides_the_same() -> None:
    """Complaint, fault, readings and plan; another seed hides something else."""
    one, other = practice(3), practice(3)
    assert (one.complaint, one.hidden, one.offered) == (other.complaint, other.hidden, other.offered)
    readings = [[each.make(check).outcome for check in each.offered[:12]] for each in (one, other)]
    assert repr(readings[0]) == repr(readings[1])
    assert one.planned() == other.planned()
    assert len({practice(seed).hidden.name for seed in SEEDS}) > 3


@pytest.mark.slow
def test_all_symptoms_come_and_are_dead_the_most() -> None:
    """Over sixty seeds more loads are dead than anything else, and some are not."""
    symptoms = [practice(seed).complaint.symptom for seed in range(60)]
    assert symptoms.count(Symptom.DEAD) > 30
    assert len(set(symptoms)) >= 3


def test_checks_cost_what_they_cost_in_a_trace() -> None:
    """Minutes are those of the costs from standing to standing; a place is paid for once."""
    one = practice(2)
    costs = Costs(one.harness)
    standing, minutes = costs.start(one.condition), 0.0
    for check in one.offered[:10]:
        minutes += costs.minutes(check, standing)
        standing = costs.after(check, standing)
        one.make(check)
    assert one.minutes == pytest.approx(minutes)
    assert one.steps == 10


def test_any_point_may_be_read_but_not_what_is_never_offered() -> None:
    """A bridge from feed to ground is refused with its reason, and is not counted."""
    one = practice(2)
    made = one.make(Check(CheckKind.VOLTS, one.condition, red="F1.in", black="G1.-"))
    assert made.outcome.value == pytest.approx(12.5, abs=0.6)
    with pytest.raises(AnswerError):
        one.make(Check(CheckKind.BRIDGE, one.condition, red="F1.out", black="G1.-", fuse_amps=10.0))
    assert len(one.made) == 1


def test_the_right_part_is_right_and_so_is_its_fault() -> None:
    """Naming the part is enough; so is another fault that the same work mends."""
    hidden = practice(2).hidden
    by_part, by_fault = practice(2), practice(2)
    part = hidden.site.partition(":")[0].partition(".")[0]
    assert by_part.judge(by_part.named(part)).is_right
    assert by_fault.judge(by_fault.named(hidden.site, hidden.fault)).is_right


def test_another_part_is_wrong() -> None:
    """Unless the same work mends it."""
    one = practice(2)
    other = next(each for each in one.suspects if each.repair != one.hidden.repair)
    verdict = one.judge(one.named(other.site, other.fault))
    assert not verdict.is_right
    assert verdict.named


@cache
def dead_tractor() -> Practice:
    """Give a tractor whose battery strap is broken: nothing on it works."""
    one = Practice(Bench(demo("field_tractor")), 643079)
    assert (one.hidden.site, one.hidden.fault) == ("W1", FaultKind.OPEN)
    return one


def test_what_no_check_tells_from_it_is_right_too() -> None:
    """A broken strap and its open clamp read alike everywhere; a clamp of poor contact, or a stud, does not."""
    one = dead_tractor()
    open_clamp, poor_clamp = one.named("G1.+", "open"), one.named("G1.+", "high")
    assert open_clamp[0].repair != one.hidden.repair
    assert not are_told_apart(one._hidden.inquiry, one.hidden, open_clamp[0])
    assert are_told_apart(one._hidden.inquiry, one.hidden, poor_clamp[0])
    verdict = one.name(poor_clamp)
    assert (verdict.is_right, verdict.is_alike) == (False, False)
    verdict = Practice(Bench(demo("field_tractor")), 643079).name(open_clamp)
    assert (verdict.is_right, verdict.is_alike) == (True, True)


def test_what_else_does_nothing_is_told_with_it() -> None:
    """With the whole tractor dead the complaint names others that should be on just then, and the trace knows too."""
    one = dead_tractor()
    assert one.complaint.loads == ("E10:load",)
    assert one.complaint.dead == ("E8:load", "E9:load", "E11:primary")
    assert "Of the others Charge lamp (E8)" in " ".join(told_complaint(one))
    given = [evidence.check.load for evidence in one._hidden.inquiry.given]
    assert set(one.complaint.dead) <= set(given)


@pytest.mark.parametrize("seed", SEEDS)
def test_only_what_fails_is_told_of_the_others(seed: int) -> None:
    """Dead ones are dead on this vehicle where they should work, weak ones weak; what works is for a check to see."""
    one = practice(seed)
    vehicle, bench = one._hidden.vehicle(), one.bench
    for word, names in ((Word.DEAD, one.complaint.dead), (Word.WEAK, one.complaint.weak)):
        assert all(vehicle.state_of(name, usual_condition(bench, name)) is word for name in names)
    assert not one.complaint.works
    assert len({*one.complaint.dead, *one.complaint.weak}) <= OTHERS_MOST


def test_a_blown_fuse_is_an_effect_where_something_blew_it() -> None:
    """It is so, but it is not what is wrong."""
    for seed in range(200):
        one = practice(seed)
        if one.complaint.symptom is Symptom.DEAD and one.hidden.fault == "to body":
            break
    verdict = one.judge(one.named("F1" if "M1:load" in one.complaint.loads else "F2", "blown"))
    assert not verdict.is_right
    assert verdict.is_effect


def test_what_is_no_suspect_is_told_with_what_is_near() -> None:
    """A part off the way, a fault that a part cannot have."""
    one = practice(2)
    with pytest.raises(AnswerError, match="none of the suspects"):
        one.named("F77")
    with pytest.raises(AnswerError, match="There are: "):
        one.named(one.hidden.site, "purple")
    assert one.verdict is None


def test_nothing_goes_on_once_it_is_over() -> None:
    """No check, no hint, no second verdict."""
    one = practice(2)
    assert not one.give_up().is_right
    for again in (lambda: one.make(one.offered[0]), one.hint, one.give_up):
        with pytest.raises(AnswerError, match="over"):
            again()


def test_hints_lead_to_the_fault_and_are_counted() -> None:
    """Whoever makes every hinted check has read enough within those of a trace; no slip in this seed."""
    one = practice(2)
    count = 0
    while (check := one.hint()) is not None:
        one.make(check)
        count += 1
        assert count < 30
    assert one.hints == count + 1
    assert one.planned().found


@pytest.mark.slow
def test_the_plan_traces_the_same_vehicle() -> None:
    """Its steps and minutes are those of its checks; over the seeds it nearly always finds what was hidden."""
    plans = [practice(seed).planned() for seed in SEEDS]
    for plan in plans:
        assert plan.minutes == pytest.approx(sum(one.minutes for one in plan.made))
        assert plan.steps == plan.made[-1].step
    assert sum(plan.found for plan in plans) >= len(plans) - 1


def test_no_two_offered_checks_have_the_same_name() -> None:
    """So that a list of them can be chosen from."""
    one = practice(2)
    names = [named_check(one.harness, check, one.condition) for check in one.offered]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("seed", SEEDS)
def test_only_faults_that_some_check_tells_are_hidden(seed: int) -> None:
    """Of all ways in which the hidden fault is solved at least one stands out in some check."""
    one = practice(seed)
    inquiry = one._hidden.inquiry
    owners = inquiry.field.owner[: inquiry.field.solved].tolist()
    rows = [row for row, owner in enumerate(owners) if inquiry.field.hypotheses[owner] == one.hidden]
    assert any(is_told(inquiry, row) for row in rows)


def test_a_harness_without_a_load_cannot_be_practised_on() -> None:
    """It is said in a sentence."""
    with pytest.raises(ArgumentError, match="practised"):
        Practice(Bench(rig(wires("G1.+ G1.-").replace("G1.+", "CHASSIS"))), 1)


def test_a_demo_build_is_practised_on() -> None:
    """The plan ends on the tractor too."""
    one = Practice(Bench(demo("field_tractor")), 5)
    assert one.offered
    assert one.planned().sentence
