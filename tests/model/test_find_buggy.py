"""What the parts, wires and points of the trail buggy are found by."""

from __future__ import annotations

import pytest

from model.harness.harness import Harness, all_elements
from model.harness.points import points_of
from model.tracing.find import find, search
from model.tracing.find_index import Field
from tests.model.test_find import ids
from tests.model.tracing.rigs import demo


@pytest.fixture(scope="module")
def buggy() -> Harness:
    """Give the trail buggy."""
    return demo("trail_buggy")


@pytest.mark.parametrize("typed", ["wriggle", "aerial", "license"])
def test_a_word_that_is_not_there_finds_nothing(buggy: Harness, typed: str) -> None:
    """Nothing is better than another thing."""
    result = search(buggy, [typed])
    assert result.found == ()
    assert result.remarks == (f"Nothing is found for “{typed}”.",)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("X2 6", "X2.cab.6"),
        ("left head lamp 56b", "E1.56b"),
        ("stop lamp fuse", "F44"),
        ("E1:dip", "E1"),
        ("15 a fuel pump", "F23"),
        ("what is the green blue 1.5 at the pedals", "W98"),
        ("trailer socket", "X7"),
        ("controller pump", "F40"),
        ("A1 pump", "A1.pump"),
        ("red 50", "W1"),
    ],
)
def test_the_trail_buggy_is_asked(buggy: Harness, typed: str, expected: str) -> None:
    """The best answer stands first."""
    assert find(buggy, [typed])[0].id == expected


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("brake light", ["E5", "E6"]),
        ("brake lights", ["E5", "E6"]),
        ("left brake light", ["E5"]),
        ("brake light switch", ["S8"]),
        ("turn signal", ["E3", "E4", "E5", "E6"]),
        ("blinker", ["E3", "E4", "E5", "E6"]),
        ("headlight", ["E1", "E2"]),
        ("headlights", ["E1", "E2"]),
        ("high beam", ["E1", "E2"]),
        ("taillight", ["E5", "E6"]),
        ("reversing light", ["E7"]),
        ("license plate light", ["E8"]),
        ("petrol", ["M2"]),
        ("gas pump", ["M2", "K7", "F23"]),
        ("earth", ["GND1", "GND2"]),
        ("heater fan", ["M5"]),
        ("cigarette lighter", ["E11", "E12"]),
        ("battery cable", ["W1", "W2", "W3"]),
        ("generator", ["F3", "G2"]),
    ],
)
def test_the_words_of_the_trade_are_known(buggy: Harness, typed: str, expected: list[str]) -> None:
    """British or American, whatever the file calls it."""
    result = search(buggy, [typed])
    assert ids(result.found)[: len(expected)] == expected
    assert result.remarks == ()


def test_another_word_for_it_counts_less_than_the_word_itself(buggy: Harness) -> None:
    """What bears the word typed counts more than what another word for it finds, and that is said to be one."""
    by_label, by_trade = search(buggy, ["stop lamps"]).found[0], search(buggy, ["brake lights"]).found[0]
    assert by_trade.why == "also called “brake lights”"
    assert by_trade.score < by_label.score
    assert by_trade.score < Field.LABEL


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("M2:load", "M2"),
        ("E1:dip", "E1"),
        ("K7:coil", "K7"),
        ("K7:30-87", "K7"),
        ("S2:30-58", "S2"),
        ("A1:15", "A1"),
        ("A1:pump", "A1"),
        ("R3:medium", "R3"),
        ("K7.30", "K7.30"),
        ("X3.front.1", "X3.front.1"),
    ],
)
def test_what_the_program_prints_can_be_asked_for(buggy: Harness, typed: str, expected: str) -> None:
    """Names of elements, contacts, coils, feeds and points, as they stand on a sheet of volts or as a fault."""
    result = search(buggy, [typed])
    assert (result.found[0].id, result.remarks) == (expected, ())


def test_all_that_volts_names_is_found_first(buggy: Harness) -> None:
    """Every load and point by the name that the volts print for it."""
    for name in (element.name for element in all_elements(buggy)):
        assert find(buggy, [name], 1)[0].id == name.partition(":")[0], name
    for part in buggy.each_part():
        for point in points_of(part):
            assert find(buggy, [point.name], 1)[0].id == point.name, point.name


def test_a_wire_between_ground_points_is_a_strap(buggy: Harness) -> None:
    """W4 joins the engine block's stud to the chassis' without a label: *ground strap* finds it before the block."""
    found = ids(find(buggy, ["ground", "strap"]))
    assert "W4" in found
    assert found.index("W4") < found.index("BLOCK")
    assert "W1" not in found


def test_a_thick_wire_with_a_ring_is_asked_for_as_it_looks(buggy: Harness) -> None:
    """*Thick black ring*: the black cables of 25 and 35 mm² on ground points, and nothing else."""
    search_found = search(buggy, ["thick", "black", "ring"])
    assert set(ids(search_found.found)) == {"W2", "W3", "W4"}
    assert search_found.remarks == ()
