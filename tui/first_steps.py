"""The first steps on the screens: at the very first start, and whenever they are asked for.

They stand in nobody's way: Enter goes on and Esc ends them, every other key does what it always does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.reactive import reactive
from textual.widgets import Input

from tui import remembered
from tui.commands import Place
from tui.errors_told import Telling
from tui.step_words import FIRST_OF_WALK, STEPS_COUNT, step_at

if TYPE_CHECKING:
    from tui.standing import Standing


class Stepping(Telling):
    """What the app knows of the first steps.

    Attributes
    ----------
    step
        The step gone to last, counted from 1; 0 where there are none. Screens watch it.
    begins_with_steps
        Whether they are shown as soon as a harness has been read.
    """

    step: reactive[int] = reactive(0)
    begins_with_steps: bool = False

    def watch_standing(self, standing: Standing | None) -> None:
        """Begin once a harness has been read, and never again after that."""
        if standing is not None and self.begins_with_steps:
            self.begins_with_steps = False
            remembered.remember_first_steps()
            if self.complaint is None:
                self.step = 1
        super().watch_standing(standing)

    def takes_step(self, key: str) -> bool:
        """Go on with Enter, end with Esc; False where a key goes its usual way, as all others do."""
        place = getattr(self.screen, "PLACE", None)
        shown = step_at(self.step, place) if isinstance(place, Place) else 0
        if not shown or isinstance(self.focused, Input):
            return False
        if key == "escape":
            self.step = 0
            return True
        if key != "enter" or shown < FIRST_OF_WALK:
            return False
        self.step = 0 if shown == STEPS_COUNT else shown + 1
        return True

    def action_first_steps(self) -> None:
        """Begin anew, or say where they begin."""
        self.step = 1
        place = getattr(self.screen, "PLACE", None)
        if isinstance(place, Place) and not step_at(self.step, place):
            where = "in the list of loads" if self.standing is not None else "once a harness is open"
            self.say(f"The first steps begin {where}.")
