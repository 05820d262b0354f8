"""What a multimeter or a test lamp shows: the instrument is part of the circuit."""

from __future__ import annotations

import pytest

from model.circuit.condition import Condition, make_condition
from model.circuit.meter import LampLight, lamp_light, read_lamp, read_ohms, read_volts
from model.circuit.settle import settle
from model.errors import ArgumentError, CircuitError
from model.harness.harness import Harness
from tests.model.tracing.rigs import demo, rig, wires

AT_REST = Condition("off")


def divided(upper_ohms: float, lower_ohms: float, emf: float = 24.0) -> Harness:
    """Give two resistances in a row across a battery, with J1 between them."""
    packs = [
        f'{{ id = "{name}", elements = [ {{ name = "r", from = "a", to = "b", ohms = {ohms} }} ] }}'
        for name, ohms in (("R1", upper_ohms), ("R2", lower_ohms))
    ]
    return rig(
        f'splices = [ {{ id = "J1" }} ]\nresistors = [ {", ".join(packs)} ]\n'
        + wires("G1.+ R1.a", "R1.b J1", "J1 R2.a", "R2.b G1.-"),
        build="nominal_volts = 24",
        batteries=f'{{ id = "G1", emf = {emf}, ohms = 0.001 }}',
    )


def test_a_meter_loads_a_divider_of_high_resistance() -> None:
    """24 V over two 250 MΩ: 12 V each, but a meter of 10 MΩ reads 0.8889 V across the lower.

    250 MΩ beside 10 MΩ are 9.615 MΩ: 24 V × 9.615 / 259.615 = 0.8889 V (T. Kuphaldt, Lessons in Electric Circuits, DC,
    chapter 8, "Voltmeter impact on measured circuit").
    """
    harness = divided(250e6, 250e6)
    assert read_volts(harness, AT_REST, "J1", "G1.-") == pytest.approx(0.8889, abs=5e-5)
    assert settle(harness, AT_REST).volts_at("J1") == pytest.approx(12.0, abs=1e-3)


def test_a_meter_does_not_disturb_a_divider_of_low_resistance() -> None:
    """24 V over two 250 Ω: 12 V with the meter on; 125 Ω stand behind the point."""
    assert read_volts(divided(250.0, 250.0), AT_REST, "J1", "G1.-") == pytest.approx(12.0, abs=1e-3)


def test_volts_that_leak_in_pass_a_meter_and_not_a_lamp() -> None:
    """An open fed through 100 kΩ of dirt: 12.6 V × 10 / 10.1 = 12.48 V on a meter of 10 MΩ, a test lamp dark.

    3 W at 12 V are 48 Ω, cold a twelfth of that: 12.6 V / 100 kΩ × 4 Ω is half a millivolt.
    """
    harness = rig(
        'splices = [ { id = "J1" } ]\nresistors = [ '
        '{ id = "R1", elements = [ { name = "r", from = "a", to = "b", ohms = 100000 } ] } ]\n'
        + wires("G1.+ R1.a", "R1.b J1", "G1.- CHASSIS"),
        batteries='{ id = "G1", emf = 12.6 }',
    )
    assert read_volts(harness, AT_REST, "J1", "CHASSIS") == pytest.approx(12.48, abs=0.005)
    reading = read_lamp(harness, AT_REST, "J1", "CHASSIS")
    assert reading.light is LampLight.DARK
    assert reading.volts == pytest.approx(0.0005, abs=0.0001)


OPEN = rig(
    'fuses = [ { id = "F1", amps = 10 } ]\nswitches = [ { id = "S1" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
    + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
)


@pytest.mark.parametrize(
    ("settings", "faults", "point"),
    [
        (("S1=off",), (), "S1.2"),
        (("S1=off", "E1=out"), (), "S1.2"),
        (("F1=out",), (), "S1.1"),
        (("F1=out", "E1=out", "S1=on"), (), "E1.+"),
        (("E1=out", "S1=on"), ("W3=open",), "E1.+"),
    ],
)
def test_behind_a_single_open_a_meter_reads_next_to_nothing(
    settings: tuple[str, ...], faults: tuple[str, ...], point: str
) -> None:
    """Under 0.05 V, whether the far side floats or a lamp holds it to ground."""
    condition = make_condition(OPEN, settings=settings, faults=faults)
    volts = read_volts(OPEN, condition, point, "G1.-")
    assert volts is not None
    assert abs(volts) < 0.05


def test_between_two_points_a_meter_reads_the_red_against_the_black() -> None:
    """Leads exchanged, the sign turns; on one and the same point there is nothing to read."""
    condition = make_condition(OPEN, settings=("S1=on",))
    there, back = read_volts(OPEN, condition, "E1.+", "E1.-"), read_volts(OPEN, condition, "E1.-", "E1.+")
    assert there is not None
    assert back == pytest.approx(-there)
    assert there == pytest.approx(12.5, abs=0.15)
    assert read_volts(OPEN, condition, "E1.+", "E1.+") == 0.0


def test_a_fuse_on_a_bar_can_be_probed_at_its_in() -> None:
    """``F2.in`` may be typed: it is the bar."""
    harness = rig(
        'busbars = [ { id = "BB1" } ]\nfuses = [ { id = "F2", amps = 10, bus = "BB1" } ]\n'
        + wires("G1.+ BB1", "F2.out G1.-"),
        batteries='{ id = "G1", emf = 12, ohms = 1000 }',
    )
    assert read_volts(harness, make_condition(harness, settings=("F2=out",)), "F2.in", "G1.-") == pytest.approx(
        12, abs=0.01
    )


@pytest.mark.parametrize(
    ("volts", "nominal_volts", "light"),
    [
        (7.2, 12, LampLight.LIT),
        (7.19, 12, LampLight.DIM),
        (2.41, 12, LampLight.DIM),
        (2.39, 12, LampLight.DARK),
        (3.6, 6, LampLight.LIT),
        (14.3, 24, LampLight.DIM),
    ],
)
def test_a_lamp_is_lit_from_sixty_percent_and_dim_from_twenty(
    volts: float, nominal_volts: float, light: LampLight
) -> None:
    """Shares of the nominal volts: 7.2 V and 2.4 V of 12."""
    assert lamp_light(volts, nominal_volts) is light


@pytest.mark.parametrize(("ohms", "light"), [(1.0, "lit"), (20.0, "lit"), (60.0, "dim"), (200.0, "dark")])
def test_a_test_lamp_tells_a_feed_of_some_ohms_from_none(ohms: float, light: str) -> None:
    """3 W at 12 V take 0.25 A: behind 1 Ω all is well; behind 60 Ω about half the volts are left, behind 200 Ω little.

    Behind 60 Ω the lamp has V with (12 - V) / 60 = 0.25 (V / 12)^0.55: V = 3.0 gives 0.150 and 0.117, 4.0 gives 0.133
    and 0.137: 3.9 V, dim. Behind 200 Ω 0.8 V give 0.056 and 0.056: dark.
    """
    harness = rig(
        'splices = [ { id = "J1" } ]\nresistors = [ '
        f'{{ id = "R1", elements = [ {{ name = "r", from = "a", to = "b", ohms = {ohms} }} ] }} ]\n'
        + wires("G1.+ R1.a", "R1.b J1", "G1.- CHASSIS"),
        batteries='{ id = "G1", emf = 12, ohms = 0.001 }',
    )
    reading = read_lamp(harness, AT_REST, "J1", "CHASSIS")
    assert reading.light == light
    assert {60.0: 3.9, 200.0: 0.8}.get(ohms, reading.volts) == pytest.approx(reading.volts, abs=0.1)


FINDER = rig(
    'fuses = [ { id = "F1", amps = 15 } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 21 } ]\n'
    + wires("G1.+ F1.in", "F1.out E1.+", "F1.out E2.+", "E1.- CHASSIS", "E2.- CHASSIS", "G1.- CHASSIS")
)


@pytest.mark.parametrize(
    ("settings", "faults", "volts", "light"),
    [
        ((), ("W2=to body",), 12.5, LampLight.LIT),
        ((), (), 4.4, LampLight.DIM),
        (("E1=out",), (), 1.6, LampLight.DARK),
        (("E1=out", "E2=out"), (), 0.0, LampLight.DARK),
    ],
)
def test_a_head_lamp_in_place_of_a_fuse_tells_a_short(
    settings: tuple[str, ...], faults: tuple[str, ...], volts: float, light: LampLight
) -> None:
    """55 W across the clips of the pulled fuse: bright on a short; dim on healthy lamps, it need not go out.

    55 W in series with 2 × 21 W: the current is one, 55 (V / 12)^0.55 = 42 ((12.7 - V) / 12)^0.55, so V is to 12.7 - V
    as (42 / 55)^(1 / 0.55) = 0.612: 4.8 V less what the wires take. With 21 W alone (21 / 55)^(1 / 0.55) = 0.174: 1.9.
    """
    condition = make_condition(FINDER, settings=("F1=out", *settings), faults=faults)
    reading = read_lamp(FINDER, condition, "F1.in", "F1.out", watts=55)
    assert reading.light is light
    assert reading.volts == pytest.approx(volts, abs=0.4)


BUZZER = rig(
    'relays = [ { id = "K1", contacts = "break" } ]\n' + wires("G1.+ K1.30", "K1.87a K1.86", "K1.85 G1.-"),
    batteries='{ id = "G1", ohms = 0.001 }',
)


def test_at_a_buzzing_relay_a_meter_has_no_figure_and_a_lamp_buzzes() -> None:
    """A relay whose own contact feeds its coil never rests."""
    assert read_volts(BUZZER, AT_REST, "K1.86", "G1.-") is None
    assert read_lamp(BUZZER, AT_REST, "K1.86", "G1.-").light is LampLight.BUZZES


HELD = rig(
    'switches = [ { id = "S1" } ]\nrelays = [ { id = "K1" } ]\n'
    + wires("G1.+ K1.30", "K1.87 K1.86", "K1.85 G1.-", "G1.+ S1.1", "S1.2 K1.86")
)


def test_a_relay_that_held_before_holds_while_it_is_measured() -> None:
    """A relay that feeds its own coil: from rest it stays out; held before, it stays in, under meter and lamp alike."""
    before = settle(HELD, make_condition(HELD, settings=("S1=on",)))
    assert read_volts(HELD, AT_REST, "K1.87", "G1.-") == pytest.approx(0.0, abs=0.01)
    assert read_volts(HELD, AT_REST, "K1.87", "G1.-", before=before) == pytest.approx(12.7, abs=0.05)
    assert read_lamp(HELD, AT_REST, "K1.87", "G1.-").light is LampLight.DARK
    assert read_lamp(HELD, AT_REST, "K1.87", "G1.-", before=before).light is LampLight.LIT


def test_a_test_lamp_in_place_of_a_coils_ground_has_what_the_coil_leaves() -> None:
    """A coil of 85 Ω and a lamp of 3 W in a row on 12.7 V: (12.7 - V) / 85 = 0.25 (V / 12)^0.55.

    V = 2.5 gives 0.120 and 0.105, V = 3 gives 0.114 and 0.117: 2.9 V, dim.
    """
    harness = rig('relays = [ { id = "K1" } ]\n' + wires("G1.+ K1.86", "G1.- CHASSIS"))
    reading = read_lamp(harness, AT_REST, "K1.85", "CHASSIS")
    assert reading.volts == pytest.approx(2.9, abs=0.1)
    assert reading.light is LampLight.DIM


def test_readings_stand_on_the_battery_that_was_read_before() -> None:
    """The emf found from a posts reading goes with what is measured after it: 12.3 V stay 12.3 V."""
    posts_read = settle(OPEN, make_condition(OPEN, posts_volts=12.3))
    assert read_volts(OPEN, AT_REST, "F1.in", "G1.-", before=posts_read) == pytest.approx(12.3, abs=0.001)


def test_a_cold_filament_shows_a_twelfth_of_its_hot_ohms() -> None:
    """21 W at 12 V: 6.86 Ω hot, 0.57 Ω cold, and the ohms of two wires of a metre, 13.3 mΩ each with crimps of 1 mΩ."""
    ohms = read_ohms(OPEN, make_condition(OPEN, settings=("F1=out",)), "S1.2", "CHASSIS")
    assert ohms == pytest.approx(144 / 21 / 12 + 2 * (0.0133 + 0.001), abs=0.001)


def test_leads_that_were_not_nulled_add_their_own() -> None:
    """0.2 Ω more."""
    condition = make_condition(OPEN, settings=("F1=out",))
    nulled, not_nulled = (read_ohms(OPEN, condition, "S1.2", "CHASSIS", nulled=nulled) for nulled in (True, False))
    assert nulled is not None
    assert not_nulled == pytest.approx(nulled + 0.2)


def test_three_lamps_read_like_a_short() -> None:
    """Three cold lamps of 21 W side by side: 0.19 Ω and their wires; with the lamps out it is open."""
    loads = ", ".join(f'{{ id = "E{n}", kind = "lamp", watts = 21 }}' for n in (1, 2, 3))
    ends = [pair for n in (1, 2, 3) for pair in (f"J1 E{n}.+", f"E{n}.- CHASSIS")]
    harness = rig(f'splices = [ {{ id = "J1" }} ]\nloads = [ {loads} ]\n' + wires(*ends, "G1.- CHASSIS"))
    assert read_ohms(harness, AT_REST, "J1", "CHASSIS") == pytest.approx(0.19 + 2 * 0.0143 / 3, abs=0.002)
    unplugged = make_condition(harness, settings=("E1=out", "E2=out", "E3=out"))
    assert read_ohms(harness, unplugged, "J1", "CHASSIS") is None


@pytest.mark.parametrize(
    ("settings", "red", "black", "shown"),
    [
        (("S1=off",), "S1.1", "S1.2", None),
        (("S1=on",), "S1.1", "S1.2", 0.010),
        ((), "F1.in", "F1.out", 0.0077),
        (("F1=out",), "F1.in", "F1.out", None),
        ((), "G1.+", "F1.in", 0.0143),
        ((), "F1.in", "F1.in", 0.0),
    ],
)
def test_contacts_fuses_and_wires_with_the_clamps_off(
    settings: tuple[str, ...], red: str, black: str, shown: float | None
) -> None:
    """No way round through the battery: its clamps are off."""
    condition = make_condition(OPEN, settings=(*settings, "E1=out"))
    ohms = read_ohms(OPEN, condition, red, black)
    assert ohms == (None if shown is None else pytest.approx(shown, abs=0.0006))


def test_with_the_clamps_off_relays_are_at_rest_and_a_posts_reading_counts_for_nothing() -> None:
    """Its switch is on, yet the relay's contact is open; the coil reads its 85 Ω."""
    condition = make_condition(HELD, settings=("S1=on",), posts_volts=12.5)
    assert read_ohms(HELD, condition, "K1.86", "K1.85") == pytest.approx(85.0, abs=0.01)
    harness = rig('relays = [ { id = "K1" } ]\n' + wires("G1.+ K1.86", "K1.85 G1.-"))
    assert read_ohms(harness, make_condition(harness), "K1.30", "K1.87") is None


def test_a_diode_and_a_led_are_open_to_an_ohmmeter() -> None:
    """Its volts are too few for them, either way round."""
    harness = rig(
        'diodes = [ { id = "V1" } ]\nloads = [ { id = "E1", kind = "led", watts = 2 } ]\n'
        + wires("G1.+ E1.+", "E1.- G1.-")
    )
    for red, black in (("V1.anode", "V1.cathode"), ("V1.cathode", "V1.anode"), ("E1.+", "E1.-")):
        assert read_ohms(harness, AT_REST, red, black) is None


@pytest.mark.parametrize("read", [read_volts, read_lamp, read_ohms])
def test_a_probe_on_no_point_is_refused_with_the_nearest(read: object) -> None:
    """``E1.plus`` is no point; the word for it is named."""
    assert callable(read)
    with pytest.raises(ArgumentError, match=r"no point “E1\.x”"):
        read(OPEN, AT_REST, "E1.x", "G1.-")


def test_posts_that_cannot_read_that_are_told() -> None:
    """With the first battery out its posts tell nothing."""
    condition = make_condition(OPEN, settings=("G1=out",), posts_volts=12.5)
    with pytest.raises(CircuitError, match="first battery is out"):
        read_volts(OPEN, condition, "F1.in", "G1.-")


@pytest.mark.parametrize("name", ["trail_buggy", "field_tractor", "harbour_launch"])
def test_a_meter_hardly_moves_a_whole_loom(name: str) -> None:
    """On points with a closed way to ground the meter reads what is solved without it, to a millivolt."""
    harness = demo(name)
    condition = Condition(harness.key_names[1])
    settled = settle(harness, condition)
    black = settled.net.names[settled.net.reference]
    for node in range(0, settled.net.point_count, 23):
        point = settled.net.names[node]
        expected = settled.volts_at(point)
        if expected is not None:
            assert read_volts(harness, condition, point, black, before=settled) == pytest.approx(expected, abs=1e-3), (
                point
            )


def test_leds_let_no_meter_through_backwards() -> None:
    """Two leds whose feeds hang on nothing, their grounds 50 mV apart: a meter between the feeds reads nothing.

    Backwards through one of them 5 nA would have to flow for it to read the 50 mV.
    """
    packs = '{ id = "R1", elements = [ { name = "r", from = "a", to = "b", ohms = 239 } ] }'
    low = '{ id = "R2", elements = [ { name = "r", from = "a", to = "b", ohms = 1 } ] }'
    leds = ", ".join(f'{{ id = "E{n}", kind = "led", amps = 0.1 }}' for n in (1, 2))
    table = f"loads = [ {leds} ]\nresistors = [ {packs}, {low} ]\n"
    leads = wires("G1.+ R1.a", "R1.b R2.a", "R2.b G1.-", "E1.- R2.a", "E2.- G1.-")
    harness = rig(table + leads, batteries='{ id = "G1", emf = 12, ohms = 0.001 }')
    assert read_volts(harness, AT_REST, "E1.+", "E2.+") == pytest.approx(0.0, abs=1e-6)
    assert read_volts(harness, AT_REST, "E1.-", "E2.-") == pytest.approx(0.05, abs=1e-3)
