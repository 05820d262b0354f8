"""The loads that hang on a part."""

from __future__ import annotations

import pytest

from model.harness.harness import CHASSIS
from model.tracing.behind import Side
from model.tracing.loads_of import LoadsOf, loads_of
from tests.model.tracing.rigs import demo, rig, wires

BUGGY = demo("trail_buggy")
TAIL = ("E5:tail", "E5:stop", "E5:indicator", "E6:tail", "E6:stop", "E6:indicator", "E7:load", "E8:load")

CHANGEOVER = rig(
    'switches = [ { id = "S1", terminals = ["1", "2", "3"], '
    'positions = { up = [["1", "2"]], down = [["1", "3"]] } } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
    + wires("G1.+ S1.1", "S1.2 E1.+", "S1.3 E2.+", "E1.- CHASSIS", "E2.- CHASSIS", "G1.- CHASSIS")
)
"""Two lamps on a switch with three terminals."""


@pytest.mark.parametrize(
    ("part_id", "loads"),
    [
        ("F23", [LoadsOf(Side.FEED, "", ("M2:load",))]),
        ("K7", [LoadsOf(Side.FEED, "", ("M2:load",))]),  # its contact, not what is beside its coil
        ("S8", [LoadsOf(Side.FEED, "", ("E5:stop", "E6:stop"))]),
        ("GND6", [LoadsOf(Side.GROUND, "", TAIL)]),
        ("W33", [LoadsOf(Side.FEED, "K7", ("M2:load",))]),  # grounds the coil of the pump relay
    ],
)
def test_loads_that_hang_on_a_part_of_the_buggy(part_id: str, loads: list[LoadsOf]) -> None:
    """Those that it feeds or grounds, by the wires of the file."""
    assert list(loads_of(BUGGY, part_id)) == loads


def test_loads_behind_relays_are_told_by_relay_and_once() -> None:
    """The light switch feeds the side lamps, and pulls in the relays of dip and main beam."""
    found = loads_of(BUGGY, "S2")
    assert [(one.side, one.relay) for one in found] == [(Side.FEED, ""), (Side.FEED, "K3"), (Side.FEED, "K4")]
    assert found[1].names == ("E1:dip", "E2:dip")
    names = [name for one in loads_of(BUGGY, "F12") for name in one.names]
    assert len(names) == len(set(names)) > 20


def test_all_terminals_but_that_of_the_feed_are_followed() -> None:
    """A switch that changes over feeds either lamp."""
    assert loads_of(CHANGEOVER, "S1") == (LoadsOf(Side.FEED, "", ("E1:load", "E2:load")),)


def test_what_only_joins_wires_has_what_hangs_on_them() -> None:
    """The sill plug carries the pump, a lamp and the ground of another; the body grounds nearly all."""
    assert {one.side: one.names for one in loads_of(BUGGY, "X3")} == {
        Side.FEED: ("M2:load", "E12:load"),
        Side.GROUND: ("E26:load",),
    }
    assert "M2:load" in loads_of(BUGGY, CHASSIS)[0].names


def test_a_spare_has_none() -> None:
    """Nothing hangs on a wire with both its ends free."""
    assert loads_of(BUGGY, "W184") == ()
