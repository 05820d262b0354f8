"""What was probably meant by a name that does not exist."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from string import ascii_letters, digits

from model.words import clean, nearest

_LISTED = 8
_SHORTEST = 3
"""Of a shorter name one letter is too much of it for a guess."""
_MANY = 40
"""Of more choices than this only those are compared that have nearly the same letters."""
_VERY_MANY = 1000
"""Of more choices than this only those are found that differ in one letter."""
_LETTERS = ascii_letters + digits + "-_"


def did_you_mean(name: str, choices: Collection[str]) -> str:
    """Give the end of a sentence with the nearest choice; empty where none is near."""
    near = nearest_of(name, choices)
    return f"; did you mean {near}?" if near else ""


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
    letters = clean(part_id, 60).rstrip(digits)
    alike = [one for one in choices if letters and one.rstrip(digits) == letters] if len(choices) <= _VERY_MANY else []
    if not alike:
        return "there is no part with this id"
    return f"there is no part with this id; there {'is' if len(alike) == 1 else 'are'} {listed(alike)}"


def listed(names: Collection[str]) -> str:
    """Name the first few of several."""
    shown = [name for name, _ in zip(names, range(_LISTED), strict=False)]
    return ", ".join(shown) + (f" and {len(names) - len(shown)} more" if len(names) > len(shown) else "")


def nearest_of(name: str, choices: Collection[str]) -> str | None:
    """Give the choice that a name was probably meant to be: one wrong letter before one too many or too few.

    Parameters
    ----------
    name
        What was typed.
    choices
        What there is; where there are thousands, something in which a name is found at once.
    """
    name = clean(name, 60)
    if len(choices) > _VERY_MANY:
        return next((one for one in _one_off(name) if one in choices), None) if len(name) >= _SHORTEST else None
    near = choices if len(choices) <= _MANY else _similar(name, choices)
    folded = name.casefold()
    if len(name) >= _SHORTEST and not any(choice.casefold() == folded for choice in near):
        for choice in near:
            if len(choice) == len(name) and sum(one != other for one, other in zip(name, choice, strict=True)) == 1:
                return choice
    return nearest(name, near)


def _one_off(name: str) -> Iterator[str]:
    """Give every name that differs in one letter, or has one less or one more."""
    yield from (name.upper(), name.lower())
    for at in range(len(name)):
        yield from (name[:at] + letter + name[at + 1 :] for letter in _LETTERS)
    for at in range(len(name)):
        yield name[:at] + name[at + 1 :]
    for at in range(len(name) + 1):
        yield from (name[:at] + letter + name[at:] for letter in _LETTERS)


def _similar(name: str, choices: Collection[str]) -> list[str]:
    letters = set(name.casefold())
    return [
        choice
        for choice in choices
        if abs(len(choice) - len(name)) <= 2 and len(letters.symmetric_difference(choice.casefold())) <= 2
    ]
