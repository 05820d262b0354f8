"""Entries of the record in few words: the row of a plan by name, and what was read in the unit of the meter."""

from __future__ import annotations

from functools import cache

import pytest

from model.plans.judging import Standing, Taken
from model.plans.kept import Measuring, measured_entry, taken_back_entry
from model.plans.plan import Plan, PlanKind
from model.record_entries import Measured, Reading
from model.sheets.record_names import name_of, row_names, value_words
from tests.model.plan_rows import WHEN, answered, small_plan
from tests.model.record_rows import TRACE
from tests.model.tracing.rigs import demo


@cache
def tractor_plan(kind: PlanKind) -> Plan:
    """Give a plan of the tractor."""
    from model.plans.every_plan import make_plan

    return make_plan(demo("field_tractor"), kind)


def said_good(kind: PlanKind, key: str) -> Measured:
    """Give the entry of a row of the tractor."""
    plan = tractor_plan(kind)
    row = next(row for row in plan.rows if row.key == key)
    return measured_entry(plan, row, Taken(said=Standing.GOOD), when=WHEN, by=Measuring())


@pytest.mark.parametrize(
    ("kind", "key", "name"),
    [
        (PlanKind.FIRST_POWER, "F1 off", "F1 in, key off"),
        (PlanKind.FIRST_POWER, "F6 on", "F6 in, key on"),
        (PlanKind.FIRST_POWER, "F2 off S2=head", "F2 in, key off, S2=head"),
        (PlanKind.FIRST_POWER, "G1.- bare off", "G1.-, every fuse out, key off"),
        (PlanKind.LOADS, "posts in on", "posts, key on"),
        (PlanKind.LOADS, "F2 amps off S2=head", "F2 amps, key off, S2=head"),
        (PlanKind.GROUNDS, "lug GND1", "lug GND1"),
        (PlanKind.INSULATION, "group F2.out S2=head", "group F2.out S2=head"),
    ],
)
def test_a_row_is_named_by_what_is_in_and_how_the_key_stands(kind: PlanKind, key: str, name: str) -> None:
    """Key of the row in which F1 is in with the key off is "F1 off": nobody reads it so."""
    entry = said_good(kind, key)
    assert row_names([entry]) == {(kind, "", key): name}


def test_an_answer_taken_back_has_the_name_of_its_row() -> None:
    """It knows no key state of its own; one that was never measured has its key."""
    plan = tractor_plan(PlanKind.FIRST_POWER)
    entry = said_good(PlanKind.FIRST_POWER, "F1 off")
    row = next(row for row in plan.rows if row.key == entry.row)
    back = taken_back_entry(plan, row, when=WHEN, by=Measuring())
    assert name_of(back, row_names([entry, back])) == "F1 in, key off"
    assert name_of(back, {}) == "F1 off"


@pytest.mark.parametrize(
    ("check", "volts", "words"),
    [
        ("volts", 0.006, "6.0 mV"),
        ("drop", 0.006, "6.0 mV"),
        ("drop", 0.0, "0 mV"),
        ("volts", 0.0, "0.00 V"),
        ("volts", -0.15, "-150 mV"),
        ("volts", 0.3, "0.30 V"),
        ("volts", (0.1, 12.3), "0.10 V to 12.30 V"),
        ("drop", (0.001, 0.024), "1.0 mV to 24 mV"),
    ],
)
def test_millivolts_of_a_trace_stay_millivolts(check: str, volts: float | tuple[float, float], words: str) -> None:
    """6 mV typed are no "0.01 V": what a meter reads on its range of millivolts is told so."""
    assert value_words(Reading(when=WHEN, trace=TRACE, check=check, red="E3.-", black="GND3", volts=volts)) == words


def test_a_row_says_the_amperes_that_flowed() -> None:
    """24 mV at 4.6 A; ohms and words as they are."""
    plan = small_plan()
    measured = [answered(plan, "G1.-", Taken(24.0, amps=4.6)), answered(plan, "W2", Taken(0.24))]
    assert [value_words(one) for one in measured if isinstance(one, Measured)] == ["24 mV at 4.6 A", "0.24 Ω"]
