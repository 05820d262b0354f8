"""Relays that buzz, hold themselves, end otherwise by the way there, or have too few volts."""

from __future__ import annotations

import pytest

from model.review.finding import Finding, FindingRule, Gravity
from tests.model.review.looms import HEAD, POSITIVE_HEAD, findings, wires

THICK = "size = 6, length = 0.2"


def _parts(found: tuple[Finding, ...]) -> list[tuple[str, ...]]:
    return [one.part_ids for one in found]


BUZZER = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
relays = [ { id = "K1", contacts = "changeover", label = "Buzzer" } ]
"""


@pytest.mark.parametrize(("feed", "count"), [("K1.87a K1.86", 1), ("K1.30 K1.86", 0)])
def test_a_coil_fed_through_its_own_rest_contact_buzzes(feed: str, count: int) -> None:
    """A relay whose coil hangs behind its own 87a opens its own feed for ever; one fed from 30 pulls in and stays."""
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 K1.30", feed, "K1.85 CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + BUZZER + wires(*ends, more=THICK), FindingRule.RELAY_BUZZES)
    assert len(found) == count
    for one in found:
        assert one.gravity is Gravity.FAILS
        assert one.part_ids == ("K1",)
        assert one.points == ("K1.86", "K1.85")
        assert one.sentence.startswith("K1 (Buzzer) never rests")


LATCH = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", momentary = true }, { id = "S2", momentary = true, positions = { shut = [[1, 2]], pressed = [] } }, { id = "S9", key = true, terminals = ["30", "15"], positions = { off = [], on = [["30", "15"]], running = [["30", "15"]] } } ]
relays = [ { id = "K1" }, { id = "K2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
"""  # noqa: E501
LATCH_ENDS = ("G1.+ F1.in", "K1.30 S1.1", "S1.2 K1.86", "K1.85 CHASSIS", "K1.87 E1.+", "E1.- CHASSIS", "G1.- CHASSIS")


@pytest.mark.parametrize(
    ("feed", "hold", "gravity", "frees"),
    [
        (("F1.out K1.30",), "K1.87 K1.86", Gravity.FAILS, "Nothing but a lost supply"),
        (("F1.out S2.1", "S2.2 K1.30"), "K1.87 K1.86", Gravity.ASK, "What lets go: S2 at pressed."),
        (("F1.out S9.30", "S9.15 K1.30"), "K1.87 K1.86", Gravity.ASK, "What lets go: the key at off."),
        (("F1.out K1.30",), "K1.87 K2.86", None, ""),
    ],
)
def test_a_relay_that_feeds_its_own_coil_is_told_with_what_lets_it_go(
    feed: tuple[str, ...], hold: str, gravity: Gravity | None, frees: str
) -> None:
    """A relay pushed in once stays in by its own contact until something opens; where nothing does it is graver.

    The volts across its coil are those of a battery at rest, 1.058 × 12 = 12.70 V.
    """
    found = findings(HEAD + LATCH + wires(*feed, *LATCH_ENDS, hold, more=THICK), FindingRule.RELAY_LATCHES)
    assert _parts(found) == ([("K1",)] if gravity else [])
    for one in found:
        assert one.gravity is gravity
        assert frees in one.sentence
        assert one.value == pytest.approx(12.7, abs=0.1)


@pytest.mark.parametrize(("ohms", "count"), [(50, 1), (2000, 0)])
def test_a_relay_holds_itself_only_with_volts_enough(ohms: float, count: int) -> None:
    """Through 2000 ohm its own contact leaves the coil 12.70 × 85 / 2085 = 0.52 V, under its drop-out of 1.2 V."""
    pack = f'resistors = [ {{ id = "R1", elements = [ {{ name = "r", from = "1", to = "2", ohms = {ohms} }} ] }} ]\n'
    ends = ("F1.out K1.30", *LATCH_ENDS, "K1.87 R1.1", "R1.2 K1.86")
    assert len(findings(HEAD + LATCH + pack + wires(*ends, more=THICK), FindingRule.RELAY_LATCHES)) == count


def test_what_follows_a_relay_that_holds_itself_is_not_told_beside_it() -> None:
    """A second relay whose coil hangs on the contact of one that holds itself is in by that one alone."""
    ends = ("F1.out K1.30", *LATCH_ENDS, "K1.87 K1.86", "K1.87 K2.86", "K2.85 CHASSIS")
    assert _parts(findings(HEAD + LATCH + wires(*ends, more=THICK), FindingRule.RELAY_LATCHES)) == [("K1",)]


def test_two_relays_that_hold_each_other_are_one_finding() -> None:
    """K1 feeds the coil of K2 and K2 that of K1: each alone would fall, both together stay."""
    ends = ("F1.out K1.30", *LATCH_ENDS, "K1.87 K2.86", "K2.85 CHASSIS", "F1.out K2.30", "K2.87 K1.86")
    (one,) = findings(HEAD + LATCH + wires(*ends, more=THICK), FindingRule.RELAY_LATCHES)
    assert one.part_ids == ("K1", "K2")
    assert "hold one another" in one.sentence


def test_a_relay_holds_itself_with_the_positive_post_on_the_frame_too() -> None:
    """The same latch with plus and minus exchanged."""
    turned = [end.replace("+", "~").replace(".-", ".+").replace("~", "-") for end in ("F1.out K1.30", *LATCH_ENDS)]
    text = POSITIVE_HEAD + LATCH + wires(*turned, "K1.87 K1.86", more=THICK)
    assert _parts(findings(text, FindingRule.RELAY_LATCHES)) == [("K1",)]


@pytest.mark.parametrize(("ohms", "count"), [(10, 0), (120, 1), (2000, 0)])
def test_a_relay_that_holds_with_volts_that_would_not_pull_it_ends_by_the_way_there(ohms: float, count: int) -> None:
    """Full volts in the key state before, a resistor in the next one: what is left holds or does not.

    Hand calculation: a coil of 85 ohm behind R has 12.70 × 85 / (85 + R): behind 120 ohm 5.27 V, between drop-out
    (1.2 V) and pull-in (7.2 V); behind 10 ohm 11.4 V; behind 2000 ohm 0.52 V.
    """
    text = f"""
fuses = [ {{ id = "F1", amps = 10 }} ]
switches = [ {{ id = "S9", key = true, terminals = ["30", "a", "b"], positions = {{ off = [["30", "a"]], on = [["30", "b"]], running = [["30", "b"]] }} }} ]
relays = [ {{ id = "K1" }} ]
resistors = [ {{ id = "R1", elements = [ {{ name = "r", from = "1", to = "2", ohms = {ohms} }} ] }} ]
"""  # noqa: E501
    ends = (
        "G1.+ F1.in",
        "F1.out S9.30",
        "S9.a K1.86",
        "S9.b R1.1",
        "R1.2 K1.86",
        "K1.85 CHASSIS",
        "G1.- CHASSIS",
    )
    found = findings(HEAD + text + wires(*ends, more=THICK), FindingRule.TWO_ENDS)
    assert _parts(found) == [("K1",)] * count
    for one in found:
        assert "key on, nothing moved, it ends otherwise after off than from rest" in one.sentence


CRANK_HEAD = """
format = 1
build = {{ name = "Bench", nominal_volts = 12 }}
key_states = [ {{ name = "off" }}, {{ name = "on" }}, {{ name = "crank" }} ]
batteries = [ {{ id = "G1", ohms = {ohms} }} ]
fuses = [ {{ id = "F1", amps = 30 }} ]
switches = [ {{ id = "S1", key = true, terminals = ["30", "15", "50"], positions = {{ off = [], on = [["30", "15"]], crank = [["30", "15", "50"]] }} }} ]
relays = [ {{ id = "K1", label = "Start relay", ohms = 0.0001 }}, {{ id = "K2", label = "Bypass" }}, {{ id = "K3", label = "Ignition" }} ]
loads = [ {{ id = "M1", kind = "motor", label = "Starter", ohms = 0.05 }} ]
"""  # noqa: E501
CRANK_ENDS = (
    "G1.+ F1.in",
    "F1.out S1.30",
    "S1.50 K1.86",
    "K1.85 G1.-",
    "S1.50 K2.86",
    "K2.85 G1.-",
    "S1.15 K3.86",
    "K3.85 G1.-",
    "G1.- CHASSIS",
)
CRANK_JOINTS = """
joints = [ { id = "N1", from = "G1.+", to = "K1.30", ohms = 1e-5 }, { id = "N2", from = "K1.87", to = "M1.+", ohms = 1e-5 }, { id = "N3", from = "M1.-", to = "G1.-", ohms = 1e-5 } ]
"""  # noqa: E501


def _cranked(battery_ohms: float) -> tuple[Finding, ...]:
    text = CRANK_HEAD.format(ohms=battery_ohms) + CRANK_JOINTS + wires(*CRANK_ENDS, more=THICK)
    return findings(text, FindingRule.RELAY_WEAK)


@pytest.mark.parametrize(
    ("battery_ohms", "posts_volts", "expected"),
    [
        (0.008, 10.9, {}),
        (0.030, 7.9, {"K2": Gravity.WEARS}),
        (0.045, 6.7, {"K2": Gravity.FAILS}),
        (0.120, 3.7, {"K1": Gravity.WEARS, "K2": Gravity.FAILS, "K3": Gravity.WEARS}),
    ],
)
def test_relays_while_the_starter_turns(battery_ohms: float, posts_volts: float, expected: dict[str, Gravity]) -> None:
    """What is in before the starter turns has to hold only, as has the relay that turns it; the others have to pull in.

    Hand calculation: the posts have 12.70 V × 0.05 / (0.05 + ohms of the battery). A relay pulls in with 0.60 × 12 =
    7.2 V, hot with 1.255 × 7.2 = 9.04 V (1 + 0.00393 × 65 K, copper, IEC 60028); under 0.35 × 12 = 4.2 V it may let go.
    """
    found = _cranked(battery_ohms)
    assert {one.part_ids[0]: one.gravity for one in found} == expected
    for one in found:
        assert one.value == pytest.approx(posts_volts, abs=0.25)
        assert "an estimate" in one.sentence


@pytest.mark.parametrize(("ohms", "count"), [(30, 0), (40, 1), (100, 0)])
def test_a_coil_that_never_has_enough_once_it_is_hot_is_told(ohms: float, count: int) -> None:
    """A resistor before the coil leaves it enough to pull in cold, and not hot.

    Hand calculation: 12.70 × 85 / (85 + 30) = 9.38 V, over the 9.04 V of a hot coil; behind 40 ohm 8.63 V, under it;
    behind 100 ohm 5.83 V, with which it never pulls in at all, which another finding tells.
    """
    text = f"""
fuses = [ {{ id = "F1", amps = 10 }} ]
switches = [ {{ id = "S1" }} ]
relays = [ {{ id = "K1" }} ]
resistors = [ {{ id = "R1", elements = [ {{ name = "r", from = "1", to = "2", ohms = {ohms} }} ] }} ]
"""
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 R1.1", "R1.2 K1.86", "K1.85 CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends, more=THICK), FindingRule.RELAY_WEAK)
    assert _parts(found) == [("K1",)] * count
    for one in found:
        assert one.value == pytest.approx(8.63, abs=0.05)
        assert one.rule_text is not None
        assert one.rule_text.source.endswith("IEC 60028")
