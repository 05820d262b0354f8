"""Chargers, batteries and bodies that nothing joins to the grounded post."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.review.adrift import adrift_of
from model.review.finding import FindingRule, Gravity
from model.review.findings import find_all
from model.review.fuse_use import fuse_review
from model.sheets.fuse_remarks import feeds_words
from tests.model.review.looms import HEAD, NO_BODY_HEAD, POSITIVE_HEAD, findings, loom, wires

BLOCK = """
bodies = [ { id = "BLOCK", label = "Engine block" } ]
chargers = [ { id = "G2", label = "Alternator", volts = 14.2 } ]
fuses = [ { id = "F1", amps = 50 }, { id = "F2", amps = 15 } ]
switches = [ { id = "S2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 55 }, { id = "E2", kind = "lamp", watts = 55 } ]
grounds = [ { id = "GND4", body = "BLOCK" } ]
"""
ENDS = ("G1.+ F1.in", "F1.out G2.+", "G2.+ F2.in", "F2.out S2.1", "S2.2 E1.+", "S2.2 E2.+", "E2.- CHASSIS",
        "G2.- GND4", "G1.- CHASSIS")  # fmt: skip
WIRE = "size = 6, length = 0.5"


def _turned(ends: tuple[str, ...]) -> tuple[str, ...]:
    """Exchange plus and minus of everything: the same loom with the positive post on the frame."""
    return tuple(one.replace("+", "~").replace(".-", ".+").replace("~", "-") for one in ends)


@pytest.mark.parametrize("is_turned", [False, True])
def test_an_alternator_on_a_block_without_a_strap_has_no_way_home(is_turned: bool) -> None:
    """Its other post ends on the engine block, which no strap joins to the battery: the finding names both."""
    ends, head = (_turned(ENDS), POSITIVE_HEAD) if is_turned else (ENDS, HEAD)
    lamp = "E1.+ CHASSIS" if is_turned else "E1.- CHASSIS"
    (finding,) = findings(head + BLOCK + wires(*ends, lamp, more=WIRE), FindingRule.ADRIFT)
    assert finding.gravity is Gravity.FAILS
    assert finding.part_ids == ("G2", "BLOCK")
    assert finding.points == ("G2.+" if is_turned else "G2.-",)
    assert "BLOCK (Engine block)" in finding.sentence
    assert "strap from body BLOCK" in finding.do


def test_with_a_strap_nothing_is_adrift() -> None:
    """A wire from the block to the frame is its way home."""
    text = HEAD + BLOCK + wires(*ENDS, "E1.- CHASSIS", "GND4 CHASSIS", more=WIRE)
    assert findings(text, FindingRule.ADRIFT) == ()


def test_the_lamp_on_the_block_is_told_with_its_true_cause_first() -> None:
    """A lamp grounded on the loose block glows through the other and the alternator: the strap is told, not that."""
    found = find_all(Bench(loom(HEAD + BLOCK + wires(*ENDS, "E1.- GND4", more=WIRE))))
    failing = [one for one in found if one.gravity is Gravity.FAILS]
    assert failing[0].rule is FindingRule.ADRIFT
    assert "E1" in failing[0].sentence
    assert FindingRule.BACKFEED not in [one.rule for one in found]


def test_a_body_with_things_on_it_and_no_charger_is_told_and_a_bare_one_is_not() -> None:
    """What is grounded on a body without a strap cannot work; a body with nothing on it is none of anything."""
    rows = BLOCK.replace('{ id = "GND4"', '{ id = "GND5", body = "TUB" }, { id = "GND4"').replace(
        "bodies = [ ", 'bodies = [ { id = "TUB" }, '
    )
    rows = "\n".join(line for line in rows.splitlines() if not line.startswith("chargers")) + "\n"
    ends = ("G1.+ F1.in", "F1.out F2.in", "F2.out S2.1", "S2.2 E1.+", "S2.2 E2.+", "E2.- CHASSIS", "E1.- GND4",
            "G1.- CHASSIS")  # fmt: skip
    found = findings(HEAD + rows + wires(*ends, more=WIRE))
    assert [one.part_ids for one in found if one.rule is FindingRule.ADRIFT] == [("BLOCK",)]
    assert [one.part_ids for one in found if one.rule is FindingRule.NO_GROUND] == [("E1",)]


@pytest.mark.parametrize(
    ("ends", "posts"),
    [
        (("G1.+ F1.in", "F1.out G2.+", "G2.- G1.-"), []),
        (("G1.+ F1.in", "F1.out G2.+"), ["G2.-"]),
        (("G2.- G1.-",), ["G2.+"]),
        ((), []),
    ],
)
def test_a_charger_with_one_side_free_is_adrift(ends: tuple[str, ...], posts: list[str]) -> None:
    """Without a body each post needs its own cable; one that is not in the file yet on either side is left alone."""
    rows = 'fuses = [ { id = "F1", amps = 50 } ]\nchargers = [ { id = "G2", volts = 14.2 } ]\n'
    text = NO_BODY_HEAD + rows + (wires(*ends, more=WIRE) if ends else "")
    assert [one.point for one in adrift_of(loom(text))] == posts


@pytest.mark.parametrize(
    ("ends", "posts"),
    [
        (("G1.+ F1.in", "F1.out G2.+", "G1.- CHASSIS"), ["G2.-"]),
        (("G1.+ F1.in", "F1.out G2.+", "G1.- CHASSIS", "G2.- CHASSIS"), []),
        (("G1.+ F1.in", "F1.out CHASSIS", "G2.- G2.+"), []),
    ],
)
def test_a_second_battery_wants_its_own_way_home(ends: tuple[str, ...], posts: list[str]) -> None:
    """A battery whose plus hangs with the first one's needs a minus that does; one by itself is left alone."""
    head = HEAD.replace('{ id = "G1", location = "box" }', '{ id = "G1" }, { id = "G2" }')
    found = adrift_of(loom(head + 'fuses = [ { id = "F1", amps = 50 } ]\n' + wires(*ends, more=WIRE)))
    assert [one.point for one in found] == posts


def test_the_fuse_does_not_claim_the_current_of_a_charger_without_a_way_home() -> None:
    """No current of an alternator that is adrift comes through the fuse at which it hangs."""
    harness = loom(HEAD + BLOCK + wires(*ENDS, "E1.- CHASSIS", more=WIRE))
    words = {use.fuse.id: feeds_words(harness, use) for use in fuse_review(Bench(harness))}
    assert "has no way home: no current of its comes through it." in words["F1"]
    assert "comes through it." not in words["F1"].replace("no current of its comes through it.", "")
