"""Loads and relays that have volts though every contact that feeds them is open."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, NO_BODY_HEAD, POSITIVE_HEAD, findings, wires

SHARED_SWITCH = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [ { id = "S1", label = "Door" }, { id = "S2", label = "Blower" }, { id = "S3" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 },
  { id = "M3", kind = "motor", amps = 2 } ]
""".replace(",\n", ", ")
NEGATIVE = ("G1.+ F1.in", "G1.+ F2.in", "F1.out E1.+", "E1.- S1.1", "S1.2 CHASSIS", "F2.out S2.1", "S2.2 M3.+")
SHARING = ("M3.+ E2.+", "E2.- S1.1", "M3.- CHASSIS", "G1.- CHASSIS")
APART = ("M3.+ E2.+", "E2.- S3.1", "S3.2 CHASSIS", "M3.- CHASSIS", "G1.- CHASSIS")


def _turned(ends: tuple[str, ...]) -> tuple[str, ...]:
    """Exchange plus and minus of everything: the same loom with the positive post on the frame."""
    return tuple(one.replace("+", "~").replace(".-", ".+").replace("~", "-") for one in ends)


@pytest.mark.parametrize(
    ("head", "ends", "is_told"),
    [
        (HEAD, (*NEGATIVE, *SHARING), True),
        (HEAD, (*NEGATIVE, *APART), False),
        (POSITIVE_HEAD, _turned((*NEGATIVE, *SHARING)), True),
        (POSITIVE_HEAD, _turned((*NEGATIVE, *APART)), False),
        (NO_BODY_HEAD, tuple(one.replace("CHASSIS", "J1") for one in (*NEGATIVE, *SHARING)), True),
    ],
)
def test_lamps_that_share_a_ground_switch_feed_each_other(head: str, ends: tuple[str, ...], is_told: bool) -> None:
    """With both switches off current runs E1, S1's feed side, E2, M3: the lamps have 46 % of their volts each.

    Hand calculation: a battery of 12 V at rest has 1.058 × 12 = 12.70 V. The lamps take 0.417 A × (V / 12)^0.55, the
    motor of 6 ohm the same: 2 × V + 6 × 0.417 × (V / 12)^0.55 = 12.70 gives V = 5.52.
    """
    text = head + SHARED_SWITCH + ('splices = [ { id = "J1" } ]\n' if "chassis" in head else "")
    found = findings(text + wires(*ends, more="size = 2.5, length = 0.3"), FindingRule.BACKFEED)
    assert len(found) == is_told
    for one in found:
        assert one.gravity is Gravity.FAILS
        assert one.part_ids == ("E1", "E2", "M3")
        assert one.value == pytest.approx(46.0, abs=0.5)
        assert one.unit == "% of its volts"
        assert "S1 (Door) and S2 (Blower) open" in one.sentence


def test_only_what_would_feed_is_named_as_open() -> None:
    """The key joins 30 to 15; open are the isolator, and the key's 50 and a relay, of which no way leads to a post.

    Both lamps hang on 15: a third that is fed by itself keeps the loose piece up through E2.
    """
    rows = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [ { id = "S11" }, { id = "S3" }, { id = "S1", key = true, terminals = [30, 15, 50], positions = { off = [], on = [[30, 15]], running = [[30, 15]], start = [[30, 15, 50]] } } ]
relays = [ { id = "K2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 }, { id = "M1", kind = "motor", amps = 5 } ]
"""  # noqa: E501
    ends = ("G1.+ F1.in", "F1.out S11.1", "S11.2 S1.30", "S1.15 E1.+", "E1.- CHASSIS", "G1.+ F2.in", "F2.out S3.1",
            "S3.2 E2.+", "E2.- S1.15", "S1.50 K2.86", "K2.85 CHASSIS", "S11.2 K2.30", "K2.87 M1.+", "M1.- CHASSIS",
            "G1.- CHASSIS")  # fmt: skip
    head = HEAD.replace('{ name = "on" }', '{ name = "on" }, { name = "start" }')
    found = findings(head + rows + wires(*ends, more="size = 2.5, length = 0.3"), FindingRule.BACKFEED)
    assert found
    assert any("with S11 open" in one.sentence for one in found), [one.sentence for one in found]


DRIVEN = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" }, { id = "S2" } ]
relays = [ { id = "K1" }, { id = "K2" } ]
loads = [ { id = "E2", kind = "lamp", watts = 21 } ]
modules = [ { id = "A1", feeds = [ { terminal = "15", amps = 0.1 } ], drivers = [ { terminal = "p", pulls = "ground", when = ["running"] }, { terminal = "q", pulls = "ground", when = ["running"] } ] } ]
"""  # noqa: E501
DRIVEN_ENDS = (
    "G1.+ F1.in",
    "F1.out A1.15",
    "A1.31 CHASSIS",
    "G1.- CHASSIS",
    "F1.out S1.1",
    "F1.out S2.1",
    "S1.2 K1.86",
    "S2.2 K2.86",
    "S2.2 E2.+",
    "E2.- CHASSIS",
    "K1.85 A1.p",
)


@pytest.mark.parametrize(("driver", "parts"), [("p", ("K1", "K2")), ("q", None)])
def test_coils_on_one_driver_feed_each_other_with_one_switch_off(driver: str, parts: tuple[str, ...] | None) -> None:
    """With the driver off and S2 off, K1's coil feeds K2's backwards and on to the lamp: 6.3 V across each.

    No survey with everything on shows it, since then both coils hang on the feed: S2 alone must be at rest. Hand
    calculation: 85 ohm and 85 ohm share 12.70 V, the cold lamp of 0.57 ohm takes next to nothing.
    """
    found = findings(HEAD + DRIVEN + wires(*DRIVEN_ENDS, f"K2.85 A1.{driver}"), FindingRule.BACKFEED)
    assert [one.part_ids for one in found] == ([parts] if parts else [])
    for one in found:
        assert one.value == pytest.approx(100 * 6.33 / 12, abs=1.0)
        assert "S2 at rest, everything else on" in one.sentence or "S1 at rest, everything else on" in one.sentence


RELAYED = """
fuses = [ { id = "F1", amps = 20 } ]
switches = [ { id = "S1" }, { id = "S4" } ]
relays = [ { id = "K1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 }, { id = "M3", kind = "motor", amps = 2 } ]
modules = [ { id = "A1", feeds = [ { terminal = "15", amps = 0.1 } ], drivers = [ { terminal = "p", pulls = "ground", when = ["running"] } ] } ]
"""  # noqa: E501
RELAYED_ENDS = (
    "G1.+ F1.in",
    "G1.- CHASSIS",
    "F1.out A1.15",
    "A1.31 CHASSIS",
    "F1.out S4.1",
    "S4.2 E1.+",
    "E1.- A1.p",
    "E2.- A1.p",
    "F1.out K1.30",
    "K1.87 E2.+",
    "K1.87 M3.+",
    "M3.- CHASSIS",
    "F1.out S1.1",
    "S1.2 K1.86",
    "K1.85 CHASSIS",
)


def test_what_a_relay_lets_go_with_its_switch_is_looked_at_too() -> None:
    """S1 at rest drops K1, and E1, which S4 feeds, sends its current through E2 and M3: 46 % of its volts again.

    The driver is off, so that the ground side of both lamps hangs loose; with S1 on both are fed and have none.
    """
    (one,) = findings(HEAD + RELAYED + wires(*RELAYED_ENDS, more="size = 2.5, length = 0.3"), FindingRule.BACKFEED)
    assert one.part_ids == ("E1", "E2", "M3")
    assert one.value == pytest.approx(46.0, abs=0.5)
    assert "key on, S1 at rest, everything else on" in one.sentence or "key off, S1 at rest" in one.sentence


TELL_TALE = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", terminals = ["1", "L", "R"], positions = { off = [], left = [["1", "L"]], right = [["1", "R"]], both = [["1", "L", "R"]] } } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 21 }, { id = "E3", kind = "lamp", watts = 1.2 } ]
"""  # noqa: E501
TELL_TALE_ENDS = (
    "G1.+ F1.in",
    "F1.out S1.1",
    "S1.L E1.+",
    "S1.R E2.+",
    "E1.- CHASSIS",
    "E2.- CHASSIS",
    "G1.- CHASSIS",
    "E3.+ S1.L",
    "E3.- S1.R",
)


def test_a_lamp_that_finds_its_ground_through_another_by_design_is_not_told() -> None:
    """A tell-tale between left and right burns through the cold lamp of the other side, which has a trace alone.

    Hand calculation: 0.1 A through a cold lamp of 12 V / 1.75 A / 12 = 0.57 ohm gives 0.06 V, 0.5 % of its volts.
    """
    assert findings(HEAD + TELL_TALE + wires(*TELL_TALE_ENDS), FindingRule.BACKFEED) == ()


@pytest.mark.parametrize(("asked", "count"), [("", 1), (', works_with = { S1 = "dim" }', 0)])
def test_what_the_file_asks_to_work_dimmed_is_not_told(asked: str, count: int) -> None:
    """A lamp that burns in series with a heater in one position is backfed, unless the file asks for just that."""
    text = f"""
fuses = [ {{ id = "F1", amps = 10 }} ]
switches = [ {{ id = "S1", terminals = ["1", "2", "3"], positions = {{ off = [], dim = [["1", "2"]], full = [["1", "3"]] }} }} ]
loads = [ {{ id = "E1", kind = "lamp", watts = 21{asked} }}, {{ id = "E2", kind = "heater", amps = 3, works_with = {{ S1 = "dim" }} }} ]
"""  # noqa: E501
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.3 E1.+", "E1.- CHASSIS", "S1.2 E2.+", "E2.- E1.+", "G1.- CHASSIS")
    assert len(findings(HEAD + text + wires(*ends), FindingRule.BACKFEED)) == count


def test_airbag_wiring_is_never_measured() -> None:
    """Where a backfed part is marked as restraint, no measuring is asked for, but leaving it alone."""
    text = SHARED_SWITCH.replace('{ id = "E2",', '{ id = "E2", hazard = "restraint",')
    (one,) = findings(HEAD + text + wires(*NEGATIVE, *SHARING), FindingRule.BACKFEED)
    assert one.do.startswith("No probe goes there")
    assert "measure" not in one.do
