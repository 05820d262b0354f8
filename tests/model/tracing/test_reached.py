"""What may hang on a point, told without a solve: never less than what does hang there once it is solved."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from model.circuit.condition import Condition, make_condition
from model.circuit.settle import Settled, settle
from model.harness.harness import Harness
from model.harness.points import all_points
from model.harness.toml_file import read_harness
from model.tracing.reached import ClosedMetal, may_be_delicate

DEMOS = Path(__file__).parents[3] / "demo_builds"
BUILDS = sorted(path.stem for path in DEMOS.glob("*.toml"))


@lru_cache
def harness_of(build: str) -> Harness:
    """Read a demo build."""
    return read_harness(DEMOS / f"{build}.toml")


def conditions(harness: Harness) -> list[Condition]:
    """Give each key state as it rests, with every relay or every plug out, and with every switch moved."""
    apart = [f"{plug.id}=apart" for plug in harness.connectors if plug.rest != "apart"]
    out = [f"{relay.id}=out" for relay in harness.relays if relay.inside is None]
    units = [f"{unit.id}=out" for unit in harness.modules]
    moved = [f"{one.id}={list(one.positions)[-1]}" for one in harness.switches if not one.key]
    settings = [tuple(names) for names in ((), apart, out, units, moved)]
    return [make_condition(harness, key, names) for key in harness.key_names for names in settings]


@lru_cache
def settled_in(build: str, condition: Condition) -> Settled:
    """Settle a demo build."""
    return settle(harness_of(build), condition)


@pytest.mark.first_few(2)
@pytest.mark.parametrize("is_powered", [True, False])
@pytest.mark.parametrize("build", BUILDS)
def test_what_hangs_on_a_point_may_hang_there(build: str, is_powered: bool) -> None:
    """Wherever closed metal leads to a control unit or a hazard, that is also told without a solve."""
    harness, found = harness_of(build), 0
    for condition in conditions(harness):
        metal = ClosedMetal(settled_in(build, condition), condition, is_powered=is_powered)
        for point in all_points(harness):
            if metal.delicate_at([point]):
                found += 1
                assert may_be_delicate(harness, condition, [point], is_powered=is_powered), (condition, point)
    assert found


def test_what_cannot_hang_on_a_point_is_told_without_a_solve() -> None:
    """Most points of the buggy lead to no control unit, whatever is switched: there nothing has to be solved."""
    harness = harness_of("trail_buggy")
    condition = Condition(harness.key_names[0])
    told = [may_be_delicate(harness, condition, [point], is_powered=True) for point in all_points(harness)]
    assert any(told)
    assert not all(told)


@pytest.mark.parametrize("build", BUILDS)
def test_parts_of_a_piece_are_those_reached_from_each_point(build: str) -> None:
    """Whichever point of a piece is asked first, each names the parts that are reached from itself."""
    harness = harness_of(build)
    condition = conditions(harness)[0]
    metal = ClosedMetal(settled_in(build, condition), condition, is_powered=False)
    for point in all_points(harness):
        reached = {other.partition(".")[0] for other in metal.from_points([point])}
        assert metal.parts_from(point) == reached, point


def test_with_the_supply_on_pieces_are_refused() -> None:
    """Then a fuse is passed one way only, so that two points of a piece reach different points."""
    condition = Condition(harness_of("trail_buggy").key_names[0])
    metal = ClosedMetal(settled_in("trail_buggy", condition), condition, is_powered=True)
    with pytest.raises(ValueError, match="one way"):
        metal.parts_from("G1.+")
