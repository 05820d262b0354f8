"""A check of a practice found by words of it."""

from __future__ import annotations

from collections.abc import Mapping

from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.places import NO_PLACE_WORDS
from model.tracing.check_words import check_place
from model.tracing.checks import Check
from model.words import clean
from tui.screens.what_if import offered
from tui.trace_step import point_typed

OFFERED_MOST = 12


def offered_checks(harness: Harness, named: Mapping[str, Check], typed: str) -> list[tuple[str, str]]:
    """Offer the checks that have every word typed: the name, and where it is made."""
    return [(name, _place(harness, named[name])) for name in _found(harness, named, typed)[:OFFERED_MOST]]


def found_check(harness: Harness, named: Mapping[str, Check], typed: str) -> Check:
    """Give the check of this name, else the first that has every word typed.

    Raises
    ------
    ArgumentError
        Where there is none.
    """
    found = [typed] if typed in named else _found(harness, named, typed)
    if not found or not typed.strip():
        raise ArgumentError(f"No check has “{clean(typed, 40)}”.", do="Type letters of a point, a part or a place.")
    return named[found[0]]


def _found(harness: Harness, named: Mapping[str, Check], typed: str) -> list[str]:
    """List the names that have every word, those first in which each begins a word of the name."""
    words = typed.casefold().split()
    has = [name for name in named if all(word in _letters(harness, name, named[name]) for word in words)]
    return sorted(has, key=lambda name: not all(f" {word}" in f" {name.casefold()}" for word in words))


def _letters(harness: Harness, name: str, check: Check) -> str:
    return f"{name} {_place(harness, check)}".casefold()


def _place(harness: Harness, check: Check) -> str:
    return check_place(harness, check) or NO_PLACE_WORDS


def points_typed(harness: Harness, typed: str) -> tuple[str, str]:
    """Read one point, or two with a space between: red, then black; black is empty where the grounded post is meant.

    Raises
    ------
    ArgumentError
        Where there is no such point, naming the nearest.
    """
    red, _, black = typed.strip().rpartition(" ")
    if not red:
        return point_typed(harness, typed), ""
    try:
        first = point_typed(harness, red)
    except ArgumentError:
        return point_typed(harness, typed), ""
    return first, point_typed(harness, black)


def offered_points(harness: Harness, typed: str) -> list[tuple[str, str]]:
    """Offer the points that have every word typed; behind a whole one and a space, those for the black probe."""
    red, _, black = typed.strip().rpartition(" ")
    try:
        first = point_typed(harness, red)
    except ArgumentError:
        return offered(harness, typed, with_wires=False)
    return [(f"{first} {name}", shown) for name, shown in offered(harness, black, with_wires=False)]
