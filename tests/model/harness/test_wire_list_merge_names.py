"""A changed list merged by name: parts keep their ids, wires of others stay, what was refused is offered again."""

import re
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.harness.harness import Harness
from model.harness.parts_list_read import PartsList
from model.harness.toml_file import read_harness
from model.harness.wire_list_rows import read_wire_list
from model.harness.wire_list_taken import Taken, take_in

HEAD = "wire,from,to,colour,size,length\n"
CART = (
    "W1,Battery +,Fuse box,RD,6,0.4",
    "W2,F1 out,Pump relay 30,RD,2.5,0.5",
    "W3,F2 out,Key 30,RD,1.5,0.5",
    "W4,Key 15,Pump relay 86,GN,1,0.6",
    "W5,Key 15,Lamp +,GN/WH,1,1.8",
    "W6,Pump relay 87,Pump +,BU,1,2.1",
    "W7,Pump -,Rear ground,BK,2.5,0.3",
    "W8,Pump relay 85,Rear ground,BK,1,1.9",
    "W9,Lamp -,Rear ground,BK,1,0.4",
    "W10,Battery -,Front ground,BK,6,0.3",
)
WIPER = ("W11,F1 out,Wiper +,RD,1,1", "W12,Wiper -,Rear ground,BK,1,1")
NAMES = ("Pump", "Wiper", "Fan", "Blower", "Horn", "Winch motor", "Work lamp", "Light switch", "Door switch")


def taken(
    rows: tuple[str, ...] | list[str], path: Path, volts: float | None = 12.0, drop_missing: bool = False
) -> Taken:
    """Take a list in as the command does."""
    text = HEAD + "".join(f"{row}\n" for row in rows)
    return take_in(read_wire_list(text.encode(), "wires.csv"), PartsList(), path, volts, drop_missing)


def said(found: Taken) -> str:
    """Give all remarks as one text."""
    return "\n".join(remark.text() for remark in found.remarks)


def by_hand(path: Path, old: str, new: str) -> None:
    """Change the file as a person does."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, (old, text)
    path.write_text(text.replace(old, new), encoding="utf-8")


def labels(harness: Harness) -> dict[str, str]:
    """Give the labels of all parts by id."""
    return {part_id: part.label for part_id, part in harness.parts.items() if getattr(part, "label", "")}


def cart_with_a_pump_of_6_a(tmp_path: Path) -> Path:
    """Make the cart, and type the pump's current into the file."""
    path = tmp_path / "cart.toml"
    taken(CART, path)
    by_hand(path, 'amps = 5, note = "Assumed: amps."', "amps = 6")
    return path


def test_rows_put_in_the_middle_leave_every_part_its_id(tmp_path: Path) -> None:
    """A wiper put in before the pump gets a new id; the pump keeps its own, with what was typed for it."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    before = labels(read_harness(path))
    taken([*CART[:5], *WIPER, *CART[5:]], path)
    harness = read_harness(path)
    assert labels(harness) == before | {"M2": "Wiper"}
    assert {one.label: one.amps for one in harness.loads if one.id.startswith("M")} == {"Pump": 6, "Wiper": 4}
    ends = {wire.id: wire.to_point for wire in harness.wires}
    assert (ends["W6"], ends["W11"]) == ("M1.+", "M2.+")


def test_rows_that_move_change_nothing(tmp_path: Path) -> None:
    """The rows in the opposite order make the same file."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    before = path.read_bytes()
    assert not taken(CART[::-1], path).is_changed
    assert path.read_bytes() == before


def test_a_name_that_comes_back_has_the_id_it_had(tmp_path: Path) -> None:
    """A part whose rows leave the list and come back is the part that the file kept."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    taken([row for row in CART if "Pump +" not in row and "Pump -" not in row], path)
    taken([*WIPER, *CART], path)
    harness = read_harness(path)
    assert {one.label: (one.id, one.amps) for one in harness.loads if one.kind == "motor"} == {
        "Pump": ("M1", 6),
        "Wiper": ("M2", 4),
    }


def test_a_renamed_end_makes_a_part_and_labels_no_other(tmp_path: Path) -> None:
    """A name that is new is a new part: no label in the file changes, and every id that is told of is there."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    before = labels(read_harness(path))
    found = taken([row.replace("Pump +", "Bilge pump +").replace("Pump -", "Bilge pump -") for row in CART], path)
    after = labels(read_harness(path))
    assert after == before | {"M2": "Bilge pump"}
    assert "M1 is no longer in the list; kept" in said(found)
    wires = {wire.id for wire in read_harness(path).wires}
    told = set(re.findall(r"\b[A-Z]{1,3}\d+\b", said(found)))
    assert told <= wires | set(after) | {"F1", "F2"}


def test_a_label_changed_by_hand_still_means_its_part(tmp_path: Path) -> None:
    """The list's old name leads to the part that it made, whatever that is called in the file by now."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    by_hand(path, 'label = "Pump", kind', 'label = "Fuel pump", kind')
    taken([*CART, "W20,F1 out,Pump +,RD,1,1"], path)
    harness = read_harness(path)
    assert next(wire.to_point for wire in harness.wires if wire.id == "W20") == "M1.+"
    assert labels(harness)["M1"] == "Fuel pump"
    assert "M2" not in harness.parts


CIRCUIT = (
    'wires = [\n  { id = "W11", from = "F2.out", to = "E9.+", size = 1 },\n',
    '  { id = "E9", label = "Awning lamp", kind = "lamp", watts = 10 },\n',
)


def with_a_circuit(tmp_path: Path) -> Path:
    """Make the cart, and add a lamp on the wire W11 to it as an amendment does."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    by_hand(path, "wires = [\n", CIRCUIT[0])
    by_hand(path, "loads = [\n", "loads = [\n" + CIRCUIT[1])
    return path


def test_a_wire_with_the_id_of_another_is_refused_loudly_at_every_run(tmp_path: Path) -> None:
    """A circuit took W11 between two merges: the list's own W11 is told of with its line, until it has a free id."""
    path = with_a_circuit(tmp_path)
    for _ in range(2):
        found = taken([*CART, *WIPER], path)
        assert "line 12: W11 is another wire in the file" in said(found)
        assert "by hand" not in said(found)
        wires = {wire.id: wire for wire in read_harness(path).wires}
        assert (wires["W11"].to_point, wires["W12"].from_point) == ("E9.+", "M2.-")
    taken([*CART, WIPER[0].replace("W11", "W21"), WIPER[1]], path)
    wires = {wire.id: wire for wire in read_harness(path).wires}
    assert (wires["W11"].to_point, wires["W21"].to_point) == ("E9.+", "M2.+")


def test_a_wire_that_somebody_added_as_the_list_has_it_is_that_wire(tmp_path: Path) -> None:
    """A wire of the file with the id and the ends of the list's is no other: nothing is refused."""
    path = with_a_circuit(tmp_path)
    found = taken([*CART, "W11,F2 out,Awning lamp +,RD,1,1"], path)
    assert "another wire" not in said(found)
    wire = next(wire for wire in read_harness(path).wires if wire.id == "W11")
    assert (wire.to_point, wire.colour) == ("E9.+", "RD")


def test_ids_that_are_made_pass_by_those_of_the_file(tmp_path: Path) -> None:
    """In a list without ids a new wire gets one that no wire of the file has."""
    path = tmp_path / "cart.toml"
    bare = [row.partition(",")[2] for row in CART]
    taken(["," + row for row in bare], path)
    by_hand(path, "wires = [\n", CIRCUIT[0])
    by_hand(path, "loads = [\n", "loads = [\n" + CIRCUIT[1])
    taken(["," + row for row in bare] + [",F1 out,Wiper +,RD,1,1"], path)
    wires = {wire.id: wire.to_point for wire in read_harness(path).wires}
    assert wires["W11"] == "E9.+"
    assert {wire_id for wire_id, point in wires.items() if point == "M1.+"} == {"W6"}
    assert [wire_id for wire_id, point in wires.items() if point == "M2.+"] == ["W12"]


def test_a_row_whose_id_a_part_has_is_offered_again(tmp_path: Path) -> None:
    """A row that the file cannot take is told each time as refused, and comes in once the file can take it."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    by_hand(path, "loads = [\n", 'loads = [\n  { id = "W11", label = "Awning lamp", kind = "lamp", watts = 10 },\n')
    for _ in range(2):
        found = taken([*CART, *WIPER], path)
        assert "W11 is something else in the file" in said(found)
        assert "by hand" not in said(found)
        assert "W11" not in {wire.id for wire in read_harness(path).wires}
    by_hand(path, '"W11", label', '"E9", label')
    taken([*CART, *WIPER], path)
    assert "W11" in {wire.id for wire in read_harness(path).wires}


def test_a_row_that_breaks_a_rule_is_offered_again(tmp_path: Path) -> None:
    """A wire to a fuse that somebody took out is refused at each run, and comes in once the fuse is back."""
    path = cart_with_a_pump_of_6_a(tmp_path)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    fuse = next(line for line in lines if 'id = "F2"' in line)
    path.write_text("".join(line for line in lines if '"F2' not in line), encoding="utf-8")
    more = [*CART, "W20,F2 out,Wiper +,RD,1,1"]
    for _ in range(2):
        found = taken(more, path)
        assert "W20" in said(found)
        assert "line 12: W20 was taken out" not in said(found)
        assert "left as it is in the file" in said(found)
        assert "line 4: W3 was taken out of the file by hand" in said(found)
        assert "W20" not in {wire.id for wire in read_harness(path).wires}
    by_hand(path, "fuses = [\n", "fuses = [\n" + fuse)
    taken(more, path)
    assert next(wire.to_point for wire in read_harness(path).wires if wire.id == "W20") == "M2.+"


def test_volts_given_once_stay_given(tmp_path: Path) -> None:
    """A later merge without the nominal volts neither asks for them again nor changes them."""
    path = tmp_path / "cart.toml"
    taken(CART, path, 24.0)
    taken([*CART, *WIPER], path, None)
    build = read_harness(path).build
    assert build.nominal_volts == 24
    assert "nominal_volts" not in build.note


def rows_of(names: list[str]) -> list[str]:
    """Give two wires for each name, without ids."""
    terminals = [("pin 1", "pin 2") if "switch" in name else ("+", "-") for name in names]
    return [
        row
        for name, (one, other) in zip(names, terminals, strict=True)
        for row in (f",F1 out,{name} {one},RD,1,1", f",{name} {other},Rear ground,BK,1,1")
    ]


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(st.data())
def test_any_order_leaves_what_was_typed_with_its_name(data: st.DataObject) -> None:
    """However rows are moved, put in and left out, what was typed for a label stays with it."""
    first = data.draw(st.lists(st.sampled_from(NAMES), unique=True, min_size=1))
    later = [
        data.draw(st.permutations(rows_of(data.draw(st.lists(st.sampled_from(NAMES), unique=True, min_size=1)))))
        for _ in range(2)
    ]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "cart.toml"
        taken([CART[0], *rows_of(first)], path)
        for name in first:
            by_hand(path, f'label = "{name}"', f'label = "{name}", location = "by {name}"')
        text = path.read_text(encoding="utf-8")
        places = "".join(f'  {{ name = "by {name}" }},\n' for name in first)
        path.write_text(f"{text}\nlocations = [\n{places}]\n", encoding="utf-8")
        before = {name: part_id for part_id, name in labels(read_harness(path)).items()}
        for rows in later:
            taken([CART[0], *rows], path)
            harness = read_harness(path)
            after = {name: part_id for part_id, name in labels(harness).items()}
            assert before.items() <= after.items()
            assert all(getattr(harness.parts[after[name]], "location", "") == f"by {name}" for name in first)
