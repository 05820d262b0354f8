"""What a reading says that is too low or too high: the sentences, and whether following them finds the fault."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_volts
from model.circuit.settle import Settled
from model.circuit.survey import LoadState
from model.harness.harness import Harness, all_elements
from model.harness.parts import LoadKind
from model.tracing.expect import Expect
from model.tracing.rows import ToldWalk, WalkRow, WalkSection, tell_walk
from model.tracing.walk import Side, Walker, find_element
from tests.model.tracing.rigs import demo, rig, wires

KEYED = """
fuses = [ { id = "F1", amps = 15 } ]
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [[30, 15]] } },
]
relays = [ { id = "K1" } ]
connectors = [ { id = "X1", cavities = 2 } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
loads = [ { id = "P1", kind = "horn", amps = 20 } ]
"""
HORN = rig(
    KEYED
    + wires("G1.+ F1.in", "F1.out K1.30", "K1.87 X1.plug.1", "X1.socket.1 P1.+", "P1.- X1.socket.2", "X1.plug.2 GND1",
            "F1.out S0.30", "S0.15 K1.86", "K1.85 GND1", "GND2 G1.-")
)  # fmt: skip


def told(harness: Harness, load: str, key: str | None = None) -> ToldWalk:
    """Tell a walk, its key state that of the working condition or another."""
    bench = Bench(harness)
    walk = Walker(bench).walk(find_element(harness, load))
    condition = walk.working.condition
    return tell_walk(bench, walk, condition if key is None else Condition(key, condition.settings))


def section(walk: ToldWalk, of: str, side: Side) -> WalkSection:
    """Pick a section."""
    found = walk.section(of, side)
    assert found is not None
    return found


def said(walk: ToldWalk, of: str, side: Side, point: str) -> tuple[str, str]:
    """Give what readings below and above the band at a point say in the key state that is told."""
    (row,) = [row for row in section(walk, of, side).rows if row.point == point]
    return row.says[walk.condition.key]


LOW_FEED = [
    ("G1.+", "The battery is low, or the probe misses its post: charge it, and measure again first."),
    (
        "F1.out",
        "If F1.in reads right, the fault is fuse F1 or its clips. If not, it lies before it, towards the battery.",
    ),
    ("K1.30", "If F1.out reads right, the fault is wire W2 or one of its crimps."),
    ("K1.87", "If K1.30 reads right, the fault is relay contact K1:30-87, or K1 is not pulled in."),
    ("X1.socket.1", "If X1.plug.1 reads right, the fault is the contact in X1.1."),
]


@pytest.mark.parametrize(("point", "words"), LOW_FEED)
def test_too_little_on_a_live_feed_points_at_what_lies_before(point: str, words: str) -> None:
    """Each kind of part by its name; the battery itself at its post."""
    assert said(told(HORN, "P1"), "P1:load", Side.FEED, point)[0].startswith(words)


def test_too_much_on_a_live_feed_means_too_little_current() -> None:
    """A poor ground makes the feed read better than healthy, where the load's own current tells.

    Where it does not, as on the coil's own feed here, nothing is said of it.
    """
    more = said(told(HORN, "P1"), "P1:load", Side.FEED, "P1.+")[1]
    assert more.startswith("If the posts read right, too little current runs: the feed is good so far")
    assert more.endswith("look at the load and its ground.")
    harness = rig(
        'switches = [ { id = "S1" } ]\nrelays = [ { id = "K1" } ]\nloads = [ { id = "P1", kind = "horn", amps = 5 } ]\n'
        + wires("G1.+ K1.30", "K1.87 P1.+", "P1.- G1.-", "G1.+ S1.1", "S1.2 K1.86", "K1.85 G1.-")
    )
    assert said(told(harness, "P1"), "K1", Side.FEED, "K1.86")[1].startswith("The posts stand higher")


HIGH_GROUND = [
    (
        "P1.-",
        "If X1.socket.2 reads right, the fault is wire W5 or one of its crimps. If not, it lies beyond it",
    ),
    ("X1.socket.2", "If X1.plug.2 reads right, the fault is the contact in X1.2."),
    ("GND1", "If CHASSIS reads right, the fault is ground point GND1: paint, rust or a loose ring."),
    ("G1.-", "The black probe or the post's own metal makes poor contact."),
]


@pytest.mark.parametrize(("point", "words"), HIGH_GROUND)
def test_too_much_on_a_ground_points_at_what_lies_beyond(point: str, words: str) -> None:
    """Each kind of part by its name; at the post the probe."""
    assert said(told(HORN, "P1"), "P1:load", Side.GROUND, point)[1].startswith(words)


def test_too_little_on_a_ground_is_told_by_whether_current_should_lift_it() -> None:
    """20 A lift the horn's ground end clear of zero, too little there is too little current.

    At the post nothing does: below its band is the wrong side of zero.
    """
    walk = told(HORN, "P1")
    assert said(walk, "P1:load", Side.GROUND, "P1.-")[0] == (
        "Less current than should runs to ground here, or none: go to the feed."
    )
    assert said(walk, "P1:load", Side.GROUND, "G1.-")[0].startswith("On the wrong side of zero")


def test_a_stretch_that_joins_another_says_where_to_read_on() -> None:
    """The first row of a feed that leaves another, and the last of a ground that joins one."""
    walk = told(HORN, "P1")
    assert said(walk, "K1", Side.FEED, "F1.out") == ("See F1.out above.", "See F1.out above.")
    assert said(walk, "K1", Side.GROUND, "GND1")[1] == "The ground is poor beyond here: go on at GND1 above."


def test_with_the_key_off_a_dead_feed_should_have_no_volts() -> None:
    """Behind the open relay: volts there are a stuck contact or a touching wire; before it the posts decide."""
    walk = told(HORN, "P1", "off")
    less, more = said(walk, "P1:load", Side.FEED, "P1.+")
    assert less.startswith("On the wrong side of zero")
    assert more.startswith("Volts where none belong: a contact before here sticks")
    assert said(walk, "P1:load", Side.FEED, "K1.30")[1] == (
        "The posts stand higher than expected: read them first, and compare."
    )


SWITCHED_GROUND = rig(
    'switches = [ { id = "S1" } ]\nrelays = [ { id = "K1", contacts = "break" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
    + wires("G1.+ K1.30", "K1.87a E1.+", "E1.- G1.-", "G1.+ K1.86", "K1.85 S1.1", "S1.2 G1.-")
)


def test_a_ground_side_that_is_open_by_right_reads_battery_volts() -> None:
    """The coil of a relay that must rest: its ground side stands at battery volts; less means it is closed."""
    walk = told(SWITCHED_GROUND, "E1")
    less, more = said(walk, "K1", Side.GROUND, "K1.85")
    assert less == "The ground side is closed or touches metal where it should be open, or the coil has no feed."
    assert more.startswith("The posts stand higher")


def test_no_current_is_missed_where_a_relay_must_rest() -> None:
    """The live feed of a coil that carries nothing: a high reading is the posts', not a missing current."""
    assert said(told(SWITCHED_GROUND, "E1"), "K1", Side.FEED, "K1.86")[1].startswith("The posts stand higher")


def test_on_positive_ground_the_two_change_places() -> None:
    """A live feed reads -6 V: a reading below the band is more than expected, one above it less."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 15 } ]\n' + wires("G1.- E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"),
        build='nominal_volts = 6, ground_side = "positive"',
    )
    walk = told(harness, "E1")
    below, above = said(walk, "E1:load", Side.FEED, "E1.-")
    assert below.startswith("If the posts read right, too little current")
    assert above.startswith("If G1.- reads right, the fault is wire W1")
    below, above = said(walk, "E1:load", Side.GROUND, "E1.+")
    assert below.startswith("If CHASSIS reads right, the fault is wire W2")
    assert above.startswith("On the wrong side of zero")


def test_where_there_is_no_figure_the_word_says_why() -> None:
    """A loose end floats; a contact that feeds its own coil chatters."""
    harness = rig(
        'relays = [ { id = "K1", contacts = "break" } ]\nswitches = [ { id = "S1" } ]\n'
        'loads = [ { id = "E1", kind = "led", watts = 2 }, { id = "E2", kind = "lamp", watts = 2 } ]\n'
        + wires(
            "G1.+ S1.1",
            "S1.2 E1.+",
            "E1.- G1.-",
            "G1.+ K1.30",
            "K1.87a K1.86",
            "K1.85 G1.-",
            "K1.87a E2.+",
            "E2.- G1.-",
        ),
        batteries='{ id = "G1", ohms = 0.001 }',
    )
    walk = told(harness, "E1")
    off = tell_walk(Bench(harness), walk.walk, Condition("off"))
    below, above = said(off, "E1:load", Side.FEED, "E1.+")
    assert below == above == "Nothing holds this point: a meter shows what leaks in, which tells nothing."
    below, _ = said(told(harness, "E2"), "E2:load", Side.FEED, "E2.+")
    assert below.startswith("A relay chatters here")


def across(walk: ToldWalk) -> tuple[str, str]:
    """Give what readings across the load say in the key state that is told."""
    return walk.load.says[walk.condition.key]


def test_across_the_load_the_first_reading_parts_load_from_wiring() -> None:
    """Too little across it is a side that loses the volts; off, any volts are too many."""
    assert across(told(HORN, "P1"))[0].startswith("One side loses the volts: near 0 it is open, in between it is poor.")
    assert across(told(HORN, "P1", "off"))[1].startswith("Volts though it should be off")


def open_faults(walk: ToldWalk) -> list[Fault]:
    """List the open of every wire, contact, fuse and ground point on the load's own feed and ground."""
    rows = [row for one in walk.sections[:2] for row in one.rows]
    return [Fault(row.link.site, FaultKind.OPEN) for row in rows if row.link is not None and row.link.kind != "driver"]


def nearer_zero(volts: float, expect: Expect) -> bool:
    """Tell whether a reading is nearer zero than its band, which does not reach there."""
    assert expect.low is not None
    assert expect.high is not None
    return abs(volts) < min(abs(expect.low), abs(expect.high)) and expect.low * expect.high > 0


def further_from_zero(volts: float, expect: Expect) -> bool:
    """Tell whether a reading is further from zero than its band."""
    assert expect.low is not None
    assert expect.high is not None
    return abs(volts) > max(abs(expect.low), abs(expect.high))


def sentence(row: WalkRow, key: str, volts: float) -> str:
    """Give what a reading out of its band says."""
    low = row.expect[key].low
    assert low is not None
    return row.says[key][0 if volts < low else 1]


def blamed(walk: ToldWalk, volts: dict[str, float], of: str) -> str:
    """Follow the walk: along the feed to the first point with too little, else the ground's last with too much.

    Where a relay is blamed that did not pull in, its own control is followed; where a ground joins another, that one.
    """
    key = walk.condition.key
    for row in section(walk, of, Side.FEED).rows:
        if nearer_zero(volts[row.point], row.expect[key]):
            words = sentence(row, key, volts[row.point])
            relay = row.link.part_id if row.link is not None and "is not pulled in" in words else ""
            deeper = blamed(walk, volts, relay) if relay else ""
            return f"{words} {deeper}"
    return blamed_ground(walk, volts, of)


def blamed_ground(walk: ToldWalk, volts: dict[str, float], of: str) -> str:
    """Follow a ground side from the post back to the last point with too much; where it joins another, that one."""
    key = walk.condition.key
    rows = section(walk, of, Side.GROUND).rows
    for place, row in reversed(list(enumerate(rows))):
        if further_from_zero(volts[row.point], row.expect[key]):
            joins = place == len(rows) - 1 and row.point != walk.walk.black
            above = next((one.of for one in walk.sections if joins and joined(one, row)), "")
            return blamed_ground(walk, volts, above) if above else sentence(row, key, volts[row.point])
    return ""


def joined(above: WalkSection, row: WalkRow) -> bool:
    """Tell whether a ground side tells a point that another one joins."""
    return above.side is Side.GROUND and row.point in [one.point for one in above.rows[:-1]]


def metered(harness: Harness, condition: Condition, settled: Settled, walk: ToldWalk) -> dict[str, float]:
    """Give what a meter shows at every point of a walk; where nothing holds a point the meter's own ohms count."""
    black = walk.walk.black
    volts: dict[str, float] = {}
    for point in walk.walk.points():
        there, here = settled.volts_at(point), settled.volts_at(black)
        if there is not None and here is not None:
            volts[point] = there - here
        else:
            volts[point] = read_volts(harness, condition, point, black, before=settled) or 0.0
    return volts


@pytest.mark.first_few(1)
@pytest.mark.parametrize(("name", "every"), [("field_tractor", 1), ("harbour_launch", 2), ("trail_buggy", 4)])
def test_following_the_sentences_finds_every_open(name: str, every: int) -> None:
    """Any single open that kills a load, on any point of its own feed or ground: the sentence names what is open.

    Left out is the inverter: off, it passes no current, and an open ground shows nowhere but across it.
    """
    harness = demo(name)
    bench = Bench(harness)
    found = 0
    for element in all_elements(harness)[::every]:
        if element.kind is LoadKind.INVERTER:
            continue
        walk = tell_walk(bench, Walker(bench).walk(element))
        for fault in open_faults(walk):
            condition = replace(walk.condition, faults=(fault,))
            faulty = bench.survey(condition)
            if faulty.loads[element.name].state is not LoadState.DEAD or faulty.settled.buzzing:
                continue
            volts = metered(harness, condition, faulty.settled, walk)
            assert fault.site in blamed(walk, volts, element.name), (element.name, fault.site)
            found += 1
    assert found > 50
