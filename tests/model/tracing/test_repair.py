"""What mends a finding: never without a part, a place, the work and the check that proves it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.bands import Bands
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.harness.harness import Harness, all_elements
from model.harness.hazards import may_be_probed
from model.harness.parts import Fuse
from model.harness.toml_file import read_harness_text
from model.tracing.checks import CheckKind
from model.tracing.complaint import Complaint, Symptom
from model.tracing.fault_words import suspect_place, suspect_words
from model.tracing.fuse_words import bears_amps, fitting_of, fuse_fitting, guarded_wires
from model.tracing.merged_steps import merged
from model.tracing.names import site_part
from model.tracing.repair import Repair, asks_why, repair_of
from model.tracing.suspects import NOT_SHOWN, RECORD, UNKNOWN, Suspect
from model.tracing.working import working_condition
from model.words import clean
from tests.model.tracing.every_fault import every_fault
from tests.model.tracing.loom_with_spares import bench_of, pressed
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires
from tests.tui.hostile_build import hostile_build

SPARE = (
    '  { id = "W20", from_location = "box", to_location = "nose", colour = "TQ", size = 2.5, length = 2.5, '
    'via = ["sill"], spare = true },\n'
)


def suspect(part: str, fault: str, partner: str = "") -> Suspect:
    """Give a suspect."""
    return Suspect(part, fault, partner, 0.9)


def mended(*group: Suspect, spares: str = "", condition: Condition | None = None) -> Repair:
    """Give the repair of a group on the loom, its lamp dead while the push is held."""
    bench = bench_of(spares)
    return repair_of(bench, group, Complaint(("E1:load",)), condition or pressed(bench.harness))


@pytest.mark.first_few(1)
@pytest.mark.parametrize("build", DEMO_NAMES)
def test_every_fault_of_the_demo_builds_has_part_place_work_and_proof(build: str) -> None:
    """Each kind of fault at one site of each kind of part; the proof touches nothing that must not be touched."""
    harness = demo(build)
    bench = Bench(harness)
    element = all_elements(harness)[0]
    condition = working_condition(bench, element).condition
    seen: set[tuple[str, str, str]] = set()
    for one in every_fault(harness):
        part_id = site_part(harness, one.part)
        kind = (type(harness.parts[part_id]).__name__, one.part.removeprefix(part_id)[:1], one.fault)
        if kind in seen:
            continue
        seen.add(kind)
        repair = repair_of(bench, (one,), Complaint((element.name,)), condition)
        assert_whole(harness, repair, one)
    assert {fault for _, _, fault in seen} >= {"open", "high", "blown", "stuck", "swapped", "touches", "elsewhere"}


def assert_whole(harness: Harness, repair: Repair, one: Suspect) -> None:
    """Hold a repair to what a finding must never lack."""
    words = suspect_words(harness, one)
    assert repair.sentence.startswith(words[:1].upper() + words[1:])
    assert suspect_place(harness, one) in repair.sentence
    assert len(repair.steps) >= 3
    assert all(step.endswith((".", "?")) for step in repair.steps)
    assert all(may_be_probed(harness, point) is None for point in repair.prove.points if "." in point)
    assert repair.prove.part or repair.prove.load or (repair.prove.red and repair.prove.black)
    if any("battery off" in step for step in repair.steps):
        assert CAUTIONS[CautionKind.BATTERY_ORDER].text in repair.cautions


@pytest.mark.parametrize(
    ("one", "kind", "points"),
    [
        (suspect("W3", "open"), CheckKind.DROP, ("K1.87", "X1.plug.1")),
        (suspect("W4", "high"), CheckKind.DROP, ("X1.socket.1", "E1.+")),
        (suspect("W5", "open"), CheckKind.DROP, ("E1.-", "GND1")),
        (suspect("GND1", "high"), CheckKind.DROP, ("GND1", "G1.-")),
        (suspect("K1:30-87", "open"), CheckKind.DROP, ("K1.30", "K1.87")),
        (suspect("K1:coil", "open"), CheckKind.DROP, ("K1.30", "K1.87")),
        (suspect("X1.1", "high"), CheckKind.DROP, ("X1.plug.1", "X1.socket.1")),
        (suspect("F1", "high"), CheckKind.DROP, ("F1.in", "F1.out")),
    ],
)
def test_the_proof_is_a_reading_across_or_behind_the_part(
    one: Suspect, kind: CheckKind, points: tuple[str, str]
) -> None:
    """Across the mended piece, under load: a wire, a ground joint, a contact; volts at the load hide half an ohm."""
    prove = mended(one).prove
    assert (prove.kind, prove.points) == (kind, points)


def test_a_blown_fuse_is_proved_by_its_current() -> None:
    """A new one holds and carries what the lamp takes."""
    prove = mended(suspect("F1", "blown")).prove
    assert (prove.kind, prove.part) == (CheckKind.AMPS, "F1")


def test_half_an_ohm_left_in_a_crimp_fails_the_proof() -> None:
    """The proof of a poor crimp is a drop of millivolts: 0.5 ohm at amperes lies far outside its band."""
    bench = bench_of("")
    condition = pressed(bench.harness)
    prove = mended(suspect("W4", "high")).prove
    half_an_ohm = Fault("W4", FaultKind.HIGH, added_ohms=0.5)
    left = bench.survey(replace(condition, faults=(half_an_ohm,))).settled
    whole = bench.survey(condition).settled
    band = Bands(whole).at(*(whole.net.index[point] for point in prove.points), across_joint=True)
    red, black = (left.volts_at(point) for point in prove.points)
    assert red is not None
    assert black is not None
    assert not band.low <= red - black <= band.high


def test_a_wire_chafed_behind_its_fuse_is_proved_by_a_fuse_that_holds_or_volts_that_return() -> None:
    """The fault blows the fuse, so the wire's far end was dead."""
    prove = mended(suspect("W4", "to body")).prove
    assert prove.kind in (CheckKind.VOLTS, CheckKind.NEW_FUSE)


def test_a_short_that_shows_in_no_reading_of_the_condition_is_proved_on_ohms_with_plugs_apart() -> None:
    """With the push at rest the wire behind the relay is dead: unplugged at both ends it must read open to the body."""
    prove = mended(suspect("W4", "to body"), condition=Condition("on")).prove
    assert prove.kind is CheckKind.OHMS
    assert prove.points == ("X1.socket.1", "CHASSIS")
    assert dict(prove.condition.settings) == {"X1": "apart", "E1": "out"}


def test_a_contact_that_sticks_is_proved_by_the_load_that_stays_off() -> None:
    """In the condition in which the lamp should be off, the reading that falls is across or at it."""
    bench = bench_of()
    complaint = Complaint(("E1:load",), Symptom.STAYS_ON)
    prove = repair_of(bench, (suspect("K1:30-87", "stuck"),), complaint, Condition("on")).prove
    assert prove.kind in (CheckKind.VOLTS, CheckKind.DROP, CheckKind.OBSERVE, CheckKind.AMPS)
    assert prove.condition == Condition("on")


def test_a_spare_conductor_is_tested_before_and_both_dead_ends_are_capped() -> None:
    """The steps name it, where it goes, what it bears, and stand in that order."""
    steps = mended(suspect("W4", "open"), spares=SPARE).steps
    order = [
        next(place for place, step in enumerate(steps) if words in step)
        for words in (
            "battery off",
            "use the spare conductor W20, TQ 2.5, through sill,",
            "Test W20 first",
            "cap both dead ends",
            "Crimp W20 in its place at X1 cavity 1, socket half, wire side and at E1 (Work lamp) terminal +, wire side",
            "W20 bears 31.6 A",
            "Tug each new crimp",
        )
    ]
    assert order == sorted(order)
    assert "before it stands F1, 15 A" in steps[order[5]]


def test_without_a_spare_the_wire_is_spliced_in_the_same_size() -> None:
    """A thick cable is not: it is replaced whole."""
    assert "crimp in new wire of 1.5 mm² or thicker with two sealed splices" in mended(suspect("W4", "open")).text
    assert "a cable this thick is not spliced" in mended(suspect("W6", "open")).text


def test_a_short_wire_is_made_anew() -> None:
    """W3 is 0.3 m long: its two crimps are made once, not four with two splices; of W4 the new length is told."""
    for text in (mended(suspect("W3", "high")).text, mended(suspect("W3", "to body")).text):
        assert "make W3 anew, about 0.3 m" in text
        assert "splice in" not in text
        assert "sealed splice" not in text
    assert "run a new wire beside it, about 2.2 m." in mended(suspect("W4", "open")).text


def test_no_fuse_is_missed_before_a_ground_wire() -> None:
    """W5 leads from the lamp to its ground, where none belongs; the cable from the post to the fuse has none."""
    assert "no fuse before it" not in mended(suspect("W5", "open")).text
    assert "no fuse before it stands in the file" in mended(suspect("W1", "open")).text


def test_a_blown_fuse_is_never_the_end() -> None:
    """One of the same rating once, what to trace if it blows, what to look at; a missing one asks no why."""
    blown = mended(suspect("F1", "blown"))
    assert blown.asks_why
    assert asks_why(suspect("F1", "blown"))
    assert "one new 15 A blade fuse, blue: never a larger one" in blown.text
    assert "If it blows, fit no other: trace F1 as blows-fuse" in blown.text
    assert "Look at what hangs on it: E1 (Work lamp)" in blown.text
    assert not mended(suspect("F1", "missing")).asks_why


@pytest.mark.parametrize("build", DEMO_NAMES)
def test_no_fuse_is_offered_larger_than_marked_or_than_its_wires_bear(build: str) -> None:
    """Where the file's rating is above what its thinnest wire bears, a smaller one is offered and why is said."""
    harness = demo(build)
    for fuse in harness.fuses:
        fitting = fitting_of(harness, fuse)
        if fuse.amps is None:
            continue
        assert fitting.amps is not None
        assert fitting.amps <= fuse.amps
        bears = min((bears_amps(harness, wire) for wire in guarded_wires(harness, fuse)), default=float("inf"))
        assert fitting.amps <= bears


def test_a_smaller_fuse_than_the_files_is_explained() -> None:
    """0.5 mm² bears about 11 A by the catalogue, so 10 A goes behind the buggy's 15 A fuse F18."""
    harness = demo("trail_buggy")
    fuse = harness.part_of("F18", Fuse)
    assert fuse_fitting(harness, fuse) == "10 A blade fuse, red"
    repair = repair_of(Bench(harness), (suspect("F18", "blown"),), Complaint(("E12:load",)), Condition("off"))
    assert "The file has 15 A, but behind it wire W150, RD/GN 0.5 bears" in repair.text
    assert CAUTIONS[CautionKind.FUSE_RATING].text not in repair.cautions


def test_a_group_is_named_whole_in_one_sentence_and_worked_through_in_order() -> None:
    """Either the one or the other; opening step once, then the work for each, then the trial."""
    repair = mended(suspect("W3", "open"), suspect("X1.1", "open"), suspect("", RECORD))
    assert repair.sentence == (
        "Either wire W3, GN/BU 1.5, broken, at box, behind a panel; or plug X1: cavity 1 makes no contact, at box, "
        "behind a panel; or the file is untrue here."
    )
    assert sum("Key off, then the battery off" in step for step in repair.steps) == 1
    assert any(step.startswith("For wire W3, GN/BU 1.5, broken: look at") for step in repair.steps)
    assert any(step.startswith("If none of this mends it: follow the circuit") for step in repair.steps)


def test_suspects_with_the_same_work_share_its_steps() -> None:
    """A ground that makes no contact and one that makes poor contact are cleaned alike."""
    repair = mended(suspect("GND1", "open"), suspect("GND1", "high"))
    assert sum("clean ring and metal bright" in step for step in repair.steps) == 1


def test_two_faults_of_one_part_are_one_repair() -> None:
    """A wire that is broken or poorly crimped is mended alike: no step is said twice, with no heading before it."""
    steps = mended(suspect("W4", "open"), suspect("W4", "high")).steps
    assert len(set(steps)) == len(steps)
    assert steps == mended(suspect("W4", "open")).steps


def test_a_fuse_that_is_blown_or_missing_is_fitted_once() -> None:
    """Nobody is sent to fit a second one behind “fit no other”, whichever of the two is likelier."""
    blown = mended(suspect("F1", "blown")).steps
    assert mended(suspect("F1", "blown"), suspect("F1", "missing")).steps == blown
    assert mended(suspect("F1", "missing"), suspect("F1", "blown")).steps == blown


def test_each_end_of_a_wire_is_moved_behind_all_wrong_places_of_it() -> None:
    """Two wrong places of one end, one of the other, told by turns: where either end belongs is said last, and once."""
    works = (
        ("off", "follow to A", "move to B", "push home"),
        ("off", "follow to C", "move to D", "push home"),
        ("off", "follow to E", "move to B", "push home"),
    )
    assert merged(works) == (
        ("off", "follow to A", "follow to E", "move to B", "follow to C", "move to D", "push home"),
    )


def test_relay_is_replaced_once_whatever_is_wrong_inside() -> None:
    """Coil and contact are looked at one after the other, between one pulling and one replacing."""
    steps = mended(suspect("K1:coil", "open"), suspect("K1:30-87", "open")).steps
    assert sum("Replace it by one" in step for step in steps) == 1
    assert [step for step in steps if "coil" in step] != []


def test_second_work_on_a_part_is_for_what_the_first_has_not_cured() -> None:
    """The relay first, then a pin of its socket."""
    steps = mended(suspect("K1:coil", "open"), suspect("K1.86", "open")).steps
    assert [step.startswith("If that does not cure it: ") for step in steps].count(True) == 1


def test_what_was_taken_apart_goes_back_before_the_load_is_looked_at() -> None:
    """Between two works on one part, between parts and at the end: with the battery off nothing shows."""
    back = "Put back what was taken apart, then connect battery and chargers again, the grounded post's cable last."
    steps = mended(suspect("K1.86", "open"), suspect("K1", UNKNOWN)).steps
    second = next(place for place, step in enumerate(steps) if step.startswith("If that does not cure it: "))
    assert steps[second - 1] == back
    assert steps[second].startswith("If that does not cure it: key off, then the battery off")
    assert steps[-2] == back
    several = mended(suspect("W3", "open"), suspect("W4", "open"), suspect("K1.86", "open")).steps
    assert several[0].startswith("Do the work in this order. After each part of it put back what was taken apart,")
    assert several[-2] == back


def test_the_battery_stays_on_where_only_a_relay_is_pulled() -> None:
    """Then only what was pulled goes back; of work that takes nothing apart nothing does."""
    assert mended(suspect("K1:coil", "open")).steps[-2] == "Put back what was taken apart."
    assert "Put back" not in mended(suspect("F1", "blown")).text


@pytest.mark.parametrize("one", [suspect("K1", UNKNOWN), suspect("", RECORD), suspect("", NOT_SHOWN)])
def test_what_is_no_fault_of_the_list_has_work_and_proof_too(one: Suspect) -> None:
    """The load is looked at."""
    repair = mended(one)
    assert repair.steps
    assert repair.prove.kind is CheckKind.OBSERVE
    assert repair.prove.load == "E1:load"


def test_an_empty_group_has_no_repair() -> None:
    """There is nothing to mend."""
    with pytest.raises(ValueError, match="at least one suspect"):
        mended()


@pytest.mark.parametrize(
    ("hazard", "kind"), [("restraint", CautionKind.RESTRAINT), ("high voltage", CautionKind.HIGH_VOLTAGE)]
)
def test_nobody_is_told_to_work_on_restraint_or_high_voltage(hazard: str, kind: CautionKind) -> None:
    """The wire on such a part is left to who is licensed, the caution stands first, and no probe goes there."""
    harness = rig(
        f'loads = [ {{ id = "E1", kind = "heater", watts = 5, hazard = "{hazard}" }} ]\n'
        + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    )
    repair = repair_of(Bench(harness), (suspect("W1", "open"),), Complaint(("E1:load",)), Condition("on"))
    assert repair.steps[0].startswith("Do no work on W1 yourself.")
    assert repair.cautions[0] == CAUTIONS[kind].text
    assert all(may_be_probed(harness, point) is None for point in repair.prove.points)


def test_on_a_positive_ground_vehicle_the_far_end_is_still_measured_against_the_grounded_post() -> None:
    """The feed hangs on the negative post."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.- E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"),
        build='nominal_volts = 12, ground_side = "positive"',
    )
    repair = repair_of(Bench(harness), (suspect("W1", "open"),), Complaint(("E1:load",)), Condition("on"))
    assert repair.prove.points == ("E1.-", "G1.+")


def test_a_module_is_unplugged_with_the_supply_off_and_a_meter_alone_goes_there() -> None:
    """The cautions of a control unit stand before its repair."""
    harness = demo("trail_buggy")
    repair = repair_of(Bench(harness), (suspect("A1:pump", "open"),), Complaint(("M2:load",)), Condition("ignition"))
    assert CAUTIONS[CautionKind.SUPPLY_OFF].text in repair.cautions
    assert CAUTIONS[CautionKind.METER_ONLY].text in repair.cautions


def test_a_wire_with_a_free_end_can_be_mended() -> None:
    """A stub that touches the body is followed and led clear; its free end has a place."""
    row = '  { id = "W21", from = "F1.out", to_location = "nose", colour = "RD", length = 2, size = 1.5 },\n'
    repair = mended(suspect("W21", "to body"), spares=row)
    assert "to nose, two screws" in repair.sentence
    assert repair.prove.kind in (CheckKind.VOLTS, CheckKind.NEW_FUSE)


@pytest.mark.slow
def test_hostile_labels_are_cleaned_in_every_sentence_of_a_repair() -> None:
    """Nothing that a terminal obeys reaches finding, work or cautions."""
    harness = read_harness_text(hostile_build(), "hostile.toml")
    bench = Bench(harness)
    condition = Condition(harness.key_names[0])
    for one in every_fault(harness):
        if one.part.startswith(("E", "W")) and one.part[1:2] not in ("1", "2", "F"):
            continue
        repair = repair_of(bench, (one,), Complaint(("E1:load",)), condition)
        for sentence in (repair.sentence, *repair.steps, *repair.cautions):
            assert sentence == clean(sentence, 4000)


def test_two_faults_at_once_are_both_named_mended_and_proved() -> None:
    """Each with its place and its work; the proof is spoiled by the two together."""
    both = suspect("F1 + W4", "blown + touches", "W5")
    assert suspect_words(bench_of().harness, both) == (
        "both fuse F1 (Lamp) blown and wire W4, GN/BU 1.5, touches wire W5, BK 1.5"
    )
    repair = mended(both)
    assert repair.sentence == (
        "Both fuse F1 (Lamp) blown, at box, behind a panel, and wire W4, GN/BU 1.5, touches wire W5, BK 1.5, "
        "from box, behind a panel to nose, two screws, through sill."
    )
    assert repair.asks_why
    assert "one new 15 A blade fuse" in repair.text
    assert "find where it meets wire W5" in repair.text
    assert repair.prove.part == "F1"
