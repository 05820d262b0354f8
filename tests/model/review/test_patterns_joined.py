"""What new circuits are joined to: feeds, fuses, grounds, colours, and the speeds of a motor."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import ArgumentError
from model.harness.toml_file import read_harness_text
from model.review.finding import FindingRule
from model.review.pattern_colours import Colours
from model.review.pattern_feeds import FeedKind, Feeds, best_feed, next_best_feed
from model.review.patterns import Pattern, ProposedCircuit, propose
from model.tables import wire_colour_names
from tests.model.review.pattern_looms import ASKED, BARE, bench_of, proposed, put_in, rows, value_of, with_answers

GND = """grounds = [ { id = "GND1", location = "nose" } ]
locations = [ { name = "nose" }, { name = "tail" } ]
"""
GROUNDED = """format = 1
build = { name = "Cart", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" } ]
batteries = [ { id = "G1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+" },
  { id = "W2", from = "E1.-", to = "CHASSIS", colour = "GROUND" },
  { id = "W3", from = "G1.-", to = "CHASSIS", colour = "GROUND" },
]
"""


def _on(text: str, pattern: Pattern, more: dict[str, str]) -> ProposedCircuit:
    bench = Bench(read_harness_text(text, "bench.toml"))
    return propose(bench, pattern, {**ASKED[pattern], "at": "tail", **more})


def test_the_bus_that_is_live_in_the_key_states_asked_is_proposed() -> None:
    """The buggy has a permanent, an accessory and an ignition bus, solved from its relays and not by their names."""
    feeds = Feeds(bench_of("trail_buggy"))
    keys = bench_of("trail_buggy").harness.key_names
    found = {one.name: one for one in feeds.offered}
    assert found["BB2"].keys == keys
    assert found["BB3"].keys == ("accessory", "ignition", "running")
    assert found["BB4"].keys == ("ignition", "crank", "running")
    assert found["S1.50"].keys == ("crank",)
    for wanted, name in ((keys, "BB2"), (found["BB3"].keys, "BB3"), (found["BB4"].keys, "BB4")):
        best = best_feed(feeds.offered, wanted)
        assert best is not None
        assert best.name == name
    assert best_feed(feeds.offered, ("accessory",)) is None
    nearly = next_best_feed(feeds.offered, ("accessory",))
    assert nearly is not None
    assert nearly.name == "BB3"


def test_a_bus_behind_a_fuse_goes_before_the_stud_bar() -> None:
    """BB1 of the buggy is fed always too, by the battery's cable alone: no fuse stands before it."""
    found = {one.name: one for one in Feeds(bench_of("trail_buggy")).offered}
    assert (found["BB1"].is_fused, found["BB2"].is_fused) == (False, True)
    assert (found["BB2"].kind, found["F40"].kind) == (FeedKind.BUS, FeedKind.FUSE)


@pytest.mark.slow
def test_what_is_live_with_nothing_moved_goes_before_what_an_isolator_feeds() -> None:
    """BB3 and BB4 of the launch are live always once S10 is on; for what is fed always the post bar BB1 is proposed."""
    assert value_of(proposed("harbour_launch", Pattern.PERMANENT), "feed") == "BB1"


def test_the_room_of_a_fuse_is_what_it_does_not_carry_yet() -> None:
    """F40 of the buggy has 5 A: 80 % of that for long, less what the controller and the coil take."""
    bench = bench_of("trail_buggy")
    feed = Feeds(bench).named("F40")
    carried = bench.survey(Condition("running")).fuse_amps["F40"]
    assert feed.room_amps is not None
    assert 0.0 < feed.room_amps <= 4.0 - carried + 1e-6


def test_the_isolator_before_a_bus_stands_in_what_the_load_works_with() -> None:
    """The console bar of the launch is live with the house isolator on: the file says so of the new load."""
    circuit = with_answers("harbour_launch", Pattern.SWITCHED, {"feed": "BB4", "when": "permanent"})
    (load,), (switch,) = rows(circuit, "loads"), rows(circuit, "switches")
    assert load["works_with"] == {"S10": "on", str(switch["id"]): "on"}
    assert circuit.workings[0].is_as_asked


def test_a_coil_on_a_point_behind_a_small_fuse_needs_none_of_its_own() -> None:
    """S1.15 of the launch is guarded by F20 of 7.5 A, which 1 mm² bears: the coil's wire begins at the key."""
    circuit = proposed("harbour_launch", Pattern.RELAY)
    assert len(rows(circuit, "fuses")) == 1
    assert {"S1.15"} == {row["from"] for row in rows(circuit, "wires") if str(row["from"]).startswith("S1.")}


@pytest.mark.slow
def test_a_coil_fed_as_its_load_shares_the_fuse_where_its_wire_bears_it() -> None:
    """With 7.5 A on the permanent bus coil and contact have one fuse; with 30 A the coil has its own of 1 A."""
    small = with_answers("trail_buggy", Pattern.RELAY, {"when": "permanent", "fuse": "7.5", "amps": "5"})
    assert len(rows(small, "fuses")) == 1
    large = with_answers("trail_buggy", Pattern.RELAY, {"when": "permanent", "amps": "20"})
    assert [row["amps"] for row in rows(large, "fuses")] == [25, 1]


@pytest.mark.slow
def test_fuses_are_of_the_kind_that_the_box_takes() -> None:
    """All fuses on the bar of the tractor's box are glass; on the buggy's they are blades, which is the default."""
    (glass,) = rows(proposed("field_tractor", Pattern.PERMANENT), "fuses")
    assert (glass["style"], glass["bus"]) == ("glass", "BB1")
    (blade,) = rows(proposed("trail_buggy", Pattern.PERMANENT), "fuses")
    assert "style" not in blade


def test_a_fuse_of_its_own_stands_close_to_the_post() -> None:
    """0.15 m from a battery post: 33 CFR 183.455 asks for 7 in, 0.178 m, in a boat; no finding says it is far."""
    circuit = proposed("two_wire", Pattern.PERMANENT)
    tap = next(row for row in rows(circuit, "wires") if row["from"] == "G1.+")
    (fuse,) = rows(circuit, "fuses")
    assert (tap["to"], tap["length"]) == (f"{fuse['id']}.in", 0.15)
    assert "bus" not in fuse


@pytest.mark.parametrize(("before_amps", "size"), [(5, 1), (20, 1.5), (40, 4)])
def test_the_wire_to_a_fuse_bears_what_guards_it(before_amps: int, size: float) -> None:
    """Behind a fuse of 40 A the short wire to the new one bears 40 A: 4 mm² does with 43 A, 2.5 mm² with 32 A not."""
    text = f"""{BARE}
fuses = [ {{ id = "F1", amps = {before_amps} }} ]
splices = [ {{ id = "J1" }} ]
wires = [
  {{ id = "W1", from = "G1.+", to = "F1.in", size = 10 }},
  {{ id = "W2", from = "F1.out", to = "J1", size = 10 }},
]
"""
    circuit = _on(text, Pattern.PERMANENT, {"feed": "J1"})
    tap = next(row for row in rows(circuit, "wires") if row["from"] == "J1")
    assert tap["size"] == size
    assert not any("bears" in finding.sentence for finding in circuit.new_findings)


@pytest.mark.parametrize("label", ["Airbag unit", "Belt tensioner"])
def test_what_looks_like_a_restraint_is_asked_about(label: str) -> None:
    """No hazard is given in the new row, and its name suggests one: the finding that asks is told with the circuit."""
    circuit = with_answers("bare", Pattern.MODULE, {"label": label})
    assert any(finding.rule is FindingRule.HAZARD_SUGGESTED for finding in circuit.new_findings)


@pytest.mark.slow
def test_the_ground_is_one_at_the_place_of_the_load() -> None:
    """Of the buggy's eight ground points GND6 sits at the left tail."""
    circuit = with_answers("trail_buggy", Pattern.PERMANENT, {"at": "tail left"})
    assert value_of(circuit, "ground") == "GND6"
    assert rows(circuit, "grounds") == []


@pytest.mark.slow
def test_a_place_without_a_ground_gets_one_where_there_is_a_body() -> None:
    """On a body a new bolt; without a body everything returns to the bar that is there."""
    circuit = with_answers("trail_buggy", Pattern.PERMANENT, {"at": "roof bar"})
    (ground,) = rows(circuit, "grounds")
    assert ground["location"] == "roof bar"
    launch = with_answers("harbour_launch", Pattern.PERMANENT, {"at": "mast"})
    assert rows(launch, "grounds") == []
    assert value_of(launch, "ground") == "GND1"
    assert value_of(proposed("two_wire", Pattern.PERMANENT), "ground") == "G1.-"


def test_the_battery_is_tied_to_the_body_where_nothing_does() -> None:
    """A bare file has neither ground point nor ground cable: both come, on the grounded post."""
    for name, post in (("bare", "G1.-"), ("positive", "G1.+")):
        circuit = proposed(name, Pattern.PERMANENT)
        cable = next(row for row in rows(circuit, "wires") if row["from"] == post)
        assert cable["to"] in {row["id"] for row in rows(circuit, "grounds")}
        assert len(rows(circuit, "grounds")) == 2


def test_a_ground_that_is_not_tied_to_the_battery_is_told() -> None:
    """A ground point of a file whose battery has no ground cable: somebody who names it is told."""
    circuit = _on(BARE + GND, Pattern.PERMANENT, {"ground": "GND1"})
    assert any("GND1 is not joined to the grounded post" in remark for remark in circuit.remarks)
    assert not circuit.workings[0].is_as_asked


def test_the_polarity_follows_the_grounded_post() -> None:
    """With the positive post grounded a led has its minus on the feed and its plus on the ground, and lights."""
    circuit = with_answers("positive", Pattern.PERMANENT, {"kind": "led", "amps": "0.3"})
    wires = {str(row["from"]): str(row["to"]) for row in rows(circuit, "wires")}
    assert wires["F1.out"] == "E1.-"
    assert wires["E1.+"].startswith("GND")
    assert circuit.workings[0].is_as_asked


@pytest.mark.slow
def test_colours_keep_the_family_of_the_file() -> None:
    """The buggy: green in ignition, violet in accessory, brown at the ground side of coils, plain black to ground."""
    lamp = proposed("trail_buggy", Pattern.SWITCHED)
    assert str(value_of(lamp, "feed_colour")).startswith("GN/")
    assert value_of(lamp, "ground_colour") == "BK"
    socket = with_answers("trail_buggy", Pattern.SOCKET, {"when": "accessory"})
    assert str(value_of(socket, "load_colour")).startswith("VT")
    relay = proposed("trail_buggy", Pattern.RELAY_GROUND)
    assert str(value_of(relay, "coil_ground_colour")).startswith("BN/")
    why = next(one.why for one in lamp.proposals if one.key == "feed_colour")
    assert why == "wires live in ignition, crank, running are GN in this file"


@pytest.mark.parametrize("ground", ["BN", "BK", "WH", "GN"])
def test_no_feed_has_a_colour_of_grounds(ground: str) -> None:
    """Neither what the trade has for ground nor what this build has, however many are asked for.

    By common practice black and brown are ground; orange marks high voltage (UN Regulation No. 100), green and yellow
    a protective conductor.
    """
    bench = Bench(read_harness_text(GROUNDED.replace("GROUND", ground), "bench.toml"))
    colours = Colours(bench.harness, Feeds(bench))
    found = {colours.of_feed(keys).code for keys in (bench.harness.key_names, ("on",)) for _ in range(150)}
    assert len(found) > 50
    assert found.isdisjoint({ground, "BN", "BK", "OG", "GN/YE", "YE/GN"})


def test_where_every_plain_colour_is_a_ground_feeds_are_striped() -> None:
    """A ground wire of each colour there is: no feed is plain, and none is the same twice."""
    grounds = "".join(
        f'  {{ id = "W{number}", from = "GND1", to = "CHASSIS", colour = "{code}" }},\n'
        for number, code in enumerate(wire_colour_names(), 20)
    )
    bench = Bench(read_harness_text(f"{BARE}{GND}wires = [\n{grounds}]\n", "bench.toml"))
    colours = Colours(bench.harness, Feeds(bench))
    found = [colours.of_feed(keys).code for keys in (bench.harness.key_names, ("on",)) for _ in range(5)]
    assert len(set(found)) == 10
    assert all("/" in code for code in found)


@pytest.mark.slow
def test_the_switch_of_a_lamp_must_bear_its_start() -> None:
    """A cold filament takes twelve times its current: 36 W at 12 V are 3 A, 36 A for a moment; a coil does not."""
    bench = bench_of("trail_buggy")
    asked = {"kind": "lamp", "watts": "36", "at": bench.harness.locations[0].name, "when": "ignition"}
    why = {one.key: one.why for one in propose(bench, Pattern.SWITCHED, asked).proposals}
    assert why["switch_amps"].endswith("it must bear a filament lamp's 36 A at the start: see its data sheet")
    by_relay = {one.key: one.why for one in propose(bench, Pattern.RELAY, asked).proposals}
    assert "filament" not in by_relay["switch_amps"]
    motor = {one.key: one.why for one in propose(bench, Pattern.SWITCHED, {**asked, "kind": "motor"}).proposals}
    assert "filament" not in motor["switch_amps"]


@pytest.mark.slow
def test_the_reason_is_that_of_the_part_that_was_given() -> None:
    """A ground that somebody gives is not said to lie at the place of the load."""
    bench = bench_of("trail_buggy")
    asked = {"kind": "lamp", "watts": "5", "when": "ignition", "ground": "GND2"}
    grounded = {one.location for one in bench.harness.grounds}
    elsewhere = next(one.name for one in bench.harness.locations if one.name not in grounded)
    place = next(one.location for one in bench.harness.grounds if one.id == "GND2")
    for at, said in (
        ("dash", "as given; GND4 was proposed: a ground point at dash"),
        (elsewhere, f"as given; it sits at {place}"),
    ):
        found = propose(bench, Pattern.SWITCHED, {**asked, "at": at})
        assert next(one.why for one in found.proposals if one.key == "ground") == said


@pytest.mark.slow
def test_a_stop_lamp_has_the_colour_of_stop_lamps() -> None:
    """The role goes before the kind: the buggy's stop lamps are fed by blue wires."""
    circuit = with_answers("trail_buggy", Pattern.SWITCHED, {"role": "stop"})
    assert str(value_of(circuit, "load_colour")).startswith("BU/")


@pytest.mark.parametrize("pattern", [Pattern.SWITCHED, Pattern.RELAY, Pattern.SPEEDS, Pattern.MODULE])
def test_no_colour_is_used_twice_where_the_file_keeps_no_rule(pattern: Pattern) -> None:
    """On a bare file every fed wire has its own; none is orange or green and yellow, and only grounds are black."""
    circuit = proposed("bare", pattern)
    grounds = {"GND1", "GND2", "GND3"}
    fed = [str(row["colour"]) for row in rows(circuit, "wires") if row["to"] not in grounds]
    assert len(fed) == len(set(fed))
    assert not {"OG", "GNYE", "BK", "GD", "SR"} & {colour.partition("/")[0] for colour in fed}
    assert {code for colour in fed for code in colour.split("/")} <= set(wire_colour_names())
    assert {row["colour"] for row in rows(circuit, "wires") if row["to"] in grounds} == {"BK"}


def test_colours_that_run_out_are_used_again_and_it_is_told() -> None:
    """A hundred feeds that are live always: after plain red and its ten stripes the bases after it, none before."""
    bench = bench_of("bare")
    colours = Colours(bench.harness, Feeds(bench))
    found = [colours.of_feed(bench.harness.key_names) for _ in range(140)]
    codes = [one.code for one in found]
    again = next(place for place, code in enumerate(codes) if code in codes[:place])
    assert codes[:2] == ["RD", "RD/BK"]
    assert again > 90
    assert "used again" in found[again].why
    assert all("used again" not in one.why for one in found[:again])


@pytest.mark.parametrize(("speeds", "shares"), [("2", (0.6,)), ("3", (0.5, 0.75)), ("4", (0.4, 0.6, 0.8))])
def test_each_speed_gives_the_motor_its_share_of_the_volts(speeds: str, shares: tuple[float, ...]) -> None:
    """A motor of 12 V / 4 A is 3 ohm: at half its volts 3 ohm stand before it, at three quarters 1 ohm; solved."""
    circuit = with_answers("bare", Pattern.SPEEDS, {"amps": "4", "speeds": speeds, "load_length": "0.5"})
    after = put_in("bare", circuit)
    bench, switch = Bench(after), rows(circuit, "switches")[-1]
    positions = [name for name in switch["positions"] if name != "off"]  # type: ignore[attr-defined]
    volts = {
        name: bench.survey(Condition("on", ((str(switch["id"]), name),))).loads["M1:load"].volts for name in positions
    }
    assert [volts[name] / volts["high"] for name in positions[:-1]] == pytest.approx(shares, abs=0.03)
    (pack,) = rows(circuit, "resistors")
    assert len(pack["elements"]) == int(speeds) - 1  # type: ignore[arg-type]
    assert any("gives off" in remark for remark in circuit.remarks)


def test_a_control_unit_sleeps_on_its_permanent_feed() -> None:
    """Off it draws 5 mA, under the 10 mA that a control unit asleep may; what somebody gives counts."""
    (module,) = rows(proposed("bare", Pattern.MODULE), "modules")
    assert module["feeds"] == [{"terminal": "30", "amps": 0.8, "asleep_amps": 0.005}, {"terminal": "15", "amps": 1.0}]
    given = with_answers("bare", Pattern.MODULE, {"asleep_amps": "0.002"})
    assert value_of(given, "asleep_amps") == 0.002
    assert [one.why for one in given.proposals if one.is_given] == ["as given"]


def test_a_switch_may_be_called_as_anything_that_is_an_id() -> None:
    """An id that is a word of the program is an id all the same."""
    circuit = with_answers("bare", Pattern.SWITCHED, {"switch_id": "place", "load_id": "draft"})
    (load,) = rows(circuit, "loads")
    assert load["works_with"] == {"place": "on"}
    with pytest.raises(ArgumentError, match="is no id"):
        with_answers("bare", Pattern.SWITCHED, {"switch_id": "no id"})
