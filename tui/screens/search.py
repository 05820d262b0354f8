"""The search: commands, and everything of the harness found the way one asks for it, as it is typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Key, Paste, Resize
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.commands import Command, Place, bindings_of, commands_of, key_label
from tui.screens.following import Following
from tui.screens.frame import Findable, Framed
from tui.text import assembled, padded, plain, width
from tui.widgets.bars import BarFacts
from tui.widgets.line import Line, one_line
from tui.widgets.rows import Row, RowList

if TYPE_CHECKING:
    from model.harness.harness import Harness
    from model.tracing.find import Search
    from tui.found_rows import Hit
    from tui.point_volts import PointVolts
    from tui.standing import Solved, Standing

SHOWN_MOST = 50
_LEADS_FROM = 3
_COMMAND = "command "
_GAUGES = frozenset("1234")
"""What stands before the slash of the gauges thicker than AWG 0."""


def fitting_commands(typed: str, commands: Sequence[Findable]) -> list[Findable]:
    """Return the commands that hold every word typed, those that begin so in front; all where nothing is typed."""
    words = typed.casefold().split()
    hits = [one for one in commands if all(word in one.words.casefold() for word in words)]
    return sorted(hits, key=lambda one: not _begins(typed, one))


def leading(typed: str, commands: Sequence[Findable]) -> bool:
    """Return whether commands stand before what is found: their name begins with three or more letters typed."""
    return len(typed.strip()) >= _LEADS_FROM and any(_begins(typed, one) for one in commands)


def _begins(typed: str, one: Findable) -> bool:
    return one.words.casefold().startswith(" ".join(typed.casefold().split()))


def takes_slash(typed: str) -> bool:
    """Return whether a ``/`` goes on with what was typed last: a colour, or a gauge such as 1/0."""
    from model.tracing.find_terms import colours_of

    last = typed.rpartition(" ")[2].casefold()
    return bool(colours_of(last, has_stripe=True)) or last in _GAUGES


def findable_commands(below: Framed[Any]) -> list[Findable]:
    """Return the commands of a screen as choices of the search."""

    def runner(command: Command) -> Callable[[], object]:
        return lambda: below.call_later(below.app.run_action, command.action, below)

    found = [
        Findable(command.search, f"key {key_label(command.keys[0])}", runner(command))
        for command in commands_of(below.PLACE)
        if command.search
    ]
    begin = partial(below.call_later, below.fusewalk.action_first_steps)
    return [*found, Findable("first steps", "keys ? f", begin)]


class SearchScreen(Following[Findable | None]):
    """Asks what is looked for; leads to a card or a walk, or gives back the command that was chosen.

    Parameters
    ----------
    commands
        What the screen below can do.
    facts
        The line on top of the screen below.
    """

    PLACE = Place.FIND
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.FIND)]
    AUTO_FOCUS = "#typed"

    def __init__(self, commands: Sequence[Findable], facts: BarFacts) -> None:
        super().__init__(replace(facts, doing="find"))
        self.commands = tuple(commands)
        self.early = ""
        self.is_listening = False
        self.indexed: Harness | None = None
        self.ready = False
        self.shown_for: str | None = ""
        self.wish: str | None = None
        self.result: Search | None = None
        self.hits: list[Hit] = []
        self.now: list[str] = []

    def body(self) -> Iterable[Widget]:
        """Return the entry over the list."""
        yield Line(placeholder=self.hint(), id="typed")
        yield Static(plain(""), id="remarks")
        yield RowList(id="hits")
        with Vertical(id="below"):
            yield Static(plain(""), id="detail")

    def hint(self) -> str:
        """Return what may be typed."""
        if self.fusewalk.standing is None:
            return "letters of a command"
        return "green white 1.5, X2 6, left sill, fuel pump, or a command"

    def on_mount(self) -> None:
        """Take what was typed before the entry stood there, show the commands, and make the index aside."""
        entry = self.query_one(Input)
        entry.cursor_blink = False
        self.query_one(RowList).can_focus = False
        # in one go: a key between the two would be lost, or stand in the wrong place
        self.set_focus(entry)
        entry.insert_text_at_cursor(self.early)
        self.is_listening = True
        self.call_after_refresh(self.show_rows)
        self.gather()

    def hears(self, event: Key) -> bool:
        """Take a key that comes before there is an entry to type into; False where it takes its usual way."""
        if self.is_listening:
            return self.hear_slash(event)
        if event.is_printable and event.character:
            self.early += event.character
        match event.key:
            case "backspace":
                self.early = self.early[:-1]
            case "enter":
                self.wish = self.early
            case "escape":
                self.call_after_refresh(self.action_back)
        return True

    def hear_slash(self, event: Key) -> bool:
        """Empty the entry at a ``/`` that begins another search; behind a colour or gauge it is a sign of it."""
        entry = self.query_one(Input)
        if event.character != "/" or not entry.value or takes_slash(entry.value[: entry.cursor_position]):
            return False
        entry.value = ""
        return True

    def on_paste(self, event: Paste) -> None:
        """Take what is pasted before there is an entry; later that takes it itself."""
        if not self.is_listening:
            event.stop()
            self.early += one_line(event.text)

    def follow(self) -> None:
        """Search a harness that has been read only now, too."""
        super().follow()
        self.gather()

    def gather(self) -> None:
        """Make the index of the harness aside, once there is a harness."""
        standing = self.fusewalk.standing
        if standing is None or self.indexed == standing.harness:
            return
        harness = self.indexed = standing.harness
        self.ready = False
        self.query_one(Input).placeholder = self.hint()

        def index() -> None:
            from model.tracing.find_index import find_index

            find_index(harness)

        self.aside(index, lambda _: self.begin(), "index")

    def is_waiting(self) -> bool:
        """Tell whether what can be found is still being read or gathered."""
        if self.fusewalk.standing is None:
            return self.fusewalk.is_reading()
        return not self.ready

    def begin(self) -> None:
        """Search for what has been typed until now."""
        self.ready = True
        self.look()

    def on_input_changed(self) -> None:
        """Search for what has been typed; an Enter that waits is for what stood there then."""
        if self.query_one(Input).value != self.wish:
            self.wish = None
        self.look()

    def doing(self, _: Solved | None) -> str:
        """Say what is done here."""
        return "find"

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Tell the volts as they are now."""
        self.tell_volts()

    def on_resize(self, _: Resize) -> None:
        """Fit the columns to the width."""
        self.call_after_refresh(self.show_rows)

    def look(self) -> None:
        """Search aside, the commands at once."""
        typed, standing = self.query_one(Input).value, self.fusewalk.standing
        if not typed.strip() or standing is None or not self.ready:
            self.take(typed, None, [])
            return

        def work() -> tuple[Search, list[Hit]]:
            from model.tracing.find import search
            from tui.found_rows import hits_of

            result = search(standing.harness, typed.split(), SHOWN_MOST)
            return result, hits_of(standing.harness, result.found, typed.split())

        # Enter waits for it, even where the same words stood there while nothing could be searched yet
        self.shown_for = None
        self.aside(work, lambda found: self.take(typed, *found), "search")

    def take(self, typed: str, result: Search | None, hits: list[Hit]) -> None:
        """Show what was found, where it is still what is typed, then work out the volts there."""
        if typed != self.query_one(Input).value:
            return
        self.result, self.hits, self.now = result, hits, []
        self.shown_for = typed
        self.query_one(RowList).show([])
        self.show_rows()
        if self.wish == typed and not self.is_waiting():
            self.action_go()
            return
        self.tell_volts()

    def tell_volts(self) -> None:
        """Work out aside what is to be expected at what was found."""
        standing, hits = self.fusewalk.standing, self.hits
        if standing is None or not hits:
            return

        def work() -> list[str]:
            from tui.found_rows import now_text
            from tui.point_volts import point_volts

            volts: PointVolts = point_volts(standing, (point for hit in hits for point in hit.points))
            survey = standing.solve().survey
            return [now_text(standing.harness, hit, survey, volts, standing.condition.key) for hit in hits]

        self.aside(work, lambda now: self.show_volts(hits, now), "volts")

    def show_volts(self, hits: list[Hit], now: list[str]) -> None:
        """Put the volts beside the rows that they were worked out for."""
        if hits is self.hits:
            self.now = now
            self.show_rows()

    def show_rows(self) -> None:
        """Fill the list: commands that begin as typed, what was found, other commands."""
        typed, column = self.query_one(Input).value, self.query_one(RowList)
        commands = fitting_commands(typed, self.commands)
        found = self.found_rows(column.room)
        in_front = leading(typed, commands) or bool(self.result and self.result.remarks)
        rows = command_rows(commands, headed=bool(found))
        column.show([*rows, *found] if in_front else [*found, *rows])
        remarks, said = self.query_one("#remarks", Static), self.remark(bool(commands))
        remarks.update(assembled(said))
        remarks.display = bool(said)
        self.show_detail()

    def found_rows(self, cells: int) -> list[Row]:
        """Return what was found as rows."""
        if not self.hits:
            return []
        from tui.found_rows import found_table

        return found_table(self.hits, self.now, cells)

    def remark(self, has_commands: bool) -> str:
        """Return what a person must know beside the list."""
        if self.result is None:
            waiting = bool(self.query_one(Input).value) and self.is_waiting()
            return "Gathering the words of the harness." if waiting else ""
        said = list(self.result.remarks) if self.hits or not has_commands else []
        if self.result.total > len(self.result.found):
            said.append(f"{self.result.total} fit; these are the first {len(self.result.found)}.")
        return " ".join(said)

    def on_row_list_marked(self) -> None:
        """Tell the marked one in full."""
        self.show_detail()

    def show_detail(self) -> None:
        """Tell the marked one in full under the list."""
        hit = self.marked_hit()
        detail = self.query_one("#detail", Static)
        self.query_one("#below").display = hit is not None
        if hit is None:
            return
        from tui.found_rows import told_in_full

        place = self.hits.index(hit)
        detail.update(told_in_full(hit, self.now[place] if place < len(self.now) else ""))

    def marked_hit(self) -> Hit | None:
        """Return what is marked, None where that is a command."""
        row = self.query_one(RowList).marked_row
        return next((hit for hit in self.hits if row is not None and hit.key == row.key), None)

    def key_up(self) -> None:
        """Mark the one above."""
        self.query_one(RowList).action_step(-1)

    def key_down(self) -> None:
        """Mark the one below."""
        self.query_one(RowList).action_step(1)

    def key_pageup(self) -> None:
        """Go a window up."""
        self.query_one(RowList).action_leap(-1)

    def key_pagedown(self) -> None:
        """Go a window down."""
        self.query_one(RowList).action_leap(1)

    def on_input_submitted(self) -> None:
        """Go to the marked one."""
        self.action_go()

    def on_row_list_taken(self) -> None:
        """Go to the one that was clicked."""
        self.action_go()

    def action_go(self) -> None:
        """Go to the walk of a load, to the card of anything else, or do the command; wait until it is found."""
        typed = self.query_one(Input).value
        unsettled = self.shown_for != typed or (bool(typed.strip()) and self.is_waiting())
        if unsettled and not leading(typed, self.commands):
            self.wish = typed
            return
        self.wish = None
        if unsettled:
            self.dismiss(fitting_commands(typed, self.commands)[0])
            return
        hit, row = self.marked_hit(), self.query_one(RowList).marked_row
        if hit is not None:
            self.app.push_screen(target(hit))
            return
        command = next((one for one in self.commands if row is not None and row.key == _COMMAND + one.words), None)
        if command is not None:
            self.dismiss(command)

    def action_card(self) -> None:
        """Go to the card, of a load too."""
        hit = self.marked_hit()
        if hit is not None:
            self.app.push_screen(card_of(hit))


def command_rows(commands: Sequence[Findable], headed: bool) -> list[Row]:
    """Return commands as rows, under a head where other rows stand beside them."""
    column = max((width(one.words) for one in commands), default=0)
    rows = [
        Row(assembled(padded(one.words, column), ("   " + one.note, "$quiet")), _COMMAND + one.words)
        for one in commands
    ]
    return [Row(assembled(("commands", "$quiet")), can_be_marked=False), *rows] if rows and headed else rows


def target(hit: Hit) -> Screen[Any]:
    """Return the screen that a hit leads to: of a circuit of a load its walk, else its card."""
    if not hit.element:
        return card_of(hit)
    from tui.screens.walk import WalkScreen

    return WalkScreen(hit.element)


def card_of(hit: Hit) -> Screen[Any]:
    """Return the card of a hit."""
    from tui.screens.card import CardScreen

    return CardScreen(hit.part_id, hit.point or None)
