"""Rows of a plan found by letters that a person knows of them."""

from __future__ import annotations

from model.errors import ArgumentError
from model.plans.plan import Plan, PlanRow
from model.words import clean

OFFERED_MOST = 40


def offered_rows(plan: Plan, typed: str) -> list[tuple[str, str]]:
    """Offer the rows that have every word typed: the key, and what the row is."""
    return [(row.key, f"{row.title}, {row.group}") for row in _found(plan, typed)[:OFFERED_MOST]]


def found_row(plan: Plan, typed: str) -> PlanRow:
    """Give the row with this key, else the first that has every word typed.

    Raises
    ------
    ArgumentError
        Where there is none.
    """
    exact = next((row for row in plan.rows if row.key == typed), None)
    found = [exact] if exact is not None else _found(plan, typed)
    if not found or not typed.strip():
        raise ArgumentError(f"No row has “{clean(typed, 40)}”.", do="Type letters of a wire, a part or a place.")
    return found[0]


def _found(plan: Plan, typed: str) -> list[PlanRow]:
    """List the rows that have every word, those first in which a word stands alone."""
    words = typed.casefold().split()
    has = [row for row in plan.rows if all(word in _letters(row) for word in words)]
    return sorted(has, key=lambda row: not set(words) <= set(_words(row)))


def _letters(row: PlanRow) -> str:
    return " ".join((row.key, row.title, row.group, row.place, *row.points, *row.covers)).casefold()


def _words(row: PlanRow) -> list[str]:
    return _letters(row).replace(",", " ").replace(":", " ").split()
