"""The rows of a walk: each point with its place, what leads to it and what to expect."""

from __future__ import annotations

from itertools import pairwise

import pytest

from model.cautions import NO_PROBE
from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.circuit.faults import parse_fault
from model.harness.harness import Harness
from model.harness.places import BODY_PLACE
from model.harness.points import all_points
from model.tracing.graph import links_of
from model.tracing.row_words import contact_remark, faults_of, link_words, terminal_words
from model.tracing.rows import ToldWalk, WalkRow, tell_walk, wire_words
from model.tracing.walk import Side, Walker, find_element
from tests.model.tracing.rigs import DEMO_NAMES, demo_walks, rig, wires

LOCATED = rig(
    """
locations = [ { name = "dash" }, { name = "nose" } ]
bodies = [ { id = "BLOCK", label = "Engine" } ]
busbars = [ { id = "BB1", label = "Bar", location = "dash" } ]
fuses = [ { id = "F1", amps = 15, bus = "BB1", label = "Horn" }, { id = "F2", style = "thermal" } ]
switches = [ { id = "S1", location = "dash" } ]
relays = [ { id = "K1", label = "Horn relay", location = "dash", pins = { 30 = 2, 87 = 5 } } ]
connectors = [ { id = "X1", cavities = 2, halves = ["cab", "engine"] } ]
grounds = [ { id = "GND1" }, { id = "GND2", body = "BLOCK" } ]
loads = [ { id = "P1", kind = "horn", amps = 5, label = "Horn", location = "nose" } ]
diodes = [ { id = "V1" } ]
chargers = [ { id = "G2", volts = 14, exciter = { terminal = "D" } } ]
joints = [ { id = "N1", from = "BLOCK", to = "CHASSIS" } ]
resistors = [ { id = "R1", elements = [ { name = "low", from = "a", to = "b", ohms = 0.1 } ] } ]
wires = [
  { id = "W1", from = "G1.+", to = "BB1", colour = "RD", size = 10, length = 1.2 },
  { id = "W2", from = "F1.out", to = "K1.30", colour = "RD/VT", size = "AWG 14", length = 0.4 },
  { id = "W3", from = "K1.87", to = "X1.cab.1" },
  { id = "W4", from = "X1.engine.1", to = "P1.+", colour = "GN", size = 1.5, length = 2 },
  { id = "W5", from = "P1.-", to = "GND1", colour = "BN", size = 1.5, length = 0.3 },
  { id = "W6", from = "BB1", to = "S1.1", colour = "RD", size = 1.5, length = 0.3 },
  { id = "W7", from = "S1.2", to = "K1.86", colour = "BK", size = 1.5, length = 0.3 },
  { id = "W8", from = "K1.85", to = "CHASSIS", colour = "BN", size = 1.5, length = 0.3 },
  { id = "W9", from = "G1.-", to = "CHASSIS", colour = "BK", size = 16, length = 0.3 },
  { id = "W10", from = "BB1", to = "R1.a" },
  { id = "W11", from = "BB1", to = "R1.b" },
  { id = "W12", from = "BB1", to = "V1.anode" },
  { id = "W13", from = "BB1" }, { id = "W15", from = "BB1" },
  { id = "W14", from = "G2.D", to = "S1.2", size = 1.5, length = 0.3 },
]
"""
)


def told(harness: Harness, load: str, condition: Condition | None = None) -> ToldWalk:
    """Tell a walk."""
    bench = Bench(harness)
    return tell_walk(bench, Walker(bench).walk(find_element(harness, load)), condition)


def row(walk: ToldWalk, point: str, side: Side = Side.FEED) -> WalkRow:
    """Pick the row of a point in the feed or ground of the load."""
    found = walk.section(walk.walk.element.name, side)
    assert found is not None
    (one,) = [one for one in found.rows if one.point == point]
    return one


@pytest.mark.parametrize(
    ("point", "words"),
    [
        ("G1.+", "post +"),
        ("G2.-", "post -"),
        ("G2.D", "terminal D"),
        ("BB1", ""),
        ("F1.out", "pin out"),
        ("K1.30", "pin 30, cavity 2"),
        ("K1.86", "pin 86"),
        ("P1.+", "terminal +"),
        ("X1.engine.2", "cavity 2, engine half, wire side"),
        ("W13.b", "free end b"),
        ("GND1", ""),
        ("BLOCK", "bare metal"),
        ("CHASSIS", "bare metal"),
    ],
)
def test_what_to_touch_at_each_kind_of_point(point: str, words: str) -> None:
    """Posts, terminals and pins with their cavity, cavities by half, free ends, bare metal."""
    assert terminal_words(LOCATED, all_points(LOCATED)[point]) == words


@pytest.mark.parametrize(
    ("site", "words", "remark"),
    [
        ("W2", "W2", ""),
        ("N1", "joint N1", ""),
        ("X1.1", "contact in X1.1", ""),
        ("GND1", "ground point GND1", ""),
        ("F1", "fuse F1, 15 A", ""),
        ("F2", "fuse F2", ""),
        ("S1:1-2", "contact S1:1-2", "Through S1:1-2."),
        ("K1:30-87", "contact K1:30-87, K1 pulled in", "Through K1:30-87, closed while K1 is pulled in."),
        ("V1", "diode V1: volts fall here by design", "Through V1: a diode's volts fall here by design."),
        ("R1:low", "resistance R1:low: volts fall here by design", "Through R1:low: the volts fall here by design."),
        ("G2", "exciter of G2, at rest", "Through the exciter of G2, at rest."),
    ],
)
def test_what_leads_from_point_to_point(site: str, words: str, remark: str) -> None:
    """Each kind of link by its name, and in a sentence where it is not plain metal."""
    link = next(link for link in links_of(LOCATED) if link.site == site)
    assert (link_words(LOCATED, link), contact_remark(link)) == (words, remark)


def test_a_row_tells_what_where_and_what_leads_there() -> None:
    """The relay's 87: its label, pin and cavity, its place, and the contact before it."""
    one = row(told(LOCATED, "P1"), "K1.87")
    assert (one.label, one.terminal, one.cavity, one.place.name) == ("Horn relay", "pin 87, cavity 5", 5, "dash")
    assert one.link is not None
    assert one.link.site == "K1:30-87"
    assert (one.wire, one.contact) == (None, "Through K1:30-87, closed while K1 is pulled in.")
    assert one.remarks == (one.contact,)
    assert row(told(LOCATED, "P1"), "X1.engine.1").half == "engine"


def test_wires_are_told_with_what_is_assumed() -> None:
    """Colours in words, sizes as typed, lengths; a wire of which nothing is said has a mark at its size."""
    walk = told(LOCATED, "P1")
    typed, assumed = row(walk, "K1.30").wire, row(walk, "X1.cab.1").wire
    assert typed is not None
    assert assumed is not None
    assert (typed.colour_words, typed.size, typed.length_m, typed.assumed) == (
        "red with violet stripe",
        "AWG 14",
        0.4,
        (),
    )
    assert (assumed.colour_words, assumed.size, assumed.length_m) == ("colour not given", "1", 1.5)
    assert assumed.assumed == ("size", "length", "colour")
    assert wire_words(LOCATED, None) is None


def test_the_body_is_bare_metal_everywhere() -> None:
    """The chassis has no place of its own but all of it."""
    one = row(told(LOCATED, "P1"), "CHASSIS", Side.GROUND)
    assert (one.label, one.terminal, one.place) == ("body", "bare metal", BODY_PLACE)


def test_what_hangs_there_besides_is_noted_and_the_many_are_counted() -> None:
    """Five more wires leave the bar: four are named."""
    assert row(told(LOCATED, "P1"), "BB1").notes[-1] == "Here too: W10, W11, W12, W13 and 1 more."


def test_another_way_beside_is_noted_where_it_leaves() -> None:
    """Two wires side by side: the second is told at the first point."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n' + wires("G1.+ E1.+", "G1.+ E1.+", "E1.- G1.-")
    )
    assert row(told(harness, "E1"), "G1.+").notes == ("Another way beside this one to E1.+: W2.", "Here too: W2.")


def test_whether_a_contact_is_closed_is_told_by_key_state() -> None:
    """With the switch as the load needs it the relay is pulled in; with it off it is open."""
    walk = told(LOCATED, "P1")
    assert row(walk, "K1.87").closed == dict.fromkeys(LOCATED.key_names, True)
    off = told(LOCATED, "P1", Condition("off"))
    assert row(off, "K1.87").closed == dict.fromkeys(LOCATED.key_names, False)
    assert row(off, "G1.+").closed["off"]


def test_a_fault_is_found_at_the_link_where_it_stands() -> None:
    """At the wire itself, and at a terminal at its end."""
    link = next(link for link in links_of(LOCATED) if link.site == "W2")
    faults = tuple(parse_fault(LOCATED, typed) for typed in ("W2=open", "K1.30=high", "W3=open"))
    assert [fault.site for fault in faults_of(link, faults)] == ["W2", "K1.30"]


def test_the_load_stands_between_with_what_to_expect_across_it() -> None:
    """Across the horn what is left between its ends, in each key state, and what it does there."""
    walk = told(LOCATED, "P1")
    load = walk.load
    assert (load.label, load.red, load.black, load.refusal) == ("Horn", "P1.+", "P1.-", "")
    plus, minus = (
        row(walk, point, side).expect["off"].on for point, side in (("P1.+", Side.FEED), ("P1.-", Side.GROUND))
    )
    assert plus is not None
    assert minus is not None
    assert load.across["off"].on == pytest.approx(plus - minus)
    assert load.reading["off"].state == "works"


def test_on_positive_ground_the_red_probe_stands_on_the_ground_side() -> None:
    """So that what it reads is above zero."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.- E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"),
        build='nominal_volts = 6, ground_side = "positive"',
    )
    load = told(harness, "E1").load
    assert (load.red, load.black) == ("E1.+", "E1.-")
    across = load.across["off"].on
    assert across is not None
    assert across > 6


AIRBAG = rig(
    """
fuses = [ { id = "F1", amps = 10 } ]
loads = [ { id = "E1", kind = "electronics", amps = 1, label = "Airbag unit", hazard = "restraint" } ]
"""
    + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
)


def test_a_restraint_is_never_measured_nor_unplugged() -> None:
    """Its terminals say why, and no unplugged volts are worked out; the battery's post may be measured."""
    walk = told(AIRBAG, "E1")
    assert "airbags and belt tensioners can go off" in walk.load.refusal
    assert "Airbag unit (E1)" in row(walk, "E1.+").refusal
    assert row(walk, "G1.+").refusal == ""
    assert row(walk, "G1.+").expect["off"].unplugged_word == "never"


def test_remarks_of_a_section() -> None:
    """A control that must rest, where it joins, and that it is shown through open contacts."""
    harness = rig(
        'switches = [ { id = "S1" } ]\nrelays = [ { id = "K1", contacts = "break" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
        + wires("G1.+ K1.30", "K1.87a E1.+", "E1.- G1.-", "K1.30 S1.1", "S1.2 K1.86", "K1.85 E1.-")
    )
    walk = told(harness, "E1")
    feed, ground = walk.section("K1", Side.FEED), walk.section("K1", Side.GROUND)
    assert feed is not None
    assert ground is not None
    assert feed.remark == (
        "K1 must be at rest for this load. Fed from K1.30, told above. "
        "Not closed where the load works: shown through open contacts."
    )
    assert ground.remark == "K1 must be at rest for this load. Joins E1.-, told above."
    assert feed.heading == "control of K1, feed"
    assert walk.section("K2", Side.FEED) is None


def test_a_side_without_metal_says_so() -> None:
    """A lamp without a ground wire."""
    walk = told(rig('loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n' + wires("G1.+ E1.+")), "E1")
    ground = walk.section("E1:load", Side.GROUND)
    assert ground is not None
    assert (ground.rows, ground.remark) == ((), "No metal leads from E1 load to the grounded battery post.")


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_row_of_the_demo_builds_is_whole(name: str) -> None:
    """Figures with a band about them or a word in every key state, what leads there, and what readings say."""
    harness, walks = demo_walks(name)
    for walk in walks:
        assert len(walk.sections) == 2 + 2 * len(walk.walk.controls)
        working = walk.condition.key
        for section in walk.sections:
            assert section.rows
            for before, one in pairwise(section.rows):
                assert one.link is not None
                assert {before.point, one.point} == {one.link.one, one.link.other}
            for one in section.rows:
                assert list(one.expect) == list(one.says) == list(one.closed) == list(harness.key_names)
                for expect in one.expect.values():
                    assert (expect.on is None) is bool(expect.word)
                    assert (expect.unplugged is None) is bool(expect.unplugged_word)
                    if expect.on is not None:
                        assert expect.low is not None
                        assert expect.high is not None
                        assert expect.low < expect.on < expect.high
                assert all(all(words) for words in one.says.values())
        across = walk.load.across[working]
        assert (across.on is None) is (across.word == NO_PROBE)
        assert across.on is None or across.on >= 0.8 * walk.walk.element.at_volts


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_unplugged_the_feed_stands_higher_and_the_ground_nearer_to_zero(name: str) -> None:
    """With the load's own current gone nothing on its feed has less and nothing on its ground more than with it on.

    Not while the engine charges: there the current in the ground runs both ways.
    """
    harness, walks = demo_walks(name)
    charging = {state.name for state in harness.key_states if state.charging}
    for walk in walks:
        key = walk.condition.key
        if key in charging:
            continue
        for one in walk.sections[0].rows:
            expect = one.expect[key]
            if expect.on is not None and expect.unplugged is not None and one.closed[key]:
                assert abs(expect.unplugged) >= abs(expect.on) - 1e-6, (walk.walk.element.name, one.point)
        for one in walk.sections[1].rows:
            expect = one.expect[key]
            if expect.on is not None and expect.unplugged is not None:
                assert abs(expect.unplugged) <= abs(expect.on) + 1e-6, (walk.walk.element.name, one.point)


def test_a_condition_with_posts_read_narrows_the_bands() -> None:
    """4 % of 12 V for a supply that was not read: half a volt more on each side."""
    wide = row(told(LOCATED, "P1"), "K1.30").expect["off"]
    condition = make_condition(LOCATED, "off", ("S1=on",), posts_volts=12.5)
    narrow = row(told(LOCATED, "P1", condition), "K1.30").expect["off"]
    assert wide.low is not None
    assert wide.high is not None
    assert narrow.low is not None
    assert narrow.high is not None
    assert narrow.high - narrow.low < 0.45 < 2.0 < wide.high - wide.low
