"""What was probably meant by a name that does not exist."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from model.words import clean, nearest

_LISTED = 8
_SHORTEST = 3
_WIDE = 300
"""With more choices than this only those are compared that have nearly the same letters."""


def did_you_mean(name: str, choices: Collection[str]) -> str:
    """Give the end of a sentence with the nearest choice; empty where none is near."""
    near = nearest_of(name, choices)
    return f"; did you mean {near}?" if near else ""


def nearest_of(name: str, choices: Collection[str]) -> str | None:
    """Give the choice that a name was probably meant to be: one wrong letter before one too many or too few."""
    name = clean(name, 60)
    near = choices if len(choices) <= _WIDE else _similar(name, choices)
    if name.casefold() not in {choice.casefold() for choice in near}:
        one_off = [choice for choice in near if _differs_in_one(name, choice)]
        if one_off and len(name) >= _SHORTEST:
            return one_off[0]
    return nearest(name, near)


def _differs_in_one(name: str, choice: str) -> bool:
    return len(name) == len(choice) and sum(one != other for one, other in zip(name, choice, strict=True)) == 1


def no_such(what: str, name: str, choices: Collection[str]) -> str:
    """Say that nothing of a kind has this name, and what was meant or what there is."""
    near = did_you_mean(name, choices)
    if near:
        return f"there is no {what} of this name{near}"
    if not choices:
        return f"there is no {what} of this name; the file has none"
    return f"there is no {what} of this name; there {'is' if len(choices) == 1 else 'are'} {listed(choices)}"


def no_such_id(part_id: str, choices: Collection[str]) -> str:
    """Say that no part has this id, and which was meant or which begin alike."""
    near = did_you_mean(part_id, choices)
    if near:
        return f"there is no part with this id{near}"
    letters = clean(part_id, 60).rstrip("0123456789")
    alike = [one for one in choices if letters and one.rstrip("0123456789") == letters]
    if not alike:
        return "there is no part with this id"
    return f"there is no part with this id; there {'is' if len(alike) == 1 else 'are'} {listed(alike)}"


def listed(names: Collection[str]) -> str:
    """Name the first few of several."""
    shown = list(names)[:_LISTED]
    return ", ".join(shown) + (f" and {len(names) - len(shown)} more" if len(names) > len(shown) else "")


def _similar(name: str, choices: Iterable[str]) -> list[str]:
    letters = set(name.casefold())
    return [
        choice
        for choice in choices
        if abs(len(choice) - len(name)) <= 1 and len(letters.symmetric_difference(choice.casefold())) <= 2
    ]
