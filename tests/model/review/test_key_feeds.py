"""Feeds of loads by key state, beside what the file asks for."""

from __future__ import annotations

import pytest

from model.circuit import bench as bench_module
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.settle import Settled
from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.parts import Rated
from model.harness.toml_file import read_harness_text
from model.review.fed_points import fed_in
from model.review.key_feeds import Feed, LoadFeeds, Oddity, key_feeds
from model.review.spread import spread_of
from model.review.sweep import sweep
from model.review.terminal_feeds import terminal_remarks
from model.tracing.rated import works_in_of
from tests.benchmarks.looms import loom_text
from tests.model.review.fuse_rigs import KEY_SWITCH, KEYS, feeds_of, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig

NONE, REST, FED, LIVE = Feed.NONE, Feed.AT_REST, Feed.FED, Feed.LIVE


def key_rig(load: str, *ends: str, more: str = "") -> Harness:
    """Read a harness with a key switch on a battery of 12 V, and one load of ten watts."""
    return stiff_rig(
        f"switches = [ {KEY_SWITCH}{more} ]\n"
        f'loads = [ {{ id = "E1", kind = "lamp", watts = 10{load} }} ]\n' + short_wires("G1.+ S0.30", *ends),
        states=KEYS,
    )


def by_two_switches(works_in: str, works_with: str) -> LoadFeeds:
    """Give the feeds of a load that S1 feeds from terminal 15, and S2 from the battery."""
    harness = key_rig(
        f", works_in = {works_in}, works_with = {works_with}",
        "S0.15 S1.1",
        "S1.2 E1.+",
        "S0.30 S2.1",
        "S2.2 E1.+",
        "E1.- G1.-",
        more=', { id = "S1" }, { id = "S2" }',
    )
    return feeds_of(harness)["E1:load"]


def words_of(load: LoadFeeds) -> list[Feed]:
    """List how a load stands, key state by key state."""
    return [one.feed for one in load.keys]


def test_a_load_on_an_accessory_feed_is_dropped_while_cranking() -> None:
    """Asked for in ignition and crank, wired to 75, which falls off in crank."""
    harness = key_rig(', works_in = ["ignition", "crank"]', "S0.75 E1.+", "E1.- G1.-")
    load = feeds_of(harness)["E1:load"]
    assert words_of(load) == [NONE, REST, REST, NONE]
    assert load.oddities == (("accessory", Oddity.UNASKED), ("crank", Oddity.DROPPED))


def test_a_load_of_the_ignition_on_a_battery_feed_is_live_with_the_key_off() -> None:
    """Asked for in ignition alone, wired to 30: it works everywhere, kept in crank."""
    load = feeds_of(key_rig(', works_in = ["ignition"]', "S0.30 E1.+", "E1.- G1.-"))["E1:load"]
    assert words_of(load) == [REST] * 4
    assert load.oddities == (
        ("off", Oddity.UNASKED),
        ("accessory", Oddity.UNASKED),
        ("crank", Oddity.KEPT),
    )
    assert [one.feed_volts for one in load.keys] == pytest.approx([12.0] * 4, abs=0.01)


def test_a_load_without_its_feed_is_missing_it() -> None:
    """Asked for in ignition, wired to 50: none there, and live while cranking."""
    load = feeds_of(key_rig(', works_in = ["ignition"]', "S0.50 E1.+", "E1.- G1.-"))["E1:load"]
    assert words_of(load) == [NONE, NONE, NONE, REST]
    assert load.oddities == (("ignition", Oddity.MISSING), ("crank", Oddity.KEPT))


def test_a_load_that_names_no_key_states_is_only_told() -> None:
    """Whatever it has, nothing differs."""
    load = feeds_of(key_rig("", "S0.15 E1.+", "E1.- G1.-"))["E1:load"]
    assert words_of(load) == [NONE, NONE, REST, REST]
    assert (load.works_in, load.oddities) == (None, ())


def test_a_load_with_a_switch_is_fed_with_it_on() -> None:
    """Behind S1 and terminal 15: fed in ignition and crank, none before, as it is asked for."""
    harness = key_rig(
        ', works_in = ["ignition", "crank"], works_with = { S1 = "on" }',
        "S0.15 S1.1",
        "S1.2 E1.+",
        "E1.- G1.-",
        more=', { id = "S1" }',
    )
    load = feeds_of(harness)["E1:load"]
    assert words_of(load) == [NONE, NONE, FED, FED]
    assert load.oddities == ()
    assert [one.rest_feed_volts for one in load.keys] == pytest.approx([0.0] * 4, abs=0.01)


def test_a_lamp_switched_on_its_ground_side_has_volts_at_rest_and_is_no_fault() -> None:
    """Fed always, grounded by its switch: 12 V at its feed with nothing moved, nothing across it, fed with S1 on."""
    harness = key_rig(
        ', works_in = ["off", "accessory", "ignition", "crank"], works_with = { S1 = "on" }',
        "S0.30 E1.+",
        "E1.- S1.1",
        "S1.2 G1.-",
        more=', { id = "S1" }',
    )
    load = feeds_of(harness)["E1:load"]
    assert words_of(load) == [FED] * 4
    assert load.oddities == ()
    assert load.keys[0].rest_feed_volts == pytest.approx(12, abs=0.01)
    assert load.keys[0].rest_across_volts == pytest.approx(0, abs=0.01)


def test_a_feed_that_stands_while_the_ground_is_switched_elsewhere_is_live() -> None:
    """The key joins the ground side in ignition alone: elsewhere the feed has its volts and the lamp none."""
    harness = stiff_rig(
        'switches = [ { id = "S0", key = true, terminals = [31, 1], '
        "positions = { off = [], ignition = [[31, 1]] } } ]\n"
        'loads = [ { id = "E1", kind = "lamp", watts = 10, works_in = ["ignition"] } ]\n'
        + short_wires("G1.+ E1.+", "E1.- S0.1", "S0.31 G1.-"),
        states='{ name = "off" }, { name = "ignition" }',
    )
    load = feeds_of(harness)["E1:load"]
    assert words_of(load) == [LIVE, REST]
    assert load.oddities == ()


def test_a_load_that_works_without_its_switch_is_told() -> None:
    """The file names S1 for it, and the wire goes past S1."""
    harness = key_rig(
        ', works_in = ["off", "accessory", "ignition", "crank"], works_with = { S1 = "on" }',
        "S0.30 E1.+",
        "S0.30 S1.1",
        "E1.- G1.-",
        more=', { id = "S1" }',
    )
    assert {odd for _, odd in feeds_of(harness)["E1:load"].oddities} == {Oddity.UNSWITCHED}


def test_another_switch_does_not_make_a_load_fed_where_its_own_does_not() -> None:
    """S2 feeds E1 from the battery, its own S1 from terminal 15: with S1 alone it has none in off, as asked for."""
    load = by_two_switches('["ignition", "crank"]', '{ S1 = "on" }')
    assert words_of(load) == [NONE, NONE, FED, FED]
    assert load.oddities == ()


def test_any_of_several_choices_feeds_a_load() -> None:
    """S1 from 15, S2 from 30: by the one or the other it is fed in every key state, as it is asked for."""
    load = by_two_switches('["off", "accessory", "ignition", "crank"]', '[ { S1 = "on" }, { S2 = "on" } ]')
    assert words_of(load) == [FED] * 4
    assert load.oddities == ()


def test_on_positive_ground_the_feed_is_the_negative_terminal_and_its_volts_are_negative() -> None:
    """6 V, + grounded: the lamp's feed is E1.- with -6 V."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 10 } ]\n' + short_wires("G1.- E1.-", "E1.+ G1.+"),
        build='nominal_volts = 6, ground_side = "positive"',
        batteries='{ id = "G1", emf = 6, ohms = 1e-6 }',
    )
    load = feeds_of(harness)["E1:load"]
    assert load.feed_point == "E1.-"
    assert load.keys[0].feed_volts == pytest.approx(-6, abs=0.02)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_load_that_names_its_switches_is_fed_where_a_plain_solution_feeds_it(name: str) -> None:
    """Every such load of a demo build, every key state: each of its choices solved by itself gives the same answer."""
    bench = Bench(demo(name))
    harness, plain = bench.harness, Bench(bench.harness)
    for load in key_feeds(bench):
        rows = (load.element.record, harness.parts[load.element.part_id])
        given = next((row.works_with for row in rows if isinstance(row, Rated) and row.works_with), None)
        if given is None or works_in_of(harness, load.element) is None:
            continue
        tables = given if isinstance(given, tuple) else (given,)
        for one in load.keys:
            shares = []
            for settings in ((), *(tuple(table.items()) for table in tables)):
                survey = plain.survey(Condition(one.key, settings))
                full = min(load.element.at_volts, abs(survey.settled.posts_volts))
                shares.append(survey.loads[load.element.name].volts / full)
            assert (max(shares) >= 0.8) == (one.feed in (FED, REST)), (load.element.name, one.key)


def test_the_buggy_has_its_feeds_as_its_file_asks() -> None:
    """Nothing of the demo build is dropped, missing or live where it should not be."""
    assert [load.element.name for load in key_feeds(Bench(demo("trail_buggy"))) if load.oddities] == []


def test_the_launch_lights_its_charge_lamp_with_the_engine_running_and_its_isolator_off() -> None:
    """With S11 off and the generator giving, its exciter feeds the lamp backwards: told as not asked for."""
    lamp = next(load for load in key_feeds(Bench(demo("harbour_launch"))) if load.element.name == "E22:load")
    assert lamp.oddities == (("running", Oddity.UNASKED),)


def test_loads_that_do_not_meet_are_solved_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """218 loads in three key states take far fewer circuits than one for each."""
    solved: list[Condition] = []
    plain = bench_module.survey

    def counted(harness: Harness, condition: Condition, *, first_emf: float | None, healthy: Settled | None) -> Survey:
        solved.append(condition)
        return plain(harness, condition, first_emf=first_emf, healthy=healthy)

    monkeypatch.setattr(bench_module, "survey", counted)
    assert len(key_feeds(Bench(read_harness_text(loom_text(1000), "loom.toml")))) > 200
    assert len(solved) < 150


def remarks_of(harness: Harness) -> list[tuple[str, str, bool]]:
    """List the terminals of a harness that differ from what their numbers say."""
    fed = fed_in(spread_of(sweep(Bench(harness))))
    return [(one.point, one.key, one.is_live) for one in terminal_remarks(harness, fed)]


def test_a_key_switch_as_its_terminals_are_numbered_is_nothing_to_remark() -> None:
    """30 always, 75 in accessory and ignition, 15 in ignition and crank, 50 in crank (DIN 72552)."""
    assert remarks_of(key_rig("", "S0.15 E1.+", "E1.- G1.-")) == []


def test_a_terminal_that_is_live_or_dead_against_its_number_is_remarked() -> None:
    """A 15 that falls off in crank is dead there; a 50 that comes with ignition is live too early."""
    harness = stiff_rig(
        'switches = [ { id = "S0", key = true, terminals = [30, 15, 50], positions = { off = [], accessory = [], '
        "ignition = [[30, 15, 50]], crank = [[30, 50]] } } ]\n" + short_wires("G1.+ S0.30"),
        states=KEYS,
    )
    assert remarks_of(harness) == [("S0.15", "crank", False), ("S0.50", "ignition", True)]


def test_the_30_of_a_relay_is_not_held_to_the_battery() -> None:
    """It is the common of the contact (ISO 7588), here fed by the ignition."""
    harness = stiff_rig(
        f'switches = [ {KEY_SWITCH} ]\nrelays = [ {{ id = "K1" }} ]\n' + short_wires("G1.+ S0.30", "S0.15 K1.30"),
        states=KEYS,
    )
    assert remarks_of(harness) == []


@pytest.mark.parametrize("ground_side", ["negative", "positive"])
def test_a_load_of_24_volts_on_the_tap_of_a_chain_is_weak(ground_side: str) -> None:
    """The tap has 12.7 of the 24 V that the heater asks for, 53 %; the one over both batteries works."""
    live, cold = ("+", "-") if ground_side == "negative" else ("-", "+")
    harness = rig(
        'loads = [ { id = "E1", kind = "heater", amps = 2, works_in = ["off"] }, '
        '{ id = "E2", kind = "heater", amps = 2, works_in = ["off"] } ]\n'
        + short_wires(
            *(f"G1.{live} E2.{live}", f"E2.{cold} G2.{cold}", f"G1.{cold} G2.{live}"),
            *(f"G2.{live} E1.{live}", f"E1.{cold} G2.{cold}", f"G2.{cold} CHASSIS"),
        ),
        build=f'nominal_volts = 24, ground_side = "{ground_side}"',
        states='{ name = "off" }',
        batteries='{ id = "G1" }, { id = "G2" }',
    )
    found = feeds_of(harness)
    assert [one.feed for one in found["E1:load"].keys] == [Feed.WEAK]
    assert found["E1:load"].oddities == (("off", Oddity.WEAK),)
    assert [one.feed for one in found["E2:load"].keys] == [Feed.AT_REST]


def test_what_works_while_cranking_is_the_same_in_the_sheet_of_fuses() -> None:
    """The starter drags the posts to 8.1 V: the pump has 80 % of that, 6.5 V, and works in both sheets."""
    harness = rig(
        f'switches = [ {KEY_SWITCH} ]\nfuses = [ {{ id = "F1", amps = 10 }} ]\nrelays = [ {{ id = "K1" }} ]\n'
        'loads = [ { id = "M1", kind = "motor", amps = 220, label = "Starter", works_in = ["crank"] }, '
        '{ id = "M2", kind = "motor", amps = 6 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out S0.30", "S0.15 M2.+", "M2.- G1.-", "G1.+ K1.30", "K1.87 M1.+", "M1.- G1.-",
                      "S0.50 K1.86", "K1.85 G1.-", size=35),
        states=KEYS,
        batteries='{ id = "G1", ohms = 0.03 }',
    )  # fmt: skip
    pump = feeds_of(harness)["M2:load"]
    assert pump.keys[3].across_volts < 0.8 * 12
    assert [one.key for one in pump.keys if one.feed is Feed.AT_REST] == ["ignition", "crank"]
    assert uses_of(harness)["F1"].loads[0].works_in == ("ignition", "crank")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "settings"),
    [
        ("M2:load", {}),
        ("M5:load", {"S14": "high"}),
        ("E1:dip", {"S2": "head", "S3": "dip"}),
        ("P1:load", {"S10": "pressed"}),
    ],
)
def test_a_load_alone_has_the_volts_of_its_own_switches_and_nothing_else(name: str, settings: dict[str, str]) -> None:
    """The buggy, engine running: what a plain solution with these switches has, and more than with others on."""
    bench = Bench(demo("trail_buggy"))
    plain = bench.survey(Condition("running", tuple(settings.items())))
    alone, beside = (
        next(load for load in key_feeds(bench, is_alone=one) if load.element.name == name) for one in (True, False)
    )
    for load in (alone, beside):
        assert load.keys[-1].key == "running"
    assert alone.keys[-1].feed_volts == pytest.approx(plain.settled.volts_at(alone.feed_point), abs=0.005)
    assert alone.keys[-1].across_volts == pytest.approx(plain.loads[name].volts, abs=0.005)
    assert alone.keys[-1].feed_volts > beside.keys[-1].feed_volts + 0.05


def test_a_load_that_names_no_switch_is_alone_with_all_that_reaches_it() -> None:
    """A lamp of 1.2 A by S1 and a heater of 60 A by S2 on a battery of 0.02 ohm: 12 - 0.02 x 1.2 V, not 1.2 V less."""
    harness = rig(
        'switches = [ { id = "S1" }, { id = "S2" } ]\n'
        + 'loads = [ { id = "E1", kind = "heater", amps = 1.2, at = 12 }, { id = "E2", kind = "heater", amps = 60 } ]\n'
        + short_wires("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-", "G1.+ S2.1", "S2.2 E2.+", "E2.- G1.-"),
        batteries='{ id = "G1", emf = 12, ohms = 0.02 }',
    )
    load = next(one for one in key_feeds(Bench(harness), is_alone=True) if one.element.name == "E1:load")
    assert load.keys[0].condition == Condition("off", (("S1", "on"),))
    assert load.keys[0].across_volts == pytest.approx(12 - 0.02 * 1.2, abs=0.03)
