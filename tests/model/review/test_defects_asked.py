"""What the file leaves open: assumed figures, and hazards that a label or colour suggests."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, findings, wires


def _loom(load: str, *rows: str, more: str = "") -> str:
    wires = ", ".join(f"{{ {row} }}" for row in rows)
    loads = f'loads = [ {{ id = "E1", kind = "lamp", watts = 5{load} }} ]\n'
    return HEAD + more + 'fuses = [ { id = "F1", amps = 10 } ]\n' + loads + f"wires = [ {wires} ]\n"


WHOLE = ', colour = "RD", size = 1.5, length = 0.5'
ENDS = ('id = "W1", from = "G1.+", to = "F1.in"', 'id = "W2", from = "F1.out", to = "E1.+"')


def test_a_file_that_gives_everything_is_asked_nothing() -> None:
    """With size, length and colour of each wire nothing is assumed."""
    assert findings(_loom("", *(row + WHOLE for row in ENDS)), FindingRule.ASSUMED) == ()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (
            "",
            "the size of 1 wire (W1), the length of 2 wires (W1 and W2) and the colour of 1 wire (W2). "
            "What is computed through them rests on 1 mm² and 1.5 m, or the sum of the trunks, taken in their place.",
        ),
        (
            "defaults = { size = 2.5 }\n",
            "the length of 2 wires (W1 and W2) and the colour of 1 wire (W2). What is computed through them rests on "
            "1.5 m, or the sum of the trunks, taken in their place.",
        ),
    ],
)
def test_what_is_assumed_is_counted_by_kind(more: str, words: str) -> None:
    """One finding counts the wires without size, length and colour; a size among the file's defaults is not assumed."""
    text = _loom("", ENDS[0] + ', colour = "RD"', ENDS[1] + ", size = 1.5", more=more)
    (one,) = findings(text, FindingRule.ASSUMED)
    assert one.sentence == f"The file leaves out {words}"
    assert (one.value, one.gravity, one.part_ids) == (2, Gravity.ASK, ("W1", "W2"))


def test_a_colour_alone_leaves_nothing_computed_on_an_assumption() -> None:
    """Where colours alone are left out nothing is said of computing."""
    (one,) = findings(_loom("", *(row + ", size = 1.5, length = 0.5" for row in ENDS)), FindingRule.ASSUMED)
    assert one.sentence == "The file leaves out the colour of 2 wires (W1 and W2)."


@pytest.mark.parametrize(
    ("load", "is_told"),
    [
        (', label = "Driver airbag"', True),
        (', label = "Air-bag squib"', True),
        (', label = "Belt pretensioner left"', True),
        (', label = "Pyrotechnic cutter"', True),
        (', label = "High voltage relay box"', True),
        (', label = "Airbag", hazard = "restraint"', False),
        (', label = "HV", hazard = "high voltage"', False),
        (', label = "Pyramid lamp"', False),
        (', label = "Overhaul lamp"', False),
    ],
)
def test_a_label_that_suggests_a_hazard_is_asked_about(load: str, is_told: bool) -> None:
    """Airbag, belt tensioner and high voltage in a label want the hazard marked, and no probe until it is clear."""
    found = findings(_loom(load, *(row + WHOLE for row in ENDS)), FindingRule.HAZARD_SUGGESTED)
    assert [one.part_ids for one in found] == ([("E1",)] if is_told else [])
    for one in found:
        assert one.gravity is Gravity.DANGER
        assert one.do.startswith("Keep every probe and lamp away")


@pytest.mark.parametrize(
    ("colour", "hazard", "is_told"),
    [
        ("OG", "", True),
        ("OG/BK", "", False),
        ("RD/OG", "", False),
        ("OG", ', hazard = "high voltage"', False),
    ],
)
def test_a_plain_orange_wire_is_asked_about(colour: str, hazard: str, is_told: bool) -> None:
    """Orange alone is the colour of high voltage cables; with a stripe, or on a part marked so, it is not told."""
    rows = (ENDS[0] + WHOLE, ENDS[1] + f', colour = "{colour}", size = 1.5, length = 0.5')
    found = findings(_loom(hazard, *rows), FindingRule.HAZARD_SUGGESTED)
    assert [one.part_ids for one in found] == ([("W2",)] if is_told else [])


HOSTILE = "[/red] S1 [on]\\u001b[31m \\u202e" + "x" * 80


def test_hostile_labels_come_out_harmless() -> None:
    """A label with brackets, escapes and eighty letters is cut and cleaned in every sentence."""
    text = _loom(
        f', label = "airbag {HOSTILE}"',
        *(f'{row}, label = "{HOSTILE}"' for row in (*ENDS, 'id = "W3", from = "F1.out"')),
    )
    found = findings(text)
    assert {FindingRule.HAZARD_SUGGESTED, FindingRule.FREE_END, FindingRule.ASSUMED} <= {one.rule for one in found}
    for one in found:
        words = one.sentence + one.do
        assert not {"\x1b", "\u202e"} & set(words)
        assert "x" * 60 not in words


@pytest.mark.parametrize(
    ("load", "is_told"),
    [
        (', label = "Fuel pump"', True),
        (', label = "Petrol tank sender"', True),
        (', label = "Fuel pump", hazard = "fuel"', False),
        (', label = "Fuel gauge"', False),
        (', label = "Bilge pump"', False),
    ],
)
def test_a_label_that_suggests_fuel_is_asked_about(load: str, is_told: bool) -> None:
    """What holds or moves petrol by its label and is not marked is to be cleared up; the fuse of it is none."""
    rows = f"""fuses = [ {{ id = "F1", amps = 10, label = "Fuel pump" }} ]
loads = [ {{ id = "M1", kind = "motor", amps = 3{load} }} ]
"""
    found = findings(HEAD + rows + wires("G1.+ F1.in", "F1.out M1.+", "M1.- CHASSIS"), FindingRule.HAZARD_SUGGESTED)
    assert [(one.part_ids, one.gravity) for one in found] == ([(("M1",), Gravity.ASK)] if is_told else [])
    assert all("hazard “fuel”" in one.sentence for one in found)
