"""Defects of the feed: none at all, none through a fuse, and a fuse far from its source."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, NO_BODY_HEAD, POSITIVE_HEAD, findings, wires

LAMP = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21, label = "Stop lamp" } ]
"""
SHORT = "size = 1.5, length = 0.2"


@pytest.mark.parametrize(
    ("head", "ends", "bad"),
    [
        (HEAD, ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS"), None),
        (HEAD, ("G1.+ F1.in", "F1.out S1.1", "E1.- CHASSIS", "G1.- CHASSIS"), "E1.+"),
        (HEAD, ("G1.+ F1.in", "S1.1 S1.2", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS"), "E1.+"),
        (POSITIVE_HEAD, ("G1.- F1.in", "F1.out S1.1", "S1.2 E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"), None),
        (POSITIVE_HEAD, ("G1.- F1.in", "F1.out S1.1", "E1.+ CHASSIS", "G1.+ CHASSIS"), "E1.-"),
        (NO_BODY_HEAD, ("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-"), None),
        (NO_BODY_HEAD, ("G1.+ F1.in", "E1.- G1.-"), "E1.+"),
    ],
)
def test_what_no_setting_feeds_is_told_once(head: str, ends: tuple[str, ...], bad: str | None) -> None:
    """A lamp that nothing can join to the battery has no feed; one behind a switch that is off at rest has."""
    found = findings(head + LAMP + wires(*ends), FindingRule.NO_FEED)
    assert [finding.points for finding in found] == ([(bad,)] if bad else [])
    assert findings(head + LAMP + wires(*ends), FindingRule.NO_GROUND) == ()
    assert all(finding.gravity is Gravity.FAILS and finding.part_ids == ("E1",) for finding in found)


@pytest.mark.parametrize(("anode", "cathode", "count"), [("F1.out", "E1.+", 0), ("E1.+", "F1.out", 1)])
def test_a_diode_the_wrong_way_round_leaves_a_load_without_feed(anode: str, cathode: str, count: int) -> None:
    """Metal leads to the lamp, but the diode in it never carries: no key state gives it any volts."""
    rows = LAMP + 'diodes = [ { id = "V1" } ]\n'
    ends = ("G1.+ F1.in", f"{anode} V1.anode", f"V1.cathode {cathode}", "E1.- CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + rows + wires(*ends), FindingRule.NO_FEED)
    assert len(found) == count
    assert findings(HEAD + rows + wires(*ends), FindingRule.NO_GROUND) == ()
    assert all("0.00 V" in finding.sentence for finding in found)


def test_a_relay_whose_coil_nothing_feeds_is_told_with_the_load_behind_it() -> None:
    """The coil has no feed, so the lamp behind the contact has none either: both are told, each by its point."""
    rows = LAMP + 'relays = [ { id = "K1" } ]\n'
    ends = ("G1.+ F1.in", "F1.out K1.30", "K1.87 E1.+", "E1.- CHASSIS", "K1.85 CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + rows + wires(*ends), FindingRule.NO_FEED)
    assert {finding.points for finding in found} == {("K1.86",), ("E1.+",)}


@pytest.mark.parametrize(
    ("head", "ends", "count"),
    [
        (HEAD, ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS"), 0),
        (HEAD, ("G1.+ S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS"), 1),
        (POSITIVE_HEAD, ("G1.- F1.in", "F1.out S1.1", "S1.2 E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"), 0),
        (POSITIVE_HEAD, ("G1.- S1.1", "S1.2 E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"), 1),
        (NO_BODY_HEAD, ("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-"), 1),
    ],
)
def test_a_load_fed_with_no_fuse_is_told_with_its_way(head: str, ends: tuple[str, ...], count: int) -> None:
    """Two wires of 0.2 m and a switch lead from the post to the lamp: 0.40 m that nothing guards."""
    found = findings(head + LAMP + wires(*ends, more=SHORT), FindingRule.NO_FUSE)
    assert len(found) == count
    for finding in found:
        assert finding.gravity is Gravity.DANGER
        assert finding.part_ids == ("G1", "E1", "W1", "W2")
        assert finding.value == 0.4
        assert "W1, S1:1-2 and W2" in finding.sentence
        assert "0.40 m" in finding.sentence


def test_a_starter_cable_without_fuse_is_told_as_usual() -> None:
    """The cable of a starter commonly has no fuse: it is told, to be cleared up and not as a danger."""
    rows = """
switches = [ { id = "S1", momentary = true, positions = { up = [], down = [[1, 2]] } } ]
loads = [ { id = "M1", kind = "motor", amps = 150, label = "Starter" } ]
"""
    ends = ("G1.+ S1.1", "S1.2 M1.+", "M1.- CHASSIS", "G1.- CHASSIS")
    (finding,) = findings(HEAD + rows + wires(*ends, more="size = 35, length = 0.5"), FindingRule.NO_FUSE)
    assert finding.gravity is Gravity.ASK
    assert finding.rule_text is not None
    assert finding.rule_text.source_kind == "common practice"


@pytest.mark.parametrize(
    ("feed", "length_m", "told"),
    [
        ("G1.+ G2.+", 0.5, [("G2", Gravity.ASK)]),
        ("G1.+ G2.+", 1.1, [("G1", Gravity.DANGER)]),
        ("F1.out G2.+", 0.5, []),
    ],
)
def test_a_short_charging_cable_without_fuse_is_told_as_usual(
    feed: str, length_m: float, told: list[tuple[str, Gravity]]
) -> None:
    """A charger on nothing but wire is told, as a danger at the battery beyond 40 in (1.016 m); behind a fuse not."""
    rows = 'fuses = [ { id = "F1", amps = 60 } ]\nchargers = [ { id = "G2", volts = 14.2 } ]\n'
    ends = ("G1.+ F1.in", feed, "G2.- CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + rows + wires(*ends, more=f"size = 16, length = {length_m}"), FindingRule.NO_FUSE)
    assert [(finding.part_ids[0], finding.gravity) for finding in found] == told


def test_a_coil_fed_with_no_fuse_is_told() -> None:
    """A relay's coil on a switch that hangs on the post has a feed with no fuse, for all that its load has one."""
    rows = LAMP + 'relays = [ { id = "K1" } ]\n'
    ends = ("G1.+ F1.in", "F1.out K1.30", "K1.87 E1.+", "E1.- CHASSIS", "G1.+ S1.1", "S1.2 K1.86", "K1.85 CHASSIS",
            "G1.- CHASSIS")  # fmt: skip
    (finding,) = findings(HEAD + rows + wires(*ends), FindingRule.NO_FUSE)
    assert finding.part_ids == ("G1", "K1", "W5", "W6")
    assert finding.assumed == ("W5", "W6")


@pytest.mark.parametrize(
    ("role", "length_m", "gravity"),
    [
        ("", 0.9, None),
        ("", 1.1, Gravity.DANGER),
        ("bilge", 0.17, None),
        ("bilge", 0.19, Gravity.ASK),
        ("bilge", 1.1, Gravity.DANGER),
    ],
)
def test_a_fuse_far_from_its_source_is_told_as_a_danger_beyond_a_sheath(
    role: str, length_m: float, gravity: Gravity | None
) -> None:
    """33 CFR 183.455 (from memory): 7 in, 0.178 m, along the conductor, 40 in, 1.016 m, in a sheath; on land 40 in."""
    text = LAMP.replace("watts = 21", f'watts = 21, role = "{role}"')
    ends = ("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends, more=f"size = 1.5, length = {length_m}"), FindingRule.FUSE_FAR)
    assert [finding.gravity for finding in found] == ([gravity] if gravity else [])
    assert all(finding.part_ids == ("G1", "F1", "W1") and finding.value == length_m for finding in found)


def test_a_coil_that_a_rare_setting_pulls_in_is_no_finding() -> None:
    """A coil that only one pair of positions feeds is fed, though everything on at once never sets that pair."""
    rows = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", terminals = ["1", "2", "3"], positions = { off = [], a = [["1", "2"]], b = [["1", "3"]] } },
 { id = "S2", terminals = ["1", "2", "3"], positions = { off = [], x = [["1", "3"]], y = [["1", "2"]] } } ]
relays = [ { id = "K1" } ]
""".replace(",\n {", ", {")
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 S2.1", "S2.2 K1.86", "K1.85 CHASSIS", "G1.- CHASSIS")
    assert findings(HEAD + rows + wires(*ends), FindingRule.NO_FEED) == ()


def test_a_way_past_the_fuse_that_no_position_closes_is_no_finding() -> None:
    """The switch joins the post to its middle in one position and the middle to the lamp in another, never both."""
    rows = LAMP.replace(
        '{ id = "S1" }',
        '{ id = "S1", terminals = ["1", "2", "3"], positions = { off = [], a = [["1", "2"]], b = [["2", "3"]] } }',
    )
    ends = ("G1.+ F1.in", "F1.out E1.+", "G1.+ S1.1", "S1.3 E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    assert findings(HEAD + rows + wires(*ends), FindingRule.NO_FUSE) == ()
    both = rows.replace('b = [["2", "3"]]', 'b = [["1", "2", "3"]]')
    assert [one.part_ids[0] for one in findings(HEAD + both + wires(*ends), FindingRule.NO_FUSE)] == ["G1"]


TWO_BATTERIES = """
fuses = [ { id = "F1", amps = 60 }, { id = "F2", amps = 60 }, { id = "F3", amps = 5 } ]
switches = [ { id = "S1" } ]
relays = [ { id = "K1" } ]
"""
COIL = ("G1.+ F3.in", "F3.out S1.1", "S1.2 K1.86", "K1.85 CHASSIS")
GROUNDED = ("G1.- CHASSIS", "G2.- CHASSIS")


@pytest.mark.parametrize(
    ("between", "far", "bare"),
    [
        (("G1.+ F1.in", "F1.out K1.30", "K1.87 G2.+"), ["F1.out"], []),
        (("G1.+ F1.in", "F1.out K1.30", "K1.87 F2.in", "F2.out G2.+"), [], []),
        (("G1.+ K1.30", "K1.87 G2.+"), [], [("G1", "G2")]),
        (("G1.+ G2.+",), [], []),
    ],
)
def test_a_link_between_two_batteries_wants_a_fuse_at_either_end(
    between: tuple[str, ...], far: list[str], bare: list[tuple[str, str]]
) -> None:
    """Wires of 0.8 m: one fuse at the first battery leaves 1.6 m live from the other, over the 1.016 m of 40 in."""
    head = HEAD.replace('{ id = "G1", location = "box" }', '{ id = "G1" }, { id = "G2" }')
    for turned in (False, True):
        ends = (*between, *COIL, *GROUNDED)
        ends = tuple(map(_mirrored, ends)) if turned else ends
        ground = head.replace("nominal_volts = 12", 'nominal_volts = 12, ground_side = "positive"') if turned else head
        found = findings(ground + TWO_BATTERIES + wires(*ends, more="size = 16, length = 0.8"))
        assert [one.points[0] for one in found if one.rule is FindingRule.FUSE_FAR] == far
        unfused = [one for one in found if one.rule is FindingRule.NO_FUSE]
        assert [one.part_ids[:2] for one in unfused] == bare
        assert all(one.gravity is Gravity.DANGER for one in unfused)
        for one in found:
            if one.rule is FindingRule.FUSE_FAR:
                assert one.value == 1.6
                assert one.gravity is Gravity.DANGER
                assert one.part_ids[0] == "G2"
                assert "Between battery G2 and fuse F1 nothing guards 1.60 m of wire (W3 and W2)." in one.sentence
                assert one.do.startswith("Put a fuse near that battery too;")


def _mirrored(pair: str) -> str:
    """Write a wire with the posts of its batteries exchanged."""
    return pair.replace(".+", ".@").replace(".-", ".+").replace(".@", ".-")
