"""What the terminals of lamps and of their switches say by DIN 72552."""

import pytest

from model.circuit.condition import make_condition
from model.circuit.survey import LoadState, survey
from model.harness.harness import Harness
from model.harness.parts_list_read import read_parts_list
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list
from tests.model.harness.test_wire_list_damage import made


def lamp(label: str, *terminals: str) -> Harness:
    """Make a loom of a lamp with wires on these terminals and on 31."""
    rows = [f"W{at},J{at},{label} {terminal}" for at, terminal in enumerate(terminals, 1)]
    return made("\n".join(["id,from,to", *rows, f"W9,{label} 31,GND1"]))[1]


@pytest.mark.parametrize(
    ("label", "terminals", "roles"),
    [
        ("Left headlamp", ("56a", "56b"), ["main", "dip"]),
        ("Left headlamp", ("56a", "56b", "58"), ["main", "dip", "side"]),
        ("Left tail lamp", ("58", "54"), ["tail", "stop"]),
        ("Left tail lamp", ("58L", "54", "49a"), ["tail", "stop", "indicator"]),
        ("Rear cluster lamp", ("54",), ["stop"]),
        ("Brake light", ("58",), ["tail"]),
        ("Plate lamp", ("58",), ["plate"]),
        ("Panel lamp", ("58",), ["instrument"]),
        ("Fog lamp", ("55",), ["fog"]),
    ],
)
def test_a_terminal_tells_the_role_of_what_hangs_on_it(
    label: str, terminals: tuple[str, ...], roles: list[str]
) -> None:
    """54 is the stop lamp, 56a main, 56b dip, 58 tail or side, 49a indicator; of plate and panel the label tells."""
    load = lamp(label, *terminals).loads[0]
    assert [element.name for element in load.elements] == list(terminals)
    assert [element.role for element in load.elements] == roles
    assert load.role == ""


def test_a_terminal_that_tells_nothing_leaves_the_role_of_the_label() -> None:
    """Of two terminals of a stop lamp the one without a number of the standard has the role of the lamp."""
    _, harness = made("id,from,to\nW1,J1,Stop lamp pin 4\nW2,J2,Stop lamp 58\nW3,Stop lamp 31,GND1\n")
    load = harness.loads[0]
    assert (load.role, [element.role for element in load.elements]) == ("stop", ["", "tail"])


def test_a_role_of_the_parts_list_stays() -> None:
    """What a parts list says of a lamp is not said anew by its terminals."""
    parts = read_parts_list(b"id,label,kind,role\nE1,Rear lamp,lamp,anchor\n", "parts.csv")
    wires = read_wire_list(b"id,from,to\nW1,J1,E1.54\nW2,E1.31,GND1\n", "wires.csv")
    _, harness = readable(make_loom(wires, parts, "made"), "made.toml")
    assert (harness.loads[0].role, harness.loads[0].elements[0].role) == ("anchor", "")


LIGHTS = (
    "id,from,to\nW1,Battery +,F1 in\nW2,F1 out,Light switch {}\nW3,Light switch 56,Head lamp 56b\n"
    "W4,Light switch 58,Tail lamp 58\nW5,Head lamp 31,Chassis\nW6,Tail lamp 31,Chassis\nW7,Battery -,Chassis\n"
)


@pytest.mark.parametrize("feed", ["30", "+"])
def test_a_light_switch_at_head_leaves_the_side_lamps_on(feed: str) -> None:
    """At 58 the tail lamp lights alone; at 56, the position behind it, both do."""
    _, harness = made(LIGHTS.format(feed))
    switch = harness.switches[0]
    assert list(switch.positions) == ["off", "58", "56"]
    lit: dict[str, list[str]] = {}
    for position in switch.positions:
        condition = make_condition(harness, harness.key_names[0], (f"{switch.id}={position}",))
        loads = survey(harness, condition).loads
        lit[position] = [name.partition(":")[2] for name, one in loads.items() if one.state is LoadState.WORKS]
    assert lit == {"off": [], "58": ["58"], "56": ["56b", "58"]}


def test_a_dip_switch_has_one_beam_at_a_time() -> None:
    """56 feeds 56a or 56b: no side lamps hang on a dip switch."""
    _, harness = made("id,from,to\nW1,J1,Dip switch 56\nW2,Dip switch 56a,E1 56a\nW3,Dip switch 56b,E1 56b\n")
    assert harness.switches[0].positions == {"off": (), "56a": (("56", "56a"),), "56b": (("56", "56b"),)}
