"""Checks for a short behind a fuse: which gaps are opened, where the lamp goes, what is measured with all apart."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition, require_point
from model.circuit.meter import LampLight, read_lamp, read_ohms
from model.errors import ArgumentError
from model.harness.parts import Fuse
from model.tracing.checks import FUSE_LAMP_WATTS, Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.fuse_branch import Branch, Gap
from model.tracing.never_offered import never_offered
from model.tracing.offers import offered_checks
from model.tracing.walk import Walker
from tests.model.tracing.rigs import rig, wires

ROWS = """
locations = [ { name = "nose" }, { name = "floor", access = "buried" } ]
fuses = [ { id = "F1", amps = 10, location = "nose" } ]
busbars = [ { id = "BB1", location = "nose" } ]
connectors = [ { id = "X1", cavities = 2, location = "nose" } ]
switches = [ { id = "S1", location = "nose" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 21, location = "nose" },
  { id = "E2", kind = "lamp", watts = 21, location = "floor" },
]
""" + wires(
    "G1.+ F1.in",
    "F1.out BB1",
    "BB1 S1.1",
    "S1.2 X1.plug.1",
    "X1.socket.1 E1.+",
    "E1.- CHASSIS",
    "BB1 E2.+",
    "E2.- CHASSIS",
    "G1.- CHASSIS",
)
HARNESS = rig(ROWS)
ON = Condition("off", (("S1", "on"),))
SITES = ("W2", "W3", "W4", "W5", "W7", "E1:load", "E2:load")


def branch() -> Branch:
    """Give what hangs behind F1, the switch on."""
    return Branch(HARNESS, HARNESS.part_of("F1", Fuse), lambda _link: True)


def offered() -> tuple[Check, ...]:
    """Give the checks for the lamp E1 dead, everything behind F1 suspected."""
    return offered_checks(Walker(Bench(HARNESS)), Complaint(("E1:load",)), ON, SITES)


def test_a_bar_keeps_the_wire_that_feeds_it_and_lets_go_of_the_others() -> None:
    """W2 comes from the fuse; W3 and W7 leave; crimped ends stay where they are."""
    gaps = {name for gap in branch().gaps for name in gap.names}
    assert gaps == {"X1", "S1", "E1", "E2", "W3.a", "W7.a"}


@pytest.mark.parametrize(
    ("settings", "left"),
    [
        ((), {"W2", "W3", "W4", "W5", "W7", "E1", "E2"}),
        ((("X1", "apart"),), {"W2", "W3", "W4", "W7", "E2"}),
        ((("S1", "off"),), {"W2", "W3", "W7", "E2"}),
        ((("W3.a", "off"),), {"W2", "W7", "E2"}),
        ((("E2", "out"),), {"W2", "W3", "W4", "W5", "W7", "E1"}),
    ],
)
def test_an_open_gap_takes_what_is_behind_it_off_the_fuse(
    settings: tuple[tuple[str, str], ...], left: set[str]
) -> None:
    """By hand from the drawing: F1, W2, bar; W3, S1, W4, X1, W5, E1; W7, E2."""
    assert branch().fed([Gap(settings)]) == left


def test_a_switch_that_no_hand_works_is_unplugged() -> None:
    """A pressure switch follows the key: set to rest it would close all the same."""
    pressed = rig(ROWS.replace('{ id = "S1"', '{ id = "S1", follows = { off = "on" }'))
    found = offered_checks(Walker(Bench(pressed)), Complaint(("E1:load",)), Condition("off"), SITES)
    apart = [one.condition.by_name for one in found if one.kind is CheckKind.LAMP and one.watts == FUSE_LAMP_WATTS]
    assert {settings["S1"] for settings in apart if "S1" in settings} == {"out"}


def test_the_first_gap_halves_the_suspects() -> None:
    """Five wires: the wire off the bar leaves two and three, the plug four and one; three gaps part four wires."""
    own = branch()
    wires_only = tuple(site for site in SITES if ":" not in site)
    chosen = own.halving(own.gaps, wires_only, 6)
    assert chosen[0].names in ({"S1"}, {"W3.a"})
    fed = [own.fed([gap]) for gap in chosen]
    told = {name: tuple(name in one for one in fed) for name in wires_only}
    assert len(set(told.values())) == len(wires_only)


def test_the_lamp_goes_to_both_sides_of_a_gap_and_in_place_of_the_fuse() -> None:
    """In the fuse's place for what is before the gap, from the plus post to the wire's end that is free behind it."""
    checks = offered()
    off = Condition("off", (("S1", "on"), ("F1", "out"), ("W3.a", "off")))
    assert Check(CheckKind.LAMP, off, "F1.in", "F1.out", part="F1", watts=FUSE_LAMP_WATTS) in checks
    assert Check(CheckKind.LAMP, off, red="G1.+", black="W3.a", watts=FUSE_LAMP_WATTS) in checks
    resting = Condition("off", (("F1", "out"),))
    assert Check(CheckKind.LAMP, resting, "F1.in", "F1.out", part="F1", watts=FUSE_LAMP_WATTS) in checks


def test_all_apart_each_piece_is_measured_to_the_post_and_what_is_buried_stays() -> None:
    """Pieces: bar with W2; W3; W4; W5; W7 with E2, whose plug is under the floor."""
    ohms = [check for check in offered() if check.kind is CheckKind.OHMS and "X1" in check.condition.by_name]
    assert {check.red for check in ohms} == {"F1.out", "W3.a", "S1.2", "X1.socket.1", "W7.a"}
    assert all("E2" not in check.condition.by_name for check in ohms)


def test_a_chafed_wire_shows_in_its_own_piece_alone() -> None:
    """W4 on the body: about nothing at the switch's outlet, open at the plug behind it; W7 reads the cold lamp E2."""
    ohms = [check for check in offered() if check.kind is CheckKind.OHMS and "X1" in check.condition.by_name]
    faulty = make_condition(HARNESS, "off", (), ("W4=to body",)).faults
    read = {}
    for check in ohms:
        condition = Condition("off", check.condition.settings, faulty)
        read[check.red] = read_ohms(HARNESS, condition, check.red, check.black)
    assert (read["S1.2"] or 0.0) < 0.3
    assert read["S1.2"] is not None
    assert [read[name] for name in ("F1.out", "W3.a", "X1.socket.1")] == [None, None, None]
    assert (read["W7.a"] or 0.0) > 0.4


def test_a_lamp_on_a_free_end_lights_where_the_wire_is_on_the_body() -> None:
    """The end is a point while it is off, and none while it is on."""
    off = make_condition(HARNESS, "off", ("F1=out", "W7.a=off", "E2=out"), ("W7=to body",))
    assert read_lamp(HARNESS, off, "G1.+", "W7.a", watts=55.0).light is LampLight.LIT
    assert read_lamp(HARNESS, off.healthy(), "G1.+", "W7.a", watts=55.0).light is LampLight.DARK
    assert require_point(HARNESS, "W7.a", off).part_id == "W7"
    with pytest.raises(ArgumentError):
        require_point(HARNESS, "W7.a", off.with_setting("W7.a", "on"))
    with pytest.raises(ArgumentError):
        require_point(HARNESS, "W7.a")


def test_suspected_wires_are_looked_along_and_no_others() -> None:
    """Those on the walk and behind its fuse; W8 is no suspect."""
    looked = {check.part for check in offered() if check.kind is CheckKind.LOOK}
    assert looked & {wire.id for wire in HARNESS.wires} == {"W2", "W3", "W4", "W5", "W7"}


def test_a_control_unit_behind_the_fuse_is_unplugged_or_nothing_is_lit() -> None:
    """With one on the bar every lamp of 55 W that is offered has it out."""
    rows = ROWS.replace(
        "switches =", 'modules = [ { id = "A1", feeds = [ { terminal = 15, amps = 1 } ] } ]\nswitches ='
    )
    head, tail = rows.rsplit(" ]\n", 1)
    extra = ', { id = "W20", from = "A1.15", to = "BB1", size = 1.5, length = 1.0 }'
    harness = rig(f"{head}{extra} ]\n{tail}")
    bench = Bench(harness)
    checks = offered_checks(Walker(bench), Complaint(("E1:load",)), ON, SITES)
    lamps = [check for check in checks if check.watts == FUSE_LAMP_WATTS]
    assert lamps
    assert all(check.condition.by_name.get("A1") == "out" for check in lamps)
    plugged = [Condition("off", tuple(pair for pair in one.condition.settings if pair[0] != "A1")) for one in lamps]
    refused = [
        never_offered(bench, Check(CheckKind.LAMP, condition, one.red, one.black, one.part, watts=one.watts))
        for one, condition in zip(lamps, plugged, strict=True)
        if one.black == "F1.out" and not {"W20.b"} & condition.by_name.keys()
    ]
    assert refused
    assert all(refused)
