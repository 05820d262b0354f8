"""How a trace ended: the fault in a sentence, the readings that say so, what to do, and how to prove it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widget import Widget

from model.tracing.asking import Reply
from tui.commands import Place, bindings_of, foot_of
from tui.line_replies import Undo
from tui.pages import Page
from tui.screens.frame import Framed
from tui.text import Part, assembled, painted
from tui.widgets.bars import BarFacts, BottomBar
from tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from model.tracing.asking import Finding
    from tui.trace_run import Seen, TraceRun


class FoundScreen(Framed[Reply | Undo]):
    """Gives back whether the repair cured it, or that the last answer is taken back; nothing where it is left.

    Parameters
    ----------
    seen
        The trace as it ended.
    run
        The trace, to ask what proves the repair.
    facts
        The line on top of the screen below.
    """

    PLACE = Place.FOUND
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.FOUND)]
    AUTO_FOCUS = "#told"

    def __init__(self, seen: Seen, run: TraceRun, facts: BarFacts) -> None:
        super().__init__(replace(facts, posts_volts=None, key_state=""))
        self.seen = seen
        self.run_of = run

    def body(self) -> Iterable[Widget]:
        """Return the finding, which scrolls where it is long."""
        with VerticalScroll(id="told"):
            for heading, words, style in self.told():
                parts: list[Part] = [(heading, f"bold {style}".strip())] if heading else []
                yield Hanging([*map(assembled, parts), *(painted(one, style) for one in words)], classes="told")

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    @property
    def finding(self) -> Finding:
        """How it ended."""
        from model.tracing.asking import Finding

        assert isinstance(self.seen.now, Finding)
        return self.seen.now

    def told(self) -> list[tuple[str, list[str], str]]:
        """Return the paragraphs: a heading, its sentences, and the style they are drawn in."""
        from tui.trace_found_words import finding_paragraphs

        return finding_paragraphs(self.seen, self.finding)

    def on_mount(self) -> None:
        """Follow how far it has been read: what Enter does stands at the bottom."""
        for moved in ("scroll_y", "virtual_size"):
            self.watch(self.query_one("#told"), moved, self.show_keys, init=False)

    def on_resize(self) -> None:
        """See anew whether the end stands there."""
        self.call_after_refresh(self.show_keys)

    def show_keys(self) -> None:
        """Say what Enter does: it reads on until the end stands there."""
        is_read = self.is_read()
        self.query_one(BottomBar).keys = tuple(
            (key, word if key != "Enter" or is_read else "read on") for key, word in foot_of(self.PLACE)
        )

    def is_read(self) -> bool:
        """Tell whether the end of the finding stands on the screen."""
        told = self.query_one("#told", VerticalScroll)
        return bool(told.size) and told.scroll_offset.y >= told.max_scroll_y

    def action_prove(self) -> None:
        """Read on to the end, then prove the repair; where nothing was found there is nothing to prove.

        The cautions and the repair stand far down: nobody gets past them by a key out of habit.
        """
        if not self.is_read():
            told = self.query_one("#told", VerticalScroll)
            told.scroll_relative(y=max(told.size.height - 1, 1), animate=False, immediate=True)
            return
        if self.finding.prove is None:
            self.dismiss(None)
            return
        from tui.screens.trace_prove import ProveScreen

        self.app.push_screen(ProveScreen(self.seen, self.run_of, self.facts), self.proven)

    def action_amend(self) -> None:
        """Put the repair into the file."""
        from tui.trace_amend import amend_repair

        amend_repair(self, self.seen, self.run_of, ())

    def action_undo(self) -> None:
        """Take the last answer back."""
        self.dismiss(Undo())

    def action_why(self) -> None:
        """Show every suspect that is left, and the other checks."""
        from tui.screens.trace_why import WhyScreen

        self.app.push_screen(WhyScreen(self.run_of, self.facts), self.proven)

    def proven(self, reply: Reply | None) -> None:
        """Go back with whether it is cured, or with a check to be made, where one was said."""
        if reply is not None:
            self.dismiss(reply)

    def page(self) -> Page:
        """Return the finding as text."""
        from tui.trace_found_words import finding_paragraphs
        from tui.trace_run import element_named

        paragraphs = finding_paragraphs(self.seen, self.finding, names_all=True)
        told = ["\n".join([*([heading] if heading else []), *words]) for heading, words, _ in paragraphs]
        return Page(f"found {element_named(self.seen.harness, self.seen.complaint.loads)}", "\n\n".join(told) + "\n")

    def action_back(self) -> None:
        """Go back to the walk and the answers."""
        self.dismiss(None)
