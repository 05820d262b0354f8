"""The harness as a graph: every kind of link, which are closed, and which posts feed and ground."""

from __future__ import annotations

import pytest

from model.harness.harness import Harness
from model.tracing.graph import (
    Link,
    charger_posts,
    closed_links,
    grounded_posts,
    hot_posts,
    links_between,
    links_of,
    possible_graph,
    powering_feed,
)
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, settled, wires

ROWS = """
chargers = [ { id = "G2", volts = 14.2, exciter = { terminal = "D" } } ]
busbars = [ { id = "BB1" } ]
joints = [ { id = "N1", from = "BB1", to = "G1.+", ohms = 0.002 } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, ohms = 0.3 } ]
relays = [ { id = "K1", contacts = "changeover", amps = 30 }, { id = "K2" } ]
diodes = [ { id = "V1" } ]
connectors = [ { id = "X1", cavities = 1 }, { id = "X2", cavities = 1, rest = "apart" } ]
grounds = [ { id = "GND1" }, { id = "GND2", bonded = false } ]
"""
TABLES = """
[[switches]]
id = "S1"
terminals = ["in", "a", "b"]
positions = { off = [], a = [["in", "a"]], both = [["in", "a", "b"]] }
[[resistors]]
id = "R1"
elements = [ { name = "low", from = "a", to = "b", ohms = { rest = "full", full = 40, empty = 400 } } ]
[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 0.5 }, { terminal = "30", amps = 0.1 } ]
drivers = [
  { terminal = "fan", pulls = "feed", from = "30", when = ["on"] },
  { terminal = "pump", pulls = "ground", when = ["on"] },
]
outputs = [ { terminal = "5V", volts = 5 } ]
"""
EVERY_KIND = rig(
    ROWS + wires("F1.in F2.in", "G1.- GND1", "F1.out A1.15", "BB1 A1.30", "A1.31 GND1") + TABLES,
)


def named(links: tuple[Link, ...], site: str) -> list[Link]:
    """Pick the links of a site."""
    return [link for link in links if link.site == site]


@pytest.mark.parametrize(
    ("site", "one", "other", "ohms"),
    [
        ("N1", "BB1", "G1.+", 0.002),
        ("F2", "F2.in", "F2.out", 0.3),
        ("S1:in-a", "S1.in", "S1.a", 0.010),
        ("S1:in-b", "S1.in", "S1.b", 0.010),
        ("K1:30-87a", "K1.30", "K1.87a", 0.002),  # 0.06 / 30 A
        ("K2:30-87", "K2.30", "K2.87", 0.010),
        ("A1:fan", "A1.30", "A1.fan", 0.1),
        ("A1:pump", "A1.31", "A1.pump", 0.1),
        ("A1:5V", "A1.15", "A1.5V", 1.0),
        ("V1", "V1.anode", "V1.cathode", 1.0),
        ("R1:low", "R1.a", "R1.b", 40.0),
        ("X1.1", "X1.plug.1", "X1.socket.1", 0.005),
        ("GND1", "GND1", "CHASSIS", 0.0012),
    ],
)
def test_each_kind_of_part_makes_its_link(site: str, one: str, other: str, ohms: float) -> None:
    """The ends, and the ohms of the defaults of the format or of the row's own figure."""
    (link,) = named(links_of(EVERY_KIND), site)
    assert (link.one, link.other) == (one, other)
    assert link.ohms == pytest.approx(ohms)


def test_a_fuse_on_a_bar_begins_at_the_bar() -> None:
    """``F1.in`` is the bar: the fuse and the wire that names ``F1.in`` both begin there."""
    (fuse,), (wire,) = named(links_of(EVERY_KIND), "F1"), named(links_of(EVERY_KIND), "W1")
    assert (fuse.one, fuse.other) == ("BB1", "F1.out")
    assert (wire.one, wire.other) == ("BB1", "F2.in")


def test_a_bar_that_only_wires_reach_joins_no_body() -> None:
    """``bonded = false``: no link to the chassis."""
    assert named(links_of(EVERY_KIND), "GND2") == []


def test_loads_coils_and_the_battery_join_nothing() -> None:
    """A walk begins, turns and ends there: no link names the battery, a coil or a feed's own draw."""
    assert not {link.site for link in links_of(EVERY_KIND)} & {"G1", "K1:coil", "K2:coil", "A1:15"}


@pytest.mark.parametrize(
    ("settings", "key", "closed", "open_sites"),
    [
        ((), "off", {"K1:30-87a", "X1.1", "F1", "G2-"}, {"S1:in-a", "K1:30-87", "A1:fan", "A1:pump", "X2.1", "G2+"}),
        ((), "on", {"A1:fan", "A1:pump", "A1:5V"}, set()),
        (("A1=asleep",), "on", set(), {"A1:fan", "A1:pump", "A1:5V"}),
        (("A1.pump=off",), "on", {"A1:fan"}, {"A1:pump"}),
        (("A1=out",), "on", set(), {"A1:fan", "A1:5V"}),
        (("S1=both",), "off", {"S1:in-a", "S1:in-b"}, set()),
        (("S1=both", "S1=out"), "off", set(), {"S1:in-a"}),
        (("K1=out", "F1=out", "V1=out"), "off", set(), {"K1:30-87a", "F1", "V1"}),
        (("X1=apart", "X2=mated"), "off", {"X2.1"}, {"X1.1"}),
        (("W3.b=off",), "off", {"W4"}, {"W3"}),
        ((), "running", {"G2+"}, {"G2-"}),
    ],
)
def test_what_is_closed_follows_the_condition(
    settings: tuple[str, ...], key: str, closed: set[str], open_sites: set[str]
) -> None:
    """Contacts by position, relays at rest, drivers by key and setting, parts out, plugs apart, ends off terminals.

    The exciter's two links stand here with the sign of the post that each leads to.
    """
    found = closed_links(EVERY_KIND, settled(EVERY_KIND, *settings, key=key))
    names = {link.site + link.other[-1] if link.site == "G2" else link.site for link in found}
    assert closed <= names
    assert not open_sites & names


def test_a_blown_fuse_is_open() -> None:
    """12.7 V over a bare metre of wire blows 10 A: the fuse no longer joins."""
    harness = rig('fuses = [ { id = "F1", amps = 10 } ]\n' + wires("G1.+ F1.in", "F1.out G1.-"))
    assert "F1" not in {link.site for link in closed_links(harness, settled(harness))}


def test_a_driver_takes_its_power_from_the_feed_that_it_names() -> None:
    """``from`` where it is given, else the first feed."""
    module = EVERY_KIND.modules[0]
    assert [powering_feed(module, name) for name in ("fan", "pump", "5V")] == ["A1.30", "A1.15", "A1.15"]


def test_parallel_links_stay_apart() -> None:
    """Two wires between the same two points are two links."""
    harness = rig(wires("G1.+ G1.-", "G1.+ G1.-"))
    assert [link.site for link in links_between(possible_graph(harness), "G1.+", "G1.-")] == ["W1", "W2"]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_link_joins_points_of_the_harness(name: str) -> None:
    """No link of a demo build names a point that no probe can stand on, and no two are the same."""
    harness = demo(name)
    points = set(settled(harness).net.names)
    links = links_of(harness)
    assert {end for link in links for end in (link.one, link.other)} <= points
    assert len(set(links)) == len(links)


TWO = '{ id = "G1" }, { id = "G2" }'
IN_SERIES = wires("G1.- G2.+", "G2.- CHASSIS")
IN_SERIES_POSITIVE = wires("G1.- G2.+", "G1.+ CHASSIS")


@pytest.mark.parametrize(
    ("harness", "hot", "grounded"),
    [
        (rig(wires("G1.- CHASSIS")), ("G1.+",), ("G1.-",)),
        (rig(wires("G1.+ CHASSIS"), build='nominal_volts = 6, ground_side = "positive"'), ("G1.-",), ("G1.+",)),
        (rig(wires("G1.- G2.-", "G1.+ G2.+"), batteries=TWO), ("G1.+", "G2.+"), ("G1.-", "G2.-")),
        (rig(IN_SERIES, build="nominal_volts = 24", batteries=TWO), ("G1.+", "G1.-", "G2.+"), ("G2.-",)),
        (
            rig(IN_SERIES_POSITIVE, build='nominal_volts = 12, ground_side = "positive"', batteries=TWO),
            ("G1.-", "G2.+", "G2.-"),
            ("G1.+",),
        ),
        (
            rig(
                wires("G1.- G2.+", "G2.- CHASSIS", "G3.- CHASSIS"),
                build="nominal_volts = 24",
                batteries=TWO + ', { id = "G3", volts = 12 }',
            ),
            ("G1.+", "G1.-", "G2.+", "G3.+"),
            ("G2.-", "G3.-"),
        ),
    ],
    ids=["negative", "positive", "side by side", "in series", "in series, positive", "in series beside one alone"],
)
def test_posts_that_feed_and_posts_that_ground(
    harness: Harness, hot: tuple[str, ...], grounded: tuple[str, ...]
) -> None:
    """Of a chain only the outermost post grounds; the taps between its batteries feed."""
    assert hot_posts(harness) == hot
    assert grounded_posts(harness) == grounded


def test_posts_of_chargers_by_side() -> None:
    """On negative ground the plus of a charger is hot."""
    assert charger_posts(EVERY_KIND, hot=True) == ("G2.+",)
    assert charger_posts(EVERY_KIND, hot=False) == ("G2.-",)
