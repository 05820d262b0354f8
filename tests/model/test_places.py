"""Where parts, points and ends of wires are."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.harness.fields import Access, Exposure
from model.harness.harness import Harness
from model.harness.places import BODY_PLACE, NO_PLACE, Place, end_place, place_of, place_words, point_place
from model.harness.toml_file import read_harness, read_harness_text
from model.words import clean

DEMO = Path(__file__).parents[2] / "demo_builds"

TEXT = """
format = 1
build = { name = "Cart", nominal_volts = 12 }
key_states = [ { name = "off" } ]
locations = [
  { name = "tray", reach = "under the lid", exposure = ["engine"] },
  { name = "left sill", access = "buried", reach = "left sill, kick plate out" },
  { name = "dash", access = "panel" },
  { name = "roof" },
]
batteries = [ { id = "G1", location = "tray" } ]
busbars = [ { id = "BB1", location = "tray" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1", location = "dash" } ]
relays = [ { id = "K1", location = "left sill" }, { id = "K2", inside = "K1" }, { id = "K3" } ]
diodes = [ { id = "V1", inside = "K2" } ]
joints = [ { id = "N1", from = "CHASSIS", to = "K2.85" } ]
connectors = [ { id = "X1", cavities = 2, location = "left sill" } ]
wires = [
  { id = "W1", from = "F1.out", to = "X1.plug.1" },
  { id = "W2", from = "X1.socket.1", to_location = "roof" },
  { id = "W3", from = "K3.87", location = "roof" },
]
"""


@pytest.fixture(scope="module")
def cart() -> Harness:
    """Give a small harness."""
    return read_harness_text(TEXT, "cart.toml")


def test_a_part_is_at_its_location(cart: Harness) -> None:
    """Name, way, access and exposure of the row of locations come with the part."""
    assert place_of(cart, "G1") == Place("tray", "under the lid", Access.OPEN, (Exposure.ENGINE,))


def test_a_part_without_location_is_where_its_housing_is(cart: Harness) -> None:
    """The place of the part it sits inside is taken, over as many housings as there are."""
    assert place_of(cart, "K2").name == "left sill"
    assert place_of(cart, "V1") == place_of(cart, "K1")


def test_parts_inside_each_other_have_no_place_and_no_end(cart: Harness) -> None:
    """A round of housings, which no file may hold, is left after one turn."""
    ring = tuple(relay.model_copy(update={"inside": {"K3": "K2", "K2": "K3"}.get(relay.id)}) for relay in cart.relays)
    assert place_of(replace(cart, relays=ring), "K3") == NO_PLACE


def test_a_part_without_any_place_says_so(cart: Harness) -> None:
    """The empty place is false, and said in words."""
    assert not place_of(cart, "K3")
    assert place_words(place_of(cart, "K3")) == "place not given"


def test_a_joint_is_where_its_part_is(cart: Harness) -> None:
    """A joint without location has the place of its end on a part, not that of the body."""
    assert place_of(cart, "N1").name == "left sill"


def test_the_chassis_is_everywhere(cart: Harness) -> None:
    """The chassis is a place of its own; it is no part."""
    assert place_of(cart, "CHASSIS") == point_place(cart, "CHASSIS") == BODY_PLACE


def test_an_unknown_part_is_an_error(cart: Harness) -> None:
    """Nobody is told a place for a part that is not there."""
    with pytest.raises(KeyError):
        place_of(cart, "K9")


def test_a_way_that_begins_with_the_name_is_said_once(cart: Harness) -> None:
    """A phrase names the place once, then the way; without a way the access stands for it."""
    assert place_words(place_of(cart, "X1")) == "left sill, kick plate out"
    assert place_words(place_of(cart, "G1")) == "tray, under the lid"
    assert place_words(place_of(cart, "F1")) == "dash, behind a panel"
    assert place_words(Place("roof")) == "roof"


def test_ends_of_wires_are_at_their_points_or_where_the_file_says(cart: Harness) -> None:
    """An end has the place of its part; a free one that of the file, else of the wire."""
    w1, w2, w3 = cart.wires
    assert (end_place(cart, w1, "a").name, end_place(cart, w1, "b").name) == ("dash", "left sill")
    assert end_place(cart, w2, "b").name == point_place(cart, "W2.b").name == "roof"
    assert end_place(cart, w3, "a").name == "roof"


def test_a_point_is_where_its_part_is(cart: Harness) -> None:
    """Cavities and terminals are at their part; the ``in`` of a fuse on a bar is at the fuse."""
    assert point_place(cart, "X1.socket.2").name == "left sill"
    assert point_place(cart, "F1.in").name == "dash"
    assert point_place(cart, "BB1").name == "tray"


def test_words_of_a_place_are_disarmed() -> None:
    """What a terminal obeys does not come out of a place."""
    words = place_words(Place("sill\x1b[31m", "lid\n\u202eoff"))
    assert words == clean(words) == "sill[31m, lid off"


@pytest.mark.parametrize("file", sorted(DEMO.glob("*.toml")), ids=lambda path: path.stem)
def test_every_point_of_the_demo_builds_has_a_place(file: Path) -> None:
    """Ends of wires of the builds that come with the program can all be found."""
    harness = read_harness(file)
    lost = [(wire.id, end) for wire in harness.wires for end in "ab" if not end_place(harness, wire, end)]
    assert harness.wires
    assert lost == []
