"""What the file says of an element of a load: in its own row, else in the load's."""

from __future__ import annotations

from model.harness.harness import Element, Harness
from model.harness.parts import Rated, WorksWith


def rated_rows(harness: Harness, element: Element) -> tuple[Rated, ...]:
    """Give the rows that rate an element, its own first; none of a feed of a module."""
    rows = (element.record, harness.parts[element.part_id])
    return tuple(row for row in rows if isinstance(row, Rated))


def works_in_of(harness: Harness, element: Element) -> tuple[str, ...] | None:
    """Name the key states in which an element should work; None where the file does not say."""
    return next((row.works_in for row in rated_rows(harness, element) if row.works_in is not None), None)


def works_with_of(harness: Harness, element: Element) -> WorksWith | tuple[WorksWith, ...] | None:
    """Give what an element works with, as the file has it: one table or several; None where it does not say."""
    return next((row.works_with for row in rated_rows(harness, element) if row.works_with is not None), None)


def role_of(harness: Harness, element: Element) -> str:
    """Give the role of an element; empty where it has none."""
    return next((row.role for row in rated_rows(harness, element) if row.role), "")


def is_critical(harness: Harness, element: Element) -> bool:
    """Tell whether the file calls a load or its element critical."""
    return any(row.critical for row in rated_rows(harness, element))
