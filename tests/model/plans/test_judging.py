"""What a reading says of its row: the limit, its source, and when it says nothing."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from model.circuit.condition import Condition
from model.plans.judging import Standing, Taken, fits, judge
from model.plans.plan import Limit, Measure, PlanRow
from model.tables import SourceKind

DROP = PlanRow(
    key="W1",
    title="starter cable",
    group="",
    measure=Measure.MILLIVOLTS,
    condition=Condition("off"),
    expect=7.0,
    amps=5.0,
    limit=Limit(None, 10.0, "US Army TM 10-3930-671-24, p. F-303", SourceKind.PUBLISHED, "1 m of 25 mm²"),
    blind="",
)
OHMS = replace(
    DROP, measure=Measure.OHMS, expect=0.02, amps=None, limit=Limit(None, 0.25, "computed", SourceKind.JUDGEMENT)
)


def standing(row: PlanRow, value: float, amps: float | None = None) -> Standing:
    """Judge a value."""
    return judge(row, Taken(value, amps=amps)).standing


@pytest.mark.parametrize("measure", [Measure.MILLIVOLTS, Measure.VOLTS, Measure.LAMP, Measure.AMPS])
def test_probes_the_wrong_way_round_make_nothing_good(measure: Measure) -> None:
    """Minus twelve volts across a cable is an open cable, whichever probe stands where."""
    row = replace(DROP, measure=measure, amps=5.0 if measure is Measure.MILLIVOLTS else None)
    assert standing(row, -12_000.0) is Standing.BAD
    assert standing(row, 12_000.0) is Standing.BAD
    assert standing(row, -8.0) is standing(row, 8.0) is Standing.GOOD


def test_sign_counts_between_two_limits() -> None:
    """A feed of minus six volts on a positive-ground vehicle is not the same as plus six."""
    row = replace(DROP, measure=Measure.VOLTS, expect=-6.0, limit=Limit(-6.5, -5.5, "computed", SourceKind.JUDGEMENT))
    assert standing(row, -6.0) is Standing.GOOD
    assert standing(row, 6.0) is Standing.BAD


def test_millivolts_go_with_the_amperes() -> None:
    """10 mV at 5 A are 2 mΩ; at 2.5 A they are 5 mV: 7 mV are too many, and the verdict names the amperes."""
    assert standing(DROP, 7.0) is Standing.GOOD
    found = judge(DROP, Taken(7.0, amps=2.5))
    assert found.standing is Standing.BAD
    assert "7.0 mV at 2.5 A, outside at most 5.0 mV" in found.why


@pytest.mark.parametrize(("value", "amps"), [(0.0, None), (1.5, None), (0.0, 5.0), (7.0e-4, 0.001)])
def test_no_current_proves_no_cable(value: float, amps: float | None) -> None:
    """Where 7 mV are expected 0 mV mean that nothing flowed, and a milliampere is no test current."""
    found = judge(DROP, Taken(value, amps=amps))
    assert found.standing is Standing.UNPROVEN
    assert "flowed" in found.why or "So few amperes" in found.why


def test_next_to_nothing_is_good_where_next_to_nothing_is_expected() -> None:
    """A cable of 0.1 mΩ shows 0.5 mV at 5 A, which a meter may show as nothing."""
    assert standing(replace(DROP, expect=0.5), 0.0) is Standing.GOOD


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (0.0, Standing.GOOD),
        (-0.1, Standing.GOOD),
        (-0.2, Standing.GOOD),
        (-0.3, Standing.UNPROVEN),
        (-5.0, Standing.UNPROVEN),
        (math.inf, Standing.BAD),
        (math.nan, Standing.BAD),
    ],
)
def test_ohms_below_nothing_prove_nothing(value: float, expected: Standing) -> None:
    """A meter may be off by 0.2 Ω with its leads; further below nothing they are to be zeroed again."""
    found = judge(OHMS, Taken(value))
    assert found.standing is expected
    assert ("Zero the leads again" in found.why) == (value < -0.2)


def test_a_short_that_reads_a_little_below_nothing_is_a_short() -> None:
    """Between a feed and ground -0.1 Ω is 0 Ω: bad; -1 Ω is no reading, and neither good nor bad."""
    row = replace(OHMS, expect=math.inf, limit=Limit(100_000.0, None, "a judgement", SourceKind.JUDGEMENT))
    assert standing(row, -0.1) is Standing.BAD
    assert standing(row, -1.0) is Standing.UNPROVEN


def test_row_that_cannot_fail_is_never_good() -> None:
    """A good reading and a word leave it unproven, with the reason; a bad one is bad."""
    row = replace(OHMS, tells=False, blind="a lamp stands beside it.")
    assert standing(row, 0.1) is Standing.UNPROVEN
    assert "a lamp stands beside it." in judge(row, Taken(0.1)).why
    assert judge(row, Taken(said=Standing.GOOD)).standing is Standing.UNPROVEN
    assert standing(row, 3.0) is Standing.BAD


def test_verdict_says_limit_source_and_what_it_was_computed_from() -> None:
    """All four stand in the sentence."""
    why = judge(DROP, Taken(7.0)).why
    assert "within at most 10 mV" in why
    assert "US Army TM 10-3930-671-24, p. F-303" in why
    assert "Computed from 1 m of 25 mm²" in why


def test_what_is_said_counts_without_a_value() -> None:
    """Skipped stays skipped, bad is bad; a row without a limit takes any reading."""
    assert judge(DROP, Taken(said=Standing.SKIPPED)).standing is Standing.SKIPPED
    assert judge(DROP, Taken(said=Standing.BAD)).standing is Standing.BAD
    assert standing(replace(OHMS, limit=None), 99.0) is Standing.GOOD
    assert fits(replace(OHMS, limit=None), 99.0)


def test_what_the_file_draws_is_not_broken() -> None:
    """A lug that reads 50 mV by its file keeps its limit of 12 mV: 50 mV are unproven, and 90 mV are bad."""
    row = replace(DROP, expect=50.0, limit=Limit(None, 12.5, "AC 43.13-1B 11-188", SourceKind.PUBLISHED))
    found = judge(row, Taken(52.0))
    assert found.standing is Standing.UNPROVEN
    assert found.why.startswith("Nothing is broken there")
    assert standing(row, 26.0, amps=2.5) is Standing.UNPROVEN
    assert standing(row, 90.0) is Standing.BAD
    assert standing(row, 11.0) is Standing.UNPROVEN


@pytest.mark.parametrize(
    ("source", "kind", "said"),
    [
        ("common workshop practice, no primary source", SourceKind.COMMON_PRACTICE, "no primary source."),
        ("a judgement", SourceKind.JUDGEMENT, "Limit: a judgement."),
        ("ISO 10133", SourceKind.FROM_MEMORY, "ISO 10133, from memory."),
        ("AC 43.13-1B 11-188", SourceKind.PUBLISHED, "11-188."),
    ],
)
def test_kind_of_source_is_said_once(source: str, kind: SourceKind, said: str) -> None:
    """Where the source says itself what it is, it is not said again."""
    assert said in judge(replace(DROP, limit=Limit(None, 10.0, source, kind)), Taken(7.0)).why
