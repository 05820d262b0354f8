"""What was probably meant by a name that does not exist."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from model.words import clean, nearest

_LISTED = 8
_WIDE = 300
"""With more choices than this only those are compared that have nearly the same letters."""


def did_you_mean(name: str, choices: Collection[str]) -> str:
    """Give the end of a sentence with the nearest choice; empty where none is near."""
    near = nearest(clean(name, 60), choices if len(choices) <= _WIDE else _similar(name, choices))
    return f"; did you mean {near}?" if near else ""


def no_such(what: str, name: str, choices: Collection[str]) -> str:
    """Say that nothing of a kind has this name, and what was meant or what there is."""
    near = did_you_mean(name, choices)
    if near:
        return f"there is no {what} of this name{near}"
    if not choices:
        return f"there is no {what} of this name; the file has none"
    return f"there is no {what} of this name; there {'is' if len(choices) == 1 else 'are'} {listed(choices)}"


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
