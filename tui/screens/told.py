"""A screen that shows a walk as the harness stands."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from model.errors import FusewalkError
from tui.screens.following import Following
from tui.telling import Told, element_of, find_walk, tell, told_for
from tui.widgets.bars import BarFacts

if TYPE_CHECKING:
    from model.tracing.rows import ToldWalk
    from model.tracing.walk import Walk
    from tui.standing import Solved, Standing

FINDING = "Finding the way of the current."
WORKING_OUT = "Working out the volts."


class ToldScreen(Following[None]):
    """A screen that shows a walk; a change of key is shown from what has been worked out.

    Parameters
    ----------
    element_name
        Which load: ``E1:dip``, ``M2:load``, ``A2:75``.

    Attributes
    ----------
    trouble
        Why the walk cannot be shown; empty where it can.
    """

    def __init__(self, element_name: str) -> None:
        super().__init__(BarFacts("", element_name))
        self.element_name = element_name
        self.walk: Walk | None = None
        self.told = Told(None, None)
        self.solved: Solved | None = None
        self.label = element_name
        self.trouble = ""

    def on_mount(self) -> None:
        """Find the walk."""
        standing = self.fusewalk.standing
        element = None if standing is None else element_of(standing.harness, self.element_name)
        if standing is None or element is None:
            self.trouble = f"There is no load {self.element_name} here."
            self.show_told()
            return
        self.label = _label(standing, self.element_name)
        kept = standing.walks.kept(element.name)
        if kept is not None:
            self.found(kept)
            return
        self.show_told()
        self.aside(partial(find_walk, standing, element), self.found, group="walk")

    @property
    def now(self) -> ToldWalk | None:
        """The walk told for what stands now; None while that is being worked out."""
        standing = self.fusewalk.standing
        return self.told.walk if standing is not None and self.told.what_for == told_for(standing) else None

    def found(self, found: Walk | FusewalkError) -> None:
        """Take the walk, and tell it."""
        if isinstance(found, FusewalkError):
            self.trouble = f"{found.what} {found.do}".rstrip()
            self.show_told()
            return
        self.walk = found
        self.walked(found)

    def walked(self, walk: Walk) -> None:
        """Go on with the walk that has been found."""
        self.follow()

    def doing(self, solved: Solved | None) -> str:
        """Name the load."""
        return self.label

    def show_waiting(self, standing: Standing) -> None:
        """Show what has been worked out, if it holds for what stands now."""
        self.show_told()

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Show the walk, told anew where something has been set."""
        self.solved = solved
        if self.walk is not None and self.told.what_for != told_for(standing):
            self.aside(partial(tell, standing, self.walk), self._told, group="tell")
        self.show_told()

    def _told(self, told: Told) -> None:
        standing = self.fusewalk.standing
        if standing is None or told.what_for != told_for(standing):
            # set back meanwhile: what stands was told before, and is not told again
            return
        self.told = told
        self.trouble = told.trouble
        self.show_told()

    def show_told(self) -> None:
        """Show the walk as far as it is known."""


def _label(standing: Standing, element_name: str) -> str:
    from tui.load_lines import lines_of_harness

    return next((line.label for line in lines_of_harness(standing.harness) if line.name == element_name), element_name)
