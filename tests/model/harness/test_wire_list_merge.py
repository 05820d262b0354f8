"""A changed list merged into the file made from it: the hand wins, and everything else is told."""

from pathlib import Path

from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.toml_file import read_harness
from model.harness.wire_list_earlier import earlier_path, read_earlier
from model.harness.wire_list_rows import read_wire_list
from model.harness.wire_list_taken import Taken, take_in

HEAD = "id,from,to,colour,size,length\n"
FIRST = HEAD + "W1,G1.+,F1.in,RD,6,0.3\nW2,F1.out,S1.1,RD,1.5,1\nW3,S1.2,E1.+,YE,1,2\nW4,E1.-,GND1,BK,1,0.4\n"


def taken(text: str, path: Path, parts: str = "", drop_missing: bool = False) -> Taken:
    """Take lists in as the command does."""
    listed = read_parts_list(parts.encode(), "parts.csv") if parts else PartsList()
    return take_in(read_wire_list(text.encode(), "wires.csv"), listed, path, 12.0, drop_missing)


def by_hand(path: Path, old: str, new: str) -> None:
    """Change the file as a person does."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, (old, text)
    path.write_text(text.replace(old, new), encoding="utf-8")


def said(found: Taken) -> str:
    """Give all remarks as one text."""
    return "\n".join(remark.text() for remark in found.remarks)


def test_the_same_list_again_changes_nothing(tmp_path: Path) -> None:
    """A second run with the same list leaves the file as it is, to the byte, and keeps nothing beside it."""
    path = tmp_path / "buggy.toml"
    assert not taken(FIRST, path).was_there
    before = path.read_bytes()
    again = taken(FIRST, path)
    assert (again.was_there, again.is_changed) == (True, False)
    assert path.read_bytes() == before
    assert sorted(one.name for one in tmp_path.iterdir()) == ["buggy.list.json", "buggy.toml"]


def test_what_was_filled_in_by_hand_stays(tmp_path: Path) -> None:
    """Ratings, labels, comments and wires of the hand stay while the list brings a new wire and a changed size."""
    path = tmp_path / "buggy.toml"
    taken(FIRST, path)
    by_hand(path, "amps = 15", "amps = 20")
    by_hand(path, 'note = "Assumed: amps."', 'label = "Head lamp"')
    by_hand(
        path,
        "wires = [\n",
        'wires = [\n  # the loom of May\n  { id = "W90", from = "GND1", to = "CHASSIS", size = 16 },\n',
    )
    found = taken(FIRST.replace("YE,1,2", "YE,1.5,2") + "W5,F1.out,S2.1,GN,1,1\n", path)
    harness = read_harness(path)
    assert (harness.fuses[0].amps, harness.fuses[0].label) == (20.0, "Head lamp")
    assert "# the loom of May" in path.read_text(encoding="utf-8")
    assert {wire.id for wire in harness.wires} == {"W1", "W2", "W3", "W4", "W5", "W90"}
    assert next(wire for wire in harness.wires if wire.id == "W3").size == 1.5
    assert "line 4: W3: size is now 1.5" in said(found)
    assert "line 6: W5 is new" in said(found)
    assert "W90" not in said(found)
    assert harness.build.revision == 2
    assert read_harness(tmp_path / "buggy.rev1.toml").build.revision == 1


def test_a_rating_that_was_assumed_follows_its_wires_until_it_is_answered(tmp_path: Path) -> None:
    """Behind F1 the lamp's wire grows from 1 to 2.5 mm², then W2, 1.5 mm², is the thinnest: 23 A, so 20 A.

    Answered, be it with the very figure that was assumed, it stays, and nobody hears of another guess.
    """
    thicker = FIRST.replace("YE,1,2", "YE,2.5,2")
    for typed, amps in (("amps = 15, note", 20.0), ('amps = 15, note = "Assumed: amps."', 15.0)):
        path = tmp_path / f"{amps:g}.toml"
        taken(FIRST, path)
        by_hand(path, typed, typed.partition(", note =")[0])
        found = taken(thicker, path)
        assert read_harness(path).fuses[0].amps == amps
        assert ("F1: amps is now 20" in said(found)) is (amps == 20.0)
        assert ("F1" in said(found)) is (amps == 20.0)


def test_a_wire_changed_in_both_is_a_conflict_and_the_hand_wins(tmp_path: Path) -> None:
    """List and hand gave a wire different sizes: it is told with both, once, and the file keeps its own."""
    path = tmp_path / "buggy.toml"
    taken(FIRST, path)
    by_hand(path, 'colour = "YE", size = 1,', 'colour = "YE", size = 2.5,')
    changed = FIRST.replace("YE,1,2", "YE,1.5,2")
    assert "W3: size was 1.0 and is now 1.5 there, and 2.5 in the file" in said(taken(changed, path))
    assert next(wire for wire in read_harness(path).wires if wire.id == "W3").size == 2.5
    assert "W3" not in said(taken(changed, path))


def test_vanished_wires_are_kept_unless_they_are_to_go(tmp_path: Path) -> None:
    """A wire that left the list is told and kept; asked to, the merge takes it out, and its parts with it."""
    path = tmp_path / "buggy.toml"
    taken(FIRST + "W5,F1.out,S2.1,GN,1,1\n", path)
    kept = taken(FIRST, path)
    assert "W5 is no longer in the list; kept" in said(kept)
    assert "W5" in {wire.id for wire in read_harness(path).wires}
    taken(FIRST + "W5,F1.out,S2.1,GN,1,1\n", path)
    gone = taken(FIRST, path, drop_missing=True)
    assert "W5 is no longer in the list; taken out" in said(gone)
    harness = read_harness(path)
    assert "W5" not in {wire.id for wire in harness.wires}
    assert "S2" not in harness.parts


def test_a_wire_taken_out_by_hand_stays_out(tmp_path: Path) -> None:
    """What a person took out of the file does not come back with the next list, but is told."""
    path = tmp_path / "buggy.toml"
    taken(FIRST, path)
    line = next(line for line in path.read_text(encoding="utf-8").splitlines(keepends=True) if 'id = "W4"' in line)
    by_hand(path, line, "")
    assert "W4 was taken out of the file by hand" in said(taken(FIRST, path))
    assert "W4" not in {wire.id for wire in read_harness(path).wires}


def test_wires_without_ids_keep_theirs(tmp_path: Path) -> None:
    """In a list without ids a row put in above moves no id: wires are known by ends and colour."""
    path = tmp_path / "buggy.toml"
    bare = "from,to,colour\nG1.+,F1.in,RD\nF1.out,S1.1,RD\nS1.2,E1.+,YE\n"
    taken(bare, path)
    before = {wire.id: wire.to_point for wire in read_harness(path).wires}
    taken(bare.replace("colour\n", "colour\nG1.-,GND9,BK\n"), path)
    after = {wire.id: wire.to_point for wire in read_harness(path).wires}
    assert before == {"W1": "F1.in", "W2": "S1.1", "W3": "E1.+"}
    assert after == before | {"W4": "GND9"}


def test_a_file_that_no_list_made_is_merged_with_care(tmp_path: Path) -> None:
    """With a hand-written file new wires come in, differences are told, and none of its own is touched."""
    path = tmp_path / "own.toml"
    path.write_text(
        'format = 1\nbuild = { name = "Own", nominal_volts = 12 }\nkey_states = [ { name = "off" } ]\n'
        'batteries = [ { id = "G1" } ]\nfuses = [ { id = "F1", amps = 10 } ]\n'
        'switches = [ { id = "S1", terminals = ["in", "out"], positions = { off = [], on = [["in", "out"]] } } ]\n'
        'wires = [\n  { id = "W1", from = "G1.+", to = "F1.in", size = 4 }, # thick\n]\n',
        encoding="utf-8",
    )
    found = taken(HEAD + "W1,G1.+,F1.in,RD,6,0.3\nW2,F1.out,S1.in,RD,1.5,1\n", path)
    harness = read_harness(path)
    assert "W1: size is 6.0 there, and 4 in the file" in said(found)
    assert harness.wires[0].size == 4
    assert (harness.wires[0].colour, harness.wires[1].to_point) == ("RD", "S1.in")
    assert harness.switches[0].terminals == ("in", "out")
    assert "# thick" in path.read_text(encoding="utf-8")


def test_a_parts_list_that_changes_is_merged_too(tmp_path: Path) -> None:
    """A rating changed in the parts list reaches the file, one that the hand changed does not."""
    path = tmp_path / "buggy.toml"
    parts = "id,kind,watts,amps\nE1,lamp,21,\nF1,fuse,,15\n"
    taken(FIRST, path, parts)
    by_hand(path, "amps = 15", "amps = 7.5")
    found = taken(FIRST, path, parts.replace("21", "55").replace("15", "20"))
    harness = read_harness(path)
    assert harness.loads[0].watts == 55
    assert harness.fuses[0].amps == 7.5
    assert "F1: amps was 15.0 and is now 20.0 there, and 7.5 in the file" in said(found)


def test_a_damaged_memory_of_the_list_stops_nothing(tmp_path: Path) -> None:
    """Without what the list said before, the merge goes on as with a hand-written file."""
    path = tmp_path / "buggy.toml"
    taken(FIRST, path)
    earlier_path(path).write_text("{]", encoding="utf-8")
    assert not read_earlier(path).is_known
    found = taken(FIRST.replace("YE,1,2", "YE,1.5,2"), path)
    assert "W3: size is 1.5 there, and 1 in the file" in said(found)
    assert read_earlier(path).is_known


def test_a_part_grows_with_its_wires(tmp_path: Path) -> None:
    """A new cavity, a changeover contact and a further way of a switch come in with the wires that need them."""
    path = tmp_path / "buggy.toml"
    first = HEAD + "W1,F1.out,X1.1,RD,1,1\nW2,F1.out,K1.30,RD,1,1\nW3,K1.87,E1.+,RD,1,1\n"
    first += "W4,F1.out,S1.in,RD,1,1\nW5,S1.low,J1,RD,1,1\n"
    taken(first, path)
    more = "W6,X1.4,E2.+,RD,1,1\nW7,K1.87a,E3.+,RD,1,1\nW8,S1.high,J2,RD,1,1\n"
    found = taken(first + more, path)
    harness = read_harness(path)
    assert harness.connectors[0].cavities == 4
    assert harness.relays[0].contacts == "changeover"
    assert list(harness.switches[0].positions) == ["off", "low", "high"]
    assert {wire.id for wire in harness.wires} == {f"W{number}" for number in range(1, 9)}
    assert "left as it is" not in said(found)


def test_a_wire_to_a_terminal_that_the_hand_renamed_has_a_point_of_its_own(tmp_path: Path) -> None:
    """Where the hand gave a switch other terminals a new wire to an old one is taken in beside it, and told."""
    path = tmp_path / "buggy.toml"
    taken(FIRST, path)
    by_hand(
        path,
        '{ id = "S1" }',
        '{ id = "S1", terminals = ["in", "out"], positions = { off = [], on = [["in", "out"]] } }',
    )
    text = path.read_text(encoding="utf-8").replace('"S1.1"', '"S1.in"').replace('"S1.2"', '"S1.out"')
    path.write_text(text, encoding="utf-8")
    found = taken(FIRST + "W5,S1.2,E2.+,RD,1,1\n", path)
    wires = {wire.id: wire for wire in read_harness(path).wires}
    assert (wires["W2"].to_point, wires["W3"].from_point, wires["W5"].from_point) == ("S1.in", "S1.out", "S1_2")
    assert "S1_2 stands for a point that its part does not have in the file" in said(found)


def test_grounds_that_are_assumed_stay_with_their_parts(tmp_path: Path) -> None:
    """A case taken to sit on the body keeps doing so when a part before it in the list gets one too."""
    path = tmp_path / "buggy.toml"
    taken(HEAD + "W1,F1.out,E5.+,RD,1,1\n", path)
    taken(HEAD + "W9,F1.out,E4.+,RD,1,1\nW1,F1.out,E5.+,RD,1,1\n", path)
    assert {"E4.-", "E5.-"} <= {joint.from_point for joint in read_harness(path).joints}
    taken(HEAD + "W9,F1.out,E4.+,RD,1,1\nW1,F1.out,E5.+,RD,1,1\nW2,E5.-,GND1,BK,1,1\n", path)
    assert "E5.-" not in {joint.from_point for joint in read_harness(path).joints}


def test_two_lists_after_each_other_never_break_the_file(tmp_path: Path) -> None:
    """A list that has nothing in common with the one before is merged without breaking a rule."""
    path = tmp_path / "buggy.toml"
    taken(FIRST, path)
    other = HEAD + "W1,F1.tap,X1.dash.9,BU,2.5,1\nW2,K1.30,K1.87a,GN,1,1\nF1,E1 56b,S1.x,YE,1,1\n"
    assert taken(other, path, drop_missing=True).is_changed
    assert taken(FIRST, path, drop_missing=True).is_changed
    assert read_harness(path).batteries
