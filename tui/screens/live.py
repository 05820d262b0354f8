"""What is live as the loom stands, by feed or by place, or what the next key state changes in that."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widgets import Static

from tui.commands import Place, bindings_of
from tui.review_making import Reviewed, ReviewKind
from tui.review_rows import Laid
from tui.screens.following import Following
from tui.screens.sheeted import WORKING_OUT, Sheeted
from tui.text import plain
from tui.widgets.bars import BarFacts

if TYPE_CHECKING:
    from tui.app import FusewalkApp
    from tui.standing import Solved, Standing


class LiveScreen(Sheeted, Following[None]):
    """Follows the key and the settings.

    Attributes
    ----------
    is_by_place
        Rows by where the points are, in place of by what feeds them.
    is_compared
        Only what the next key state changes.
    """

    PLACE = Place.LIVE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.LIVE)]

    def __init__(self) -> None:
        super().__init__(BarFacts("", str(ReviewKind.LIVE)))
        self.is_by_place = False
        self.is_compared = False

    def doing(self, solved: Solved | None) -> str:
        """Say what is shown, and in which order."""
        if self.is_compared:
            return "what the next key state changes"
        return f"{ReviewKind.LIVE}, by {'place' if self.is_by_place else 'feed'}"

    def show_waiting(self, standing: Standing) -> None:
        """Show no rows of another condition."""
        self.show_nothing(WORKING_OUT)

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Work out aside what is live, or say why the circuit cannot be so."""
        if solved.survey is None:
            self.show_nothing(solved.trouble)
            return
        from tui.review_live import live_now

        find = partial(live_now, standing, self.is_by_place, self.is_compared)
        self.aside(find, lambda found: self._found(standing, found), group="live")

    def _found(self, standing: Standing, found: Reviewed) -> None:
        if standing is self.fusewalk.standing:
            self.show_reviewed(found)

    def show_nothing(self, words: str) -> None:
        """Show no rows, and say why."""
        self.reviewed = None
        self.query_one("#lead", Static).update(plain(words))
        self._show_laid(Laid())

    def page_name(self, reviewed: Reviewed) -> str:
        """Name what is written with the key state too, and the one it is compared with."""
        standing, name = self.fusewalk.standing, super().page_name(reviewed)
        if standing is None:
            return name
        keys = [standing.condition.key, *([standing.turned(1).condition.key] if self.is_compared else [])]
        return f"{name} {' to '.join(keys)}"

    def action_turn_order(self) -> None:
        """List by place, or by what feeds the points again."""
        self.is_by_place, self.is_compared = not self.is_by_place, False
        self.follow()

    def action_compare(self) -> None:
        """Show only what the next key state changes, or all that is live again."""
        standing = self.fusewalk.standing
        if standing is not None and len(standing.harness.key_names) < 2:
            self.say("There is only one key state.")
            return
        self.is_compared = not self.is_compared
        self.follow()


def open_live(app: FusewalkApp, standing: Standing) -> None:
    """Open what is live with the key in its first state and all at rest; key and settings come back afterwards.

    That is the state in which hands go in, and the one that the list of reviews counts.
    """
    before = standing.condition

    def put_back(_: None) -> None:
        now = app.standing
        if now is not None and now.harness is standing.harness:
            app.standing = now.with_condition(replace(before, faults=now.condition.faults))

    rest = standing.at_rest()
    first = rest.condition.at_key(standing.harness.key_names[0])
    if first != before:
        app.standing = rest.with_condition(first)
    app.push_screen(LiveScreen(), put_back)
