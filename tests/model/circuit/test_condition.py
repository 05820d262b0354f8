"""Conditions read from words as typed: key states, settings, volts at the posts."""

from __future__ import annotations

import pytest

from model.circuit.condition import (
    Condition,
    charger_is_on,
    is_out,
    make_condition,
    parse_setting,
    require_point,
    rest_position,
    settable_names,
    setting_choices,
    switch_position,
)
from model.errors import ArgumentError
from model.harness.parts import Charger, Switch
from tests.model.circuit.rig import harness

RIG = harness(
    """
chargers = [ { id = "G2", volts = 14.2 }, { id = "G3", volts = 13.6, active = ["off"], label = "Shore" } ]
fuses = [ { id = "F1", amps = 10 } ]
busbars = [ { id = "BB1" } ]
switches = [
  { id = "S1", positions = { off = [], side = [["1", "2"]], head = [["1", "2"]] } },
  { id = "S2", rest = "on", follows = { running = "off" } },
  { id = "S3", key = true, positions = { off = [], on = [["1", "2"]], running = [["1", "2"]] } },
]
relays = [ { id = "K1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "socket", amps = 10 } ]
diodes = [ { id = "V1" } ]
connectors = [ { id = "X1", cavities = 2 }, { id = "X2", cavities = 1, rest = "apart" } ]
grounds = [ { id = "GND1" } ]
wires = [ { id = "W1", from = "G1.+", to = "F1.in" }, { id = "W2", from = "F1.out" } ]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 1 } ]
drivers = [ { terminal = "pump", pulls = "ground", when = [] } ]
outputs = [ { terminal = "5V", volts = 5 } ]

[[resistors]]
id = "R1"
elements = [ { name = "level", from = "1", to = "2", ohms = { empty = 180, half = 90, full = 20, rest = "half" } } ]
"""
)


CHOICES = {
    "S1": ("off", "side", "head", "out", "in"),
    "S2": ("on", "off", "out", "in"),
    "S3": (),
    "K1": ("in", "out"),
    "F1": ("in", "out"),
    "E1": ("in", "out"),
    "E2": ("off", "on", "in", "out"),
    "V1": ("in", "out"),
    "G1": ("in", "out"),
    "G2": ("off", "on", "in", "out"),
    "X1": ("mated", "apart", "out", "in"),
    "X2": ("apart", "mated", "out", "in"),
    "A1": ("awake", "asleep", "in", "out"),
    "A1.pump": ("off", "on"),
    "A1.15": (),
    "A1.5V": (),
    "R1": ("half", "empty", "full", "in", "out"),
    "W1.a": ("on", "off"),
    "W1.b": ("on", "off"),
    "W1.c": (),
    "W1": (),
    "BB1": (),
    "GND1": (),
    "Z9": (),
}


@pytest.mark.parametrize("name", CHOICES)
def test_whatever_has_a_state_can_be_set(name: str) -> None:
    """What a part, terminal or wire end can be set to, its state at rest first; the key switch follows the key."""
    assert setting_choices(RIG, name) == CHOICES[name]


def test_every_name_that_can_be_set_is_listed() -> None:
    """Every one that has choices, the ends of wires aside; parts in the order of the format, then drivers."""
    expected = [name for name, choices in CHOICES.items() if choices and not name.startswith("W")]
    assert sorted(settable_names(RIG)) == sorted([*expected, "G3"])
    assert settable_names(RIG)[-1] == "A1.pump"


def test_the_first_key_state_is_taken_where_none_is_given() -> None:
    """Without a word the key is in the first state of the file, nothing is set and nothing is faulty."""
    assert make_condition(RIG) == Condition("off")


def test_a_condition_is_read_from_words() -> None:
    """Settings and faults keep their order; blanks around the sign do no harm."""
    found = make_condition(RIG, "on", ("S1 = head", "F1=out"), ("W1=open",), 12.4)
    assert found.key == "on"
    assert found.settings == (("S1", "head"), ("F1", "out"))
    assert [fault.spelled() for fault in found.faults] == ["W1=open"]
    assert found.posts_volts == 12.4


def test_the_last_setting_of_a_name_counts() -> None:
    """Typed twice, the later one holds; set anew, the earlier one is dropped."""
    found = make_condition(RIG, settings=("S1=head", "S1=side"))
    assert found.by_name == {"S1": "side"}
    assert found.with_setting("S1", "off").settings == (("S1", "off"),)


def test_a_condition_gives_its_healthy_twin_and_another_key_state() -> None:
    """Without its faults; or with another key, where the posts have not been read."""
    found = make_condition(RIG, "on", ("S1=head",), ("W1=open",), 12.4)
    assert found.healthy() == Condition("on", (("S1", "head"),), (), 12.4)
    assert found.at_key("off").posts_volts is None
    assert found.at_key("off").faults == found.faults


REFUSED = {
    "S1=heads": ("cannot be set to “heads”", "Did you mean head?"),
    "S1=Head": ("cannot be set to “Head”", "Did you mean head?"),
    "S1=dip": ("cannot be set to “dip”", "There are: off, side, head, out, in."),
    "K11=out": ("nothing “K11” to set", "Did you mean K1?"),
    "k1=out": ("nothing “k1” to set", "Did you mean K1?"),
    "A1.pumb=on": ("nothing “A1.pumb” to set", "Did you mean A1.pump?"),
    "S3=on": ("S3 is the key switch", "Key states: off, on, running."),
    "S1": ("“S1” is not a setting", "Write it as PART=POSITION"),
    "=on": ("is not a setting", "Write it as PART=POSITION"),
    "S1=": ("is not a setting", "Write it as PART=POSITION"),
    "BB1=out": ("nothing “BB1” to set", ""),
}


@pytest.mark.parametrize("typed", REFUSED)
def test_a_setting_that_the_harness_does_not_have_names_the_nearest(typed: str) -> None:
    """What is wrong stands in the error, and what was likely meant."""
    what, do = REFUSED[typed]
    with pytest.raises(ArgumentError, match=what) as refused:
        parse_setting(RIG, typed)
    assert do in refused.value.do


@pytest.mark.parametrize(("key", "do"), [("On", "Did you mean on?"), ("crank", "There are: off, on, running.")])
def test_an_unknown_key_state_is_refused(key: str, do: str) -> None:
    """The nearest is named, or all of them."""
    with pytest.raises(ArgumentError, match="no key state") as refused:
        make_condition(RIG, key)
    assert refused.value.do == do


@pytest.mark.parametrize("posts_volts", [0.0, -12.0, 18.1, float("nan"), float("inf")])
def test_posts_cannot_read_anything(posts_volts: float) -> None:
    """More than nothing, and no more than one and a half times the volts of that battery alone."""
    with pytest.raises(ArgumentError, match="cannot read") as refused:
        make_condition(RIG, posts_volts=posts_volts)
    assert refused.value.do == "Give the volts across that battery alone: above 0, at most 18."


def test_a_switch_stands_as_set_then_as_the_key_has_it_then_at_rest() -> None:
    """The key switch with the key; ``follows`` before rest, a setting before both; ``out`` is no position."""
    key, follower = RIG.part_of("S3", Switch), RIG.part_of("S2", Switch)
    assert switch_position(RIG, key, Condition("running")) == "running"
    assert switch_position(RIG, follower, Condition("running")) == "off"
    assert switch_position(RIG, follower, Condition("on")) == "on"
    assert switch_position(RIG, follower, Condition("running", (("S2", "on"),))) == "on"
    assert switch_position(RIG, follower, Condition("running", (("S2", "out"),))) == "off"
    assert (rest_position(follower), rest_position(RIG.part_of("S1", Switch))) == ("on", "off")


def test_a_charger_is_on_in_its_states_or_as_set() -> None:
    """In the charging states, or in those of ``active``; a setting goes before both."""
    alternator, shore = RIG.part_of("G2", Charger), RIG.part_of("G3", Charger)
    on_in = [key for key in RIG.key_names if charger_is_on(RIG, Condition(key), alternator)]
    assert on_in == ["running"]
    assert [key for key in RIG.key_names if charger_is_on(RIG, Condition(key), shore)] == ["off"]
    assert charger_is_on(RIG, Condition("off", (("G2", "on"),)), alternator)
    assert not charger_is_on(RIG, Condition("running", (("G2", "off"),)), alternator)


def test_a_part_is_out_only_by_that_word() -> None:
    """``out`` and nothing else."""
    assert is_out(Condition("off", (("K1", "out"),)), "K1")
    assert not is_out(Condition("off", (("K1", "in"),)), "K1")


def test_a_point_is_asked_for_by_name() -> None:
    """A point that exists is given; the nearest is named where it does not."""
    assert require_point(RIG, "X1.plug.2").cavity == 2
    with pytest.raises(ArgumentError, match=r"no point “X1\.plugg\.2”") as refused:
        require_point(RIG, "X1.plugg.2")
    assert refused.value.do == "Did you mean X1.plug.2?"
