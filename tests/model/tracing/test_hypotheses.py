"""What may be wrong with a load: each kind of fault where it can matter, none where it cannot."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import make_condition
from model.circuit.faults import Fault, FaultKind
from model.harness.harness import Harness
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.hypotheses import Learned, hypotheses, pair_of
from model.tracing.suspects import RECORD, UNKNOWN, Hypothesis
from tests.model.tracing.rigs import rig, wires

LAMP = rig(
    """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [ { id = "S1" }, { id = "S2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 },
          { id = "E3", kind = "lamp", watts = 5 } ]
connectors = [ { id = "X1", cavities = 4 } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
"""
    + wires(
        "G1.+ F1.in", "F1.out S1.1", "S1.2 X1.plug.1", "X1.socket.1 E1.+", "E1.- GND1", "G1.- GND2",
        "G1.+ F2.in", "F2.out S2.1", "S2.2 X1.plug.2", "X1.socket.2 E2.+", "E2.- GND1", "F1.out E3.+", "E3.- GND1",
    )
)  # fmt: skip
"""A lamp behind F1, S1 and X1; another beside it behind F2, S2 and X1; a third on the first one's fuse."""

RELAY = rig(
    """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
relays = [ { id = "K1", contacts = "changeover" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 21 } ]
diodes = [ { id = "V1" } ]
"""
    + wires(
        "G1.+ F1.in", "F1.out K1.30", "K1.87 E1.+", "E1.- G1.-", "F1.out K1.86", "K1.85 S1.1", "S1.2 G1.-",
        "K1.87a E2.+", "E2.- G1.-", "K1.85 V1.anode", "K1.86 V1.cathode",
    ),
    build="nominal_volts = 12, chassis = false",
)  # fmt: skip
"""A lamp behind a changeover relay whose coil S1 grounds, with a diode across the coil; no body."""


def suspects(
    harness: Harness, complaint: Complaint, *settings: str, learned: Learned | None = None
) -> tuple[Hypothesis, ...]:
    """List the hypotheses of a complaint with what is set."""
    condition = make_condition(harness, None, settings)
    return hypotheses(Bench(harness), complaint, condition, learned=learned or Learned())


def named(found: tuple[Hypothesis, ...]) -> dict[tuple[str, str], list[Hypothesis]]:
    """Map site and fault to the hypotheses that have them."""
    by_name: dict[tuple[str, str], list[Hypothesis]] = {}
    for one in found:
        by_name.setdefault((one.site, one.fault), []).append(one)
    return by_name


def weight(found: tuple[Hypothesis, ...], site: str, fault: str) -> float:
    """Add up the weights of a fault at a site."""
    return sum(one.weight for one in named(found)[site, fault])


@pytest.mark.parametrize(
    ("site", "fault"),
    [
        ("W2", "open"), ("W2", "high"), ("W2", "to body"), ("X1.1", "open"), ("X1.1", "high"), ("F1", "blown"),
        ("F1", "missing"), ("F1", "high"), ("F1", "too small"), ("S1:1-2", "open"), ("S1:1-2", "high"),
        ("GND1", "open"), ("GND1", "high"), ("GND2", "high"), ("E1:load", "open"), ("E1:load", "low draw"),
        ("E1:load", "short"), ("E3:load", "short"), ("W12", "to body"), ("G1.+", "high"), ("G1.-", "open"),
        ("G1", "flat"), ("S1.2", "open"), ("F1.in", "high"), ("E1.+", "open"), ("X1.1/2", "swapped"),
        ("W3", "elsewhere"), ("W3.a", "elsewhere"), ("W3", "touches"), ("W2", UNKNOWN), ("", RECORD),
    ],
)  # fmt: skip
def test_a_dead_lamp_may_be_any_of_these(site: str, fault: str) -> None:
    """What lies on its feed and ground, and what could blow its fuse, is suspected."""
    assert (site, fault) in named(suspects(LAMP, Complaint(("E1:load",)), "S1=on"))


@pytest.mark.parametrize("site", ["W7", "W8", "W9", "W10", "W11", "S2:1-2", "F2", "E2:load", "X1.2", "X1.3", "S2.1"])
def test_another_circuit_is_no_suspect(site: str) -> None:
    """Nothing of the second lamp can make the first one dead, save where its wires touch or change places."""
    found = suspects(LAMP, Complaint(("E1:load",)), "S1=on")
    assert {one.fault for one in found if one.site == site} <= {"to body", "touches"}
    assert not [one for one in found if one.site == site and site != "W7"]


def test_a_loom_without_a_body_touches_none() -> None:
    """Where there is no metal to chafe on, no wire is said to touch it, and the ground is touched as a wire."""
    found = suspects(RELAY, Complaint(("E1:load",)), "S1=on")
    assert not [one for one in found if one.fault == "to body"]
    assert [one for one in found if one.fault == "touches"]


@pytest.mark.parametrize(
    ("site", "fault"),
    [
        ("K1:coil", "open"), ("K1:30-87", "open"), ("K1:30-87", "high"), ("K1:30-87a", "stuck"), ("W5", "open"),
        ("W2", "open"), ("W6", "high"), ("W7", "open"), ("S1:1-2", "open"), ("K1.85", "open"), ("K1.87", "high"),
        ("V1", "short"), ("V1", "reversed"), ("W6", "touches"),
    ],
)  # fmt: skip
def test_a_relay_brings_its_control_side(site: str, fault: str) -> None:
    """Coil, its feed and its ground side are suspects too, and the diode across it, which would blow the fuse."""
    assert (site, fault) in named(suspects(RELAY, Complaint(("E1:load",)), "S1=on"))


def test_a_contact_that_is_open_may_be_stuck_and_one_that_is_closed_is_not() -> None:
    """A lamp that stays on with its switch off: S1 and the relay's contact may be stuck."""
    off = named(suspects(RELAY, Complaint(("E1:load",), Symptom.STAYS_ON)))
    assert ("S1:1-2", "stuck") in off
    assert ("K1:30-87", "stuck") in off
    assert ("S1:1-2", "open") not in off
    on = named(suspects(RELAY, Complaint(("E1:load",)), "S1=on"))
    assert ("S1:1-2", "stuck") not in on


def test_positive_ground_is_traced_to_the_other_post() -> None:
    """The body is on plus: a wire on the minus side meets it, and the feed's fuse has it behind it."""
    rows = (
        'fuses = [ { id = "F1", amps = 10 } ]\nloads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
        'grounds = [ { id = "GND1" }, { id = "GND2" } ]\n'
    )
    ends = wires("G1.- F1.in", "F1.out E1.+", "E1.- GND1", "G1.+ GND2")
    harness = rig(rows + ends, build='nominal_volts = 12, ground_side = "positive"')
    found = named(suspects(harness, Complaint(("E1:load",))))
    assert {("W2", "to body"), ("W1", "open"), ("W4", "high"), ("G1.-", "high"), ("G1.+", "high")} <= found.keys()
    assert ("W3", "to body") not in found


def test_what_carries_a_starter_s_current_has_milliohms() -> None:
    """0.01 Ω at 200 A is 2 V; the same joint in a lamp's feed is never seen."""
    rows = 'loads = [ { id = "M1", kind = "motor", amps = 200 }, { id = "E1", kind = "lamp", watts = 5 } ]\n'
    harness = rig(rows + wires("G1.+ M1.+", "M1.- G1.-", "G1.+ E1.+", "E1.- G1.-"))
    starter, lamp = (named(suspects(harness, Complaint((name,)))) for name in ("M1:load", "E1:load"))
    assert starter["W1", "high"][0].ways[0].added_ohms == 0.01
    assert lamp["W3", "high"][0].ways[0].added_ohms == 0.3


def test_batteries_in_series_may_have_a_wire_on_the_middle() -> None:
    """24 V of two batteries: the link between them is a suspect, and the feed may sit on the middle post."""
    rows = 'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
    ends = wires("G1.+ E1.+", "E1.- G2.-", "G1.- G2.+")
    both = '{ id = "G1" }, { id = "G2" }'
    harness = rig(rows + ends, build="nominal_volts = 24, chassis = false", batteries=both)
    found = named(suspects(harness, Complaint(("E1:load",), age=LoomAge.NEW)))
    assert {("W3", "open"), ("G1", "flat"), ("G2", "flat"), ("G2.+", "high")} <= found.keys()
    assert {"G1.-", "G2.+"} <= {one.partner for one in found["W1.a", "elsewhere"]}


def test_a_resistance_in_the_way_and_a_diode_are_suspects() -> None:
    """A blower behind its pack, a lamp behind a diode: open, shorted, the diode also the wrong way round."""
    rows = (
        'loads = [ { id = "M1", kind = "motor", amps = 5 } ]\ndiodes = [ { id = "V1" } ]\n'
        'resistors = [ { id = "R1", elements = [ { name = "low", from = "1", to = "2", ohms = 1.0 } ] } ]\n'
    )
    harness = rig(rows + wires("G1.+ V1.anode", "V1.cathode R1.1", "R1.2 M1.+", "M1.- G1.-"))
    found = named(suspects(harness, Complaint(("M1:load",))))
    assert {("V1", "open"), ("V1", "reversed"), ("R1:low", "open"), ("R1:low", "short")} <= found.keys()
    assert {("R1.1", "high"), ("V1.cathode", "open")} <= found.keys()


def test_what_carries_a_hazard_may_be_the_fault_all_the_same() -> None:
    """An airbag's feed is a suspect: not probing it is the checks' business."""
    rows = 'loads = [ { id = "E1", kind = "electronics", amps = 1, hazard = "restraint" } ]\n'
    harness = rig(rows + wires("G1.+ E1.+", "E1.- G1.-"))
    assert ("W1", "open") in named(suspects(harness, Complaint(("E1:load",))))


def test_only_what_takes_more_current_blows_a_fuse() -> None:
    """No open joint or high resistance blows a fuse; shorts behind it, wrong places and a small fuse do."""
    found = suspects(LAMP, Complaint(("E1:load",), Symptom.BLOWS_FUSE, fuse="F1"), "S1=on")
    faults = {one.fault for one in found}
    assert faults.isdisjoint({"open", "high", "blown", "missing", "flat", "low draw", "no output"})
    assert {"to body", "touches", "short", "too small", "elsewhere", "swapped", UNKNOWN, RECORD} == faults


def test_a_lamp_with_another_load_s_current_has_the_shared_ground() -> None:
    """Lit by the second lamp's switch: the ground of both, the ground of what hangs beside, the touching wires."""
    complaint = Complaint(("E1:load",), Symptom.WORKS_WITH_ANOTHER, other_load="E2:load")
    found = named(suspects(LAMP, complaint, "S2=on"))
    assert ("GND1", "open") in found
    assert any(one.partner in ("W9", "W10") for one in found["W3", "touches"] + found["W4", "touches"])
    assert "X1.plug.2" in [one.partner for one in found["W3", "elsewhere"]]


def test_two_wires_touch_once() -> None:
    """W3 touching W9 is W9 touching W3: the one on the ways is named, and never the same metal."""
    found = [one for one in suspects(LAMP, Complaint(("E1:load",)), "S1=on") if one.fault == "touches"]
    sets = [frozenset((one.site, one.partner)) for one in found]
    assert len(sets) == len(set(sets))
    assert ("W3", "W9") in [(one.site, one.partner) for one in found]
    assert ("W3", "W4") not in [(one.site, one.partner) for one in found]


def test_a_short_ahead_of_every_fuse_weighs_a_fiftieth() -> None:
    """W1 runs from the post to the fuse: had it met the body it would have burnt; W2 behind the fuse is as long."""
    found = suspects(LAMP, Complaint(("E1:load",), Symptom.BLOWS_FUSE, fuse="F1"), "S1=on")
    assert weight(found, "W1", "to body") == pytest.approx(0.02 * weight(found, "W2", "to body"))


def test_a_high_resistance_is_one_suspect_of_several_sizes() -> None:
    """0.3 to 1000 Ω; in the battery's post milliohms too."""
    found = named(suspects(LAMP, Complaint(("E1:load",)), "S1=on"))
    (wire,), (post,) = found["W3", "high"], found["G1.+", "high"]
    assert [way.added_ohms for way in wire.ways] == [0.3, 1, 3, 10, 30, 100, 1000]
    assert [way.added_ohms for way in post.ways] == [0.01, 0.03, 0.1, 0.3, 1, 3, 10, 30, 100, 1000]


def test_what_one_work_mends_is_spelled_alike() -> None:
    """Open and high of a wire are mended by another wire; a blown and a loose fuse at the fuse."""
    found = named(suspects(LAMP, Complaint(("E1:load",)), "S1=on"))
    repairs = {name: ones[0].repair for name, ones in found.items()}
    assert repairs["W2", "open"] == repairs["W2", "high"] == repairs["W2", UNKNOWN] == "wire W2"
    assert repairs["F1", "blown"] == repairs["F1", "high"] == "fuse F1"
    assert repairs["W2", "to body"] == "insulation W2"
    assert repairs["X1.1", "open"] == "contact X1.1"
    assert repairs["X1.1/2", "swapped"] == "pins X1.1/2"
    assert repairs["W3", "elsewhere"] == repairs["W3.a", "elsewhere"] == "end of W3"


def test_weights_follow_the_age_of_the_loom() -> None:
    """Wrong places and an untrue record in a new loom; a blown lamp and corroded grounds in an old one."""
    new, old = (suspects(LAMP, Complaint(("E1:load",), age=age), "S1=on") for age in (LoomAge.NEW, LoomAge.OLD))
    for found in (new, old):
        assert sum(one.weight for one in found) == pytest.approx(1.0)
        assert all(one.weight > 0 for one in found)
    assert weight(new, "X1.1/2", "swapped") > 3 * weight(old, "X1.1/2", "swapped")
    assert weight(new, "", RECORD) > weight(old, "", RECORD)
    assert weight(old, "E1:load", "open") > 3 * weight(new, "E1:load", "open")
    assert weight(old, "GND1", "high") > weight(new, "GND1", "high")


def test_an_unknown_fault_has_a_twentieth_of_its_part() -> None:
    """All faults of W3 together, both ends and touching among them, over twenty."""
    found = suspects(LAMP, Complaint(("E1:load",)), "S1=on")
    listed = sum(one.weight for one in found if one.site in ("W3", "W3.a") and one.fault != UNKNOWN)
    assert weight(found, "W3", UNKNOWN) == pytest.approx(listed / 20)
    assert [one.fault for one in found].count(RECORD) == 1


def test_what_was_worked_on_is_likelier_and_what_was_measured_good_less() -> None:
    """Against a wire that nothing is known of: four times, and a fiftieth (judgement, in the table)."""
    known = Learned(disturbed=frozenset({"W3"}), measured_good=frozenset({"W4"}), swapped=frozenset({"S1"}))
    plain = suspects(LAMP, Complaint(("E1:load",)), "S1=on")
    found = suspects(LAMP, Complaint(("E1:load",)), "S1=on", learned=known)

    def change(site: str) -> float:
        ratio = weight(found, site, "open") / weight(plain, site, "open")
        return ratio / (weight(found, "W2", "open") / weight(plain, "W2", "open"))

    assert change("W3") == pytest.approx(4.0)
    assert change("W4") == pytest.approx(0.02)
    assert change("S1:1-2") == pytest.approx(0.1)


def test_wet_and_moving_places_wear_more() -> None:
    """A ground in the wet against one in the dry: twice; a longer wire a little more than a short one."""
    harness = rig(
        'locations = [ { name = "sump", exposure = ["wet"] } ]\n'
        'grounds = [ { id = "GND1", location = "sump" }, { id = "GND2" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
        'wires = [ { id = "W1", from = "G1.+", to = "E1.+", length = 1 }, { id = "W2", from = "E1.-", to = "GND1" }, '
        '{ id = "W3", from = "G1.-", to = "GND2", length = 4 } ]\n'
    )
    found = suspects(harness, Complaint(("E1:load",)))
    assert weight(found, "GND1", "open") == pytest.approx(2 * weight(found, "GND2", "open"))
    assert weight(found, "W3", "open") == pytest.approx(1.2 / 0.9 * weight(found, "W1", "open"))


def test_a_pair_holds_two_faults_at_once() -> None:
    """The product of the two weights, both faults at once, a high resistance at 5 Ω."""
    found = named(suspects(LAMP, Complaint(("E1:load",)), "S1=on"))
    one, other = found["W3", "open"][0], found["GND1", "high"][0]
    pair = pair_of(one, other)
    assert (pair.site, pair.fault) == ("W3 + GND1", "open + high")
    assert pair.is_pair
    assert pair.weight == pytest.approx(one.weight * other.weight)
    assert pair.ways == (Fault("W3", FaultKind.OPEN), Fault("GND1", FaultKind.HIGH, added_ohms=5.0))
    assert pair.repair == "wire W3 + ground GND1"
