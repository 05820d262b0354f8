"""Each kind of amendment solved: the volts after it, the rows of the plans, and what is marked as out of work."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.survey import Survey
from model.harness.amendment_kinds import added, found_different, ground_moved, removed, replaced, spliced
from model.harness.amendment_spare import moved_to_spare
from model.harness.amendments import Amendment, amended_text
from model.harness.harness import Harness
from model.harness.superseded import in_place_of
from model.harness.toml_file import read_harness_text
from model.plans.every_plan import make_plan
from model.plans.plan import PlanKind
from tests.model.harness.test_amendments import LOOM

BEFORE = read_harness_text(LOOM, "trailer")


def after(amendment: Amendment) -> Harness:
    """Give the trailer with an amendment made."""
    return read_harness_text(amended_text(LOOM, amendment.changes, 4, "2026-05-01"), "trailer")


def solved(harness: Harness) -> Survey:
    """Solve a harness with the key off."""
    return Bench(harness).survey(Condition("off"))


def volts(harness: Harness, element: str) -> float:
    """Give the volts across a load."""
    return solved(harness).loads[element].volts


def proven(harness: Harness) -> set[str]:
    """Name what the rows of continuity prove, all plugs apart."""
    return {site for row in make_plan(harness, PlanKind.CONTINUITY).rows for site in row.covers}


def loads_tried(harness: Harness) -> set[str]:
    """Name the points that the plan of the loads probes."""
    return {point for row in make_plan(harness, PlanKind.LOADS).rows for point in (row.red, row.black)}


def test_a_move_to_spares() -> None:
    """The lamp burns as before over thicker wire; the spares are proven, the old wires are not, and are marked."""
    new = after(moved_to_spare(BEFORE, ["W2", "W3"], ["W6", "W7"]))
    # W2 and W3 are 3 m and 0.6 m of 1 mm², 19.5 mΩ/m; W6 and W7 3 m and 0.9 m of 1.5 mm², 13.3 mΩ/m, both by
    # IEC 60228 class 5: 70.2 mΩ becomes 51.9 mΩ, at 0.44 A 8 mV more at the lamp
    assert volts(new, "E1:load") - volts(BEFORE, "E1:load") == pytest.approx(0.0080, abs=0.0015)
    assert {"W6", "W7"} <= proven(new)
    assert not {"W2", "W3"} & proven(new)
    assert [wire.id for wire in in_place_of(new)["W6"]] == ["W2"]
    assert [wire.id for wire in in_place_of(new)["W7"]] == ["W3"]


def test_a_splice() -> None:
    """Two crimps of 0.5 mΩ more at 0.44 A take under a millivolt; both pieces are proven, nothing is out of work."""
    new = after(spliced(BEFORE, "W3", "J2", from_end_m=0.2))
    assert 0 < volts(BEFORE, "E1:load") - volts(new, "E1:load") < 0.001
    assert {"W3", "W3b"} <= proven(new)
    assert not in_place_of(new)


def test_a_part_replaced() -> None:
    """A lamp of 10 W takes about twice the amperes of one of 5 W, and the plan of the loads still tries it."""
    new = after(replaced(BEFORE, "E1", {"watts": 10}))
    amps = [solved(harness).loads["E1:load"].amps for harness in (BEFORE, new)]
    assert amps[1] / amps[0] == pytest.approx(2.0, rel=0.02)
    assert "E1.+" in loads_tried(new)


def test_a_ground_moved() -> None:
    """The lamp burns by the other stud, and the row of its ground wire ends there."""
    new = after(ground_moved(BEFORE, "W4", "GND1"))
    # the way home is shorter by what GND2 and its stretch of the body resist, some milliohms at 0.44 A
    assert volts(new, "E1:load") == pytest.approx(volts(BEFORE, "E1:load"), abs=0.002)
    ends = {row.covers: {row.red, row.black} for row in make_plan(new, PlanKind.CONTINUITY).rows if "W4" in row.covers}
    assert any("GND1" in points for points in ends.values())
    assert not any("GND2" in points for points in ends.values())


def test_a_wire_added() -> None:
    """The second lamp, which had no feed, has the battery's volts now, and the new wire is proven."""
    new = after(added(BEFORE, "wires", {"id": "W20", "from": "F1.out", "to": "J1", "size": 1.5, "length": 1.0}))
    assert volts(BEFORE, "E2:load") == 0.0
    assert volts(new, "E2:load") == pytest.approx(12.7, abs=0.1)
    assert "W20" in proven(new)
    assert "W20" not in proven(BEFORE)


def test_a_part_taken_out() -> None:
    """The fuse carries nothing any more, the plan of the loads has no row for the lamp."""
    new = after(removed(BEFORE, "E1"))
    assert solved(BEFORE).fuse_amps["F1"] == pytest.approx(0.44, abs=0.03)
    assert solved(new).fuse_amps["F1"] == 0.0
    assert "E1:load" not in solved(new).loads
    assert not {"E1.+", "E1.-"} & loads_tried(new)


def test_a_wire_found_elsewhere() -> None:
    """In the empty cavity the lamp is dead by the file too, and the row of continuity measures to that cavity."""
    new = after(found_different(BEFORE, "W3", {"from": "X1.tail.2"}))
    assert volts(new, "E1:load") == 0.0
    points = {
        point
        for row in make_plan(new, PlanKind.CONTINUITY).rows
        if "W3" in row.covers
        for point in (row.red, row.black)
    }
    assert "X1.tail.2" in points
