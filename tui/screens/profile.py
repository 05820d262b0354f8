"""The volts down a walk on one scale: of the walk as the harness stands, and of a trace with what it has read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from tui.as_built import as_built_now, record_entries
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.frame import Framed
from tui.screens.told import FINDING, WORKING_OUT, ToldScreen
from tui.text import plain
from tui.walk_rows import row_of
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.harness.harness import Harness
    from model.record_entries import AnyEntry
    from model.sheets.volts_profile import Profile
    from tui.trace_run import Seen

NO_WALK = "This check is about no load whose walk could be drawn."


class ProfileShown(Framed[None]):
    """What both screens have in common: the sentence, the signs, the scale, the rows, and the marked one in full.

    A subclass says what is drawn once it is found, in `drawn`.
    """

    AUTO_FOCUS = "#points"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = (
        Path(__file__).parent.parent / "styles/profile.tcss"
    )

    entries: tuple[AnyEntry, ...] = ()
    harness: Harness | None = None
    profile: Profile | None = None
    first_key = ""
    """Of the row that is marked at first."""

    def drawn(self) -> tuple[Harness, Profile] | str:
        """Return what is to be drawn, or the sentence that says why nothing is yet."""
        return FINDING

    def body(self) -> Iterable[Widget]:
        """Return the widgets between the lines."""
        yield Static(plain(FINDING), id="drops")
        yield Static(id="signs", classes="heads")
        yield Static(id="heads", classes="heads")
        yield RowList(id="points")
        yield Static(id="detail")

    def on_mount(self) -> None:
        """Read what stands in the record."""
        standing = self.fusewalk.standing
        if standing is not None:
            self.aside(partial(record_entries, standing.path), self.take_entries, group="record")

    def take_entries(self, entries: tuple[AnyEntry, ...]) -> None:
        """Show what was read while the loom was proven."""
        self.entries = entries
        self.draw()

    def on_resize(self) -> None:
        """Fit the scale to the new size."""
        self.call_after_refresh(self.draw)

    def draw(self) -> None:
        """Show the profile, or why there is none."""
        from tui.profile_rows import profile_heads, profile_legend, profile_rows, profile_words

        drawn, points = self.drawn(), self.query_one(RowList)
        drops, signs, heads = (self.query_one(f"#{name}", Static) for name in ("drops", "signs", "heads"))
        signs.display = heads.display = not isinstance(drawn, str)
        if isinstance(drawn, str):
            self.harness = self.profile = None
            drops.update(plain(drawn))
            points.show([])
        else:
            harness, profile = self.harness, self.profile = drawn
            drops.update(profile_words(harness, profile))
            signs.update(profile_legend(profile))
            heads.update(profile_heads(profile, points.room - 1))
            points.show(profile_rows(harness, profile, points.room - 1))
            points.mark_key(self.first_key)
            self.first_key = ""
        self.show_detail()

    def show_detail(self) -> None:
        """Tell the marked point in full."""
        from tui.profile_rows import profile_detail

        detail, marked = self.query_one("#detail", Static), self.query_one(RowList).marked_row
        detail.display = marked is not None and self.profile is not None
        if marked is not None and self.harness is not None and self.profile is not None:
            detail.update(profile_detail(self.harness, self.profile, marked.key))

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def on_row_list_taken(self) -> None:
        """Show the card of the part that was clicked."""
        self.action_card()

    def action_card(self) -> None:
        """Show the card of the part of the marked row."""
        marked, profile = self.query_one(RowList).marked_row, self.profile
        row = None if profile is None or marked is None else row_of(profile.told, marked.key)
        if row is None:
            self.say("No point is marked.")
            return
        from tui.screens.card import CardScreen

        self.app.push_screen(CardScreen(row.part_id, row.point))

    def page(self) -> Page | None:
        """Return the profile as text."""
        from model.sheets.profile_text import profile_text
        from model.sheets.walk_words import title

        drawn = self.drawn()
        if isinstance(drawn, str):
            return None
        harness, profile = drawn
        lines = [title(profile.told), "", *profile_text(harness, profile)]
        return Page(f"volts {profile.told.load.label}", "\n".join(lines) + "\n")


class ProfileScreen(ProfileShown, ToldScreen):
    """Shows the volts down a walk on one scale; key and settings move them.

    Parameters
    ----------
    element_name
        Which load.
    key
        Of the row that is marked at first.
    """

    PLACE = Place.PROFILE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PROFILE)]

    def __init__(self, element_name: str, key: str = "") -> None:
        super().__init__(element_name)
        self.first_key = key

    def drawn(self) -> tuple[Harness, Profile] | str:
        """Return the profile of the walk as the harness stands."""
        from model.sheets.volts_profile import volts_profile

        standing, told = self.fusewalk.standing, self.now
        if standing is None or told is None:
            return self.trouble or (FINDING if self.walk is None else WORKING_OUT)
        as_built = as_built_now(standing.harness, told, standing.condition, self.entries)
        return standing.harness, volts_profile(standing.harness, replace(told, condition=standing.condition), as_built)

    def show_told(self) -> None:
        """Follow what is set."""
        self.draw()


class TraceProfileScreen(ProfileShown):
    """Shows the volts down the walk of a trace on one scale, with what it has read.

    Parameters
    ----------
    seen
        The trace as it stands.
    facts
        The line on top of the screen below.
    key
        Of the row that is marked at first.
    """

    PLACE = Place.TRACE_PROFILE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.TRACE_PROFILE)]

    def __init__(self, seen: Seen, facts: BarFacts, key: str = "") -> None:
        super().__init__(facts)
        self.seen = seen
        self.first_key = key

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    def drawn(self) -> tuple[Harness, Profile] | str:
        """Return the profile of the walk that the check is about."""
        from model.sheets.volts_profile import trace_readings, volts_profile

        told, harness = self.seen.told, self.seen.harness
        if told is None:
            return NO_WALK
        as_built = as_built_now(harness, told, told.condition, self.entries)
        return harness, volts_profile(harness, told, as_built, trace_readings(told, self.seen.answers))
