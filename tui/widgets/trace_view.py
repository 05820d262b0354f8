"""The step of a trace in whatever room there is, small or in letters three rows high."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from textual.content import Content
from textual.reactive import reactive
from textual.screen import Screen
from textual.widget import Widget

from tui.trace_big import big_block
from tui.trace_layout import TraceStep, caution_lines, named_lines, step_lines

_CAUTIONS_MOST = 4
_STEP_LEAST = 9


class TraceStepView(Widget):
    """Shows the step: cautions first, then what to do, then why."""

    DEFAULT_CSS = "TraceStepView { padding: 0 1; }"

    step: reactive[TraceStep | None] = reactive(None)

    def render(self) -> Content:
        """Return the step for the room there is."""
        if self.step is None:
            return Content("")
        return Content("\n").join(step_lines(self.step, self.content_size.width, self.content_size.height))


def lines_left(screen: Screen[Any], *sharing: Widget) -> int:
    """Count the lines of a screen that some of its widgets share: those that no other one takes.

    Their own heights would not tell: where they have grown over the end of the screen, these are too much.
    """
    others = (one for one in screen.children if one.display and one not in sharing)
    return screen.size.height - sum(one.outer_size.height for one in others)


class BigView(Widget):
    """Shows a few lines in letters three rows high, to be read from two metres."""

    DEFAULT_CSS = "BigView { padding: 0 1; }"

    cautions: reactive[Sequence[str]] = reactive(())
    setting: reactive[str] = reactive("")
    told: reactive[Sequence[str]] = reactive(())
    in_ascii: reactive[bool] = reactive(False)

    def render(self) -> Content:
        """Return the lines for the room there is, cautions and what is set before them at their usual size."""
        cells, height = self.content_size.width, self.content_size.height
        before = caution_lines(self.cautions, cells, min(_CAUTIONS_MOST, max(height - _STEP_LEAST, 1)))
        before += named_lines("set", self.setting, cells) if self.setting else []
        big = big_block(self.told, cells, height - len(before), self.in_ascii)
        return Content("\n").join([*before, big])
