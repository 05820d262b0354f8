"""The circuit at rest: fuses that open, posts that were read, points that float."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.condition import make_condition
from model.circuit.settle import settle
from model.errors import CircuitError
from model.harness.toml_file import read_harness
from tests.model.circuit.rig import CHAIN, fuse_amps, harness, settled, volts

STIFF = '{ id = "G1", emf = 12, ohms = 1e-6 }'


def fused(*fuses: str, load_ohms: float = 1.0) -> str:
    """Make the rows of fuses in a row before a load; each fuse has a microohm unless its row says more."""
    rows = [f'{{ id = "F{n}", ohms = 1e-6, {fuse} }}' for n, fuse in enumerate(fuses, start=1)]
    points = ["G1.+", *(f"F{n}.{end}" for n in range(1, len(fuses) + 1) for end in ("in", "out")), "E1.+"]
    wires = [
        f'{{ id = "W{n}", from = "{points[2 * n]}", to = "{points[2 * n + 1]}", length = 0 }}'
        for n in range(len(points) // 2)
    ]
    return f"""
fuses = [ {", ".join(rows)} ]
loads = [ {{ id = "E1", kind = "heater", ohms = {load_ohms} }} ]
wires = [ {", ".join(wires)}, {{ id = "W9", from = "E1.-", to = "G1.-", length = 0 }} ]
"""


@pytest.mark.parametrize(("amps", "blows"), [(8.88, True), (8.9, False)])
def test_a_fuse_opens_above_135_percent_of_its_rating(amps: float, blows: bool) -> None:
    """12 A: 1.35 × 8.88 A = 11.99 A is passed, 1.35 × 8.90 A = 12.02 A is not (ISO 8820-3, within half an hour)."""
    found = settled(harness(fused(f"amps = {amps}"), batteries=STIFF))
    assert found.blown == (("F1",) if blows else ())
    assert volts(found, "E1.+") == pytest.approx([0 if blows else 12], abs=1e-4)


def test_the_fuse_that_is_passed_most_opens_first_and_saves_the_others() -> None:
    """12 A are 2.4 × 5 A and 1.6 × 7.5 A: the one of 5 A opens, and the other carries nothing any more."""
    found = settled(harness(fused("amps = 7.5", "amps = 5"), batteries=STIFF))
    assert found.blown == ("F2",)


def test_of_two_passed_alike_the_smaller_opens() -> None:
    """20 A and 10 A side by side, each with twice its rating through it: the one of 10 A opens first, then the other.

    0.01 ∥ 0.02 Ω and the load make 0.2 Ω: 60 A, 40 A in F1 and 20 A in F2. With F2 open F1 has all of it.
    """
    rows = """
fuses = [ { id = "F1", amps = 20, ohms = 0.01 }, { id = "F2", amps = 10, ohms = 0.02 } ]
loads = [ { id = "E1", kind = "heater", ohms = 0.193334 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0 }, { id = "W2", from = "G1.+", to = "F2.in", length = 0 },
  { id = "W3", from = "F1.out", to = "E1.+", length = 0 }, { id = "W4", from = "F2.out", to = "E1.+", length = 0 },
  { id = "W5", from = "E1.-", to = "G1.-", length = 0 },
]
"""
    assert settled(harness(rows, batteries=STIFF)).blown == ("F2", "F1")


def test_after_one_fuse_everything_settles_anew() -> None:
    """A shorted branch blows its own fuse alone: 12 V / 0.51 Ω passes 10 A most; the 15 A before both then carries 2 A.

    The 15 A fuse has 25.5 A (1.7 ×) while the short stands, the branch's 10 A 23.5 A (2.35 ×).
    """
    rows = """
fuses = [ { id = "F1", amps = 15, ohms = 0.5 }, { id = "F2", amps = 10, ohms = 1e-6 } ]
loads = [ { id = "E1", kind = "heater", ohms = 5.5 }, { id = "E2", kind = "heater", ohms = 100 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0 }, { id = "W2", from = "F1.out", to = "E1.+", length = 0 },
  { id = "W3", from = "F1.out", to = "F2.in", length = 0 }, { id = "W4", from = "F2.out", to = "E2.+", length = 0 },
  { id = "W5", from = "E1.-", to = "G1.-", length = 0 }, { id = "W6", from = "E2.-", to = "G1.-", length = 0 },
]
"""
    found = settled(harness(rows, batteries=STIFF), "!E2:load=short")
    assert found.blown == ("F2",)
    assert fuse_amps(found, "F1") == pytest.approx(2, abs=1e-4)


def test_a_breaker_that_resets_is_told_as_cycling() -> None:
    """It opens like any other, and stands among those that come and go."""
    found = settled(harness(fused('amps = 5, style = "breaker", resets = true'), batteries=STIFF))
    assert (found.blown, found.cycling) == (("F1",), ("F1",))


def test_a_thermal_fuse_never_opens_by_current() -> None:
    """12 A through a thermal fuse without a rating, and through one rated at 2 A."""
    found = settled(harness(fused('style = "thermal"', 'style = "thermal", amps = 2'), batteries=STIFF))
    assert found.blown == ()


@pytest.mark.parametrize(("fault", "blows"), [("", False), ("!F1=too small", True)])
def test_a_fuse_that_is_too_small_has_half_the_rating(fault: str, blows: bool) -> None:
    """12 A: 1.35 × 15 A hold it, 1.35 × 7.5 A = 10.125 A do not."""
    found = settled(harness(fused("amps = 15"), batteries=STIFF), *([fault] if fault else []))
    assert found.blown == (("F1",) if blows else ())


def test_a_fuse_that_is_too_small_has_the_cold_ohms_of_its_rating() -> None:
    """A blade fuse of 15 A has 4.8 mΩ, one of 7.5 A 10.9 mΩ: at 2 A 12.2 mV more are lost."""
    rows = fused("amps = 15", load_ohms=6).replace("ohms = 1e-6, ", "")
    rig = harness(rows, batteries=STIFF)
    assert volts(settled(rig), "E1.+") == pytest.approx([12 * 6 / 6.0048], abs=1e-5)
    assert volts(settled(rig, "!F1=too small"), "E1.+") == pytest.approx([12 * 6 / 6.0109], abs=1e-5)


def test_a_fuse_opens_only_where_the_circuit_rests() -> None:
    """A relay that buzzes on a fuse of 5 A: its contact's 12 A never stand, and no fuse is said to blow."""
    rows = fused("amps = 5").replace("loads", 'relays = [ { id = "K1", contacts = "break" } ]\nloads')
    rows = rows.replace('{ id = "W9"', '{ id = "W5", from = "F1.out", to = "K1.30", length = 0 }, { id = "W9"')
    rows = rows.replace(
        '{ id = "W9"',
        '{ id = "W6", from = "K1.87a", to = "K1.86", length = 0 }, '
        '{ id = "W7", from = "K1.85", to = "G1.-", length = 0 }, { id = "W9"',
    )
    found = settled(harness(rows, batteries=STIFF))
    assert (found.buzzing, found.blown) == (("K1",), ())


def test_the_emf_follows_from_the_volts_read_at_the_posts() -> None:
    """2 A through the battery's 0.1 Ω at 11.8 V: an emf of 12.0 V; at 10.03 V of posts 5.9 Ω take 1.7 A: 10.2 V."""
    rig = harness(CHAIN)
    found = settled(rig, "S1=on", battery=10.03)
    assert found.posts_volts == pytest.approx(10.03, abs=1e-6)
    assert found.first_emf == pytest.approx(10.2, abs=1e-5)
    assert volts(found, "E1.+") == pytest.approx([10.03 * 5.2 / 5.9], abs=1e-5)


def test_an_emf_read_in_one_state_serves_in_another() -> None:
    """The emf of 10.2 V from above at rest: 10.2 V at the posts."""
    rig = harness(CHAIN)
    assert settle(rig, make_condition(rig), first_emf=10.2).posts_volts == pytest.approx(10.2)


def test_the_posts_of_a_flat_battery_show_what_was_read() -> None:
    """Ten times its ohms, and the emf follows from the posts: 1.7 A through 1 Ω above 10.03 V."""
    found = settled(harness(CHAIN), "S1=on", "!G1=flat", battery=10.03)
    assert found.first_emf == pytest.approx(11.73, abs=1e-5)


def test_posts_far_below_the_emf_are_found() -> None:
    """Under a starter of 0.01 Ω a battery of 0.08 Ω shows a ninth of its emf: 1.3 V of 11.7 V."""
    rows = (
        CHAIN.replace("ohms = 4.8", "ohms = 1e-6")
        .replace("length = 1", "length = 0")
        .replace("ohms = 0.1", "ohms = 1e-6")
    )
    rig = harness(
        rows,
        batteries='{ id = "G1", ohms = 0.08 }',
        defaults="crimp = 1e-9, contact = 0.005, switch = 0.003, ground = 0.0005, chassis = 0.0005",
    )
    assert settled(rig, "S1=on", battery=1.3).first_emf == pytest.approx(1.3 * 9, abs=0.01)


CHARGER = """
chargers = [ { id = "G2", volts = 14, ohms = 0.1 } ]
loads = [ { id = "E1", kind = "heater", ohms = 6.9 } ]
wires = [
  { id = "W1", from = "G2.+", to = "G1.+", length = 0 }, { id = "W2", from = "G2.-", to = "G1.-", length = 0 },
  { id = "W3", from = "G1.+", to = "E1.+", length = 0 }, { id = "W4", from = "E1.-", to = "G1.-", length = 0 },
]
"""


@pytest.mark.parametrize("posts_volts", [13.2, 13.8, 14.5])
def test_a_charger_that_is_on_holds_what_was_read(posts_volts: float) -> None:
    """The charger's volts give way, 7.0 / 6.9 of those at the posts, and the battery keeps its emf for other states."""
    rig = harness(CHARGER)
    found = settled(rig, key="running", battery=posts_volts)
    assert found.posts_volts == pytest.approx(posts_volts, abs=1e-5)
    assert found.first_emf == settled(rig).first_emf
    assert volts(found, "E1.+") == pytest.approx([posts_volts], abs=1e-5)


def test_posts_too_low_for_a_charger_tell_that_it_gives_nothing() -> None:
    """11 V while running: emf 11 V + 0.1 Ω × 11 V / 6.9 Ω, all of it from the battery."""
    found = settled(harness(CHARGER), key="running", battery=11)
    assert found.first_emf == pytest.approx(11 + 0.1 * 11 / 6.9, abs=1e-5)


def test_volts_that_the_posts_cannot_read_are_refused() -> None:
    """A second battery of 12 V and 0.1 Ω holds 12 V × 6.9 / 7 = 11.83 V: the first, however flat, reads no 11 V."""
    rows = CHARGER.partition("\n")[2].partition("\n")[2].replace("G2", "G3")
    rig = harness(rows, batteries='{ id = "G1", ohms = 0.1 }, { id = "G3", emf = 12, ohms = 0.1 }')
    with pytest.raises(CircuitError, match=r"cannot read 11 V in running") as refused:
        settled(rig, key="running", battery=11)
    assert "read them again" in refused.value.do


def test_a_battery_that_is_out_has_no_posts_to_read() -> None:
    """Volts at the posts of a battery that is out are refused."""
    with pytest.raises(CircuitError, match="first battery is out"):
        settled(harness(CHAIN), "G1=out", battery=12)


FLOATS = """
loads = [ { id = "E1", kind = "KIND", amps = 2 } ]
diodes = [ { id = "V1" } ]
switches = [ { id = "S1" } ]
relays = [ { id = "K1" } ]
connectors = [ { id = "X1", cavities = 1 } ]
splices = [ { id = "J1" }, { id = "J2" } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1", length = 0 }, { id = "W2", from = "S1.2", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 0 }, { id = "W4", from = "G1.+", to = "V1.anode", length = 0 },
  { id = "W5", from = "V1.cathode", to = "J1", length = 0 }, { id = "W6", from = "J2", length = 1 },
  { id = "W7", from = "S1.2", to = "K1.86", length = 0 },
]
"""


@pytest.mark.parametrize("kind", ["lamp", "motor", "heater", "horn", "solenoid"])
def test_a_point_behind_metal_resistance_or_filament_does_not_float(kind: str) -> None:
    """With S1 off E1.+ is dead, not floating: the load leads to the reference; a coil with one end fed holds its other.

    What floats: the diode's far side, a splice with a spare end, a cavity that nothing reaches, the relay's contacts.
    """
    found = settled(harness(FLOATS.replace("KIND", kind)))
    floating = {found.net.names[node] for node in found.floating}
    assert floating == {"V1.cathode", "J1", "J2", "W6.b", "X1.plug.1", "X1.socket.1", "K1.30", "K1.87", "CHASSIS"}
    assert volts(found, "E1.+", "K1.86", "K1.85") == pytest.approx([0, 0, 0], abs=1e-9)


@pytest.mark.parametrize(("kind", "watts_in"), [("led", 24), ("electronics", 24), ("inverter", 24), ("socket", 24)])
def test_a_point_behind_a_led_floats_unless_it_carries(kind: str, watts_in: float) -> None:
    """With S1 off nothing is carried and E1.+ floats, its coil with it; with S1 on it is live."""
    rig = harness(FLOATS.replace("KIND", kind))
    off = settled(rig)
    assert volts(off, "E1.+", "S1.2", "K1.85") == [None, None, None]
    assert settled(rig, "S1=on").volts_at("E1.+") == pytest.approx(12 if kind == "socket" else 11.6, abs=0.3)


def test_a_battery_joins_its_posts_even_while_it_carries_nothing() -> None:
    """A second battery that is joined by its minus alone does not float: its plus stands at its emf."""
    rows = """
wires = [ { id = "W1", from = "G1.-", to = "G2.-", length = 1 } ]
"""
    two = '{ id = "G1", emf = 12.6 }, { id = "G2", emf = 12.5 }'
    assert volts(settled(harness(rows, batteries=two)), "G2.+") == pytest.approx([12.5])


def test_a_live_output_and_a_pulling_driver_join() -> None:
    """A module's output holds the open point behind it at its volts; dead, the point floats."""
    rows = """
splices = [ { id = "J1" }, { id = "J2" } ]
wires = [
  { id = "W1", from = "G1.+", to = "A1.15", length = 0 }, { id = "W2", from = "A1.31", to = "G1.-", length = 0 },
  { id = "W3", from = "A1.5V", to = "J1", length = 0 }, { id = "W4", from = "A1.out", to = "J2", length = 0 },
]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 0.1 } ]
drivers = [ { terminal = "out", pulls = "feed", when = ["on"] } ]
outputs = [ { terminal = "5V", volts = 5, when = ["on"] } ]
"""
    rig = harness(rows, batteries=STIFF)
    assert volts(settled(rig, key="on"), "J1", "J2") == pytest.approx([5, 12], abs=1e-5)
    assert volts(settled(rig, key="off"), "J1", "J2") == [None, None]
    assert volts(settled(rig, "!A1:out=stuck", key="off"), "J1", "J2") == [None, pytest.approx(12, abs=1e-5)]


def test_a_loom_without_any_supply_is_solved() -> None:
    """Battery and all out: nothing has volts, what hangs together with the reference stands at 0."""
    found = settled(harness(FLOATS.replace("KIND", "lamp")), "G1=out", "S1=on")
    assert volts(found, "G1.+", "G1.-") == pytest.approx([0, 0])
    assert found.first_emf == 0


def test_two_batteries_of_unlike_emf_share_the_load_and_charge_not() -> None:
    """12.7 V and 12.5 V, 0.1 Ω each, on 6 Ω: both give while the post is under 12.5 V.

    (12.7 - V)/0.1 + (12.5 - V)/0.1 = V/6: 252 = 20.16667 V, 12.495868 V: 2.041 A and 0.041 A.
    """
    rows = """
loads = [ { id = "E1", kind = "heater", ohms = 6 } ]
wires = [
  { id = "W1", from = "G1.+", to = "G2.+", length = 0 }, { id = "W2", from = "G1.-", to = "G2.-", length = 0 },
  { id = "W3", from = "G1.+", to = "E1.+", length = 0 }, { id = "W4", from = "E1.-", to = "G1.-", length = 0 },
]
"""
    two = '{ id = "G1", emf = 12.7, ohms = 0.1 }, { id = "G2", emf = 12.5, ohms = 0.1 }'
    assert volts(settled(harness(rows, batteries=two)), "E1.+") == pytest.approx([252 / (20 + 1 / 6)], abs=1e-5)
    light = rows.replace("ohms = 6", "ohms = 60")
    assert volts(settled(harness(light, batteries=two)), "E1.+") == pytest.approx([12.7 * 60 / 60.1], abs=1e-5)


def test_open_main_cable_with_leds_behind_it_comes_to_rest() -> None:
    """Leds on a floating island have no last digit to agree on: the circuit rests all the same."""
    launch = read_harness(Path(__file__).parents[3] / "demo_builds" / "harbour_launch.toml")
    condition = make_condition(launch, settings=("S23=wet",), faults=("W1=open",))
    assert settle(launch, condition).volts_at("G1.+") is not None
