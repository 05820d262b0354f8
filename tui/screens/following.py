"""A screen that shows the harness as it stands, and follows every change of key, settings, fault and posts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.key_shown import key_shown
from tui.screens.frame import Framed, Result
from tui.widgets.bars import BarFacts

if TYPE_CHECKING:
    from tui.standing import Solved, Standing

READING = "The file is still being read."


class Following(Framed[Result]):
    """A screen that looks at what the app holds.

    A subclass shows it in `show_standing`; until a condition is solved it says so in `show_waiting`. A screen that lies
    below another follows once it is on top again.
    """

    def __init__(self, facts: BarFacts) -> None:
        super().__init__(facts)
        self.is_behind = False

    def on_mount(self) -> None:
        """Look at what the app holds from now on."""
        self.watch(self.app, "standing", self._changed)

    def on_screen_resume(self) -> None:
        """Catch up with what changed while another screen lay above."""
        if self.is_behind:
            self.follow()

    def _changed(self) -> None:
        if self.is_current:
            self.follow()
        else:
            self.is_behind = True

    def follow(self) -> None:
        """Show what stands now: at once where it has been solved before, else as soon as it is."""
        self.is_behind = False
        standing = self.fusewalk.standing
        if standing is None:
            return
        solved = standing.solved()
        if solved is not None:
            self._arrived(standing, solved)
            return
        self.facts = BarFacts(
            standing.harness.build.name, self.doing(None), key_shown(standing.harness, standing.condition.key)
        )
        self.show_waiting(standing)
        self.aside(standing.solve, lambda solved: self._arrived(standing, solved), group="solve")

    def _arrived(self, standing: Standing, solved: Solved) -> None:
        if standing is not self.fusewalk.standing:
            return
        posts = None if solved.survey is None else solved.survey.settled.posts_volts
        name, key = standing.harness.build.name, key_shown(standing.harness, standing.condition.key)
        self.facts = BarFacts(name, self.doing(solved), key, posts, standing.posts_origin)
        self.show_standing(standing, solved)

    def doing(self, solved: Solved | None) -> str:
        """Say what is being done here, for the line on top."""
        return self.facts.doing

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Show a condition that has been solved."""

    def show_waiting(self, standing: Standing) -> None:
        """Show that a condition is being solved."""

    def action_turn_key(self, way: int) -> None:
        """Turn the key to the next (1) or the previous (-1) state."""
        standing = self.fusewalk.standing
        if standing is None:
            self.say(READING)
            return
        self.fusewalk.standing = standing.turned(way)

    def action_take_fault_out(self) -> None:
        """Take out the fault that a question has put in."""
        standing = self.fusewalk.standing
        if standing is None or not standing.condition.faults:
            self.say("No fault is put in.")
            return
        self.fusewalk.standing = standing.with_fault(None)

    def action_settings(self) -> None:
        """Open the settings."""
        if self.fusewalk.standing is None:
            self.say(READING)
            return
        from tui.screens.settings import SettingsScreen

        self.fusewalk.push_screen(SettingsScreen())
