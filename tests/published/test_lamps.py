"""Filament lamps of the model beside the watts that regulations print at their test volts."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.tables import Row, table_rows
from tests.model.review.fuse_rigs import short_wires
from tests.model.tracing.rigs import rig

ROWS = [row for row in table_rows("lamps") if row["quantity"] != "rated"]
TARGETS = [
    ("12", "1", 26.0, 0.06),
    ("12", "2", 6.0, 0.10),
    ("24", "1", 28.0, 0.06),
]
"""Directive 97/24/EC, category P21/5W: nominal volts, filament, watts at the test volts, and its tolerance."""


def watts_at(watts: float, at_volts: float, volts: float) -> float:
    """Solve a lamp of so many watts on a battery that holds the volts whatever it gives."""
    harness = rig(
        f'loads = [ {{ id = "E1", kind = "lamp", watts = {watts}, at = {at_volts} }} ]\n'
        + short_wires("G1.+ E1.+", "E1.- G1.-"),
        build=f"nominal_volts = {at_volts}",
        batteries=f'{{ id = "G1", emf = {volts}, ohms = 0.000001 }}',
    )
    return Bench(harness).survey(Condition("off")).loads["E1:load"].watts


def rated_row(row: Row) -> Row:
    """Give the rated watts of the lamp that a row is about."""
    key = ("category", "nominal_volts", "filament")
    return next(
        one for one in table_rows("lamps") if one["quantity"] == "rated" and all(one[name] == row[name] for name in key)
    )


def test_the_law_of_a_filament_by_hand() -> None:
    """I grows as V to the power 0.55: 21 W at 12 V are 21 × (13.5 / 12)^1.55 = 25.2 W at 13.5 V, 1.87 A."""
    assert watts_at(21, 12, 13.5) == pytest.approx(21 * 1.125**1.55, rel=0.002)
    assert watts_at(21, 12, 13.5) == pytest.approx(25.2, abs=0.1)


@pytest.mark.parametrize(("nominal_volts", "filament", "printed_watts", "tolerance"), TARGETS)
def test_a_stop_and_tail_lamp_takes_what_the_directive_prints(
    nominal_volts: str, filament: str, printed_watts: float, tolerance: float
) -> None:
    """Category P21/5W from its rated watts: within the ± 6 and ± 10 % of Directive 97/24/EC at its test volts.

    12 V: 25.2 of 26 W, 6.0 of 6 W; 24 V: 26.7 of 28 W. The tail filament for 24 V is left out: its print of 10 W at
    28 V is twice its rated 5 W, which no law of a filament gives (6.3 W):
    write such a lamp down at its test volts.
    """
    row = next(
        one
        for one in ROWS
        if (one["category"], one["nominal_volts"], one["filament"], one["quantity"])
        == ("P21/5W", nominal_volts, filament, "target")
    )
    assert float(row["watts"]) == printed_watts
    rated = rated_row(row)
    found = watts_at(float(rated["watts"]), float(rated["at_volts"]), float(row["at_volts"]))
    assert found == pytest.approx(printed_watts, rel=tolerance)


@pytest.mark.parametrize("category", ["P21W", "PY21W", "W21W", "P21/5W", "PY21/5W"])
def test_the_21_watt_filaments_stay_under_their_maximum(category: str) -> None:
    """UN R37: 26.5 W at most at 13.5 V, 1.96 A; the model gives 25.2 W, 5 % less."""
    row = next(
        one
        for one in ROWS
        if (one["category"], one["nominal_volts"], one["filament"], one["quantity"]) == (category, "12", "1", "maximum")
    )
    assert (float(row["watts"]), float(row["at_volts"])) == (26.5, 13.5)
    assert 0.94 * 26.5 <= watts_at(21, 12, 13.5) <= 26.5


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(list(row.values())[:4]))
def test_no_printed_lamp_is_far_from_the_law(row: Row) -> None:
    """From rated to test volts the model is within a fifth of every print of UN R37, the 24 V 5 W filaments aside.

    Small lamps have their maximum 10 % over their rated watts at 13.5 V, so that the model gives 9 % more than it; a
    5 W filament of 24 V is printed with 7.7 to 11 W, so that the model gives up to 43 % less.
    """
    rated = rated_row(row)
    found = watts_at(float(rated["watts"]), float(rated["at_volts"]), float(row["at_volts"]))
    low = 0.55 if (rated["watts"], row["nominal_volts"]) == ("5", "24") else 0.8
    assert low <= found / float(row["watts"]) <= 1.2
