"""What somebody gives in place of a proposal is obeyed, and told where it is for the worse."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.toml_file import read_harness_text
from model.review.finding import FindingRule
from model.review.findings import find_all
from model.review.pattern_asked import asked_keys
from model.review.pattern_choices import open_questions
from model.review.pattern_questions import questions_of
from model.review.patterns import Pattern, propose
from tests.model.review.pattern_looms import ASKED, BARE, bench_of, proposed, put_in, rows, value_of, with_answers


@pytest.mark.slow
@pytest.mark.parametrize("pattern", Pattern)
def test_any_proposal_can_be_given_as_it_is_proposed(pattern: Pattern) -> None:
    """Each value given again under its key makes the same rows: every key is taken."""
    circuit = proposed("trail_buggy", pattern)
    same = {one.key: f"{one.value:g}" if isinstance(one.value, float) else str(one.value) for one in circuit.proposals}
    again = with_answers("trail_buggy", pattern, same)
    assert again.rows == circuit.rows


@pytest.mark.slow
def test_ids_colours_size_and_fuse_are_obeyed() -> None:
    """In the rows stands what was given, and the proposals say what was proposed and why."""
    given = {"load_id": "E99", "load_colour": "pink/black", "size": "2,5", "fuse": "10", "switch_id": "S77"}
    circuit = with_answers("trail_buggy", Pattern.SWITCHED, given)
    (load,), (fuse,) = rows(circuit, "loads"), rows(circuit, "fuses")
    assert (load["id"], fuse["amps"]) == ("E99", 10)
    assert load["works_with"] == {"S77": "on"}
    wires = rows(circuit, "wires")
    assert {row["size"] for row in wires} == {2.5}
    assert "PK/BK" in {row["colour"] for row in wires}
    told = {one.key: one for one in circuit.proposals if one.is_given}
    assert told.keys() == given.keys()
    assert "was proposed: " in told["size"].why
    put_in("trail_buggy", circuit)


def test_a_larger_fuse_than_the_wire_bears_is_told() -> None:
    """1 mm² bears 17.5 A: with a fuse of 30 A somebody also has to take a thicker wire."""
    thicker = with_answers("bare", Pattern.PERMANENT, {"fuse": "30"})
    assert float(str(value_of(thicker, "size"))) > 1.0
    circuit = with_answers("bare", Pattern.PERMANENT, {"fuse": "30", "size": "1"})
    assert any("less than its fuse of 30 A" in remark for remark in circuit.remarks)
    assert any("fuse above what the wire bears" in remark for remark in circuit.remarks)


@pytest.mark.slow
def test_a_finding_is_new_though_another_part_has_one_of_its_rule() -> None:
    """F18 of the buggy is above what its wire bears already; that the new fuse is too is told all the same."""
    had = [one for one in find_all(bench_of("trail_buggy")) if one.rule is FindingRule.WIRE_BEARS_LESS]
    assert [one.part_ids[0] for one in had] == ["F18"]
    circuit = with_answers("trail_buggy", Pattern.PERMANENT, {"fuse": "30", "size": "1"})
    (fuse,) = rows(circuit, "fuses")
    assert [one.part_ids[0] for one in circuit.new_findings if one.rule is FindingRule.WIRE_BEARS_LESS] == [fuse["id"]]


def test_a_thinner_wire_brings_the_fuse_down_and_is_told() -> None:
    """0.35 mm² bears 8.9 A, so that no more than 7.5 A is proposed for 8 A, which is too little for long."""
    circuit = with_answers("bare", Pattern.PERMANENT, {"kind": "heater", "amps": "8", "size": "0.35"})
    assert value_of(circuit, "fuse") == 7.5
    assert any("carries 6 A for long" in remark for remark in circuit.remarks)
    assert any("0.35 mm² is thinner than the 1 mm² that ISO 10133" in remark for remark in circuit.remarks)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("pattern", "more", "words"),
    [
        (Pattern.PERMANENT, {"amps": "4", "fuse": "3"}, "it ages and may open"),
        (Pattern.RELAY, {"relay_amps": "5"}, "its contact is rated at 5 A"),
        (Pattern.SWITCHED, {"switch_amps": "0.5"}, "let a relay carry it"),
        (Pattern.SWITCHED, {"feed": "BB2"}, "BB2 has feed in off, accessory too"),
        (Pattern.SWITCHED, {"feed": "BB3"}, "BB3 has no feed in crank"),
        (Pattern.SWITCHED, {"load_colour": "RD"}, "load_colour: other wires are RD already"),
        (Pattern.SWITCHED, {"feed": "F40", "watts": "120"}, "give it a fuse of its own"),
        (Pattern.SWITCHED, {"at": "roof"}, "“roof” is a new place of the file; it has roof bar already"),
    ],
)
def test_what_is_given_for_the_worse_is_told(pattern: Pattern, more: dict[str, str], words: str) -> None:
    """It is done as somebody asks, and a remark says what that comes to."""
    circuit = with_answers("trail_buggy", pattern, more)
    assert any(words in remark for remark in circuit.remarks), circuit.remarks


@pytest.mark.slow
def test_a_circuit_on_the_wrong_feed_does_not_work_as_asked() -> None:
    """On the accessory bus a lamp that is asked for in ignition, crank and running is dead in crank."""
    circuit = with_answers("trail_buggy", Pattern.SWITCHED, {"feed": "BB3"})
    (working,) = circuit.workings
    assert not working.is_as_asked
    assert working.works_in == ("accessory", "ignition", "running")
    assert any("works in accessory, ignition, running and not, as asked" in remark for remark in circuit.remarks)
    assert any("fed in the wrong key state" in remark for remark in circuit.remarks)


def test_a_feed_without_room_is_told_and_the_blown_fuse_with_it() -> None:
    """Nine amperes on the ignition terminal of the tractor, behind a fuse of 7.5 A that feeds the coil already."""
    circuit = with_answers("field_tractor", Pattern.SPEEDS, {"amps": "9"})
    assert any("stands before S1.A and has room for" in remark for remark in circuit.remarks)
    assert not all(one.is_as_asked for one in circuit.workings)


@pytest.mark.slow
def test_a_fuse_with_room_is_shared_and_no_other_is_added() -> None:
    """What somebody hangs on a fuse has its wires sized for that fuse: F15 of the buggy has no second one."""
    circuit = with_answers("trail_buggy", Pattern.PERMANENT, {"feed": "F15"})
    assert rows(circuit, "fuses") == []
    assert rows(circuit, "wires")[0]["from"] == "F15.out"
    put_in("trail_buggy", circuit)


@pytest.mark.parametrize(
    ("pattern", "more", "words"),
    [
        (Pattern.SWITCHED, {"watts": ""}, "Not answered yet: watts"),
        (Pattern.SWITCHED, {"amps": "2"}, "Both watts and amps"),
        (Pattern.SWITCHED, {"watts": "many"}, "is no number for watts"),
        (Pattern.SWITCHED, {"watts": "-3"}, "cannot be watts"),
        (Pattern.SWITCHED, {"watts": "inf"}, "cannot be watts"),
        (Pattern.SWITCHED, {"when": "ignitoin"}, "Did you mean ignition"),
        (Pattern.SWITCHED, {"kind": "lmap"}, "Did you mean lamp"),
        (Pattern.SWITCHED, {"feed": "BB9"}, "There is no feed"),
        (Pattern.SWITCHED, {"ground": "GND99"}, "There is no ground"),
        (Pattern.SWITCHED, {"load_via": "no trunk"}, "There is no trunk"),
        (Pattern.SWITCHED, {"load_id": "F18"}, "There is a part F18 already"),
        (Pattern.SWITCHED, {"load_id": "9"}, "is no id"),
        (Pattern.SWITCHED, {"load_colour": "plaid"}, "is no colour"),
        (Pattern.SWITCHED, {"size": "AWG 99"}, "no American wire gauge"),
        (Pattern.SWITCHED, {"loda_id": "E99"}, "Did you mean load_id"),
        (Pattern.SWITCHED, {"critical": "perhaps"}, "neither yes nor no"),
        (Pattern.SWITCHED, {"sizes": "swg"}, "metric or AWG"),
        (Pattern.SWITCHED, {"load_length": "-1"}, "cannot be load_length"),
        (Pattern.SPEEDS, {"speeds": "9"}, "2, 3 or 4"),
        (Pattern.MODULE, {"switched_amps": ""}, "Not answered yet: switched_amps"),
    ],
)
def test_what_cannot_be_is_refused_in_words(pattern: Pattern, more: dict[str, str], words: str) -> None:
    """Nothing is guessed in the place of an answer that does not fit."""
    with pytest.raises(ArgumentError) as caught:
        with_answers("trail_buggy", pattern, more)
    assert words in str(caught.value)


def test_a_file_with_one_key_state_has_nothing_to_switch_by_the_key() -> None:
    """Permanent circuits can be made there; ignition cannot be asked for."""
    assert proposed("one_state", Pattern.PERMANENT).workings[0].is_as_asked
    with pytest.raises(ArgumentError, match="no key state beside off"):
        proposed("one_state", Pattern.SWITCHED)


@pytest.mark.parametrize("hazard", ["restraint", "high voltage"])
def test_nothing_is_hung_on_wiring_that_nobody_may_touch(hazard: str) -> None:
    """A busbar of the belt tensioners is not offered, and refused where somebody names it."""
    bus = f'busbars = [ {{ id = "BB1", hazard = "{hazard}" }} ]'
    text = f'{BARE}{bus}\nwires = [ {{ id = "W1", from = "G1.+", to = "BB1" }} ]\n'
    bench = Bench(read_harness_text(text, "bench.toml"))
    for question in open_questions(bench, Pattern.PERMANENT):
        assert "BB1" not in {choice.value for choice in question.choices}
    with pytest.raises(ArgumentError, match="nothing may be added"):
        propose(bench, Pattern.PERMANENT, {**ASKED[Pattern.PERMANENT], "at": "dash", "feed": "BB1"})


@pytest.mark.parametrize("pattern", Pattern)
def test_the_questions_have_their_choices_from_the_harness(pattern: Pattern) -> None:
    """Feeds with the key states in which they are live, places, grounds; every question once."""
    questions = open_questions(bench_of("trail_buggy"), pattern)
    assert [one.question for one in questions] == list(questions_of(pattern))
    choices = {one.question.key: {choice.value: choice.words for choice in one.choices} for one in questions}
    assert len(choices) == len(questions)
    assert choices["feed"]["BB4"] == "busbar Ignition bus: feed in ignition, crank, running"
    assert "room for" in choices["feed"]["F40"]
    assert "roof bar" in choices["at"]
    assert set(choices["ground"]) == {f"GND{number}" for number in range(1, 9)}
    if pattern is not Pattern.PERMANENT:
        assert choices["when"]["ignition"] == "in ignition, crank, running"


def test_the_choices_for_when_are_told_once_and_as_the_file_has_them() -> None:
    """A file of off and ignition has no accessory to ask for; the buggy has, and names each state once."""
    cart = read_harness_text(BARE.replace('"on"', '"ignition"'), "cart")
    with pytest.raises(ArgumentError) as caught:
        asked_keys(cart, "zzz")
    assert caught.value.do == "There are: permanent, ignition, off."
    with pytest.raises(ArgumentError) as caught:
        asked_keys(bench_of("trail_buggy").harness, "zzz")
    assert caught.value.do == "There are: permanent, accessory, ignition, off, crank, running."
