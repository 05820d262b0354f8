"""A small plan, made by hand, with a row of every kind, and answers to it."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime, timedelta, timezone

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.plans.judging import Standing, Taken
from model.plans.kept import Measuring, measured_entry, taken_back_entry
from model.plans.plan import Limit, LoomState, Measure, Plan, PlanKind, PlanRow
from model.record_entries import AnyEntry
from model.tables import SourceKind
from tests.model.tracing.rigs import rig, wires

HOSTILE = r"<b>P</b> [on] [/15A] *x* _y_ `z`|# ![i](u) <script>alert(1)</script> &amp; =1+1"
WHEN = datetime(2026, 5, 4, 18, 3, 11, tzinfo=timezone(timedelta(hours=2)))
BY = Measuring("Änne", "the yellow one", 14.5)

COMPUTED = Limit(None, 0.45, "computed", SourceKind.JUDGEMENT, "1.2 m of 1.5 mm², two crimps")
PRACTICE = Limit(1e5, None, "common practice", SourceKind.COMMON_PRACTICE)
MANUAL = Limit(None, 12.5, "AC 43.13-1B 11-188", SourceKind.PUBLISHED, "2.5 mΩ at 5 A")
BETWEEN = Limit(5.0, 7.0, "computed", SourceKind.JUDGEMENT)
FUEL = "Fuel: no flame, no spark."
FAN = "A fan may start by itself."


def small_harness(label: str = "Fuel pump") -> Harness:
    """Give a pump and a horn, each behind a fuse."""
    return rig(
        'fuses = [ { id = "F1", amps = 15 }, { id = "F2", amps = 10 } ]\n'
        f'loads = [ {{ id = "M1", kind = "motor", amps = 6, label = \'{label}\' }},\n'
        '  { id = "P1", kind = "horn", amps = 4 } ]\n'
        + wires(
            "G1.+ F1.in", "F1.out M1.+", "M1.- CHASSIS", "G1.+ F2.in", "F2.out P1.+", "P1.- CHASSIS", "G1.- CHASSIS"
        )
    )


REST = Condition("on")
ROWS = (
    PlanRow(
        "W2", "W2 F1.out to M1.+", "engine bay", Measure.OHMS, REST, "F1.out", "M1.+", place="fuse box",
        far_place="tank", expect=0.24, limit=COMPUTED, covers=("W2",), cautions=(FUEL,), before=("Pull F1.",),
    ),
    PlanRow(
        "W5", "W5 F2.out to P1.+", "engine bay", Measure.OHMS, REST, "F2.out", "P1.+", place="fuse box",
        expect=0.3, limit=COMPUTED, covers=("W5", "M1"), tells=False, blind="P1 stands beside it.", opens=("P1",),
        cautions=(FUEL, FAN), before=("Pull F1.",),
    ),
    PlanRow(
        "F1.out open", "F1.out against its neighbours", "engine bay", Measure.APART, REST, black="F1.out",
        others=("F2.out", "P1.-", "M1.-", "G1.+"), expect=math.inf, limit=PRACTICE, cautions=(FUEL,),
    ),
    PlanRow(
        "G1.-", "body to battery", "tail", Measure.MILLIVOLTS, REST.with_setting("P1", "out"), "CHASSIS", "G1.-",
        expect=6.0, limit=MANUAL, amps=5.0,
    ),
    PlanRow("M1 on", "M1 runs", "tail", Measure.SEEN, REST, expect_words="works", covers=("M1",), blind="its speed"),
    PlanRow("F1", "F1 seated", "tail", Measure.AMPS, REST, expect=6.0, limit=BETWEEN),
)  # fmt: skip


def small_plan(rows: tuple[PlanRow, ...] = ROWS) -> Plan:
    """Give the plan."""
    return Plan(
        PlanKind.CONTINUITY,
        "Rig",
        3,
        rows,
        LoomState.APART,
        ("It proves what it proves.",),
        ("Rings and watch off.",),
        ("X9: airbag wiring, left to people trained for it.",),
        ("W7: both its ends lie on the body.",),
    )


def hostile_plan() -> Plan:
    """Give a plan whose every text is nasty."""
    nasty = f"={HOSTILE}\x1b[2J"
    row = replace(
        ROWS[0],
        title=nasty,
        group=nasty,
        place=nasty,
        far_place=f"@{nasty}",
        expect_words=nasty,
        limit=replace(COMPUTED, source=nasty, computed_from=nasty),
        before=(nasty,),
        cautions=(nasty,),
        blind=nasty,
    )
    return replace(small_plan((row, replace(row, key="second"))), vehicle=nasty, about=(nasty,), left_out=(nasty,))


def answered(plan: Plan, key: str, taken: Taken, minutes: int = 0) -> AnyEntry:
    """Give the entry of an answer to a row."""
    row = next(row for row in plan.rows if row.key == key)
    return measured_entry(plan, row, taken, when=WHEN + timedelta(minutes=minutes), by=BY)


def taken_back(plan: Plan, key: str, minutes: int = 0) -> AnyEntry:
    """Give the entry that takes the answer of a row back."""
    row = next(row for row in plan.rows if row.key == key)
    return taken_back_entry(plan, row, when=WHEN + timedelta(minutes=minutes), by=BY)


def some_answers(plan: Plan) -> tuple[AnyEntry, ...]:
    """Give answers to four rows: good, one that cannot fail, bad, and one that was taken back."""
    return (
        answered(plan, "W2", Taken(0.9)),
        answered(plan, "W2", Taken(0.31), 1),
        answered(plan, "W5", Taken(0.2), 2),
        answered(plan, "G1.-", Taken(24.0, amps=4.6), 3),
        answered(plan, "F1.out open", Taken(math.inf), 4),
        answered(plan, "M1 on", Taken(said=Standing.SKIPPED), 5),
        answered(plan, "F1", Taken(6.1), 6),
        taken_back(plan, "F1", 7),
    )
