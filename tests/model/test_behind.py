"""What hangs behind a wire."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.toml_file import read_harness
from model.tracing.behind import Behind, Side, behind

DEMO = Path(__file__).parents[2] / "demo_builds"


@pytest.fixture(scope="module")
def buggy() -> Harness:
    """Give the trail buggy."""
    return read_harness(DEMO / "trail_buggy.toml")


def of(harness: Harness, wire_id: str) -> Behind:
    """Give what hangs behind a wire by its id."""
    return behind(harness, harness.part_of(wire_id, Wire))


@pytest.mark.parametrize(
    ("wire", "side", "names"),
    [
        ("W25", Side.FEED, ("M2:load",)),  # fuse to sill plug: the pump beyond its relay
        ("W32", Side.FEED, ("K7:coil",)),  # to 86 of the pump relay
        ("W33", Side.GROUND, ("K7:coil",)),  # from 85 to the controller that grounds it
        ("W58", Side.FEED, ("E2:dip",)),  # fed on from the left lamp
        ("W109", Side.GROUND, ("E5:tail", "E5:stop", "E5:indicator")),
        ("W127", Side.FEED, ("M5:load",)),  # through the resistor pack
        ("W47", Side.FEED, ("R4:coolant",)),  # nothing but a sensor there
        ("W126", Side.GROUND, ("M3:slow", "M3:fast")),  # the park contact feeds nothing backwards
        ("W22", Side.FEED, ("G2",)),
        ("W23", Side.BETWEEN, ("E20:load", "G2")),  # the charge lamp's far side
        ("W154", Side.BETWEEN, ("E9:load",)),  # from door switch to door switch
        ("W184", Side.BETWEEN, ()),  # spare
    ],
)
def test_loads_behind_a_wire(buggy: Harness, wire: str, side: Side, names: tuple[str, ...]) -> None:
    """Feed wires name what is fed onward, ground wires what they bring back, through plugs, splices and contacts."""
    assert of(buggy, wire) == Behind(side, names)


def test_nothing_is_reached_backwards_through_a_fuse(buggy: Harness) -> None:
    """The hazard switch joins two buses; behind its wire are the indicators, not what else the other bus feeds."""
    names = of(buggy, "W75").names
    assert set(names) == {"E3:load", "E4:load", "E5:indicator", "E6:indicator", "E23:load", "E24:load"}
    assert of(buggy, "W76").names == names


def test_on_positive_ground_the_other_post_feeds() -> None:
    """The tractor's lamps are fed from the negative post, and its battery strap grounds everything."""
    tractor = read_harness(DEMO / "field_tractor.toml")
    assert of(tractor, "W6") == Behind(Side.FEED, ("E1:load", "E2:load"))
    assert of(tractor, "W28") == Behind(Side.GROUND, ("P1:load",))
    assert of(tractor, "W1").side is Side.GROUND


def test_batteries_in_series_are_walked_through(buggy: Harness) -> None:
    """On a two-wire boat with two banks in series the main bar returns what the console takes."""
    launch = read_harness(DEMO / "harbour_launch.toml")
    assert of(launch, "W64") == Behind(Side.FEED, ("E1:load", "E2:load", "E3:load", "E4:load", "K5:coil"))
    assert of(launch, "W76") == Behind(Side.GROUND, ("E3:load", "E5:load"))
