"""How far a hazard reaches, and which points are never probed."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.hazards import (
    hazards_of_part,
    hazards_of_point,
    may_be_probed,
)
from model.harness.points import all_points
from model.harness.toml_file import read_harness, read_harness_text

DEMO = Path(__file__).parents[2] / "demo_builds"

TEXT = """
format = 1
build = { name = "Cart", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" } ]
batteries = [ { id = "G1" } ]
busbars = [ { id = "BB1" } ]
fuses = [
  { id = "F1", amps = 10, bus = "BB1" },
  { id = "F2", amps = 10, bus = "BB1" },
  { id = "F3", amps = 10, bus = "BB1" },
]
loads = [
  { id = "E1", kind = "lamp", watts = 2 },
  { id = "L1", label = "Coil", kind = "solenoid", amps = 4, hazard = "ignition" },
  { id = "M1", label = "Pump", kind = "motor", amps = 4, hazard = "fuel" },
]
resistors = [ { id = "R1", inside = "M1", elements = [ { name = "level", from = 1, to = 2, ohms = 90 } ] } ]
connectors = [ { id = "X1", cavities = 4, halves = ["front", "rear"] } ]
splices = [ { id = "J1" }, { id = "J2" } ]
grounds = [ { id = "GND1" }, { id = "GND2" } ]
joints = [ { id = "N1", from = "L1.-", to = "CHASSIS" } ]
wires = [
  { id = "W1", from = "G1.+", to = "BB1" },
  { id = "W2", from = "F1.out", to = "X1.front.1" },
  { id = "W3", from = "X1.rear.1", to = "J1" },
  { id = "W4", from = "J1", to = "A1.15" },
  { id = "W5", from = "A1.31", to = "GND1" },
  { id = "W6", from = "E1.-", to = "GND1" },
  { id = "W7", from = "A1.warn" },
  { id = "W8", from = "F2.out", to = "X1.front.2" },
  { id = "W9", from = "X1.rear.2", to = "J2" },
  { id = "W10", from = "J2", to = "M1.+" },
  { id = "W11", from = "J2", to = "E1.+" },
  { id = "W12", from = "M1.-", to = "GND2" },
  { id = "W13", from = "F3.out", to = "X1.front.3", hazard = "high voltage", label = "Orange cable" },
]
[[modules]]
id = "A1"
label = "Left airbag [box]"
hazard = "restraint"
feeds = [{ terminal = 15, amps = 1 }]
drivers = [{ terminal = "warn", pulls = "ground", when = ["on"] }]
"""


@pytest.fixture(scope="module")
def cart() -> Harness:
    """Give a harness with one of each hazard."""
    return read_harness_text(TEXT, "cart.toml")


def test_a_hazard_passes_to_the_wires_and_cavities_of_its_part(cart: Harness) -> None:
    """Through a plug and an in-line splice the same conductor goes on, and with it the hazard."""
    for wire in ("W2", "W3", "W4", "W5", "W7"):
        assert hazards_of_part(cart, wire) == (Hazard.RESTRAINT,), wire
    for point in ("A1.15", "J1", "X1.rear.1", "X1.front.1", "W7.b"):
        assert hazards_of_point(cart, point) == (Hazard.RESTRAINT,), point


def test_a_hazard_ends_where_another_part_begins(cart: Harness) -> None:
    """The bar before the fuse, the ground point shared with a lamp and the lamp's own wire have none."""
    for point in ("BB1", "GND1", "E1.-", "CHASSIS", "G1.+", "X1.front.4"):
        assert hazards_of_point(cart, point) == (), point
        assert may_be_probed(cart, point) is None
    assert hazards_of_part(cart, "W6") == ()


def test_a_branching_splice_ends_a_hazard(cart: Harness) -> None:
    """Of three wires on a splice only the one that ends on the pump has its hazard."""
    assert hazards_of_part(cart, "W10") == (Hazard.FUEL,)
    assert hazards_of_point(cart, "J2") == hazards_of_part(cart, "W9") == hazards_of_part(cart, "W11") == ()


def test_a_terminal_with_nothing_but_restraint_on_it_is_refused(cart: Harness) -> None:
    """The fuse that feeds the airbag alone is the same copper; a pump's ground point stays open to a probe."""
    refusal = may_be_probed(cart, "F1.out")
    assert refusal is not None
    assert (refusal.hazard, refusal.origin) == (Hazard.RESTRAINT, "A1")
    assert may_be_probed(cart, "GND2") is None
    assert hazards_of_point(cart, "GND2") == ()


def test_a_refusal_says_why_and_whom_to_leave_it_to(cart: Harness) -> None:
    """The reason names the point, the part and the hazard, and defers to somebody licensed."""
    refusal = may_be_probed(cart, "X1.rear.1")
    assert refusal is not None
    assert refusal.reason.startswith("X1.rear.1 is wired to Left airbag [box] (A1), marked restraint")
    assert "licensed" in refusal.reason
    own = may_be_probed(cart, "A1.15")
    assert own is not None
    assert "belongs to" in own.reason


def test_a_wire_may_have_a_hazard_of_its_own(cart: Harness) -> None:
    """An orange cable marked high voltage makes its cavity and its lone fuse terminal untouchable."""
    for point in ("X1.front.3", "X1.rear.3", "F3.out", "W13.a"):
        refusal = may_be_probed(cart, point)
        assert refusal is not None, point
        assert refusal.hazard is Hazard.HIGH_VOLTAGE


def test_ignition_and_fuel_may_be_probed_after_a_caution(cart: Harness) -> None:
    """These hazards are named, but do not refuse the probe."""
    assert hazards_of_point(cart, "L1.+") == (Hazard.IGNITION,)
    assert hazards_of_part(cart, "N1") == (Hazard.IGNITION,)
    assert may_be_probed(cart, "L1.+") is None
    assert may_be_probed(cart, "M1.+") is None


def test_what_sits_in_a_housing_has_its_hazard(cart: Harness) -> None:
    """The sender within the pump is as near the fuel as the pump."""
    assert hazards_of_part(cart, "R1") == hazards_of_point(cart, "R1.1") == (Hazard.FUEL,)


def test_the_gravest_hazard_comes_first() -> None:
    """Where two hazards meet on a wire, the worse is the one named."""
    text = TEXT.replace('{ id = "W12", from = "M1.-", to = "GND2" }', '{ id = "W12", from = "M1.-", to = "A1.31" }')
    harness = read_harness_text(text, "cart.toml")
    assert hazards_of_part(harness, "W12") == (Hazard.RESTRAINT, Hazard.FUEL)


def test_the_trail_buggy_marks_pump_sender_and_coil() -> None:
    """The wires of the demo build carry what their parts are marked with, and nothing is refused there."""
    buggy = read_harness(DEMO / "trail_buggy.toml")
    marked = {wire.id: hazards for wire in buggy.wires if (hazards := hazards_of_part(buggy, wire.id))}
    assert marked["W27"] == marked["W28"] == (Hazard.FUEL,)
    assert marked["W43"] == marked["W45"] == (Hazard.IGNITION,)
    assert "W26" not in marked
    assert not [point for point in all_points(buggy) if may_be_probed(buggy, point)]
