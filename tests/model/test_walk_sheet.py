"""The walk of a load on a sheet: text, Markdown and JSON say the same, cautions first."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from model.caution_words import GENERAL_CAUTIONS
from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.harness.harness import Harness
from model.sheets.columns import WIDTH, cell_width
from model.sheets.markdown_text import escaped
from model.sheets.review_markdown import review_markdown
from model.sheets.walk_json import walk_json
from model.sheets.walk_paper import walk_paper
from model.sheets.walk_sheet import walk_text
from model.sheets.walk_words import rating_words
from model.tracing.rows import ToldWalk, tell_walk
from model.tracing.walk import Walker, find_element
from tests.model.tracing.rigs import DEMO_NAMES, demo, demo_walks, rig, wires


def told(harness: Harness, load: str, condition: Condition | None = None) -> ToldWalk:
    """Tell a walk."""
    bench = Bench(harness)
    return tell_walk(bench, Walker(bench).walk(find_element(harness, load)), condition)


def text_of(harness: Harness, load: str, condition: Condition | None = None) -> str:
    """Give the text of a walk."""
    return walk_text(harness, told(harness, load, condition))


def key_table_of(text: str) -> str:
    """Give what stands in the text of a walk under the head of its key states."""
    return text.partition("Every key state")[2].partition("\nVolts down the walk")[0]


def json_of(harness: Harness, load: str, condition: Condition | None = None) -> dict[str, Any]:
    """Give the JSON of a walk, as it comes back from its text."""
    found: dict[str, Any] = json.loads(json.dumps(walk_json(harness, told(harness, load, condition))))
    return found


NOSE = rig(
    """
locations = [ { name = "dash", reach = "dash, four screws" }, { name = "nose" } ]
fuses = [ { id = "F1", amps = 15, location = "dash", label = "Horn" } ]
switches = [ { id = "S1", location = "dash", label = "Push" } ]
loads = [ { id = "P1", kind = "horn", watts = 60, label = "Horn", location = "nose" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 2.5, length = 1.2 },
  { id = "W2", from = "F1.out", to = "S1.1", colour = "RD/VT", size = 2.5, length = 0.4 },
  { id = "W3", from = "S1.2", to = "P1.+" },
  { id = "W4", from = "P1.-", to = "CHASSIS", colour = "BN", size = 2.5, length = 0.3 },
  { id = "W5", from = "G1.-", to = "CHASSIS", colour = "BK", size = 16, length = 0.3 },
]
"""
)


def test_the_text_of_a_walk_whole() -> None:
    """Cautions, condition, how to read it, then point by point what leads there, the place where it changes, figures.

    5 A at 12 V are 2.4 Ω. 12.70 V drive 5.13 A through them and 73 mΩ (battery 8, W1 10.6, fuse 5, W2 4.2, switch 10,
    W3 30.3, W4 3.4, W5 1.4): 12.32 V across the horn; 41 mV less than the battery's 12.70 V at its post.
    """
    text = text_of(NOSE, "P1")
    assert text.splitlines()[0] == "Walk of P1:load, Horn"
    body = text[text.index("feed\n") : text.index("Every key state")]
    assert body == FEED_AND_GROUND


FEED_AND_GROUND = """\
feed
  ─ place not given
  · G1.+            12.65      12.70  11.96 to 13.68
      post +
  │ W1 RD red, 2.5 mm², 1.2 m
  ─ dash, four screws
  · F1.in           12.60      12.70  11.58 to 13.63
      Horn, pin in
  │ fuse F1, 15 A
  · F1.out          12.58      12.70  11.55 to 13.60
      Horn, pin out
  │ W2 RD/VT red with violet stripe, 2.5 mm², 0.4 m
  · S1.1            12.55      12.70  11.53 to 13.58
      Push, pin 1
  │ contact S1:1-2
  · S1.2            12.50      12.70  11.48 to 13.52
      Push, pin 2
  │ W3 colour not given, 1 mm² assumed, 1.5 m assumed
  ─ nose
  · P1.+            12.35      12.70  11.29 to 13.40
      Horn, terminal +

load
  Horn, 60 W at 12 V, 5 A
  · across it       12.32      12.70  11.27 to 13.38
      red P1.+, black P1.-; takes 5.13 A, works

ground
  ─ nose
  · P1.-             0.02       0.00  -0.08 to 0.12
      Horn, terminal -
  │ W4 BN brown, 2.5 mm², 0.3 m
  · CHASSIS          0.01       0.00  -0.09 to 0.11
      bare metal of the body
  │ W5 BK black, 16 mm², 0.3 m
  ─ place not given
  · G1.-             0.00       0.00  -0.10 to 0.10
      post -

"""


def test_places_are_left_away_where_the_file_gives_none() -> None:
    """Not ``place not given`` before every row."""
    harness = rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"))
    assert "place" not in text_of(harness, "E1")


def test_every_key_state_stands_in_a_table_that_fits() -> None:
    """Eight key states of long names go into two blocks of 80 cells, each with every point."""
    names = [f"state number {n}" for n in range(8)]
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
        states=", ".join(f'{{ name = "{name}" }}' for name in names),
    )
    table = key_table_of(text_of(harness, "E1"))
    assert all(table.count(name) == 1 for name in names)
    assert table.count("E1.+") == 2
    assert max(cell_width(line) for line in table.splitlines()) <= WIDTH


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_line_of_the_demo_builds_walks_is_over_eighty_cells(name: str) -> None:
    """Every load of every demo build."""
    harness, walks = demo_walks(name)
    for walk in walks:
        lines = walk_text(harness, walk).splitlines()
        assert max(cell_width(line) for line in lines) <= WIDTH, walk.walk.element.name
        assert not any(line != line.rstrip() for line in lines)


def test_cautions_stand_before_the_steps_in_all_three_forms() -> None:
    """The starter: unfused metal and gas of the battery at once; that the engine turns belongs to the key state.

    What another key state adds names it.
    """
    harness = demo("trail_buggy")
    walk = told(harness, "M1")
    cautions: list[str] = walk_json(harness, walk)["cautions"]
    assert any(one.startswith("The engine turns in this step") for one in cautions)
    unfused = next(one for one in cautions if one.startswith("No fuse stands before this metal"))
    assert "At G1.+, BB1" in unfused
    assert any(one.startswith("Key running: The engine runs") for one in cautions)
    text, markdown = walk_text(harness, walk), review_markdown(walk_paper(harness, walk))
    for one in cautions:
        assert " ".join(text.split()).index(f"Caution: {one}") < " ".join(text.split()).index("Condition:")
        assert markdown.index(escaped(one)) < markdown.index("Condition:")
    for caution in GENERAL_CAUTIONS:
        assert markdown.index(escaped(caution.text)) < markdown.index("Condition:")


def test_a_control_unit_is_unplugged_with_the_supply_off() -> None:
    """The unplugged column asks for it: the caution stands there, and not for a lamp."""
    harness = demo("trail_buggy")
    words = "Unplug a control unit, and plug it in again, with the supply off only."
    assert words in walk_json(harness, told(harness, "A1:15"))["cautions"]
    assert words not in walk_json(harness, told(harness, "P1"))["cautions"]


ROW_KEYS = {"point", "part", "label", "touch", "place", "wire", "through", "closed", "remarks", "refused", "expect",
            "below", "above"}  # fmt: skip
EXPECT_KEYS = {"on", "unplugged", "low", "high", "word", "unplugged_word"}


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_json_has_the_keys_that_are_promised(name: str) -> None:
    """``load``, ``condition``, ``feed``, ``ground``, ``control``: points with ``expect`` per key state, rounded."""
    harness, walks = demo_walks(name)
    for walk in walks:
        found = json.loads(json.dumps(walk_json(harness, walk)))
        assert {"load", "condition", "feed", "ground", "control", "cautions"} <= found.keys()
        assert {"key", "settings"} <= found["condition"].keys()
        assert found["load"] == walk.walk.element.name
        for row in [*found["feed"], *found["ground"], *found["control"]]:
            assert row.keys() >= ROW_KEYS
            assert list(row["expect"]) == list(harness.key_names)
            for expect in row["expect"].values():
                assert expect.keys() == EXPECT_KEYS
                for volts in (expect[one] for one in ("on", "unplugged", "low", "high")):
                    assert volts is None or volts == round(volts, 4)
        assert {one["side"] for one in found["control"]} <= {"feed", "ground"}
        assert "-0.0," not in json.dumps(found)


def test_the_json_tells_a_walk_with_its_figures() -> None:
    """The horn: across it first, its wire with what the file says, what leads to a point, what readings say."""
    found = json_of(NOSE, "P1")
    assert found["condition"] == {
        "key": "off",
        "settings": {"S1": "on"},
        "faults": [],
        "posts": None,
        "given": False,
        "reached": True,
    }
    assert found["rating"] == {"kind": "horn", "volts": 12.0, "amps": 5.0}
    assert (found["across"]["red"], found["across"]["black"], found["across"]["state"]["off"]) == (
        "P1.+",
        "P1.-",
        "works",
    )
    assert found["across"]["expect"]["off"]["on"] == pytest.approx(12.32, abs=0.01)
    wired, switched = found["feed"][3], found["feed"][4]
    assert wired["wire"] == {"id": "W2", "colour": "RD/VT", "size": "2.5", "length": 0.4, "in_place_of": []}
    assert (wired["through"], switched["through"], switched["wire"]) == (None, "S1:1-2", None)
    assert switched["below"].startswith("If S1.1 reads right, the fault is switch contact S1:1-2.")


def test_a_condition_of_ones_own_is_told_as_such() -> None:
    """Faults and posts that were read stand in it, and what the volts of each key state rest on."""
    condition = make_condition(NOSE, "off", ("S1=on",), ("W3=high",), 12.1)
    found = json_of(NOSE, "P1", condition)
    assert (found["condition"]["faults"], found["condition"]["posts"]) == (["W3=high"], 12.1)
    assert found["marks"] == {"off": "read", "on": "computed", "running": "computed"}
    text = text_of(NOSE, "P1", condition)
    assert "Condition: key off, S1 (Push) on, fault W3=high." in text
    assert "The posts read 12.10 V." in text
    assert "  │ W3 colour not given, 1 mm² assumed, 1.5 m assumed, fault W3=high\n" in text


def test_cranking_without_a_reading_is_an_estimate() -> None:
    """Said under the key state's name, in the table's head and in the JSON."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
        states='{ name = "off" }, { name = "crank" }',
    )
    assert json_of(harness, "E1")["marks"] == {"crank": "estimate"}
    assert "| crank estimate |" in review_markdown(walk_paper(harness, told(harness, "E1")))
    head, marks = text_of(harness, "E1").partition("Every key state, load plugged in, V\n\n")[2].splitlines()[:2]
    assert marks.index("estimate") + len("estimate") == head.index("crank") + len("crank")


RELAY = """
switches = [ { id = "S1", rest = "on" } ]
fuses = [ { id = "F1", amps = 5 } ]
relays = [ { id = "K1", coil_ohms = 85 } ]
resistors = [ { id = "R1", elements = [ { name = "r", from = "a", to = "b", ohms = OHMS } ] } ]
loads = [ { id = "E1", kind = "heater", amps = 2 } ]
"""
RELAY_WIRES = wires("G1.+ F1.in", "F1.out K1.30", "K1.87 E1.+", "E1.- G1.-", "G1.+ R1.a", "R1.b K1.86", "K1.85 G1.-")


def test_a_relay_that_may_not_pull_in_is_named_before_the_steps() -> None:
    """12.7 V × 85 / (85 + 75) is 6.7 V on a coil that pulls in at 7.2 V, over three quarters of which it may or not."""
    harness = rig(RELAY.replace("OHMS", "75") + RELAY_WIRES)
    said = "K1: may or may not hold with the volts on its coil."
    text = text_of(harness, "E1")
    assert text.index(said) < text.index("Measure across the load first")
    assert f"Key running: {said}" in text
    assert said in json_of(harness, "E1")["remarks"]


def test_a_fuse_that_a_fault_blows_is_named_before_the_steps() -> None:
    """The wire behind the fuse on the body: the fuse is open, and what reads 0 V behind it is told why."""
    harness = rig(
        RELAY.replace("OHMS", "1") + RELAY_WIRES + 'joints = [ { id = "N1", from = "G1.-", to = "CHASSIS" } ]'
    )
    assert "F1: blows.\nKey on: F1: blows." in text_of(
        harness, "E1", make_condition(harness, "off", (), ("W2=to body",))
    )
    assert "blows" not in text_of(harness, "E1")


def test_without_a_body_no_post_is_called_grounded() -> None:
    """On a boat the black probe stands on the post at 0 V."""
    harness = rig(RELAY.replace("OHMS", "1") + RELAY_WIRES, build="nominal_volts = 12, chassis = false")
    assert "Black probe on G1.-, the battery post at 0 V." in text_of(harness, "E1")
    assert "grounded battery post" not in text_of(harness, "E1")
    assert "Black probe on G1.-, the grounded battery post." in text_of(NOSE, "P1")


def test_what_is_open_now_is_said_beside_it() -> None:
    """The push not pressed: its contact, and nothing else."""
    text = text_of(NOSE, "P1", Condition("off"))
    assert [line for line in text.splitlines() if "open now" in line] == [
        "  │ contact S1:1-2, open now",
        "Largest drop 12.70 V: contact S1:1-2, S1.1 to S1.2, open now.",
    ]


def test_a_told_walk_may_be_shown_in_another_key_state() -> None:
    """The figures of that one stand in the rows, without solving anew."""
    walk = told(NOSE, "P1")
    shown = walk_text(NOSE, replace(walk, condition=walk.condition.at_key("on")))
    assert "Condition: key on, S1 (Push) on." in shown
    assert shown.partition("feed\n")[2].split("\n\n")[0] == FEED_AND_GROUND.partition("feed\n")[2].split("\n\n")[0]


def test_a_load_that_nothing_feeds_says_so_on_the_sheet() -> None:
    """In words before the steps, with the side that has no metal."""
    harness = rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("E1.- G1.-"))
    text = text_of(harness, "E1")
    assert "No setting was found in which the healthy circuit feeds this load." in text
    assert "feed\n  No metal leads from E1 load to a supply." in text
    assert json_of(harness, "E1")["condition"]["reached"] is False


AIRBAG = rig(
    'loads = [ { id = "E1", kind = "electronics", amps = 1, label = "Airbag unit", hazard = "restraint" } ]\n'
    'fuses = [ { id = "F1", amps = 10 } ]\n' + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
)


def test_a_restraint_has_no_figures_anywhere() -> None:
    """Neither at its terminals nor across it; why not stands in their place, and nothing is unplugged."""
    text, found = text_of(AIRBAG, "E1"), json_of(AIRBAG, "E1")
    assert "Caution: This wiring belongs to an airbag or a belt tensioner" in text
    assert "This load is neither measured nor unplugged:" in text
    assert "across it" not in text
    refused = [row for row in [*found["feed"], *found["ground"]] if row["refused"]]
    assert [row["point"] for row in refused] == ["F1.out", "E1.+", "E1.-"]
    assert all(row["expect"] == {} and row["below"] is None for row in refused)
    assert (found["across"]["expect"], found["across"]["below"]) == ({}, None)
    assert all(one["unplugged_word"] == "never" for row in found["feed"] for one in row["expect"].values())
    table = key_table_of(text)
    assert "E1.+" not in table
    assert "F1.in" in table
    markdown = review_markdown(walk_paper(AIRBAG, told(AIRBAG, "E1")))
    assert "E1.+ below" not in markdown
    assert "not measured" in markdown


def test_figures_stand_in_columns_whatever_the_width_of_a_name() -> None:
    """Key states and labels in Chinese: each row of the table ends at the same cell, and no line is over 80."""
    harness = rig(
        'locations = [ { name = "左侧挡泥板后面靠近电瓶的位置需要拆下四个螺丝和一个卡扣" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 5, label = "左前照灯远光和近光组合灯具总成带日间行车灯", '
        'location = "左侧挡泥板后面靠近电瓶的位置需要拆下四个螺丝和一个卡扣" } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
        states='{ name = "关闭" }, { name = "点火开关接通" }',
    )
    text = text_of(harness, "E1")
    assert max(cell_width(line) for line in text.splitlines()) <= WIDTH
    table = [line for line in key_table_of(text).splitlines()[1:] if line]
    assert {cell_width(line) for line in table} == {cell_width(table[0])}


def test_what_a_load_is_rated_at() -> None:
    """Kind, where the label does not say it, watts at volts, amperes; a module's feed as a control unit's."""
    harness = demo("trail_buggy")
    assert rating_words(told(harness, "M2")) == "Fuel pump, motor, 84.5 W at 13 V, 6.5 A"
    assert rating_words(told(harness, "M7")) == "Winch motor, 1.8 kW at 12 V, 150 A"
    assert rating_words(told(harness, "A1:15")).startswith("Engine controller 15, control unit, ")
