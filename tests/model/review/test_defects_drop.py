"""Volts lost on the way to a load, lamps too dim, shared grounds lifted, and too much draw with the key off."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.review.defects.drop import lost_on_the_way
from model.review.finding import FindingRule, Gravity
from model.review.review_scene import ReviewScene
from tests.model.review.looms import HEAD, NO_BODY_HEAD, POSITIVE_HEAD, findings, wires


def _loom(load: str, *, length_m: float, size: float = 1.5, turned: bool = False, body: str = "CHASSIS") -> str:
    hot, cold = ("-", "+") if turned else ("+", "-")
    ends = [(f"G1.{hot}", "F1.in", 16, 0.1), ("F1.out", f"E1.{hot}", size, length_m),
            (f"E1.{cold}", body, size, 0.1)]  # fmt: skip
    if body == "CHASSIS":
        ends.append((f"G1.{cold}", body, 16, 0.1))
    rows = [
        f'{{ id = "W{n}", from = "{one}", to = "{other}", size = {area}, length = {length} }}'
        for n, (one, other, area, length) in enumerate(ends, start=1)
    ]
    return (
        f'fuses = [ {{ id = "F1", amps = 15 }} ]\nloads = [ {{ id = "E1", {load} }} ]\nwires = [ {", ".join(rows)} ]\n'
    )


HEATER = 'kind = "heater", ohms = 2.4'


@pytest.mark.parametrize(
    ("load", "length_m", "count"),
    [
        (HEATER, 12.0, 0),
        (HEATER, 24.0, 1),
        (HEATER, 60.0, 1),
        (f"{HEATER}, critical = true", 4.0, 0),
        (f"{HEATER}, critical = true", 8.0, 1),
    ],
)
def test_a_load_that_loses_more_than_its_share_is_told(load: str, length_m: float, count: int) -> None:
    """The battery has 12.70 V behind 8 mΩ; the heater 2.4 Ω; 1.5 mm² has 13.3 mΩ a metre (IEC 60228 class 5).

    Fuse (4.8 mΩ), crimps and short wires are 9.4 mΩ, the crimps of the long one 1 mΩ. 12 m: 170 mΩ, 4.92 A, 0.84 V
    or 7.0 % of 12 V. 24 m: 330 mΩ, 4.64 A, 1.53 V or 12.7 %, over the 10 % of ISO 10133 and ABYC E-11. 60 m: 808 mΩ,
    3.95 A, 3.19 V or 26.6 %, so that it never has 80 % of its volts. 4 m: 64 mΩ, 5.14 A, 0.33 V or 2.7 %. 8 m: 117 mΩ,
    5.03 A, 0.59 V or 4.9 %, over the 3 % of what is critical.
    """
    found = findings(HEAD + _loom(load, length_m=length_m), FindingRule.DROP)
    assert len(found) == count
    for finding in found:
        assert finding.gravity is Gravity.WEARS
        assert finding.part_ids == ("E1", "W2")
        assert finding.value == pytest.approx({24.0: 12.7, 8.0: 4.9, 60.0: 26.6}[length_m], abs=0.06)
        assert "along wire W2" in finding.sentence


@pytest.mark.parametrize(("head", "turned", "body"), [(POSITIVE_HEAD, True, "CHASSIS"), (NO_BODY_HEAD, False, "G1.-")])
def test_what_is_lost_is_found_on_any_ground_side(head: str, turned: bool, body: str) -> None:
    """The positive post on the body, or no body at all, make no difference to the volts lost in 24 m of 1.5 mm²."""
    (finding,) = findings(head + _loom(HEATER, length_m=24.0, turned=turned, body=body), FindingRule.DROP)
    assert finding.value == pytest.approx(12.7, abs=0.06)


def test_volts_that_fall_along_a_resistance_fall_by_design() -> None:
    """A blower's resistor takes half its volts, and is no loss on the way."""
    text = """
fuses = [ { id = "F1", amps = 15 } ]
resistors = [ { id = "R1", elements = [ { name = "low", from = "a", to = "b", ohms = 2.4 } ] } ]
loads = [ { id = "M1", kind = "motor", ohms = 2.4 } ]
wires = [ { id = "W1", from = "G1.+", to = "F1.in", size = 4 }, { id = "W2", from = "F1.out", to = "R1.a", size = 4 },
 { id = "W3", from = "R1.b", to = "M1.+", size = 4 }, { id = "W4", from = "M1.-", to = "CHASSIS", size = 4 },
 { id = "W5", from = "G1.-", to = "CHASSIS", size = 16 } ]
""".replace(",\n ", ", ")
    assert findings(HEAD + text, FindingRule.DROP) == ()


def test_what_a_load_loses_with_everything_on_does_not_count_alone() -> None:
    """Beside a heater of 40 A on the same thin feed a lamp has too few volts; alone it has enough, and is not told.

    2.5 mm² has 7.98 mΩ a metre: 3 m lose 1 V at 42 A, and 0.04 V at the 1.75 A of the lamp.
    """
    text = """
fuses = [ { id = "F1", amps = 60 } ]
switches = [ { id = "S1" }, { id = "S2" } ]
splices = [ { id = "J1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21, critical = true }, { id = "E2", kind = "heater", amps = 40 } ]
wires = [ { id = "W1", from = "G1.+", to = "F1.in", size = 16, length = 0.1 },
 { id = "W2", from = "F1.out", to = "J1", size = 2.5, length = 3 },
 { id = "W3", from = "J1", to = "S1.1", size = 2.5, length = 0.2 },
 { id = "W4", from = "J1", to = "S2.1", size = 10, length = 0.2 },
 { id = "W5", from = "S1.2", to = "E1.+", size = 2.5, length = 0.2 },
 { id = "W6", from = "S2.2", to = "E2.+", size = 10, length = 0.2 },
 { id = "W7", from = "E1.-", to = "CHASSIS", size = 2.5, length = 0.2 },
 { id = "W8", from = "E2.-", to = "CHASSIS", size = 10, length = 0.2 },
 { id = "W9", from = "G1.-", to = "CHASSIS", size = 35, length = 0.2 } ]
""".replace(",\n ", ", ")
    found = findings(HEAD + text, FindingRule.DROP)
    assert [finding.part_ids[0] for finding in found] == ["E2"]


@pytest.mark.parametrize(("at_volts", "count"), [(12.0, 0), (13.5, 0), (17.0, 1)])
def test_a_lamp_under_85_percent_of_its_design_volts_is_told(at_volts: float, count: int) -> None:
    """California Code of Regulations, Title 13, section 1249(c): with the engine running at least 85 % of design volts.

    The charger of 14.2 V charges the battery too, which leaves 13.9 to 14.0 V at the lamp: 82 % of 17 V, and more than
    the 11.5 V that are 85 % of 13.5 V.
    """
    lamp = f'kind = "lamp", watts = 21, at = {at_volts}'
    text = _loom(lamp, length_m=1.0) + 'chargers = [ { id = "G2", volts = 14.2 } ]\n'
    ends = (("G2.+", "G1.+"), ("G2.-", "CHASSIS"))
    more = "".join(
        f', {{ id = "W{n}", from = "{one}", to = "{to}", size = 16 }}' for n, (one, to) in enumerate(ends, 5)
    )
    text = text.replace(" ]\nchargers", f"{more} ]\nchargers")
    found = findings(HEAD + text, FindingRule.LAMP_DIM)
    assert len(found) == count
    assert all(13.85 < (finding.value or 0.0) < 14.05 for finding in found)


def _two_lamps(size: float, *, shared: bool = True, turned: bool = False, nominal: float = 12) -> str:
    hot, cold = ("-", "+") if turned else ("+", "-")
    meets = "J1" if shared else "CHASSIS"
    wires = [
        (f"G1.{hot}", "F1.in", 16, 0.1), ("F1.out", f"E1.{hot}", 4, 0.2), ("F1.out", f"E2.{hot}", 4, 0.2),
        (f"E1.{cold}", meets, 4, 0.2), (f"E2.{cold}", meets, 4, 0.2), ("J1", "CHASSIS", size, 2.0),
        (f"G1.{cold}", "CHASSIS", 16, 0.1),
    ]  # fmt: skip
    rows = [
        f'{{ id = "W{n}", from = "{one}", to = "{other}", size = {area}, length = {length} }}'
        for n, (one, other, area, length) in enumerate(wires, start=1)
    ]
    ohms = nominal / 5.0
    loads = ", ".join(f'{{ id = "E{n}", kind = "heater", ohms = {ohms} }}' for n in (1, 2))
    return (
        f'splices = [ {{ id = "J1", label = "Tail grounds" }} ]\nfuses = [ {{ id = "F1", amps = 30 }} ]\n'
        f"loads = [ {loads} ]\nwires = [ {', '.join(rows)} ]\n"
    )


@pytest.mark.parametrize(("size", "shared", "count"), [(1.5, True, 1), (6.0, True, 0), (1.5, False, 0)])
def test_a_ground_that_two_loads_share_and_lift_is_told(size: float, shared: bool, count: int) -> None:
    """Two heaters of 5 A at 12 V send 10.3 A through 2 m of ground wire.

    1.5 mm², 13.3 mΩ/m and 1 mΩ of crimps: 27.6 mΩ lift it by 0.28 V. 6 mm², 3.3 mΩ/m: 7.6 mΩ by 0.08 V, under the
    0.1 V of common practice. Grounded each for itself they share nothing.
    """
    found = findings(HEAD + _two_lamps(size, shared=shared), FindingRule.GROUND_LIFTED)
    assert [finding.points for finding in found] == [("J1",)] * count
    for finding in found:
        assert finding.part_ids == ("J1", "E1", "E2")
        assert finding.value == pytest.approx(0.28, abs=0.015)
        assert "10.2 A" in finding.sentence or "10.3 A" in finding.sentence


def test_a_lifted_ground_is_found_with_the_positive_post_grounded() -> None:
    """There the shared ground stands below the post by as much."""
    (finding,) = findings(POSITIVE_HEAD + _two_lamps(1.5, turned=True), FindingRule.GROUND_LIFTED)
    assert finding.value == pytest.approx(0.28, abs=0.015)


def test_the_limit_of_a_lifted_ground_goes_with_the_volts_of_the_vehicle() -> None:
    """At 24 V 0.2 V are allowed: 4 mm², 4.95 mΩ/m, 10.9 mΩ and 10.5 A lift by 0.11 V, told at 12 V and not at 24."""
    head = HEAD.replace("nominal_volts = 12", "nominal_volts = 24")
    assert len(findings(HEAD + _two_lamps(4.0), FindingRule.GROUND_LIFTED)) == 1
    assert findings(head + _two_lamps(4.0, nominal=24), FindingRule.GROUND_LIFTED) == ()


@pytest.mark.parametrize(("asleep_amps", "count"), [(0.03, 0), (0.08, 1)])
def test_a_draw_with_the_key_off_above_the_limit_is_told(asleep_amps: float, count: int) -> None:
    """Makers' figures end at 50 mA asleep: 30 mA is under it, 80 mA above."""
    text = f"""
fuses = [ {{ id = "F1", amps = 5 }} ]
modules = [ {{ id = "A1", feeds = [ {{ terminal = "30", amps = 1.0, asleep_amps = {asleep_amps} }} ] }} ]
wires = [ {{ id = "W1", from = "G1.+", to = "F1.in" }}, {{ id = "W2", from = "F1.out", to = "A1.30" }},
 {{ id = "W3", from = "A1.31", to = "CHASSIS" }}, {{ id = "W4", from = "G1.-", to = "CHASSIS" }} ]
""".replace(",\n ", ", ")
    found = findings(HEAD + text, FindingRule.DRAW)
    assert len(found) == count
    for finding in found:
        assert finding.part_ids == ("A1",)
        assert finding.value == pytest.approx(0.08 * 12.7 / 12, rel=0.02)


def test_what_is_lost_while_the_engine_is_cranked_has_limits_of_its_own() -> None:
    """A starter behind the key has a cable that loses 12 % at the stroke: no finding of this kind."""
    head = HEAD.replace('{ name = "on" }', '{ name = "crank" }')
    text = _loom('kind = "heater", ohms = 2.4', length_m=24.0).replace('from = "F1.out"', 'from = "S1.2"')
    text += """switches = [ { id = "S1", key = true, positions = { off = [], crank = [[1, 2]], running = [] } } ]
"""
    text = text.replace("wires = [ ", 'wires = [ { id = "W9", from = "F1.out", to = "S1.1", size = 4, length = 0.1 }, ')
    assert findings(head + text, FindingRule.DROP) == ()
    assert len(findings(head.replace('"crank"', '"on"') + text.replace("crank =", "on ="), FindingRule.DROP)) == 1


def test_volts_are_counted_from_the_posts_of_the_bank_that_feeds_a_load() -> None:
    """The launch has two banks: its side lamp hangs on the house bank, from G1's upper to G2's lower post."""
    harness = read_harness(Path(__file__).parents[3] / "demo_builds" / "harbour_launch.toml")
    scene = ReviewScene(Bench(harness))
    element = next(one for one in scene.elements if one.part_id == "E2")
    survey = scene.own(element)
    assert survey is not None
    lost = lost_on_the_way(scene, survey, element)
    assert lost is not None
    upper_volts, lower_volts = survey.settled.volts_at("G1.+"), survey.settled.volts_at("G2.-")
    assert upper_volts is not None
    assert lower_volts is not None
    assert lost.posts_volts == pytest.approx(upper_volts - lower_volts, abs=1e-9)
    assert sum(volts for volts, _ in lost.links) == pytest.approx(lost.volts, abs=1e-6)


def test_a_ground_behind_one_that_is_lifted_already_is_not_told_again() -> None:
    """Two lamps share a short thick wire to a body that a heater of 20 A lifts: the body is told, and not they."""
    text = """
splices = [ { id = "J1" } ]
fuses = [ { id = "F1", amps = 60 } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 },
 { id = "E3", kind = "heater", amps = 20 } ]
wires = [ { id = "W1", from = "G1.+", to = "F1.in", size = 16, length = 0.1 },
 { id = "W2", from = "F1.out", to = "E1.+", size = 4, length = 0.2 },
 { id = "W3", from = "F1.out", to = "E2.+", size = 4, length = 0.2 },
 { id = "W4", from = "F1.out", to = "E3.+", size = 16, length = 0.2 },
 { id = "W5", from = "E1.-", to = "J1", size = 4, length = 0.2 },
 { id = "W6", from = "E2.-", to = "J1", size = 4, length = 0.2 },
 { id = "W7", from = "J1", to = "CHASSIS", size = 4, length = 0.2 },
 { id = "W8", from = "E3.-", to = "CHASSIS", size = 16, length = 0.2 },
 { id = "W9", from = "G1.-", to = "CHASSIS", size = 4, length = 2.0 } ]
""".replace(",\n ", ", ")
    found = findings(HEAD + text, FindingRule.GROUND_LIFTED)
    assert [finding.points for finding in found] == [("CHASSIS",)]
    assert found[0].part_ids == ("W9", "E3", "E1", "E2")


def test_a_ground_that_a_resistance_lifts_is_lifted_by_design() -> None:
    """Two lamps grounded through one resistance stand volts above ground as they are meant to."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
resistors = [ { id = "R1", elements = [ { name = "low", from = "a", to = "b", ohms = 1.0 } ] } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]
"""
    ends = ("G1.+ F1.in", "F1.out E1.+", "F1.out E2.+", "E1.- R1.a", "E2.- R1.a", "R1.b CHASSIS", "G1.- CHASSIS")
    assert findings(HEAD + text + wires(*ends, more="size = 4"), FindingRule.GROUND_LIFTED) == ()


def test_a_start_switch_does_not_hide_what_the_loads_do_together() -> None:
    """With everything on the start switch turns the starter too; what the rest does without it counts.

    E2 has no switch before it and takes a little more than E1.
    """
    more = """switches = [ { id = "S1" }, { id = "S2", label = "Start", momentary = true } ]
"""
    text = _two_lamps(1.5).replace('from = "F1.out", to = "E1.+"', 'from = "S1.2", to = "E1.+"')
    text = text.replace("wires = [ ", 'wires = [ { id = "W9", from = "F1.out", to = "S1.1", size = 4, length = 0.1 }, ')
    (finding,) = findings(HEAD + text + more, FindingRule.GROUND_LIFTED)
    assert finding.part_ids == ("J1", "E2", "E1")


@pytest.mark.parametrize(("watts", "count"), [(12, 0), (30, 1)])
def test_a_load_on_the_tap_of_a_chain_loses_its_share_of_the_tap(watts: int, count: int) -> None:
    """2 m of 0.5 mm² out and 2 m back, 0.156 ohm, at 12 V: 30 W lose 0.38 V, 3.2 % of 12 V and 1.6 % of 24 V.

    A critical load may lose 3 % of what feeds it, 0.36 V; 12 W lose 0.15 V.
    """
    head = HEAD.replace("nominal_volts = 12", "nominal_volts = 24")
    head = head.replace('{ id = "G1", location = "box" }', '{ id = "G1" }, { id = "G2" }')
    rows = (
        'fuses = [ { id = "F1", amps = 5, ohms = 0.001 } ]\n'
        f'loads = [ {{ id = "E1", kind = "heater", watts = {watts}, at = 12, critical = true }} ]\n'
    )
    text = (
        head
        + rows
        + wires("F1.out E1.+", "E1.- G2.-", more="size = 0.5, length = 2.0").replace(
            "wires = [",
            'wires = [ { id = "W8", from = "G2.+", to = "F1.in", size = 35, length = 0.1 }, '
            '{ id = "W9", from = "G1.-", to = "G2.+", size = 35, length = 0.1 }, '
            '{ id = "W7", from = "G2.-", to = "CHASSIS", size = 35, length = 0.1 }, ',
        )
    )
    found = findings(text, FindingRule.DROP)
    assert len(found) == count
    assert all("% of 12 V is lost" in one.sentence for one in found)
