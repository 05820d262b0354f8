"""The card of a part: what it is, where, what hurts there, what ends on it, its face and its volts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.choose import ChooseSeveral
from tui.screens.following import Following
from tui.terminal import Look
from tui.text import plain
from tui.widgets.bars import BarFacts
from tui.widgets.face import FaceView
from tui.widgets.rows import Row, RowList

if TYPE_CHECKING:
    from model.amending import Done
    from model.sheets.card import Card
    from tui.card_view import Mark, View
    from tui.standing import Solved, Standing

WIDE = 120
_FACE_SHARE = 3


class CardScreen(Following[None]):
    """Shows one part.

    Parameters
    ----------
    part_id
        The part; ``CHASSIS`` for the body of the vehicle.
    point
        The point that was asked for: its row is marked, and its cavity on the face.
    """

    PLACE = Place.CARD
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.CARD)]
    AUTO_FOCUS = "#card"

    def __init__(self, part_id: str, point: str | None = None) -> None:
        super().__init__(BarFacts("", part_id))
        self.part_id = part_id
        self.point = point or ""
        self.view: View | None = None
        self.cells = 0
        self.is_wide = False
        self.asked_is_marked = False

    def body(self) -> Iterable[Widget]:
        """Return the rows over the face and the marked row in full."""
        yield RowList(id="card")
        face = FaceView(id="face")
        face.set_reactive(FaceView.has_colours, self.fusewalk.look in {Look.DARK, Look.LIGHT})
        with Vertical(id="below"):
            yield face
            yield Static(plain(""), id="detail")

    def on_resize(self, _: Resize) -> None:
        """Fit the columns to the width."""
        self.call_after_refresh(self.refit)

    def refit(self) -> None:
        """Make the rows anew where the width has changed."""
        cells = self.query_one(RowList).room
        self.query_one(FaceView).most_lines = max((self.size.height - 4) // _FACE_SHARE, 2)
        if cells != self.cells:
            self.cells, self.is_wide = cells, self.size.width >= WIDE
            self.follow()

    def doing(self, solved: Solved | None) -> str:
        """Name the part."""
        standing = self.fusewalk.standing
        if standing is None:
            return self.part_id
        from model.sheets.part_facts import named

        return named(standing.harness, self.part_id)

    def show_waiting(self, standing: Standing) -> None:
        """Show all but the volts."""
        if self.cells:
            self.aside(lambda: self.made(standing, None, ()), lambda made: self.show(standing, *made), "card")

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Show the volts in the key state as it is now, then in the others."""
        if not self.cells:
            return
        keys = standing.harness.key_names

        def then(made: tuple[View, list[Row]]) -> None:
            self.show(standing, *made)
            self.aside(lambda: self.made(standing, solved, keys), lambda made: self.show(standing, *made), "card")

        self.aside(lambda: self.made(standing, solved, (standing.condition.key,)), then, "card")

    def made(self, standing: Standing, solved: Solved | None, keys: tuple[str, ...]) -> tuple[View, list[Row]]:
        """Make the rows with the volts in some key states; touches no widget."""
        from model.sheets.card import part_card
        from tui.card_rows import card_rows, told_points
        from tui.card_view import View
        from tui.point_volts import point_volts
        from tui.putting_in import amendments_of

        harness, key = standing.harness, standing.condition.key
        history = amendments_of(standing.path, self.part_id)
        card = part_card(harness, self.part_id, at=self.point, condition=standing.condition, history=history)
        told = harness.key_names if self.is_wide else (key,)
        volts = point_volts(standing, told_points(harness, card, self.point), keys) if keys else None
        survey, trouble = (None, "") if solved is None else (solved.survey, solved.trouble)
        view = View(harness, card, told, self.point, volts, survey, trouble)
        return view, card_rows(view, self.cells)

    def show(self, standing: Standing, view: View, rows: list[Row]) -> None:
        """Show rows that were made, where they still hold."""
        if standing is not self.fusewalk.standing:
            return
        self.view = view
        column = self.query_one(RowList)
        column.show(rows)
        if not self.asked_is_marked:
            self.asked_is_marked = True
            self.mark_asked(column)
        self.show_marked()

    def mark_asked(self, column: RowList) -> None:
        """Mark the point that was asked for; cautions stay in the window all the same."""
        assert self.view is not None
        key = next((key for key, mark in self.view.marks.items() if mark.point == self.point), None)
        if self.point and key is not None:
            column.mark_key(key)
        if self.view.card.cautions or self.view.card.refusals:
            column.stay_on_top()

    def marked(self) -> Mark | None:
        """Return what the marked row stands for."""
        row = self.query_one(RowList).marked_row
        return None if row is None or self.view is None else self.view.marks.get(row.key)

    def on_row_list_marked(self) -> None:
        """Follow the mark with the face and the row in full."""
        self.show_marked()

    def on_row_list_taken(self) -> None:
        """Go where the row that was clicked leads."""
        self.action_follow_row()

    def show_marked(self) -> None:
        """Show the marked row in full, and its cavity on the face."""
        if self.view is None:
            return
        from tui.card_rows import detail, face_sides

        mark = self.marked()
        words = detail(self.view, mark)
        shown = self.query_one("#detail", Static)
        shown.display = bool(words.plain)
        shown.update(words)
        point = mark.point if mark is not None and mark.point else self.point
        face = self.query_one(FaceView)
        face.sides = face_sides(self.view.harness, self.part_id, point)
        face.display = bool(face.sides)
        self.query_one("#below").display = bool(face.sides or words.plain)

    def action_follow_row(self) -> None:
        """Go to the wire or part of the row, or to the walk of a circuit."""
        mark = self.marked()
        if mark is None:
            return
        if mark.element:
            from tui.screens.walk import WalkScreen

            self.app.push_screen(WalkScreen(mark.element))
        elif mark.part_id:
            self.app.push_screen(CardScreen(mark.part_id, mark.to_point or None))
        else:
            self.say("Nothing ends there: mark a row that goes somewhere.")

    def action_turn_face(self) -> None:
        """Show the face from its other side first."""
        face = self.query_one(FaceView)
        if len(face.sides) < 2:
            self.say("The file gives no face for it: e, then face, takes one.")
            return
        face.first += 1

    def action_trace(self) -> None:
        """Trace why the load of the marked row, or of the card, does not work; of another part one that hangs on it."""
        from model.harness.harness import all_elements
        from tui.hanging_loads import load_choices

        standing, mark = self.fusewalk.standing, self.marked()
        if standing is None:
            return
        harness = standing.harness
        own = [element.name for element in all_elements(harness) if element.part_id == self.part_id]
        name = mark.element if mark is not None and mark.element else next(iter(own), "")
        if not name and any(part.id == self.part_id for part in (*harness.batteries, *harness.chargers)):
            name = self.part_id
        if name:
            self.fusewalk.trace_loads((name,))
            return
        self.aside(lambda: load_choices(harness, self.part_id), self.trace_hanging, "loads")

    def trace_hanging(self, rows: list[tuple[str, str, str]]) -> None:
        """Trace the load that hangs on the part; of several ask which."""
        if len(rows) < 2:
            if rows:
                self.fusewalk.trace_loads((rows[0][1],))
            else:
                self.say("No load hangs on this: there is nothing to trace.")
            return

        def chosen(names: tuple[str, ...] | None) -> None:
            if names:
                self.fusewalk.trace_loads(names)

        self.app.push_screen(
            ChooseSeveral("Which of its loads does not work? Tick several to trace them as one.", rows), chosen
        )

    def action_what_if(self) -> None:
        """Ask what one would see if the part were faulty."""
        standing = self.fusewalk.standing
        if standing is None or self.part_id not in standing.harness.parts:
            self.say("Nothing here can be faulty: ask it of a wire or a part.")
            return
        from tui.card_rows import site_of
        from tui.screens.what_if import WhatIfScreen

        mark = self.marked()
        site = site_of(standing.harness, self.part_id, mark.point if mark is not None else "")
        self.app.push_screen(WhatIfScreen([self.part_id], site))

    def action_amend(self) -> None:
        """Ask what was done with the part, and put it into the file."""
        from tui.amend_lines import Told, forms_for
        from tui.amending_screens import ask_amendment, trace_below

        standing = self.fusewalk.standing
        forms = () if standing is None else forms_for(standing.harness, self.part_id)
        if standing is None or not forms:
            self.say("Nothing of this stands in the file as a row: amend a part or a wire.")
            return
        run = trace_below(self.fusewalk)
        ask_amendment(self.fusewalk, standing, forms, Told(), self.amended, None if run is None else run.beside)

    def action_undo_amendment(self) -> None:
        """Take the last amendment back, asked about first."""
        from tui.amending_screens import ask_undo, trace_below

        run = trace_below(self.fusewalk)
        ask_undo(self, self.amended, None if run is None else run.beside)

    def amended(self, done: Done) -> None:
        """Go on on the new revision, on this card where the part is still there; back to a trace that lies below."""
        from tui.amending_screens import stay_amended, trace_below
        from tui.putting_in import done_words
        from tui.restand import show_revision

        if trace_below(self.fusewalk) is not None:
            self.dismiss(None)
            stay_amended(self.fusewalk, done)
            return
        show_revision(self.fusewalk, done.after, self.part_id, done_words(done))

    def page(self) -> Page | None:
        """Return the card as text."""
        if self.view is None:
            return None
        from model.sheets.card import card_lines

        return Page(f"card {self.part_id}", "\n".join(card_lines(self.card_with_volts(self.view))) + "\n")

    def card_with_volts(self, view: View) -> Card:
        """Return the card as the sheet has it, with the volts that are shown."""
        from model.sheets.card import part_card

        standing = self.fusewalk.standing
        condition = None if standing is None else standing.condition
        texts = None if view.volts is None else view.volts.texts
        history = [fact.text for fact in view.card.facts if fact.head == "amended"]
        return part_card(view.harness, self.part_id, at=self.point, volts=texts, condition=condition, history=history)
