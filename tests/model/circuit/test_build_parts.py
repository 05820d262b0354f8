"""Relays, modules, resistor packs and loads of several elements as branches of the circuit."""

from __future__ import annotations

import pytest

from tests.model.circuit.rig import harness, settled, volts

STIFF = '{ id = "G1", emf = 12, ohms = 1e-6 }'

RELAY = """
relays = [ { id = "K1", ROW } ]
resistors = [ { id = "R1", elements = [ { name = "r", from = "1", to = "2", ohms = 10 } ] } ]
loads = [ { id = "E1", kind = "heater", ohms = 11.9 }, { id = "E2", kind = "heater", ohms = 11.9 } ]
switches = [ { id = "S1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0 },
  { id = "W2", from = "K1.87", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 0 },
  { id = "W4", from = "K1.87a", to = "E2.+", length = 0 },
  { id = "W5", from = "E2.-", to = "G1.-", length = 0 },
  { id = "W6", from = "G1.+", to = "S1.1", length = 0 },
  { id = "W7", from = "S1.2", to = "K1.86", length = 0 },
  { id = "W8", from = "K1.85", to = "R1.1", length = 0 },
  { id = "W9", from = "R1.2", to = "G1.-", length = 0 },
]
"""
CHANGEOVER = RELAY.replace("ROW", 'contacts = "changeover"')


def test_a_relay_coil_has_85_ohms_at_12_volts() -> None:
    """12 V over 0.1 Ω of the switch, 85 Ω and 10 Ω: 126.183 mA, 1.26183 V at K1.85."""
    found = settled(harness(CHANGEOVER, batteries=STIFF), "S1=on")
    assert volts(found, "K1.85") == pytest.approx([12 * 10 / 95.1], abs=1e-6)


def test_a_coil_follows_the_square_of_the_nominal_volts() -> None:
    """At 24 V nominal 340 Ω: 24 V over 350.1 Ω."""
    rig = harness(CHANGEOVER, build="nominal_volts = 24", batteries=STIFF.replace("12", "24"))
    assert volts(settled(rig, "S1=on"), "K1.85") == pytest.approx([24 * 10 / 350.1], abs=1e-6)


def test_a_changeover_hands_from_87a_to_87() -> None:
    """At rest 30 feeds 87a, pulled in 87, over 0.1 Ω: 12 V × 11.9 / 12."""
    rig = harness(CHANGEOVER, batteries=STIFF)
    assert volts(settled(rig), "K1.87", "K1.87a") == pytest.approx([0, 11.9], abs=1e-5)
    assert volts(settled(rig, "S1=on"), "K1.87", "K1.87a") == pytest.approx([11.9, 0], abs=1e-5)


CONTACTS = {
    'contacts = "changeover"': (11.9, 0.0),
    'contacts = { rest = [["87a", "30"]], pulled = [["30", "87", "87a"]] }': (11.9, 11.9),
    'contacts = "changeover", amps = 30': (12 * 11.9 / 11.902, 0.0),
    'contacts = "changeover", ohms = 0.5': (12 * 11.9 / 12.4, 0.0),
    'contacts = "changeover", ohms = 0.5, amps = 30': (12 * 11.9 / 12.4, 0.0),
}


@pytest.mark.parametrize("row", CONTACTS)
def test_contacts_are_named_or_listed(row: str) -> None:
    """Pulled in; a contact has 0.1 Ω by default, 0.06 / 30 A = 2 mΩ by its amperes, or its own ohms before both."""
    found = settled(harness(RELAY.replace("ROW", row), batteries=STIFF), "S1=on")
    assert volts(found, "K1.87", "K1.87a") == pytest.approx(CONTACTS[row], abs=1e-4)


def test_make_and_break_have_one_contact() -> None:
    """A relay with one contact has no terminal for the other; break carries at rest, make pulled in."""
    rows = RELAY.replace('  { id = "W4", from = "K1.87a", to = "E2.+", length = 0 },\n', "")
    make = harness(rows.replace("ROW", 'contacts = "make"'), batteries=STIFF)
    assert volts(settled(make), "K1.87") == pytest.approx([0], abs=1e-9)
    assert volts(settled(make, "S1=on"), "K1.87") == pytest.approx([11.9], abs=1e-5)
    assert "K1.87a" not in settled(make).net.index
    rows = RELAY.replace("ROW", 'contacts = "break"').replace('  { id = "W2", from = "K1.87", to = "E1.+"', "  #")
    broken = harness(rows, batteries=STIFF)
    assert volts(settled(broken), "K1.87a") == pytest.approx([11.9], abs=1e-5)
    assert volts(settled(broken, "S1=on"), "K1.87a") == pytest.approx([0], abs=1e-9)


RELAY_FAULTS = {
    # fault → volts at 87 and 87a with the switch off, and with it on
    "K1:coil=open": ((0, 11.9), (0, 11.9)),
    "K1:30-87=open": ((0, 11.9), (0, 0)),
    "K1:30-87a=open": ((0, 0), (11.9, 0)),
    "K1:30-87=stuck": ((11.9, 11.9), (11.9, 0)),
    "K1:30-87a=stuck": ((0, 11.9), (11.9, 11.9)),
    "K1:30-87=high": ((0, 11.9), (12 * 11.9 / 17, 0)),
    "K1:30-87=2.1": ((0, 11.9), (12 * 11.9 / 14, 0)),
    "K1.87=open": ((0, 11.9), (0, 0)),
    "K1.87=high": ((0, 11.9), (12 * 11.9 / 17, 0)),
    "K1.86=open": ((0, 11.9), (0, 11.9)),
    "K1.30=open": ((0, 0), (0, 0)),
}


@pytest.mark.parametrize("fault", RELAY_FAULTS)
def test_a_faulty_relay_feeds_what_it_should_not_or_nothing(fault: str) -> None:
    """0.1 Ω of contact and 11.9 Ω of heater; "high" makes 17 Ω of it, 2.1 Ω in the contact's place 14 Ω."""
    rig = harness(CHANGEOVER, batteries=STIFF)
    off, on = RELAY_FAULTS[fault]
    assert volts(settled(rig, f"!{fault}"), "K1.87", "K1.87a") == pytest.approx(off, abs=1e-4)
    if fault == "K1.87=open":
        assert volts(settled(rig, "S1=on", f"!{fault}"), "K1.87a") == pytest.approx([0], abs=1e-9)
        return
    assert volts(settled(rig, "S1=on", f"!{fault}"), "K1.87", "K1.87a") == pytest.approx(on, abs=1e-4)


def test_a_relay_out_of_its_socket_joins_nothing() -> None:
    """Contacts and coil are gone: 12 V at 86 and 30, nothing anywhere else."""
    found = settled(harness(CHANGEOVER, batteries=STIFF), "S1=on", "K1=out")
    assert volts(found, "K1.30", "K1.86", "K1.85", "K1.87", "K1.87a") == pytest.approx([12, 12, 0, 0, 0], abs=1e-9)
    assert found.relays == {"K1": False}


def test_a_coil_diode_carries_only_when_the_supply_is_turned_round() -> None:
    """Cathode on 86: 12 V on 86 leave it idle. On 85, 10 Ω in the way: (12 - 0.7) V over 0.1 + 0.01 + 10 Ω are 1.118 A.

    The coil's 0.7 V and a little beside it do not pull in.
    """
    right = harness(RELAY.replace("ROW", 'contacts = "changeover", coil_diode = "86"'), batteries=STIFF)
    assert volts(settled(right, "S1=on"), "K1.85") == pytest.approx([12 * 10 / 95.1], abs=1e-6)
    wrong = harness(RELAY.replace("ROW", 'contacts = "changeover", coil_diode = "85"'), batteries=STIFF)
    found = settled(wrong, "S1=on")
    # nodal: i = (86 - 85)/85 + (86 - 85 - 0.7)/0.01 with 86 = 12 - 0.1 i and 85 = 10 i
    amps = (12 * (1 / 85 + 100) - 70) / (1 + 10.1 * (1 / 85 + 100))
    assert volts(found, "K1.85") == pytest.approx([10 * amps], abs=1e-5)
    assert found.relays == {"K1": False}


def test_a_relay_may_have_two_coils() -> None:
    """Either coil pulls in: 12 V on the second, between 85b and 86b, with nothing on the first."""
    row = (
        'contacts = "changeover", coils = [ { from = "86", to = "85", ohms = 100 }, '
        '{ from = "86b", to = "85b", ohms = 200 } ]'
    )
    extra = """  { id = "W10", from = "G1.+", to = "K1.86b", length = 0 },
  { id = "W11", from = "K1.85b", to = "G1.-", length = 0 },
]
"""
    rows = RELAY.replace("ROW", row)[: -len("]\n")] + extra
    rig = harness(rows, batteries=STIFF)
    assert settled(rig).relays == {"K1": True}
    assert settled(rig, "W10.b=off").relays == {"K1": False}
    assert settled(rig, "!K1:coil=open").relays == {"K1": True}, "the fault is of the first coil alone"


MODULE = """
loads = [
  { id = "E1", kind = "heater", ohms = 5.5 }, { id = "E2", kind = "heater", ohms = 11 },
  { id = "E3", kind = "heater", ohms = 20 },
]
switches = [ { id = "S1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1", length = 0 },
  { id = "W2", from = "S1.2", to = "A1.15", length = 0 },
  { id = "W3", from = "G1.+", to = "A1.30", length = 0 },
  { id = "W4", from = "A1.31", to = "G1.-", length = 0 },
  { id = "W5", from = "G1.+", to = "E1.+", length = 0 },
  { id = "W6", from = "E1.-", to = "A1.low", length = 0 },
  { id = "W7", from = "A1.high", to = "E2.+", length = 0 },
  { id = "W8", from = "E2.-", to = "G1.-", length = 0 },
  { id = "W9", from = "A1.5V", to = "E3.+", length = 0 },
  { id = "W10", from = "E3.-", to = "G1.-", length = 0 },
]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 2, asleep_amps = 0.5 }, { terminal = "30", amps = 1 } ]
drivers = [
  { terminal = "low", pulls = "ground", when = ["on"], ohms = 0.5 },
  { terminal = "high", pulls = "feed", from = "30", when = ["on"], ohms = 1 },
]
outputs = [ { terminal = "5V", volts = 5, ohms = 5, from = "15" } ]
"""
STATES = {
    # condition → volts at A1.low, A1.high, A1.5V: 12 V × 0.5/6, 12 V × 11/12, 5 V × 20/25; dead 12 V, 0 V, 0 V
    "on S1=on": (1, 11, 4),
    "off S1=on": (12, 0, 4),
    "off S1=on A1.low=on A1.high=on": (1, 11, 4),
    "on S1=on A1.low=off": (12, 11, 4),
    "on S1=on A1=asleep": (12, 0, 0),
    "on": (12, 11, 0),
    "on A1.low=on": (12, 11, 0),
    "on S1=on !W3=open": (1, 0, 4),
    "on S1=on !W4=open": (12, 0, 0),
    "on S1=on A1=out": (12, 0, 0),
    "on S1=on !A1:low=open": (12, 11, 4),
    "on S1=on !A1:high=open": (1, 0, 4),
    "on S1=on !A1:5V=open": (1, 11, 0),
    "off S1=on !A1:low=stuck": (1, 0, 4),
    "off S1=off !A1:low=stuck": (1, 0, 0),
    "on S1=on !A1.31=open": (12, 0, 0),
    "on S1=on !A1:low=6.5": (12 * 6.5 / 12, 11, 4),
    "on S1=on !A1:high=13": (1, 5.5, 4),
    "on S1=on !A1:5V=30": (1, 11, 2),
}


@pytest.mark.parametrize("words", STATES)
def test_drivers_and_outputs_work_while_wanted_fed_and_awake(words: str) -> None:
    """Each works in its key states or as set, while its own feed (S1 for 15, W3 for 30) has half of 12 V."""
    key, *settings = words.split()
    found = settled(harness(MODULE, batteries=STIFF), *settings, key=key)
    low, high, five = STATES[words]
    assert volts(found, "A1.low", "A1.high", "A1.5V") == pytest.approx([low, high, five], abs=2e-4)


def test_a_driver_needs_half_of_nominal_and_no_more() -> None:
    """Behind 5.8 Ω the feed of 6 Ω keeps 6.05 V: alive; behind 6.0 Ω 5.95 V: dead (0.1 Ω of the switch beside)."""
    rig = harness(MODULE, batteries=STIFF)
    assert settled(rig, "S1=on", "!W2=5.8", key="on").volts_at("A1.low") == pytest.approx(1, abs=1e-4)
    assert settled(rig, "S1=on", "!W2=6.0", key="on").volts_at("A1.low") == pytest.approx(12, abs=1e-4)


def test_feeds_draw_their_rated_current_and_less_asleep() -> None:
    """12 V nominal over 2 A is 6 Ω: 12 V / 6.1 Ω awake; asleep 24 Ω; 30 has no figure asleep and draws as before."""
    rig = harness(MODULE, batteries=STIFF)
    assert volts(settled(rig, "S1=on"), "A1.15") == pytest.approx([12 * 6 / 6.1], abs=1e-3)
    asleep = settled(rig, "S1=on", "A1=asleep")
    assert volts(asleep, "A1.15") == pytest.approx([12 * 24 / 24.1], abs=1e-4)
    amps = {branch.element.name: sum(asleep.amps[k] for k in branch.branches) for branch in asleep.net.elements}
    assert amps["A1:30"] == pytest.approx(1, abs=1e-4)


def test_an_open_feed_draws_nothing_and_wakes_nobody() -> None:
    """The feed's own circuit is open inside: its terminal has its volts, so that what it powers goes on."""
    found = settled(harness(MODULE, batteries=STIFF), "S1=on", "!A1:15=open", key="on")
    assert volts(found, "A1.15", "A1.low") == pytest.approx([12, 1], abs=1e-4)


def test_a_floating_feed_wakes_no_driver() -> None:
    """With the feed open and its wire off, its point floats: no volts, whatever stands beside it."""
    found = settled(harness(MODULE, batteries=STIFF), "S1=on", "W2.b=off", "!A1:15=open", key="on")
    assert volts(found, "A1.15", "A1.low", "A1.5V") == [None, pytest.approx(12), pytest.approx(0)]


def test_a_module_works_on_a_positive_ground() -> None:
    """Six volts, the plus on the ground terminal: the feed stands 6 V below it and its driver pulls to that ground.

    6 V over 5.5 Ω and 0.5 Ω: the driver's terminal stands at -0.5 V.
    """
    rows = """
loads = [ { id = "E1", kind = "heater", ohms = 5.5 } ]
wires = [
  { id = "W1", from = "G1.-", to = "A1.15", length = 0 }, { id = "W2", from = "A1.31", to = "G1.+", length = 0 },
  { id = "W3", from = "G1.-", to = "E1.+", length = 0 }, { id = "W4", from = "E1.-", to = "A1.low", length = 0 },
]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 1 } ]
drivers = [ { terminal = "low", pulls = "ground", when = ["on"], ohms = 0.5 } ]
"""
    build = 'nominal_volts = 6, ground_side = "positive"'
    rig = harness(rows, build=build, batteries=STIFF.replace("12", "6"))
    assert volts(settled(rig, key="on"), "G1.+", "A1.15", "A1.low") == pytest.approx([0, -6, -0.5], abs=1e-5)
    assert volts(settled(rig, key="off"), "A1.low") == pytest.approx([-6], abs=1e-5)


PACK = """
resistors = [ { id = "R1", elements = [
    { name = "low", from = "1", to = "2", ohms = 4 }, { name = "mid", from = "2", to = "3", ohms = 2 } ] },
  { id = "R2", elements = [
    { name = "level", from = "1", to = "2", ohms = { empty = 18, full = 2, rest = "full" } } ] } ]
loads = [ { id = "E1", kind = "heater", ohms = 6 }, { id = "E2", kind = "heater", ohms = 6 } ]
wires = [
  { id = "W1", from = "G1.+", to = "R1.1", length = 0 }, { id = "W2", from = "R1.3", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 0 }, { id = "W4", from = "G1.+", to = "R2.1", length = 0 },
  { id = "W5", from = "R2.2", to = "E2.+", length = 0 }, { id = "W6", from = "E2.-", to = "G1.-", length = 0 },
]
"""

PACKS = {
    "": (8, 6, 9),
    "R2=empty": (8, 6, 3),
    "R2=full": (8, 6, 9),
    "!R1:low=open": (0, 0, 9),
    "!R1:low=short": (12 * 8 / 8.01, 12 * 6 / 8.01, 9),
    "!R1:mid=9": (12 * 15 / 19, 12 * 6 / 19, 9),
    "R1=out": (0, 0, 9),
    "!R2:level=open": (8, 6, 0),
}


@pytest.mark.parametrize("words", PACKS)
def test_a_pack_stands_at_its_position(words: str) -> None:
    """4 + 2 Ω before 6 Ω share 12 V as 4, 2, 6; the sender's 2 Ω at rest and 18 Ω empty leave 9 V and 3 V."""
    found = settled(harness(PACK, batteries=STIFF), *words.split())
    floats = [0.0 if at is None else at for at in volts(found, "R1.2", "E1.+", "E2.+")]
    assert floats == pytest.approx(PACKS[words], abs=1e-4)


TWO_FILAMENTS = """
loads = [ { id = "E1", kind = "heater", elements = [
    { name = "dip", from = "56b", to = "31", ohms = 6 },
    { name = "main", from = "56a", to = "31", watts = 48, at = 24, kind = "motor" } ] } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.56b", length = 60 },
  { id = "W2", from = "E1.31", to = "G1.-", length = 0 },
]
"""


def test_elements_of_a_load_share_a_terminal_and_feed_back() -> None:
    """The way to ground open, the dipped filament hands its volts on to the other: 12 V at 56a by way of 31."""
    rig = harness(TWO_FILAMENTS, batteries=STIFF)
    assert volts(settled(rig), "E1.56b", "E1.56a") == pytest.approx([6, 0], abs=1e-5)
    assert volts(settled(rig, "!W2=open"), "E1.56a") == pytest.approx([12], abs=1e-5)
    assert volts(settled(rig, "!E1:dip=short"), "E1.56b") == pytest.approx([12 * 0.01 / 6.01], abs=1e-5)
    assert volts(settled(rig, "!E1:dip=low draw"), "E1.56b") == pytest.approx([12 * 24 / 30], abs=1e-5)
    assert volts(settled(rig, "!E1:dip=12"), "E1.56b") == pytest.approx([8], abs=1e-5)


SWITCH = """
loads = [
  { id = "E1", kind = "heater", ohms = 1e6 }, { id = "E2", kind = "heater", ohms = 1e6 },
  { id = "E3", kind = "heater", ohms = 1e6 }, { id = "E4", kind = "heater", ohms = 1e6 },
  { id = "E5", kind = "heater", ohms = 1e6 },
]
wires = [
  { id = "W1", from = "G1.+", to = "S1.30", length = 0 }, { id = "W2", from = "S1.58", to = "E1.+", length = 0 },
  { id = "W3", from = "S1.56", to = "E2.+", length = 0 }, { id = "W4", from = "G1.+", to = "S2.B", length = 0 },
  { id = "W5", from = "S2.A", to = "E3.+", length = 0 }, { id = "W6", from = "G1.+", to = "S3.1", length = 0 },
  { id = "W7", from = "S3.2", to = "E4.+", length = 0 }, { id = "W8", from = "G1.+", to = "S4.1", length = 0 },
  { id = "W9", from = "S4.2", to = "E5.+", length = 0 }, { id = "W10", from = "E1.-", to = "G1.-", length = 0 },
  { id = "W11", from = "E2.-", to = "G1.-", length = 0 }, { id = "W12", from = "E3.-", to = "G1.-", length = 0 },
  { id = "W13", from = "E4.-", to = "G1.-", length = 0 }, { id = "W14", from = "E5.-", to = "G1.-", length = 0 },
]

[[switches]]
id = "S1"
terminals = ["30", "58", "56"]
positions = { off = [], side = [["30", "58"]], head = [["30", "58", "56"]] }

[[switches]]
id = "S2"
key = true
terminals = ["B", "A"]
positions = { off = [], on = [["B", "A"]], running = [["B", "A"]] }

[[switches]]
id = "S3"
follows = { running = "on" }

[[switches]]
id = "S4"
rest = "on"
"""

LIVE = {
    # condition → which of S1.58, S1.56, S2.A, S3.2, S4.2 are live
    "off": "S4.2",
    "on": "S2.A S4.2",
    "running": "S2.A S3.2 S4.2",
    "running S3=off": "S2.A S4.2",
    "off S3=on": "S3.2 S4.2",
    "off S1=side": "S1.58 S4.2",
    "off S1=head S4=off": "S1.58 S1.56",
    "off S1=head S1=out S4=out": "",
    "off !S1:30-56=stuck": "S1.56 S4.2",
    "off S1=head !S1:30-58=open": "S1.56 S4.2",
    "off S1=head !S1:30-56=open": "S1.58 S4.2",
    "off !S2:B-A=stuck": "S2.A S4.2",
}


@pytest.mark.parametrize("words", LIVE)
def test_a_switch_joins_the_common_to_each_of_its_group(words: str) -> None:
    """Set, at rest, with the key, following the key, out, stuck and open: live points have 12 V, the others none."""
    key, *settings = words.split()
    found = settled(harness(SWITCH, batteries=STIFF), *settings, key=key)
    points = ["S1.58", "S1.56", "S2.A", "S3.2", "S4.2"]
    assert [point for point in points if (found.volts_at(point) or 0) > 11.9] == LIVE[words].split()
