"""What hangs behind a fuse, by structure."""

from __future__ import annotations

import pytest

from model.harness.records import Wire
from model.review.fuse_feeds import all_behind, fuse_feeds, touched_by
from model.sheets.fuse_remarks import feeds_words
from model.sheets.lid_card import card_feeds
from model.tracing.wire_bears import guards_of
from tests.model.review.fuse_rigs import BEHIND, RELAYED, TWO_FEEDS, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import demo, rig


def test_a_fuse_behind_a_fuse_is_fed_by_it_and_its_loads_stand_behind_both() -> None:
    """The link feeds two fuses and no load itself; the lamp stands behind the first of them."""
    harness = stiff_rig(BEHIND)
    feeds = fuse_feeds(harness)
    assert (feeds["F1"].loads, feeds["F1"].fuses) == ((), ("F2", "F3"))
    assert (feeds["F2"].loads, feeds["F2"].fuses) == (("E1:load",), ())
    assert all_behind(harness, "F1") == ("E1:load",)


def test_a_fuse_with_nothing_behind_it_is_a_spare() -> None:
    """F3 has no wire; the two others feed something."""
    feeds = fuse_feeds(stiff_rig(BEHIND))
    assert [name for name, one in feeds.items() if one.is_spare] == ["F3"]


def test_two_fuses_on_the_same_metal_meet() -> None:
    """What is behind either can be fed by the other."""
    feeds = fuse_feeds(stiff_rig(TWO_FEEDS))
    assert feeds["F1"].meets == ("F2",)
    assert feeds["F2"].meets == ("F1",)
    assert set(feeds["F1"].loads) == set(feeds["F2"].loads) == {"E1:load", "E2:load"}


def test_a_coil_hangs_on_its_fuse_and_what_the_relay_switches_is_touched() -> None:
    """F1 feeds the coil alone, and both lamps can change with it."""
    harness = stiff_rig(RELAYED)
    feeds = fuse_feeds(harness)
    assert (feeds["F1"].coils, feeds["F1"].loads) == (("K1",), ())
    assert touched_by(harness, "F1") == {"E1:load", "E2:load"}
    assert set(feeds["F2"].loads) == {"E1:load", "E2:load"}


@pytest.mark.parametrize(("ground_side", "hot"), [("negative", "anode"), ("positive", "cathode")])
def test_a_diode_feeds_one_way(ground_side: str, hot: str) -> None:
    """Feed passes from the anode on, on positive ground from the cathode: the lamp beyond hangs on F1 alone."""
    cold = "cathode" if hot == "anode" else "anode"
    live, ground = ("+", "-") if ground_side == "negative" else ("-", "+")
    harness = stiff_rig(
        'busbars = [ { id = "BB1" } ]\n'
        'fuses = [ { id = "F1", amps = 5, bus = "BB1" }, { id = "F2", amps = 5, bus = "BB1" } ]\n'
        'diodes = [ { id = "V1" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
        + short_wires(
            f"G1.{live} BB1",
            f"F1.out V1.{hot}",
            f"F1.out E1.{live}",
            f"V1.{cold} E2.{live}",
            f"F2.out E2.{live}",
            f"E1.{ground} G1.{ground}",
            f"E2.{ground} G1.{ground}",
        ),
        build=f'nominal_volts = 12, ground_side = "{ground_side}"',
    )
    feeds = fuse_feeds(harness)
    assert set(feeds["F1"].loads) == {"E1:load", "E2:load"}
    assert feeds["F2"].loads == ("E2:load",)


def test_a_resistor_passes_feed_and_the_ground_side_ends_it() -> None:
    """The blower behind its resistor hangs on F1; what shares only the ground does not."""
    harness = stiff_rig(
        'busbars = [ { id = "BB1" } ]\n'
        'fuses = [ { id = "F1", amps = 20, bus = "BB1" }, { id = "F2", amps = 5, bus = "BB1" } ]\n'
        'resistors = [ { id = "R1", elements = [ { name = "low", from = "1", to = "2", ohms = 2 } ] } ]\n'
        'grounds = [ { id = "GND1" } ]\n'
        'loads = [ { id = "M1", kind = "motor", amps = 8 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
        + short_wires("G1.+ BB1", "F1.out R1.1", "R1.2 M1.+", "M1.- GND1", "F2.out E2.+", "E2.- GND1", "G1.- GND1")
    )
    feeds = fuse_feeds(harness)
    assert feeds["F1"].loads == ("M1:load",)
    assert feeds["F2"].loads == ("E2:load",)


def test_the_generator_comes_in_through_its_fuse() -> None:
    """The buggy's F3 feeds no load: the alternator is behind it."""
    feeds = fuse_feeds(demo("trail_buggy"))["F3"]
    assert (feeds.loads, feeds.supplies, feeds.is_spare) == ((), ("G2",), False)


@pytest.mark.parametrize("ground_side", ["negative", "positive"])
def test_the_fuse_of_a_link_between_batteries_is_no_spare_and_guards_no_wire_of_the_other(ground_side: str) -> None:
    """F1 and a relay join G1 to the bar of G2: a thin wire on that bar hangs on G2, and F1 need not be as small."""
    live, ground = ("+", "-") if ground_side == "negative" else ("-", "+")
    harness = rig(
        'busbars = [ { id = "BB1" } ]\nfuses = [ { id = "F1", amps = 60 }, { id = "F2", amps = 5 } ]\n'
        'relays = [ { id = "K1" } ]\nloads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + short_wires(
            f"G1.{live} F1.in",
            "F1.out K1.30",
            "K1.87 BB1",
            f"G2.{live} BB1",
            f"G1.{live} F2.in",
            "F2.out K1.86",
            f"K1.85 G1.{ground}",
            f"G1.{ground} G2.{ground}",
            size=10,
        ).replace(
            "wires = [ ",
            f'wires = [ {{ id = "W9", from = "BB1", to = "E1.{live}", size = 0.5, length = 1 }}, '
            f'{{ id = "W10", from = "E1.{ground}", to = "G2.{ground}", size = 0.5, length = 1 }}, ',
        ),
        build=f'nominal_volts = 12, ground_side = "{ground_side}"',
        batteries='{ id = "G1" }, { id = "G2" }',
    )
    feeds = fuse_feeds(harness)["F1"]
    assert (feeds.joins, feeds.is_spare, feeds.loads) == (("G2",), False, ())
    assert guards_of(harness, harness.part_of("W9", Wire)) == {f"G2.{live}"}
    assert guards_of(harness, harness.part_of("W2", Wire)) == {"F1", f"G2.{live}"}
    assert fuse_feeds(harness)["F2"].joins == ()
    use = uses_of(harness)["F1"]
    assert (use.concerns, use.fit_at_most_amps) == ((), 60)
    assert feeds_words(harness, use).startswith("Joins on to G2 by no further fuse")
    assert card_feeds(harness, use) == "link to G2"


def test_what_a_module_drives_is_touched_by_the_fuse_of_its_feed() -> None:
    """The buggy's pump, coil and injector are worked by A1: its fuse F40 touches them, though they hang on others."""
    harness = demo("trail_buggy")
    assert {"M2:load", "L1:primary", "Y1:coil"} <= touched_by(harness, "F40")
    assert not {"M2:load", "L1:primary"} & set(all_behind(harness, "F40"))
