"""Rows of plans whose condition no hand can set by a switch: how it is set all the same, and what that leaves out."""

from __future__ import annotations

from dataclasses import replace

from model.circuit.faults import part_of_site
from model.harness.harness import Harness
from model.plans.plan import PlanRow
from model.tracing.hand_set import comes_by_itself, how_set, in_place_of


def with_hands(harness: Harness, row: PlanRow) -> PlanRow:
    """Say in a row how each switch that no hand works is set, and take those that are bridged out of what it proves."""
    said = list(how_set(harness, row.condition))
    if not said:
        return row
    bridged = {switch.id for switch in in_place_of(harness, row.condition)}
    by_itself = comes_by_itself(harness, row.condition)
    if by_itself:
        said.append(f"Or have {' and '.join(by_itself)}.")
    if bridged:
        said.append(f"That proves nothing of {' and '.join(sorted(bridged))}; put it back afterwards.")
    covers = tuple(site for site in row.covers if part_of_site(site) not in bridged)
    return replace(row, before=(*said, *row.before), covers=covers)
