"""A plan beside its record: which answer counts, and what later readings are compared with."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from model.circuit.condition import Condition
from model.plans.judging import Standing, Taken
from model.plans.kept import (
    Measuring,
    as_built_volts,
    counts,
    kept_answers,
    measured_entry,
    next_open,
    taken_back_entry,
)
from model.plans.plan import Limit, LoomState, Measure, Plan, PlanKind, PlanRow
from model.record_fields import Entry
from model.record_text import block_text, read_contents
from model.tables import SourceKind

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
BY = Measuring("Kim", "the yellow one", 18.0)


def row(key: str, measure: Measure = Measure.VOLTS) -> PlanRow:
    """Give a row that is good from 11 to 13."""
    return PlanRow(
        key=key,
        title=key,
        group="",
        measure=measure,
        condition=Condition("ignition", (("S2", "head"),)),
        red="E1.+",
        black="G1.-",
        expect=12.0,
        limit=Limit(11.0, 13.0, "computed", SourceKind.JUDGEMENT),
    )


PLAN = Plan(PlanKind.LOADS, "Test", 2, (row("a"), row("b"), row("c", Measure.SEEN)))


def read(value: float, key: str = "a", minutes: int = 0, plan: Plan = PLAN) -> Entry:
    """Give the entry of a reading."""
    (one,) = [one for one in plan.rows if one.key == key]
    return measured_entry(plan, one, Taken(value), when=NOON + timedelta(minutes=minutes), by=BY)


def test_last_answer_counts_and_can_be_taken_back() -> None:
    """Of two readings the later is kept; taken back, the row is open again."""
    entries = [read(12.0), read(10.0, minutes=1)]
    assert kept_answers(PLAN, entries)["a"].verdict.standing is Standing.BAD
    entries.append(taken_back_entry(PLAN, PLAN.rows[0], when=NOON, by=BY))
    assert kept_answers(PLAN, entries) == {}


def test_entry_carries_all_that_the_verdict_stands_on() -> None:
    """Who, meter, temperature, revision, limit, its source and the verdict are in it, and survive the file."""
    entry = read(12.0)
    (back,) = read_contents(block_text(entry).encode()).entries
    assert back == entry
    assert (entry.who, entry.meter, entry.ambient_celsius, entry.revision) == ("Kim", "the yellow one", 18.0, 2)
    assert kept_answers(PLAN, [back])["a"].entry.limit_source == "computed"
    assert kept_answers(PLAN, [back])["a"].entry.verdict == "good"


def test_open_reading_survives_the_file() -> None:
    """OL is kept as the word open, of the reading and of what was expected."""
    one = replace(row("a", Measure.OHMS), expect=math.inf)
    plan = replace(PLAN, rows=(one,))
    entry = measured_entry(plan, one, Taken(math.inf), when=NOON, by=BY)
    (back,) = read_contents(block_text(entry).encode()).entries
    assert kept_answers(plan, [back])["a"].taken.value == math.inf
    assert 'expect = "open"' in block_text(entry)


def test_answer_of_another_state_or_unit_is_passed_over() -> None:
    """What was read with all apart says nothing of the fitted loom; a row that is ohms now takes no old volts."""
    apart = replace(PLAN, kind=PlanKind.CONTINUITY, state=LoomState.APART)
    mated = replace(PLAN, kind=PlanKind.CONTINUITY, state=LoomState.MATED)
    assert kept_answers(apart, [read(12.0, plan=mated)]) == {}
    assert kept_answers(replace(PLAN, rows=(row("a", Measure.OHMS),)), [read(12.0)]) == {}


def test_next_open_goes_round() -> None:
    """After the last row the first that is open comes; none where all are answered."""
    kept = kept_answers(PLAN, [read(12.0)])
    one = next_open(PLAN.rows, kept, "c")
    assert one is not None
    assert one.key == "b"
    said = [measured_entry(PLAN, one, Taken(said=Standing.SKIPPED), when=NOON, by=BY) for one in PLAN.rows]
    assert next_open(PLAN.rows, kept_answers(PLAN, said)) is None
    assert counts(PLAN, kept_answers(PLAN, said))[Standing.SKIPPED] == 3


def test_bad_and_withdrawn_readings_are_no_measure_for_later() -> None:
    """As built is what was good and stands: 0.3 V that was bad, or 12 V that was taken back, is not."""
    settings = {"S2": "head"}
    assert as_built_volts([read(0.3)], "ignition", settings) == {}
    withdrawn = [read(12.0), taken_back_entry(PLAN, PLAN.rows[0], when=NOON, by=BY)]
    assert as_built_volts(withdrawn, "ignition", settings) == {}
    later = [read(12.1, "b", 5), read(12.0, "a", 0)]
    assert as_built_volts(later, "ignition", settings) == {("E1.+", "G1.-"): 12.1}
    assert as_built_volts(later, "ignition", {}) == {}
    assert as_built_volts(later, "off", settings) == {}
