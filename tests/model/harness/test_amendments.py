"""Amendments: each kind changes just the rows that it should, and the file reads as the loom then is."""

import pytest

from model.errors import ArgumentError
from model.harness.amended_parts import point_at
from model.harness.amendment_kinds import added, found_different, ground_moved, removed, replaced, spliced
from model.harness.amendment_spare import moved_to_spare, whole_way
from model.harness.amendments import Amendment, OldEnd, amended_text
from model.harness.applied_changes import DropKey, SetKey
from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.toml_file import read_harness_text

LOOM = """# The loom of the trailer, typed by hand.
format = 1
build = { name = "Trailer", nominal_volts = 12, revision = 3 }
key_states = [ { name = "off" } ]
locations = [ { name = "box" }, { name = "tail" }, { name = "nose" } ]
trunks = [ { name = "spine", length = 3 } ]
batteries = [ { id = "G1", location = "box" } ]
splices = [ { id = "J1", location = "tail" } ]
joints = [ { id = "N1", from = "E2.-", to = "GND2" } ]
fuses = [ { id = "F1", amps = 10, location = "box" } ]
loads = [
  { id = "E1", label = "Tail lamp", kind = "lamp", watts = 5, location = "tail" }, # the left one
  { id = "E2", kind = "lamp", watts = 5, location = "tail" },
]
connectors = [ { id = "X1", cavities = 4, halves = ["box", "tail"], location = "nose" } ]
grounds = [ { id = "GND1", location = "box" }, { id = "GND2", location = "tail" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 2.5, length = 0.3 },
  { id = "W2", from = "F1.out", to = "X1.box.1", colour = "GN/BU", size = 1, via = ["spine"] }, # feed
  { id = "W3", from = "X1.tail.1", to = "E1.+", colour = "GN/BU", size = 1, length = 0.6 },
  { id = "W4", from = "E1.-", to = "GND2", colour = "BK", size = 1, length = 0.4 },
  { id = "W5", from = "G1.-", to = "GND1", size = 16, length = 0.3 },
  { id = "W6", from_location = "box", to = "X1.box.4", colour = "WH", size = 1.5, via = ["spine"], spare = true },
  { id = "W7", from = "X1.tail.4", to_location = "tail", colour = "WH", size = 1.5, length = 0.9, spare = true },
  { id = "W8", from = "J1", to = "E2.+" },
]
"""


@pytest.fixture
def loom() -> Harness:
    """Give the trailer as it is at first."""
    return read_harness_text(LOOM, "trailer")


def after(amendment: Amendment) -> Harness:
    """Give the trailer with an amendment made; its remarks and its date are looked at too."""
    text = amended_text(LOOM, amendment.changes, 4, "2026-05-01")
    assert "# The loom of the trailer, typed by hand." in text
    harness = read_harness_text(text, "trailer")
    assert ("# the left one" in text) is ("E1" in harness.parts)
    assert (harness.build.revision, harness.build.date) == (4, "2026-05-01")
    return harness


def wire(harness: Harness, wire_id: str) -> Wire:
    """Give a wire."""
    return harness.part_of(wire_id, Wire)


def test_a_run_of_two_wires_moves_to_the_spares_of_its_trunk(loom: Harness) -> None:
    """The outer ends go over, the plug's cavity of the spares stays; the old wires hang free where they ended."""
    amendment = moved_to_spare(loom, ["W2", "W3"], ["W6", "W7"])
    new = after(amendment)
    assert (wire(new, "W6").from_point, wire(new, "W6").to_point) == ("F1.out", "X1.box.4")
    assert (wire(new, "W7").from_point, wire(new, "W7").to_point) == ("X1.tail.4", "E1.+")
    assert not wire(new, "W6").spare
    assert not wire(new, "W7").spare
    assert (wire(new, "W2").from_point, wire(new, "W2").from_location) == (None, "box")
    assert (wire(new, "W3").to_point, wire(new, "W3").to_location) == (None, "tail")
    assert (wire(new, "W2").superseded_by, wire(new, "W3").superseded_by) == ("W6", "W7")
    assert amendment.old_ends == (
        OldEnd("W2", "W2.a", "box", is_off=True),
        OldEnd("W3", "W3.b", "tail", is_off=True),
    )


def test_a_spare_whose_pin_sits_in_another_cavity_is_repinned_in_words(loom: Harness) -> None:
    """The file has it in the old wire's cavity at once: who leaves the pin where it is has a dead load on the vehicle.

    Moved with the wire behind the plug, by the spares on both sides of it, no pin has to come out.
    """
    alone = moved_to_spare(loom, ["W2"], ["W6"])
    there = point_at(wire(loom, "W2"), "b") or ""
    cavity = there.rpartition(".")[2]
    assert alone.remarks[:2] == (
        f"Take W6 out of cavity 4 of X1 box and put it into cavity {cavity} of X1 box: "
        "where it is by the file it does nothing for W2.",
        "Or move W2, W3 to W6, W7: then every pin stays where it is in the plug.",
    )
    assert wire(after(alone), "W6").to_point == there
    assert moved_to_spare(loom, ["W2", "W3"], ["W6", "W7"]).remarks == ()
    assert whole_way(loom, "W2", "W6") == (("W2", "W3"), ("W6", "W7"))
    assert whole_way(loom, "W3", "W7") == (("W3", "W2"), ("W7", "W6"))


def test_a_spare_on_a_terminal_is_taken_off_it() -> None:
    """It does not go on through a plug: nothing else is offered."""
    text = LOOM.replace('"J1", location = "tail" }', '"J1", location = "tail" }, { id = "J2", location = "nose" }')
    loom = read_harness_text(text.replace('to = "X1.box.4"', 'to = "J2"'), "trailer")
    told = moved_to_spare(loom, ["W2"], ["W6"]).remarks
    assert told[0].startswith("Take W6 off J2 and put it into cavity 1 of X1 box: ")
    assert not any(words.startswith("Or move") for words in told)
    assert whole_way(loom, "W2", "W6") is None


def test_an_old_end_may_stay_on_its_terminal(loom: Harness) -> None:
    """Who leaves it on has a live stub, and the file says so."""
    new = after(moved_to_spare(loom, ["W2", "W3"], ["W6", "W7"], left_on=["W2.a"]))
    assert wire(new, "W2").from_point == "F1.out"
    assert wire(new, "W3").to_point is None


def test_spares_named_the_other_way_round_lie_as_the_old_wires_do(loom: Harness) -> None:
    """The place of an end says which terminal it goes to."""
    new = after(moved_to_spare(loom, ["W3", "W2"], ["W6", "W7"]))
    assert wire(new, "W6").from_point == "F1.out"
    assert wire(new, "W7").to_point == "E1.+"


def test_a_spare_that_ends_elsewhere_is_refused_one_that_ends_next_to_it_is_told() -> None:
    """W7 ends at the nose, 0.6 m of wire from the tail; with half a metre it has to reach that far, no more."""
    text = LOOM.replace(
        '"W7", from = "X1.tail.4", to_location = "tail"', '"W7", from = "X1.tail.4", to_location = "nose"'
    )
    with pytest.raises(ArgumentError, match="W7 ends at nose by the file, W3 at tail: it does not reach"):
        moved_to_spare(read_harness_text(text, "trailer"), ["W2", "W3"], ["W6", "W7"])
    near = read_harness_text(text.replace("size = 1, length = 0.6", "size = 1, length = 0.5"), "trailer")
    told = moved_to_spare(near, ["W2", "W3"], ["W6", "W7"]).remarks
    assert told == ("W7 ends at nose by the file, the terminal is at tail: it has to reach that far.",)


@pytest.mark.parametrize(
    ("old", "spares", "words"),
    [
        (["W2"], ["W4"], "W4 is no spare"),
        (["W2", "W4"], ["W6"], "W2 and W4 do not meet"),
        (["W9"], ["W6"], "There is no part W9"),
        (["E1"], ["W6"], "E1 is no wire"),
        (["W6"], ["W7"], "ends nowhere"),
        ([], ["W7"], "Name the wires"),
        (["W2", "W2"], ["W6"], "is named twice"),
        (["W2"], ["W6", "W7", "W6"], "is named twice"),
    ],
)
def test_what_cannot_be_moved_is_refused(loom: Harness, old: list[str], spares: list[str], words: str) -> None:
    """Each refusal names the wire and what is in the way."""
    with pytest.raises(ArgumentError, match=words):
        moved_to_spare(loom, old, spares)


def test_a_splice_parts_a_wire_at_the_length_measured(loom: Harness) -> None:
    """Of 0.6 m the splice at 0.2 m leaves 0.4 m; colour and size go with the new piece."""
    new = after(spliced(loom, "W3", "J2", from_end_m=0.2))
    assert (wire(new, "W3").from_point, wire(new, "W3").to_point, wire(new, "W3").length) == ("X1.tail.1", "J2", 0.2)
    piece = wire(new, "W3b")
    assert (piece.from_point, piece.to_point, piece.length, piece.colour, piece.size) == ("J2", "E1.+", 0.4, "GN/BU", 1)


def test_a_splice_nobody_measured_sits_half_way_and_says_so(loom: Harness) -> None:
    """The assumption is a remark, and so is the trunk that both pieces are taken to run through."""
    amendment = spliced(loom, "W2", "J2")
    assert any("half way is assumed" in remark for remark in amendment.remarks)
    assert any("spine" in remark for remark in amendment.remarks)
    new = after(amendment)
    assert wire(new, "W2b").via == ("spine",)
    with pytest.raises(ArgumentError, match="lies beyond it"):
        spliced(loom, "W3", "J2", from_end_m=0.7)
    with pytest.raises(ArgumentError, match="J1 already"):
        spliced(loom, "W3", "J1")


def test_the_pieces_of_a_wire_of_unknown_length_are_as_long_as_it_was_taken_to_be(loom: Harness) -> None:
    """Of the trunk's 3 m each piece has half, and says that it is assumed; of 1.5 m one measured at 2 m leaves more.

    Two pieces that each had the assumed length would double the drop: at 1 mm² (IEC 60228 class 5, 19.5 mΩ/m) 3 m
    have 58.5 mΩ, and twice 3 m have 117 mΩ.
    """
    new = after(spliced(loom, "W2", "J2"))
    pieces = wire(new, "W2"), wire(new, "W2b")
    assert [piece.length for piece in pieces] == [1.5, 1.5]
    assert [piece.note for piece in pieces] == ["Assumed: length."] * 2
    amendment = spliced(loom, "W8", "J2", from_end_m=2)
    assert any("did not say how long W8 was" in remark for remark in amendment.remarks)
    pieces = wire(after(amendment), "W8"), wire(after(amendment), "W8b")
    assert [(piece.length, piece.note) for piece in pieces] == [(2, ""), (None, "")]
    with pytest.raises(ArgumentError, match="lies beyond it"):
        spliced(loom, "W8", "J2", from_end_m=-1)


def test_a_hazard_goes_with_the_work() -> None:
    """What the file says of a wire alone holds of the second piece of it, and of the spares that do its work."""
    dangerous = LOOM.replace('id = "W3", from', 'id = "W3", hazard = "high voltage", from')
    loom = read_harness_text(dangerous, "trailer")
    for amendment, heirs in (
        (spliced(loom, "W3", "J2"), ["W3", "W3b"]),
        (moved_to_spare(loom, ["W2", "W3"], ["W6", "W7"]), ["W3", "W6", "W7"]),
    ):
        new = read_harness_text(amended_text(dangerous, amendment.changes, 4, ""), "trailer")
        assert [one.id for one in new.wires if one.hazard is Hazard.HIGH_VOLTAGE] == heirs


def test_a_part_replaced_has_what_the_new_one_has(loom: Harness) -> None:
    """A lamp of ten watts in place of one of five; None takes a key out."""
    new = after(replaced(loom, "E1", {"watts": 10, "label": None}))
    assert (new.parts["E1"].watts, new.parts["E1"].label) == (10, "")  # type: ignore[attr-defined]
    assert after(replaced(loom, "W3", {})).parts["W3"] == loom.parts["W3"]


def test_what_changed_is_told_as_it_would_be_typed(loom: Harness) -> None:
    """Lists and yes or no stand in the sentence as in the file."""
    amendment = found_different(loom, "W3", {"via": ["spine"], "spare": True, "size": 1.5, "colour": None})
    assert amendment.sentence == ('W3 is not as the file had it: via ["spine"], spare true, size 1.5, colour left out.')


def test_a_wire_found_different_is_mended_in_the_file(loom: Harness) -> None:
    """Colour and cavity as they are in the vehicle; with nothing to mend it is refused."""
    new = after(found_different(loom, "W3", {"colour": "GN", "from": "X1.tail.2"}))
    assert (wire(new, "W3").colour, wire(new, "W3").from_point) == ("GN", "X1.tail.2")
    with pytest.raises(ArgumentError, match="Nothing of W3"):
        found_different(loom, "W3", {})


def test_a_ground_is_moved_either_way(loom: Harness) -> None:
    """The stud to another place, or the end of a wire to another stud."""
    assert after(ground_moved(loom, "GND2", "nose")).parts["GND2"].location == "nose"
    assert wire(after(ground_moved(loom, "W4", "GND1")), "W4").to_point == "GND1"
    assert wire(after(ground_moved(loom, "W4", "CHASSIS")), "W4").to_point == "CHASSIS"
    for part_id, to, words in (("W3", "GND1", "ends on no ground"), ("W4", "GND7", "no ground GND7")):
        with pytest.raises(ArgumentError, match=words):
            ground_moved(loom, part_id, to)


def test_a_part_is_added_and_its_id_must_be_free(loom: Harness) -> None:
    """The new row stands in the file; a taken id or an unknown table is refused."""
    new = after(added(loom, "wires", {"id": "W20", "from": "F1.out", "to": "J1", "size": 1.5}))
    assert wire(new, "W20").to_point == "J1"
    for table, row, words in (
        ("wires", {"id": "W1"}, "W1 already"),
        ("wire", {"id": "W20"}, "no table wire"),
        ("wires", {"from": "J1"}, "needs an id"),
    ):
        with pytest.raises(ArgumentError, match=words):
            added(loom, table, row)


def test_a_part_taken_out_leaves_its_wires_hanging(loom: Harness) -> None:
    """The lamp's wires end free at the tail; a joint that held it goes with it."""
    amendment = removed(loom, "E1")
    new = after(amendment)
    assert "E1" not in new.parts
    assert (wire(new, "W3").to_point, wire(new, "W3").to_location) == (None, "tail")
    assert (wire(new, "W4").from_point, wire(new, "W4").to_point) == (None, "GND2")
    assert {end.point for end in amendment.old_ends} == {"W3.b", "W4.a"}
    assert "N1" not in after(removed(loom, "E2")).parts


def test_what_is_given_or_taken_out_is_assumed_no_more() -> None:
    """The mark goes off the note and its words stay; with nothing left to say the note goes; a note given stays."""
    lamp = 'watts = 5, location = "tail" }, # the left one'
    text = LOOM.replace(lamp, f'note = "Assumed: amps, role. Bent bracket", {lamp}')
    assumed = read_harness_text(text, "trailer")
    changes = found_different(assumed, "E1", {"watts": 45.0, "amps": None}).changes
    assert changes[-1] == SetKey("loads", "E1", "note", "Assumed: role. Bent bracket")
    assert len(found_different(assumed, "E1", {"label": "Lamp"}).changes) == 1
    assumed = read_harness_text(text.replace("amps, role. Bent bracket", "amps."), "trailer")
    assert replaced(assumed, "E1", {"amps": 2.0}).changes[-1] == DropKey("loads", "E1", "note")
    assert replaced(assumed, "E1", {"amps": 2.0, "note": "new"}).changes[-1] == SetKey("loads", "E1", "note", "new")
