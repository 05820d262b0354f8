"""How the engine stands while a row is read: each stage is worked through whole before the next."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from model.cautions import cranks, engine_turns
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.plans.plan import PlanRow
from model.words import clean


class Stage(StrEnum):
    """How the engine stands, in working order; the value heads the rows."""

    OFF = "Engine off"
    CRANKED = "Starter turning"
    RUNNING = "Engine running"


def stage_of(harness: Harness, condition: Condition) -> Stage:
    """Tell how the engine stands in a condition."""
    if cranks(harness, condition):
        return Stage.CRANKED
    return Stage.RUNNING if engine_turns(harness, condition) else Stage.OFF


def stage_rank(harness: Harness, condition: Condition) -> int:
    """Give the place of a condition's stage in the working order."""
    return tuple(Stage).index(stage_of(harness, condition))


def place_ranks(harness: Harness, first: Iterable[str] = ()) -> dict[str, int]:
    """Give the order in which places are gone to: some first, then as the file lists them."""
    names = dict.fromkeys([*first, *(clean(location.name) for location in harness.locations)])
    return {name: rank for rank, name in enumerate(names)}


def by_place(harness: Harness, rows: Iterable[PlanRow]) -> list[PlanRow]:
    """Put rows in order by stage, and in each by place; the place of the first row comes first, else all stay."""
    every = list(rows)
    ranks = place_ranks(harness, [row.place for row in every[:1]])
    return sorted(
        every, key=lambda row: (stage_rank(harness, row.condition), ranks.get(row.place, len(ranks)), row.place)
    )
