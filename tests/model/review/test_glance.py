"""The power distribution as a tree: who stands under whom, each once."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from model.harness.harness import Harness, all_elements
from model.harness.points import relay_coils
from model.harness.toml_file import read_harness_text
from model.review.glance import Glance, Node, NodeKind
from model.review.glance_build import glance
from model.review.glance_sources import source_volts
from tests.benchmarks.looms import loom_text
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

LAMP = 'kind = "lamp", watts = 21'


def lamps(*names: str) -> str:
    """Write lamps of 21 W."""
    rows = ", ".join(f'{{ id = "{name}", {LAMP} }}' for name in names)
    return f"loads = [ {rows} ]\n"


def fuses(*names: str) -> str:
    """Write fuses of 10 A that stand on their own."""
    rows = ", ".join(f'{{ id = "{name}", amps = 10 }}' for name in names)
    return f"fuses = [ {rows} ]\n"


def switches(*names: str) -> str:
    """Write switches with two terminals."""
    rows = ", ".join(f'{{ id = "{name}" }}' for name in names)
    return f"switches = [ {rows} ]\n"


def above(tree: Glance, node: Node) -> list[str]:
    """Name what stands above a place, from its root on: kind and first part."""
    found = []
    while node.parent >= 0:
        node = tree.nodes[node.parent]
        found.append(f"{node.kind} {node.part_ids[0] if node.part_ids else ''}".strip())
    return found[::-1]


def only(tree: Glance, kind: NodeKind, name: str) -> Node:
    """Give the one place of a kind that has a name or a part of this name."""
    found = [node for node in tree.nodes if node.kind is kind and name in (node.name, *node.part_ids)]
    assert len(found) == 1, found
    return found[0]


def assert_each_once(harness: Harness) -> None:
    """Assert that every fuse, load circuit, feed and coil stands in the tree exactly once."""
    tree = glance(harness)
    fuse_ids = [node.part_ids[0] for node in tree.nodes if node.kind is NodeKind.FUSE]
    assert Counter(fuse_ids) == Counter(fuse.id for fuse in harness.fuses)
    takers = [node.name for node in tree.nodes if node.kind is NodeKind.TAKER]
    assert Counter(takers) == Counter(element.name for element in all_elements(harness))
    coils = [node.name for node in tree.nodes if node.kind is NodeKind.COIL]
    every = [f"{relay.id}:{a}-{b}" for relay in harness.relays for a, b, _ in relay_coils(relay, 12.0)]
    assert Counter(coils) == Counter(every)


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_fuse_load_and_coil_of_a_demo_build_stands_once(name: str) -> None:
    """Nothing is left out and nothing is there twice, and all of it is fed."""
    harness = demo(name)
    assert_each_once(harness)
    assert not any(node.kind is NodeKind.UNFED for node in glance(harness).nodes)


@pytest.mark.parametrize("wire_count", [40, 300, 1000])
def test_every_fuse_load_and_coil_of_a_loom_stands_once(wire_count: int) -> None:
    """In looms of up to 1,000 wires, each behind the node that feeds it."""
    harness = read_harness_text(loom_text(wire_count), "loom.toml")
    tree = glance(harness)
    assert_each_once(harness)
    assert all(node.parent < place for place, node in enumerate(tree.nodes))


def test_the_tree_is_the_same_for_the_same_file() -> None:
    """Reading a file twice gives equal trees."""
    assert glance(demo("trail_buggy")) == glance(demo("trail_buggy"))


def test_the_buggy_hangs_as_it_was_built() -> None:
    """Stop lamps: stud bar, main link, permanent bus, F10, ignition relay, ignition bus, F44, brake switch."""
    tree = glance(demo("trail_buggy"))
    way = ["source G1", "bar BB1", "fuse F1", "bar BB2", "fuse F10", "gate K1", "bar BB4", "fuse F44", "gate S8"]
    assert above(tree, only(tree, NodeKind.TAKER, "E5:stop")) == way
    assert above(tree, only(tree, NodeKind.TAKER, "M1:motor")) == ["source G1", "bar BB1"]
    assert above(tree, only(tree, NodeKind.CHARGER, "G2")) == ["source G1", "bar BB1", "fuse F3"]
    assert only(tree, NodeKind.BAR, "BB2").wire_ids == ("W5",)


def test_what_works_a_relay_is_named_where_its_contact_stands() -> None:
    """The pump relay is worked by the inertia switch on its feed and the controller on its ground side."""
    tree = glance(demo("trail_buggy"))
    pump = only(tree, NodeKind.TAKER, "M2:load")
    assert [(gateway.part_ids, gateway.worked_by) for gateway in pump.through] == [(("K7",), ("S16", "A1"))]
    ignition = only(tree, NodeKind.GATE, "K1").gateway
    assert ignition is not None
    assert ignition.worked_by == ("S1",)
    solenoid = only(tree, NodeKind.TAKER, "M1:motor")
    assert solenoid.through[0].worked_by == ("K8",)


def test_the_outlets_of_the_key_switch_name_their_key_states() -> None:
    """Terminal 75 is left in accessory, ignition and running, 15 in crank too, 50 in crank alone."""
    tree = glance(demo("trail_buggy"))
    found = {}
    for name in ("K2", "K1", "K8"):
        outlet = only(tree, NodeKind.COIL, name).outlet
        assert outlet is not None
        found[outlet.terminals] = outlet.positions
    assert found == {
        ("75",): ("accessory", "ignition", "running"),
        ("15",): ("ignition", "crank", "running"),
        ("50",): ("crank",),
    }


def test_a_switched_ground_side_is_named_with_all_that_switch_it() -> None:
    """The door lamp comes on by either door; the indicators' lamps have plain ground."""
    tree = glance(demo("trail_buggy"))
    assert only(tree, NodeKind.TAKER, "E9:load").ground_through == (("S17", "S18"),)
    assert only(tree, NodeKind.TAKER, "E3:load").ground_through == ()


def test_switches_side_by_side_are_one_gate() -> None:
    """The bilge pump runs by its float switch or by hand."""
    tree = glance(demo("harbour_launch"))
    assert [gateway.part_ids for gateway in only(tree, NodeKind.TAKER, "M1:load").through] == [("S21", "S22")]


def test_a_longer_way_from_the_same_fuse_is_told() -> None:
    """The blower has its resistors beside the direct contact, the wiper its park contact."""
    tree = glance(demo("trail_buggy"))
    assert only(tree, NodeKind.TAKER, "M5:load").beside == ("R3",)
    assert only(tree, NodeKind.TAKER, "M3:slow").beside == ("S12",)
    assert only(tree, NodeKind.TAKER, "M3:fast").beside == ()


def test_two_feeds_of_a_switch_are_told_once_where_they_meet_and_referred_to() -> None:
    """The flasher hangs on F46 as the hazard switch rests; F17 refers there, and no lamp repeats it."""
    tree = glance(demo("trail_buggy"))
    met = [node for node in tree.nodes if node.kind is NodeKind.GATE and node.part_ids == ("S7",)]
    assert [node.also for node in met] == [("F17",)]
    assert above(tree, met[0])[-1] == "fuse F46"
    seen = [node for node in tree.nodes if node.kind is NodeKind.SEE]
    assert [(node.part_ids, node.sees, above(tree, node)[-1]) for node in seen] == [(("S7",), "F46", "fuse F17")]
    assert only(tree, NodeKind.TAKER, "E3:load").also == ()


def test_two_banks_are_two_trees_tied_by_their_link() -> None:
    """Each side of the charge link leads over to the fuse at its other end; the batteries in series are one source."""
    tree = glance(demo("harbour_launch"))
    assert [tree.nodes[place].part_ids for place in tree.roots()] == [("G1", "G2"), ("G3", "G4")]
    ties = {above(tree, node)[-1]: (node.part_ids, node.sees) for node in tree.nodes if node.kind is NodeKind.TIE}
    assert ties == {"fuse F4": (("K3",), "F7"), "fuse F7": (("K3",), "F4")}


def test_positive_ground_hangs_on_the_negative_post() -> None:
    """The tractor's horn: battery, main fuse, bar, horn fuse; its push is on the ground side."""
    tree = glance(demo("field_tractor"))
    horn = only(tree, NodeKind.TAKER, "P1:load")
    assert above(tree, horn) == ["source G1", "fuse F1", "bar BB1", "fuse F5"]
    assert horn.ground_through == (("S5",),)
    assert above(tree, only(tree, NodeKind.CHARGER, "G2")) == ["source G1", "fuse F1", "bar BB1"]


def test_a_load_behind_two_fuses_stands_under_the_one_with_fewer_contacts() -> None:
    """E1 hangs on F1 by S1 alone and on F2 by S2 and S3: it stands under F1, and F2 refers there."""
    rows = fuses("F1", "F2") + switches("S1", "S2", "S3") + lamps("E1")
    ends = ["G1.+ F1.in", "G1.+ F2.in", "F1.out S1.1", "S1.2 E1.+", "F2.out S2.1", "S2.2 S3.1", "S3.2 E1.+"]
    tree = glance(rig(rows + wires(*ends, "E1.- CHASSIS", "G1.- CHASSIS")))
    lamp = only(tree, NodeKind.TAKER, "E1:load")
    assert above(tree, lamp) == ["source G1", "fuse F1"]
    assert lamp.also == ("F2",)
    see = only(tree, NodeKind.SEE, "S3")
    assert (above(tree, see), see.sees) == (["source G1", "fuse F2"], "F1")
    assert [gateway.part_ids for gateway in see.through] == [("S2",)]


def test_fuses_side_by_side_feed_one_tree() -> None:
    """What two fuses feed together stands under the first and names the second, which leads over to it."""
    rows = fuses("F1", "F2") + lamps("E1")
    ends = wires("G1.+ F1.in", "G1.+ F2.in", "F1.out E1.+", "F2.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    tree = glance(rig(rows + ends))
    assert only(tree, NodeKind.FUSE, "F1").also == ("F2",)
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G1", "fuse F1"]
    ties = [node for node in tree.nodes if node.kind is NodeKind.TIE]
    assert [(above(tree, node)[-1], node.sees) for node in ties] == [("fuse F2", "F1")]


@pytest.mark.parametrize(("side", "one", "other"), [("negative", "anode", "cathode"), ("positive", "cathode", "anode")])
def test_a_diode_feeds_one_way_alone(side: str, one: str, other: str) -> None:
    """Current goes from anode to cathode, so a feed that is the minus side comes out of the anode."""
    hot, cold = ("+", "-") if side == "negative" else ("-", "+")
    rows = fuses("F1", "F2") + lamps("E1", "E2") + 'diodes = [ { id = "V1" } ]\n' + switches("S1", "S2")
    ends = [f"G1.{hot} F1.in", f"G1.{hot} F2.in", "F1.out S1.1", "F2.out S2.1"]
    ends += [f"S1.2 E1.{hot}", f"S2.2 E2.{hot}", f"E1.{hot} V1.{one}", f"V1.{other} E2.{hot}"]
    ends += [f"E1.{cold} CHASSIS", f"E2.{cold} CHASSIS", f"G1.{cold} CHASSIS"]
    tree = glance(rig(rows + wires(*ends), build=f'nominal_volts = 12, ground_side = "{side}"'))
    assert only(tree, NodeKind.TAKER, "E1:load").also == ()
    assert only(tree, NodeKind.TAKER, "E2:load").also == ("F1",)


def test_what_no_source_reaches_stands_apart() -> None:
    """A fuse on nothing with its lamp, and a lamp with no wire at all, stand under a root of their own."""
    rows = fuses("F1", "F2") + lamps("E1", "E2", "E3")
    tree = glance(rig(rows + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "F2.out E2.+", "G1.- CHASSIS")))
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G1", "fuse F1"]
    assert above(tree, only(tree, NodeKind.TAKER, "E2:load")) == ["not fed", "fuse F2"]
    assert above(tree, only(tree, NodeKind.TAKER, "E3:load")) == ["not fed"]


def test_a_load_reached_through_another_alone_stands_behind_it() -> None:
    """Two lamps in series: the second hangs on the first."""
    rows = fuses("F1") + lamps("E1", "E2")
    tree = glance(rig(rows + wires("G1.+ F1.in", "F1.out E1.+", "E1.- E2.+", "E2.- CHASSIS", "G1.- CHASSIS")))
    assert above(tree, only(tree, NodeKind.TAKER, "E2:load")) == ["source G1", "fuse F1", "taker E1"]


def test_rings_of_switches_and_of_fuses_come_to_an_end() -> None:
    """A ring of switches behind a fuse, and a ring of fuses that nothing feeds, are each placed once."""
    rows = fuses("F1", "F2", "F3") + switches("S1", "S2", "S3") + lamps("E1", "E2")
    ends = ["G1.+ F1.in", "F1.out S1.1", "S1.2 S2.1", "S2.2 S3.1", "S3.2 F1.out", "S2.1 E1.+", "E1.- CHASSIS"]
    ring = ["F2.out F3.in", "F3.out F2.in", "F2.out E2.+", "E2.- CHASSIS", "G1.- CHASSIS"]
    harness = rig(rows + wires(*ends, *ring))
    assert_each_once(harness)
    tree = glance(harness)
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G1", "fuse F1"]
    assert above(tree, only(tree, NodeKind.TAKER, "E2:load"))[0] == "not fed"


def test_a_fuse_with_both_ends_on_the_same_metal_is_told_so() -> None:
    """A wire round a fuse: it leads over to what it hangs on, and the lamp hangs on the source."""
    rows = fuses("F1") + lamps("E1")
    tree = glance(rig(rows + wires("G1.+ F1.in", "F1.in F1.out", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")))
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G1"]
    ties = [node for node in tree.nodes if node.kind is NodeKind.TIE]
    assert [(above(tree, node)[-1], node.sees) for node in ties] == [("fuse F1", "G1.+")]


def test_a_charger_that_no_battery_reaches_is_a_source() -> None:
    """A lamp on a dynamo of its own hangs on the dynamo."""
    rows = fuses("F1") + lamps("E1") + 'chargers = [ { id = "G2", volts = 14 } ]\n'
    tree = glance(rig(rows + wires("G2.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G2.- CHASSIS", "G1.- CHASSIS")))
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G2", "fuse F1"]


def test_batteries_side_by_side_are_one_source() -> None:
    """Two batteries on one bar are one root."""
    ends = ["G1.+ BB1", "G2.+ BB1", "BB1 E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "G2.- CHASSIS"]
    rows = 'busbars = [ { id = "BB1" } ]\n' + lamps("E1") + wires(*ends)
    tree = glance(rig(rows, batteries='{ id = "G1" }, { id = "G2" }'))
    assert [tree.nodes[place].part_ids for place in tree.roots()] == [("G1", "G2")]
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G1", "bar BB1"]
    assert only(tree, NodeKind.TAKER, "E1:load").also == ()


def test_a_thousand_fuses_in_a_row_are_followed_to_the_end() -> None:
    """The last of them stands a thousand levels down."""
    names = [f"F{number}" for number in range(1, 1001)]
    ends = [f"{one}.out {other}.in" for one, other in pairwise(names)]
    rows = fuses(*names) + lamps("E1")
    tree = glance(rig(rows + wires("G1.+ F1.in", *ends, "F1000.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")))
    assert only(tree, NodeKind.TAKER, "E1:load").depth == 1001


def test_a_file_of_one_wire_has_a_source_alone() -> None:
    """Nothing but a battery strap: no root at all, and nothing fails."""
    assert glance(rig(wires("G1.- CHASSIS"))).nodes == ()


def test_a_tap_between_batteries_in_series_is_a_source_of_the_lower_one() -> None:
    """Two batteries in series: what hangs between them hangs on the one on the ground side of it."""
    ends = ["G1.- G2.+", "G1.+ E1.+", "G2.+ E2.+", "E1.- CHASSIS", "E2.- CHASSIS", "G2.- CHASSIS"]
    harness = rig(
        lamps("E1", "E2") + wires(*ends), build="nominal_volts = 24", batteries='{ id = "G1" }, { id = "G2" }'
    )
    tree = glance(harness)
    roots = {tree.nodes[place].part_ids: tree.nodes[place].name for place in tree.roots()}
    assert above(tree, only(tree, NodeKind.TAKER, "E2:load")) == ["source G2"]
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == ["source G1"]
    assert {parts: source_volts(harness, post) for parts, post in roots.items()} == {("G1", "G2"): 24, ("G2",): 12}


def test_of_positive_ground_the_tap_hangs_on_the_battery_by_the_ground() -> None:
    """The same two with the positive post on the frame."""
    ends = ["G1.- G2.+", "G2.- E1.-", "G1.- E2.-", "E1.+ CHASSIS", "E2.+ CHASSIS", "G1.+ CHASSIS"]
    build = 'nominal_volts = 24, ground_side = "positive"'
    harness = rig(lamps("E1", "E2") + wires(*ends), build=build, batteries='{ id = "G1" }, { id = "G2" }')
    tree = glance(harness)
    roots = {tree.nodes[place].part_ids: tree.nodes[place].name for place in tree.roots()}
    assert above(tree, only(tree, NodeKind.TAKER, "E2:load")) == ["source G1"]
    assert {parts: source_volts(harness, post) for parts, post in roots.items()} == {("G1", "G2"): 24, ("G1",): 12}


@pytest.mark.parametrize("load", ['from = "a", to = "b"', 'from = "b", to = "a"'])
def test_a_fuse_on_the_ground_side_of_a_load_feeds_nothing(load: str) -> None:
    """The lamp stands under the fuse of its feed, whichever way round its file has it; the other parts the ground."""
    rows = fuses("F1", "F2")
    rows += f'loads = [ {{ id = "E1", kind = "lamp", elements = [ {{ name = "dip", {load}, watts = 5 }} ] }} ]\n'
    harness = rig(rows + wires("G1.+ F1.in", "F1.out E1.a", "E1.b F2.in", "F2.out CHASSIS", "G1.- CHASSIS"))
    assert_each_once(harness)
    tree = glance(harness)
    lamp = only(tree, NodeKind.TAKER, "E1:dip")
    assert above(tree, lamp) == ["source G1", "fuse F1"]
    assert lamp.ground_through == (("F2",),)
    assert above(tree, only(tree, NodeKind.FUSE, "F2")) == ["ground side"]


def test_what_parts_the_battery_from_the_body_is_named_with_the_ground_side() -> None:
    """An isolator and a link in the grounded lead of the battery."""
    rows = fuses("F1", "F2") + switches("S1") + lamps("E1")
    ends = ["G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- S1.1", "S1.2 CHASSIS", "G1.- F2.in", "F2.out CHASSIS"]
    harness = rig(rows + wires(*ends))
    assert_each_once(harness)
    tree = glance(harness)
    ground = tree.nodes[tree.roots()[-1]]
    assert (ground.kind, ground.part_ids) == (NodeKind.GROUND, ("S1",))
    assert above(tree, only(tree, NodeKind.FUSE, "F2")) == ["ground side S1"]


def test_the_exciter_of_a_charger_is_no_second_feed() -> None:
    """A lamp on the wire of a generator's D+ hangs on its switch alone."""
    rows = fuses("F1", "F2") + switches("S1") + lamps("E1")
    rows += 'chargers = [ { id = "G2", volts = 14, exciter = { terminal = "D" } } ]\n'
    ends = ["G1.+ F1.in", "G1.+ F2.in", "F1.out S1.1", "S1.2 E1.+", "E1.+ G2.D", "F2.out G2.+"]
    tree = glance(rig(rows + wires(*ends, "E1.- CHASSIS", "G2.- CHASSIS", "G1.- CHASSIS")))
    lamp = only(tree, NodeKind.TAKER, "E1:load")
    assert (above(tree, lamp), lamp.also) == (["source G1", "fuse F1"], ())


def test_behind_a_fuse_a_second_feed_is_told_anew() -> None:
    """A bar on two fuses says so; the lamp behind the bar's own fuse says that the second feeds it too."""
    rows = fuses("F1", "F3", "F2") + switches("S1", "S2", "S3", "S4") + lamps("E1", "E2")
    rows += 'busbars = [ { id = "BB1" } ]\n'
    ends = ["G1.+ F1.in", "G1.+ F2.in", "F1.out S1.1", "S1.2 BB1", "F2.out S2.1", "S2.2 BB1", "BB1 F3.in", "BB1 E2.+"]
    ends += ["F3.out S3.1", "S3.2 E1.+", "F2.out S4.1", "S4.2 E1.+", "E1.- CHASSIS", "E2.- CHASSIS", "G1.- CHASSIS"]
    tree = glance(rig(rows + wires(*ends)))
    assert only(tree, NodeKind.GATE, "S1").also == ("F2",)
    assert only(tree, NodeKind.BAR, "BB1").also == only(tree, NodeKind.TAKER, "E2:load").also == ()
    lamp = only(tree, NodeKind.TAKER, "E1:load")
    assert above(tree, lamp) == ["source G1", "fuse F1", "gate S1", "bar BB1", "fuse F3"]
    assert lamp.also == ("F2",)


@pytest.mark.parametrize("ground_side", ["negative", "positive"])
def test_only_what_hangs_on_a_bar_stands_under_it(ground_side: str) -> None:
    """Starter, alternator and a fuse on cables of their own from the post stand beside the bar, not under it."""
    live, cold = ("+", "-") if ground_side == "negative" else ("-", "+")
    tree = glance(
        rig(
            'busbars = [ { id = "BB1" } ]\nchargers = [ { id = "G2", volts = 14 } ]\n'
            'fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10 } ]\nrelays = [ { id = "K1" } ]\n'
            + lamps("E1", "E2", "E3", "E4")
            + wires(
                *(f"G1.{live} BB1", f"G1.{live} K1.30", f"K1.87 E1.{live}", f"G1.{live} G2.{live}"),
                *(f"G1.{live} F2.in", f"F2.out E2.{live}", f"F1.out E3.{live}", f"BB1 E4.{live}", "BB1 K1.86"),
                *(f"E{n}.{cold} CHASSIS" for n in range(1, 5)),
                *(f"G1.{cold} CHASSIS", f"G2.{cold} CHASSIS", "K1.85 CHASSIS"),
            ),
            build=f'nominal_volts = 12, ground_side = "{ground_side}"',
        )
    )
    bar, source = ["source G1", "bar BB1"], ["source G1"]
    assert above(tree, only(tree, NodeKind.TAKER, "E1:load")) == source
    assert above(tree, only(tree, NodeKind.CHARGER, "G2")) == source
    assert above(tree, only(tree, NodeKind.FUSE, "F2")) == source
    assert only(tree, NodeKind.FUSE, "F2").wire_ids == ("W5",)
    assert above(tree, only(tree, NodeKind.FUSE, "F1")) == bar
    assert above(tree, only(tree, NodeKind.TAKER, "E4:load")) == bar
    assert above(tree, only(tree, NodeKind.COIL, "K1:86-85")) == bar
