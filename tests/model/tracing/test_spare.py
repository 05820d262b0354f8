"""Which spare conductors are offered for a faulty wire."""

from __future__ import annotations

import pytest

from model.harness.records import Wire
from model.tracing.spare import spares_for
from tests.model.tracing.loom_with_spares import loom
from tests.model.tracing.rigs import demo


def spare(number: int, *, ends: str = 'from_location = "box", to_location = "nose"', rest: str = "") -> str:
    """Write a spare through the sill, 2.5 mm² and 2.5 m long unless said otherwise."""
    given = rest or "size = 2.5, length = 2.5"
    via = "" if "via" in given else ', via = ["sill"]'
    return f'  {{ id = "W{number}", {ends}, {given}{via}, spare = true }},\n'


def offered(rows: str, wire_id: str = "W4") -> list[str]:
    """Name the spares offered for a wire, the best first."""
    harness = loom(rows)
    return [one.wire.id for one in spares_for(harness, harness.part_of(wire_id, Wire))]


def test_a_spare_of_the_same_trunk_that_is_long_and_thick_enough_is_offered() -> None:
    """It runs through the sill from place to place as the faulty wire does."""
    assert offered(spare(20)) == ["W20"]


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(spare(20, rest="size = 1.0, length = 2.5"), id="too thin"),
        pytest.param(spare(20, rest="size = 2.5, length = 2.1"), id="too short"),
        pytest.param(spare(20, rest='size = 2.5, length = 2.5, via = ["roof"]'), id="another trunk"),
        pytest.param(spare(20, rest='size = 2.5, length = 2.5, superseded_by = "W4"'), id="superseded"),
        pytest.param(spare(20, rest='size = 2.5, length = 2.5, hazard = "ignition"'), id="hazard"),
        pytest.param(spare(20, ends='from = "X1.plug.1", to_location = "nose"'), id="end in use"),
        pytest.param(spare(20, ends='from = "K1.87", to_location = "nose"'), id="on a relay"),
        pytest.param(spare(20).replace("spare = true", "spare = false"), id="no spare"),
    ],
)
def test_what_cannot_do_the_work_is_not_offered(row: str) -> None:
    """Too thin, too short, elsewhere, used, hazardous, or no spare."""
    assert offered(row) == []


def test_a_spare_that_took_over_another_wires_work_is_not_free() -> None:
    """It is named as the wire that does another's work now."""
    used = '  { id = "W21", from = "E1.+", colour = "RD", size = 1, length = 2, superseded_by = "W20" },\n'
    assert offered(spare(20) + used) == []


def test_both_ends_in_a_cavity_on_which_only_spares_end_are_free() -> None:
    """Two spares that meet in a plug are free; with a wire in use on the other half they are not."""
    rows = spare(20, ends='from = "X1.socket.4", to_location = "nose"')
    mate = spare(21, ends='from_location = "dash", to = "X1.plug.4"')
    assert offered(rows + mate)[0] == "W20"
    in_use = '  { id = "W22", from = "F1.out", to = "X1.plug.4", size = 2.5, length = 1 },\n'
    assert offered(rows + in_use) == []


def test_the_best_reaches_both_places_then_has_a_length_then_is_the_thinnest() -> None:
    """A spare of unknown length comes after known ones, with a word; one that ends next to the place comes last.

    A wire of 0.4 m joins shelf and box: they lie next to each other.
    """
    rows = (
        '  { id = "W24", from_location = "shelf", to = "X1.plug.3", size = 1, length = 0.4 },\n'
        + spare(20, ends='from_location = "shelf", to_location = "nose"')
        + spare(21, rest="size = 2.5")
        + spare(22, rest="size = 4, length = 2.5")
        + spare(23)
    )
    assert offered(rows) == ["W23", "W22", "W21", "W20"]
    harness = loom(rows)
    words = {one.wire.id: one.words for one in spares_for(harness, harness.part_of("W4", Wire))}
    assert words["W23"] == ()
    assert "does not say how long W21 is" in words["W21"][0]
    assert "does not end in the very places" in words["W20"][0]


def test_a_spare_that_ends_elsewhere_is_not_offered() -> None:
    """From box to nose no spare from the dash does, a metre of wire away; without places its trunks have to tell."""
    assert offered(spare(20, ends='from_location = "dash", to_location = "nose"')) == []
    assert offered(spare(20, ends='to_location = "nose"')) == ["W20"]
    row = spare(20, ends='to_location = "nose"', rest='size = 2.5, length = 3, via = ["sill", "roof"]')
    assert offered(row) == []


def test_a_spare_bears_the_fuse_before_the_wire() -> None:
    """A wire too thin for its 15 A fuse is not replaced by one that is as thin: 0.75 mm² bears 14.4 A.

    12 A × (0.75 / 0.5629)^0.637 by the catalogue of JIS C 3406 AV: 12 A at 0.5629, 16 A at 0.8846 mm².
    """
    rows = (
        '  { id = "W10", from = "F1.out", to_location = "nose", size = 0.75, length = 2, via = ["sill"] },\n'
        + spare(20, rest="size = 0.75, length = 2.5")
    )
    assert offered(rows, "W10") == []


def test_a_wire_without_a_trunk_takes_a_spare_between_the_same_places() -> None:
    """W3 runs within the box: a spare through the sill between other places is none for it."""
    row = '  { id = "W20", from_location = "box", to_location = "box", size = 1.5, length = 0.5, spare = true },\n'
    assert offered(row + spare(21), "W3") == ["W20"]


def test_the_demo_buggy_offers_no_spare_from_dash_to_tail_for_a_wire_of_the_dash() -> None:
    """W6 runs 0.9 m from the fuse panel to the column; W186 runs through its trunk too, but on to the tail."""
    harness = demo("trail_buggy")
    assert spares_for(harness, harness.part_of("W6", Wire)) == ()


def test_the_demo_buggy_offers_the_spare_of_the_foot_trunk_for_the_pump_feed() -> None:
    """W184 runs beside W25 through the foot trunk and ends in the free cavity 6 of the sill plug."""
    harness = demo("trail_buggy")
    assert [one.wire.id for one in spares_for(harness, harness.part_of("W25", Wire))] == ["W184"]
