"""The walk of a load: feed, ground and the control of each relay and driver on the way."""

from __future__ import annotations

import pytest

from model.harness.harness import Harness
from model.tracing.walk import Control, Walk
from tests.model.tracing.rigs import points, rig, sites, walk_of, wires

LAMP = 'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'


def control(walk: Walk, of: str) -> Control:
    """Pick the control of a relay or driver."""
    (found,) = [one for one in walk.controls if one.of == of]
    return found


def test_a_walk_goes_from_the_post_through_each_kind_of_part_to_the_load_and_back() -> None:
    """Bar, fuse, switch, splice, plug, relay contact; then ground point, body and strap."""
    harness = rig(
        """
busbars = [ { id = "BB1" } ]
splices = [ { id = "J1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" } ]
switches = [ { id = "S1" } ]
connectors = [ { id = "X1", cavities = 1 } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
"""
        + LAMP
        + wires(
            "G1.+ BB1",
            "F1.out S1.1",
            "S1.2 J1",
            "J1 X1.plug.1",
            "X1.socket.1 E1.+",
            "E1.- GND1",
            "GND2 G1.-",
        )
    )
    walk = walk_of(harness, "E1")
    assert points(walk.feed) == ["G1.+", "BB1", "F1.out", "S1.1", "S1.2", "J1", "X1.plug.1", "X1.socket.1", "E1.+"]
    assert points(walk.ground) == ["E1.-", "GND1", "CHASSIS", "GND2", "G1.-"]
    assert sites(walk.ground) == ["W6", "GND1", "GND2", "W7"]
    assert (walk.black, walk.controls) == ("G1.-", ())


def test_positive_ground_is_walked_from_the_minus_post() -> None:
    """The feed begins at the minus and the ground ends at the plus, where the black probe stands."""
    harness = rig(
        LAMP + wires("G1.- E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"),
        build='nominal_volts = 6, ground_side = "positive"',
    )
    walk = walk_of(harness, "E1")
    assert points(walk.feed) == ["G1.-", "E1.-"]
    assert points(walk.ground) == ["E1.+", "CHASSIS", "G1.+"]
    assert walk.black == "G1.+"


def test_a_loom_without_a_body_is_walked_on_two_wires() -> None:
    """The ground side goes back by its own wires."""
    harness = rig(LAMP + wires("G1.+ E1.+", "E1.- G1.-"), build="nominal_volts = 24, chassis = false")
    walk = walk_of(harness, "E1")
    assert points(walk.ground) == ["E1.-", "G1.-"]


SERIES = '{ id = "G1" }, { id = "G2" }'


@pytest.mark.parametrize(
    ("feed", "ground", "fed_from", "grounded_at"),
    [
        ("G1.+", "CHASSIS", "G1.+", "G2.-"),  # both batteries
        ("G2.+", "CHASSIS", "G2.+", "G2.-"),  # the lower alone
        ("G1.+", "G1.-", "G1.+", "G1.-"),  # the upper alone, back at the tap
    ],
)
def test_a_chain_of_batteries_feeds_from_its_taps_too(feed: str, ground: str, fed_from: str, grounded_at: str) -> None:
    """A load on both batteries, on the lower, and on the upper, whose ground side ends at the tap."""
    harness = rig(
        LAMP + wires("G1.- G2.+", "G2.- CHASSIS", f"{feed} E1.+", f"E1.- {ground}"),
        build="nominal_volts = 24",
        batteries=SERIES,
    )
    walk = walk_of(harness, "E1")
    assert points(walk.feed)[0] == fed_from
    assert points(walk.ground)[-1] == grounded_at


def test_of_two_banks_the_one_that_feeds_is_where_the_ground_ends() -> None:
    """A load on the second bank goes back to the second bank's own post, and the black probe stands there."""
    harness = rig(
        LAMP + wires("G1.- CHASSIS", "G2.- CHASSIS", "G2.+ E1.+", "E1.- CHASSIS"),
        batteries=SERIES,
    )
    walk = walk_of(harness, "E1")
    assert (points(walk.feed), points(walk.ground)) == (["G2.+", "E1.+"], ["E1.-", "CHASSIS", "G2.-"])
    assert walk.black == "G2.-"


def test_the_hot_end_is_told_by_volts_against_the_grounded_post() -> None:
    """With the tap as reference the grounded post is at -12 V: it is no hot end for being far from 0 V."""
    harness = rig(
        LAMP + wires("G1.- G2.+", "G2.- CHASSIS", "CHASSIS E1.+", "E1.- G1.-"),
        build='nominal_volts = 24, reference = "G1.-"',
        batteries=SERIES,
    )
    walk = walk_of(harness, "E1")
    assert points(walk.feed)[-1] == "E1.-"
    assert points(walk.ground)[0] == "E1.+"


def test_a_load_switched_on_its_ground_side() -> None:
    """The switch stands in the ground stretch."""
    harness = rig('switches = [ { id = "S1" } ]\n' + LAMP + wires("G1.+ E1.+", "E1.- S1.1", "S1.2 G1.-"))
    walk = walk_of(harness, "E1")
    assert points(walk.feed) == ["G1.+", "E1.+"]
    assert sites(walk.ground) == ["W2", "S1:1-2", "W3"]


def test_a_load_wired_the_other_way_round_is_walked_by_its_volts() -> None:
    """Its minus on the feed: the walk comes in there."""
    harness = rig(LAMP + wires("G1.+ E1.-", "E1.+ G1.-"))
    assert points(walk_of(harness, "E1").feed) == ["G1.+", "E1.-"]


HORN = rig(
    """
fuses = [ { id = "F1", amps = 15 } ]
switches = [ { id = "S1", momentary = true } ]
relays = [ { id = "K1" } ]
loads = [ { id = "P1", kind = "horn", amps = 5 } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
"""
    + wires(
        "G1.+ F1.in",
        "F1.out K1.30",
        "K1.87 P1.+",
        "P1.- GND1",
        "K1.30 K1.86",
        "K1.85 S1.1",
        "S1.2 CHASSIS",
        "GND2 G1.-",
    )
)


def test_a_horn_relay_grounded_by_its_push() -> None:
    """The coil is fed off the relay's own 30, which the feed has told; its ground side goes through the push."""
    walk = walk_of(HORN, "P1")
    assert sites(walk.feed) == ["W1", "F1", "W2", "K1:30-87", "W3"]
    coil = control(walk, "K1")
    assert coil.needs_on
    assert coil.feed is not None
    assert coil.ground is not None
    assert (points(coil.feed), coil.feed.joins_at) == (["K1.30", "K1.86"], "K1.30")
    assert (points(coil.ground), coil.ground.joins_at) == (["K1.85", "S1.1", "S1.2", "CHASSIS"], "CHASSIS")


def test_a_charge_lamp_is_grounded_through_the_exciter() -> None:
    """Key on and the engine not running: the D terminal is joined to the case."""
    harness = rig(
        """
chargers = [ { id = "G2", volts = 14.2, exciter = { terminal = "D" } } ]
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [[30, 15]] } },
]
loads = [ { id = "E1", kind = "lamp", watts = 2 } ]
"""
        + wires("G1.+ S0.30", "S0.15 E1.+", "E1.- G2.D", "G2.- CHASSIS", "G1.- CHASSIS", "G2.+ G1.+")
    )
    walk = walk_of(harness, "E1")
    assert walk.working.condition.key == "on"
    assert points(walk.ground) == ["E1.-", "G2.D", "G2.-", "CHASSIS", "G1.-"]
    assert walk.controls == ()


def test_a_relay_fed_through_another_relay_is_told_after_it_and_each_once() -> None:
    """K2 switches the lamp and the coil of K3; K1 feeds K2's coil; K3 stands in the ground: three controls."""
    harness = rig(
        """
switches = [ { id = "S1" } ]
relays = [ { id = "K1" }, { id = "K2" }, { id = "K3" } ]
"""
        + LAMP
        + wires(
            "G1.+ K2.30", "K2.87 E1.+", "E1.- K3.30", "K3.87 G1.-",
            "G1.+ K1.30", "K1.87 K2.86", "K2.85 G1.-",
            "G1.+ S1.1", "S1.2 K1.86", "K1.85 G1.-",
            "K2.87 K3.86", "K3.85 G1.-",
        )
    )  # fmt: skip
    walk = walk_of(harness, "E1")
    assert [one.of for one in walk.controls] == ["K2", "K3", "K1"]
    assert points(control(walk, "K2").feed) == ["G1.+", "K1.30", "K1.87", "K2.86"]
    assert points(control(walk, "K3").feed) == ["K2.87", "K3.86"]
    assert points(control(walk, "K1").feed) == ["G1.+", "S1.1", "S1.2", "K1.86"]


def test_a_contact_closed_at_rest_has_a_control_that_must_be_off() -> None:
    """What would feed the coil is shown through the open switch."""
    harness = rig(
        'switches = [ { id = "S1" } ]\nrelays = [ { id = "K1", contacts = "changeover" } ]\n'
        + LAMP
        + wires("G1.+ K1.30", "K1.87a E1.+", "E1.- G1.-", "G1.+ S1.1", "S1.2 K1.86", "K1.85 G1.-")
    )
    walk = walk_of(harness, "E1")
    assert sites(walk.feed) == ["W1", "K1:30-87a", "W2"]
    coil = control(walk, "K1")
    assert not coil.needs_on
    assert coil.feed is not None
    assert sites(coil.feed) == ["W4", "S1:1-2", "W5"]
    assert not coil.feed.switched


def driven(row: str, *ends: str, more: str = "") -> Harness:
    """Give a lamp that a control unit has a hand in."""
    head = LAMP + more + wires("G1.+ A1.15", "A1.31 G1.-", *ends)
    feeds = 'feeds = [ { terminal = "15", amps = 0.2 } ]'
    return rig(f'{head}[[modules]]\nid = "A1"\n{feeds}\n{row}\n')


def test_a_driver_on_the_feed_side_passes_its_feed_on() -> None:
    """The lamp is fed through the control unit, whose own feed and ground are its control."""
    harness = driven('drivers = [ { terminal = "out", pulls = "feed", when = ["on"] } ]', "A1.out E1.+", "E1.- G1.-")
    walk = walk_of(harness, "E1")
    assert points(walk.feed) == ["G1.+", "A1.15", "A1.out", "E1.+"]
    driver = control(walk, "A1:out")
    assert (points(driver.feed), points(driver.ground)) == (["A1.15"], ["A1.31", "G1.-"])


def test_a_driver_on_the_ground_side_pulls_to_its_ground() -> None:
    """The ground side runs through the control unit; its feed is told as control."""
    harness = driven('drivers = [ { terminal = "out", pulls = "ground", when = ["on"] } ]', "G1.+ E1.+", "E1.- A1.out")
    walk = walk_of(harness, "E1")
    assert points(walk.ground) == ["E1.-", "A1.out", "A1.31", "G1.-"]
    driver = control(walk, "A1:out")
    assert (points(driver.feed), points(driver.ground)) == (["G1.+", "A1.15"], ["A1.31"])


def test_an_output_makes_the_volts_of_what_hangs_on_it() -> None:
    """A sensor on 5 V: fed by the output, which wants the control unit's own feed and ground."""
    harness = rig(
        'loads = [ { id = "E2", kind = "electronics", amps = 0.01, at = 5 } ]\n'
        + wires("G1.+ A1.15", "A1.31 G1.-", "A1.5V E2.+", "E2.- A1.31")
        + '[[modules]]\nid = "A1"\nfeeds = [ { terminal = "15", amps = 0.2 } ]\n'
        + 'outputs = [ { terminal = "5V", volts = 5 } ]\n'
    )
    walk = walk_of(harness, "E2")
    assert points(walk.feed) == ["G1.+", "A1.15", "A1.5V", "E2.+"]
    assert points(walk.ground) == ["E2.-", "A1.31", "G1.-"]
    assert control(walk, "A1:5V").needs_on


def test_a_control_units_own_feed_is_walked_like_a_load() -> None:
    """``A1:15`` from the post to its pin and from its ground back."""
    walk = walk_of(driven("drivers = []", "G1.+ E1.+", "E1.- G1.-"), "A1:15")
    assert (points(walk.feed), points(walk.ground)) == (["G1.+", "A1.15"], ["A1.31", "G1.-"])


def test_the_coil_of_two_that_has_the_volts_is_walked() -> None:
    """A relay with two coils, the second fed: its terminals are told."""
    coils = '[ { from = "86", to = "85", ohms = 85 }, { from = "c", to = "85", ohms = 85 } ]'
    harness = rig(
        f'switches = [ {{ id = "S1" }} ]\nrelays = [ {{ id = "K1", coils = {coils} }} ]\n'
        + LAMP
        + wires("G1.+ K1.30", "K1.87 E1.+", "E1.- G1.-", "G1.+ S1.1", "S1.2 K1.c", "K1.85 G1.-")
    )
    assert points(control(walk_of(harness, "E1"), "K1").feed)[-1] == "K1.c"


def test_a_diode_in_the_feed_is_passed_from_its_anode() -> None:
    """Of two ways the one through a diode the wrong way round is none."""
    harness = rig(
        'diodes = [ { id = "V1" }, { id = "V2" } ]\nresistors = [ { id = "R1", elements = [ '
        '{ name = "r", from = "a", to = "b", ohms = 0.5 } ] } ]\n'
        + LAMP
        + wires("G1.+ V1.cathode", "V1.anode E1.+", "G1.+ V2.anode", "V2.cathode R1.a", "R1.b E1.+", "E1.- G1.-")
    )
    assert sites(walk_of(harness, "E1").feed) == ["W3", "V2", "W4", "R1:r", "W5"]


def test_what_hangs_on_a_point_beside_the_walk_is_told() -> None:
    """The second lamp's wire leaves at the splice; the walk's own wires are not told as leaving."""
    harness = rig(
        'splices = [ { id = "J1" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
        + wires("G1.+ J1", "J1 E1.+", "J1 E2.+", "E1.- G1.-", "E2.- G1.-")
    )
    also = {point: [link.site for link in links] for point, links in walk_of(harness, "E1").also.items()}
    assert also == {"J1": ["W3"], "G1.-": ["W5"]}


def test_a_wire_beside_another_is_told_as_another_way() -> None:
    """Two straps from the body to the post: no single one of them opens the ground."""
    harness = rig(
        'grounds = [ { id = "GND1" }, { id = "GND2" } ]\n'
        + LAMP
        + wires("G1.+ E1.+", "E1.- CHASSIS", "GND1 G1.-", "GND2 G1.-")
    )
    ground = walk_of(harness, "E1").ground
    assert ground is not None
    (other,) = ground.beside
    assert (points(ground)[other.first], points(ground)[other.last]) == ("CHASSIS", "G1.-")
    assert len({link.part_id for link in other.links} & {"GND1", "GND2"}) == 1


def test_a_dead_side_is_shown_through_what_is_open() -> None:
    """Nothing feeds the lamp, whose relay has no coil feed: the way is shown all the same, as not closed."""
    harness = rig('relays = [ { id = "K1" } ]\n' + LAMP + wires("G1.+ K1.30", "K1.87 E1.+", "E1.- G1.-", "K1.85 G1.-"))
    walk = walk_of(harness, "E1")
    assert not walk.working.reached
    assert walk.feed is not None
    assert walk.ground is not None
    assert (sites(walk.feed), walk.feed.switched, walk.ground.switched) == (["W1", "K1:30-87", "W2"], False, True)
    assert control(walk, "K1").feed is None


def test_a_side_without_any_metal_is_none() -> None:
    """A lamp without a ground wire has a feed and no ground."""
    walk = walk_of(rig(LAMP + wires("G1.+ E1.+")), "E1")
    assert walk.ground is None
    assert points(walk.feed) == ["G1.+", "E1.+"]


def test_open_contacts_are_passed_only_where_closed_ones_do_not_lead() -> None:
    """Shown through the one open switch next the lamp, not through the two of a shorter wire."""
    harness = rig(
        'switches = [ { id = "S1" }, { id = "S2" }, { id = "S3" } ]\nrelays = [ { id = "K1", contacts = "break" } ]\n'
        + LAMP
        + wires("G1.+ S1.1", "S1.2 S2.1", "S2.2 K1.86", "G1.+ S3.1", "S3.2 K1.86", "K1.85 G1.-",
                "G1.+ K1.30", "K1.87a E1.+", "E1.- G1.-")
    )  # fmt: skip
    assert sites(control(walk_of(harness, "E1"), "K1").feed) == ["W4", "S3:1-2", "W5"]
