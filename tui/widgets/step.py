"""The step at the marked point, in whatever room there is."""

from __future__ import annotations

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from tui.walk_step import Step, step_content


class StepStrip(Widget):
    """Shows a step: cautions first, then the step itself, then what a wrong reading says."""

    step: reactive[Step | None] = reactive(None)

    def render(self) -> Content:
        """Return the step for the room there is."""
        if self.step is None:
            return Content("")
        return step_content(self.step, self.content_size.width, self.content_size.height)
