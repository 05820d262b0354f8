"""What the first steps say: four sentences at the bottom of the real screens, and the keys that lead through them."""

from __future__ import annotations

from tui.commands import Place

_STEPS = (
    "Each row is a load. Mark one with the arrows; Enter shows its walk, point by point.",
    "From the battery through the load to ground. expect: the volts there; unplugged: with the load's plug off.",
    "k turns the key one state on, K one back, and all volts follow. Press it and look.",
    "t traces why a load does not work. In the list of loads v proves a new loom, o looks it over, f fills gaps.",
)
STEPS_COUNT = len(_STEPS)
FIRST_OF_WALK = 2
_ENDS = ("Esc", "end first steps")
_NEXT, _DONE = ("Enter", "next step"), ("Enter", "done")


def step_at(step: int, place: Place) -> int:
    """Return which step stands on a screen, counted from 1; 0 where none does.

    Parameters
    ----------
    step : int
        The step gone to last; 0 where the first steps are over.
    place : Place
        The list of loads has the first step, the walk the others.
    """
    if step == 0:
        return 0
    match place:
        case Place.LOADS:
            return 1
        case Place.WALK:
            return max(step, FIRST_OF_WALK)
        case _:
            return 0


def step_words(step: int, place: Place) -> str:
    """Return what is said on a screen; empty where nothing is."""
    shown = step_at(step, place)
    return f"First steps, {shown} of {STEPS_COUNT}. {_STEPS[shown - 1]}" if shown else ""


def step_keys(step: int, place: Place, keys: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return the keys of the bottom line with those of the first steps in front, where such a step stands there."""
    shown = step_at(step, place)
    if not shown:
        return keys
    if shown < FIRST_OF_WALK:
        own = [key for key in keys if key[0] == _NEXT[0]]
        return [*own, _ENDS, *(key for key in keys if key not in own)]
    return [_DONE if shown == STEPS_COUNT else _NEXT, _ENDS, *(key for key in keys if key[0] != _NEXT[0])]
