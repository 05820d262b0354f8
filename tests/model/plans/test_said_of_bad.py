"""What is said of a bad reading: faults that fit an insulation row, by name and place."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from model.circuit.bodies import body_beside
from model.circuit.condition import OUT, Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_ohms
from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.supply import reference_point
from model.harness.toml_file import read_harness
from model.plans.insulation import insulation_plan
from model.plans.judging import Standing, Taken
from model.plans.plan import Plan, PlanKind, PlanRow
from model.plans.said_of_bad import NAMED_AT_MOST, suspects_words
from tests.model.circuit.rig import harness
from tests.model.plan_rows import small_plan

DEMO_BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
FED = """
fuses = [ { id = "F1", amps = 15, ohms = 0.1, location = "box" } ]
loads = [ { id = "E1", kind = "heater", ohms = 120, location = "tail" } ]
grounds = [ { id = "GND0" } ]
locations = [ { name = "box" }, { name = "tail" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0.1 },
  { id = "W2", from = "F1.out", to = "E1.+", length = 1 },
  { id = "W3", from = "E1.-", to = "GND0", length = 0.1 },
  { id = "W4", from = "GND0", to = "G1.-", length = 0.1 },
]
"""


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of a plan by its key."""
    return next(row for row in plan.rows if row.key == key)


def shorted(loom: Harness, row: PlanRow, wire_id: str) -> float:
    """Read a row the slow way with a wire through to the body, or without one to the post, control units unplugged."""
    out = tuple((module.id, OUT) for module in loom.modules)
    fault = Fault(wire_id, FaultKind.TO_BODY)
    if body_beside(loom, loom.part_of(wire_id, Wire)) is None:
        fault = Fault(wire_id, FaultKind.TOUCHES, reference_point(loom))
    ohms = read_ohms(loom, Condition(row.condition.key, (*row.condition.settings, *out), (fault,)), row.red, row.black)
    return math.inf if ohms is None else ohms


def test_a_bad_row_names_the_wire_that_is_through_with_its_place() -> None:
    """F1.out reads 120 Ω whole; with W2 through to the body 50 mΩ and its touch: W2 is named, from box to tail."""
    loom = harness(FED)
    plan = insulation_plan(loom)
    row = row_of(plan, "group F1.out")
    words = suspects_words(loom, plan, row, Taken(shorted(loom, row, "W2")))
    assert any("W2" in line and "through to the body" in line for line in words)
    assert any("from box" in line and "to tail" in line for line in words)


BEHIND = FED.replace("ohms = 120,", "ohms = 120000,")


@pytest.mark.parametrize(
    ("ohms", "said", "unsaid"),
    [
        (0.5, "Under 2 Ω is as good as a dead short (common practice): W2 touching ground", "damp"),
        (1.9, "as good as a dead short", "no dead short"),
        (10.0, "no dead short (common practice): a load or a control unit beside it", "damp"),
        (900.0, "a poor touch of W2 to ground", "damp"),
        (4700.0, "From 1 kΩ on it is damp or dirt (common practice)", "dead short"),
    ],
)
def test_ohms_that_no_single_fault_gives_tell_by_their_size(ohms: float, said: str, unsaid: str) -> None:
    """W2 through reads 0.05 Ω: leads and touch make 0.5 Ω of it, 10 Ω a load beside it, kilohms damp."""
    loom = harness(BEHIND)
    plan = insulation_plan(loom)
    (words,) = suspects_words(loom, plan, row_of(plan, "group F1.out"), Taken(ohms))
    assert said in words
    assert unsaid not in words


def test_a_short_behind_a_fuse_that_was_fitted_is_no_short_of_the_fuse() -> None:
    """Both clamps with F1 in: what reads 1.5 Ω is behind it."""
    loom = harness(BEHIND)
    plan = insulation_plan(loom)
    (words,) = suspects_words(loom, plan, row_of(plan, "fitted F1"), Taken(1.5))
    assert "a wire behind F1 touching ground" in words


@pytest.mark.parametrize("taken", [Taken(120.0), Taken(math.inf), Taken(said=Standing.BAD), Taken(said=Standing.GOOD)])
def test_what_is_good_or_has_no_value_has_no_suspects(taken: Taken) -> None:
    """A good value, a word: nothing is said."""
    loom = harness(FED)
    plan = insulation_plan(loom)
    assert suspects_words(loom, plan, row_of(plan, "group F1.out"), taken) == ()


def test_other_plans_have_no_suspects() -> None:
    """A row of continuity that is bad names its wire itself."""
    plan = small_plan()
    assert plan.kind is PlanKind.CONTINUITY
    assert suspects_words(harness(FED), plan, plan.rows[0], Taken(5.0)) == ()


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=lambda path: path.stem)
def test_a_wire_through_to_the_body_is_named_or_counted(path: Path) -> None:
    """Of each build the first wire of eight rows, shorted and read the slow way: it is named, or three read nearer."""
    loom = read_harness(path)
    plan = insulation_plan(loom)
    rows = [row for row in plan.rows if row.covers and row.covers[0].startswith("W")][:8]
    assert len(rows) >= 5
    for row in rows:
        words = suspects_words(loom, plan, row, Taken(shorted(loom, row, row.covers[0])))
        named = any(row.covers[0] in line for line in words)
        assert named or len(words) > NAMED_AT_MOST, (row.key, words)
