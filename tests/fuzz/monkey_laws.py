"""What must hold whatever is pressed: laws about the screen as it stands, and about the record on the disk."""

from __future__ import annotations

import re
from typing import Any

from textual.screen import Screen
from textual.widgets import Input

from model.errors import FusewalkError, RecordError
from model.record import read_record
from tests.tui.on_screen import is_working
from tui.app import FusewalkApp
from tui.filters import disarmed
from tui.screens.card import CardScreen
from tui.screens.frame import Framed
from tui.screens.plan_shown import PlanShown
from tui.screens.too_small import TooSmall
from tui.widgets.bars import BottomBar
from tui.widgets.rows import RowList

SLOW_SECONDS = 180.0
"""After this a monkey says that the program hangs; other work of the machine may hold it up that long."""

_WAITS = re.compile("being worked out|Working out|Finding the way|being read")


class WatchedApp(FusewalkApp):
    """The program, with its faults kept where a monkey can look at them."""

    faults: tuple[BaseException, ...] = ()

    def tell(self, error: BaseException) -> None:
        """Keep an error that no person can mend."""
        if not isinstance(error, FusewalkError):
            self.faults = (*self.faults, error)
        super().tell(error)

    def _handle_exception(self, error: Exception) -> None:
        self.faults = (*self.faults, error)
        super()._handle_exception(error)


def top_screen(app: FusewalkApp) -> Screen[Any]:
    """Return the screen on top, the notice of a small window left out."""
    return next(screen for screen in reversed(app.screen_stack) if not isinstance(screen, TooSmall))


def is_busy(app: FusewalkApp) -> bool:
    """Tell whether something is still being worked out aside, or its outcome waits to be handed on."""
    return is_working(app)


def entries_of(screen: Screen[Any]) -> tuple[str, ...]:
    """Return all that stands in the entries of a screen."""
    typed = str(getattr(screen, "typed", "")) if isinstance(getattr(screen, "typed", None), str) else ""
    return (typed, *(entry.value for entry in screen.query(Input)))


def marks_of(screen: Screen[Any]) -> tuple[str, ...]:
    """Return the keys of the marked rows of a screen."""
    rows = [one.marked_row for one in screen.query(RowList)]
    return tuple("" if row is None else row.key for row in rows)


def state_of(app: FusewalkApp) -> tuple[object, ...]:
    """Return what may not change unless somebody asks for it: screens, condition, marks, entries."""
    stack = tuple(id(screen) for screen in app.screen_stack if not isinstance(screen, TooSmall))
    screen = top_screen(app)
    condition = None if app.standing is None else app.standing.condition
    return (stack, condition, marks_of(screen), entries_of(screen))


def drawn_lines(app: FusewalkApp) -> list[str]:
    """Return every line that goes to the terminal, through the filters of the app."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip) for strip in strips]


def broken_laws(app: WatchedApp) -> list[str]:
    """Return the laws that the app as it stands does not keep, in sentences."""
    broken = [f"a fault of the program: {error!r}" for error in app.faults]
    if app.return_code not in (None, 0):
        broken.append(f"the exit code is {app.return_code}")
    if broken or not app.is_running:
        return broken
    return [f"a control character is drawn: {line!r}" for line in drawn_lines(app) if line != disarmed(line)]


def stuck(app: FusewalkApp) -> list[str]:
    """Return what a screen waits for although nothing is done aside any more, in sentences."""
    screen = app.screen
    if not app.is_running or not isinstance(screen, Framed):
        return []
    lines = drawn_lines(app)[: screen.query_one(BottomBar).region.y]
    found = [f"nothing is done any more for: {line.strip()!r}" for line in lines if _WAITS.search(line)]
    view = screen.view if isinstance(screen, CardScreen) else None
    if view is not None and view.volts is None and not view.trouble:
        found.append(f"nobody works out the volts on the card of {view.card.part_id}")
    return found


def lost_answers(app: FusewalkApp) -> list[str]:
    """Return the answers that a plan shows as kept and the record on the disk does not hold, in sentences."""
    plans = [screen for screen in app.screen_stack if isinstance(screen, PlanShown) and screen.plan is not None]
    if not plans or app.path is None:
        return []
    keeper = plans[-1].keeper
    if not keeper.is_open or keeper.problem is not None or keeper.held_words:
        return []
    try:
        written = read_record(app.path).entries
    except RecordError as error:
        return [f"the record cannot be read: {error}"]
    return [
        f"shown as kept and not on the disk: {key}"
        for screen in plans
        for key, kept in screen.kept.items()
        if kept.entry not in written
    ]
