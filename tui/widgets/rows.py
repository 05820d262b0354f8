"""A column of rows with one marked: the list that every screen uses."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content, Span
from textual.events import Click, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual

from tui.text import is_paint

MARK = "› "
_ROUND_THE_MARK = 2


class Row:
    """One row.

    Parameters
    ----------
    content
        What it shows, in one line; it is cut where there is no room. A list of thousands gives what makes it instead:
        a row that is never in the window is never made.
    key
        What it stands for; the mark stays on the key when rows are shown anew.
    can_be_marked
        False for heads and for what only joins two rows.
    """

    __slots__ = ("_content", "can_be_marked", "key")

    def __init__(self, content: Content | Callable[[], Content], key: str = "", *, can_be_marked: bool = True) -> None:
        self._content = content
        self.key = key
        self.can_be_marked = can_be_marked

    @property
    def content(self) -> Content:
        """What it shows."""
        if not isinstance(self._content, Content):
            self._content = self._content()
        return self._content


class RowList(ScrollView, can_focus=True):
    """Rows one below the other; the marked one has ``›`` before it and stands in reverse video."""

    DEFAULT_CSS = "RowList { height: 1fr; overflow-x: hidden; }"
    COMPONENT_CLASSES: ClassVar[set[str]] = {"rows--marked"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("pageup", "leap(-1)", show=False),
        Binding("pagedown", "leap(1)", show=False),
        Binding("home", "first", show=False),
        Binding("end", "last", show=False),
    ]

    class Marked(Message):
        """Another row has been marked."""

        def __init__(self, row: Row) -> None:
            super().__init__()
            self.row = row

    class Taken(Message):
        """The marked row has been clicked."""

        def __init__(self, row: Row) -> None:
            super().__init__()
            self.row = row

    class TakenAgain(Message):
        """The marked row has been clicked once more at once: the first click may have led away from here."""

        def __init__(self, rows: "RowList", row: Row) -> None:
            super().__init__()
            self.rows = rows
            self.row = row

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: tuple[Row, ...] = ()
        self.marked: int | None = None
        self.stays_on_top = False

    @property
    def marked_row(self) -> Row | None:
        """The marked row, None where there is none."""
        return None if self.marked is None else self.rows[self.marked]

    @property
    def cut_words(self) -> str:
        """What the marked row says, where there is no room for all of it; else empty."""
        row = self.marked_row
        if row is None or row.content.cell_length <= self.room:
            return ""
        return " ".join(row.content.plain.split())

    @property
    def room(self) -> int:
        """How many cells a row has, the scroll bar's left out; before the first layout as the window lets expect."""
        width = self.content_size.width or max(self.app.size.width - self.gutter.width, 0)
        return max(width - len(MARK) - self.styles.scrollbar_size_vertical, 0)

    def in_window(self) -> tuple[Row, ...]:
        """Return the rows that are in the window."""
        top = self.scroll_offset.y
        return self.rows[top : top + self.size.height]

    def show(self, rows: Sequence[Row]) -> None:
        """Show rows; the mark stays on its key, else it goes to the first row that can have it.

        Where the mark stays in its place the window does too.
        """
        before, place = self.marked_row, self.marked
        self.rows = tuple(rows)
        keys = [row.key if row.can_be_marked else None for row in self.rows]
        if before is not None and before.key in keys:
            self.marked = keys.index(before.key)
        else:
            self.marked = self._from(0, 1)
        self._fit_virtual_size()
        if self.marked != place:
            self._follow()
        self.refresh()

    def mark_key(self, key: str) -> None:
        """Mark the row of a key, where there is one."""
        for place, row in enumerate(self.rows):
            if row.key == key and row.can_be_marked:
                self._mark(place)
                return

    def show_mark(self) -> None:
        """Bring the marked row back into the window, which a wheel has moved away from it."""
        self._follow()

    def is_marked(self, place: int) -> bool:
        """Tell whether the row in a place is drawn as the marked one."""
        return place == self.marked

    def stay_on_top(self) -> None:
        """Show the first rows, wherever the mark is, until it is moved: what stands there has to be read first."""
        self.stays_on_top = True
        self.scroll_to(y=0, animate=False, force=True)

    def render_line(self, y: int) -> Strip:
        """Return one line of the window."""
        place = y + self.scroll_offset.y
        width = self.scrollable_content_region.width
        if place >= len(self.rows) or width <= 0:
            return Strip.blank(max(width, 0), self.rich_style)
        row = self.rows[place]
        if self.is_marked(place):
            lead = MARK if place == self.marked else " " * len(MARK)
            content = marked_content(lead, row.content).truncate(width, ellipsis=True)
            # textual leaves reverse video out of a visual style made from component classes
            reverse = bool(self.get_component_styles("rows--marked").text_style.reverse)
            style = self.get_visual_style("rows--marked") + Style(reverse=reverse)
        else:
            content = (Content(" " * len(MARK)) + row.content).truncate(width, ellipsis=True)
            style = self.visual_style
        strips = Visual.to_strips(self, content, width, 1, style)
        return strips[0].adjust_cell_length(width, style.rich_style)

    def on_resize(self, event: Resize) -> None:
        """Keep the marked row in the window."""
        self._fit_virtual_size()
        self._follow()

    def on_click(self, event: Click) -> None:
        """Mark the row clicked; take it where it was marked already."""
        place = event.y + self.scroll_offset.y
        if place >= len(self.rows) or not self.rows[place].can_be_marked:
            return
        if place != self.marked:
            self._mark(place)
        elif event.chain == 1:
            self.post_message(self.Taken(self.rows[place]))
        else:
            self.post_message(self.TakenAgain(self, self.rows[place]))

    def action_step(self, way: int) -> None:
        """Mark the next row that can be marked, up (-1) or down (1)."""
        if self.marked is None:
            self.scroll_relative(y=way, animate=False)
            return
        place = self._from(self.marked + way, way)
        if place is None:
            self.scroll_relative(y=way, animate=False)
        else:
            self._mark(place)

    def action_leap(self, way: int) -> None:
        """Go a window up (-1) or down (1)."""
        if self.marked is None:
            self.scroll_relative(y=way * self.size.height, animate=False)
            return
        aim = min(max(self.marked + way * max(self.size.height - 1, 1), 0), len(self.rows) - 1)
        place = self._from(aim, way)
        self._mark(self._from(aim, -way) if place is None else place)

    def action_first(self) -> None:
        """Mark the first row."""
        self._mark(self._from(0, 1))

    def action_last(self) -> None:
        """Mark the last row."""
        self._mark(self._from(len(self.rows) - 1, -1))

    def _from(self, place: int, way: int) -> int | None:
        """Return the first row that can be marked from a place on, None where there is none."""
        while 0 <= place < len(self.rows):
            if self.rows[place].can_be_marked:
                return place
            place += way
        return None

    def _mark(self, place: int | None) -> None:
        """Mark a row and bring it into the window."""
        if place is None or place == self.marked:
            return
        self.marked = place
        self.stays_on_top = False
        self._follow()
        self.refresh()
        self.post_message(self.Marked(self.rows[place]))

    def _follow(self) -> None:
        """Bring the marked row into the window with a few rows round it; the first with the heads above it."""
        if self.marked is None or self.stays_on_top:
            return
        round_it = min(_ROUND_THE_MARK, max(self.size.height - 1, 0) // 3)
        top = 0 if self._from(0, 1) == self.marked else max(self.marked - round_it, 0)
        end = min(self.marked + round_it + 1, len(self.rows))
        self.scroll_to_region(Region(0, top, 1, end - top), animate=False, force=True)

    def _fit_virtual_size(self) -> None:
        """Tell the scroll bar how many rows there are."""
        self.virtual_size = Size(self.scrollable_content_region.width, len(self.rows))


def marked_content(lead: str, content: Content) -> Content:
    """Return a row as it stands when it is marked: in one style, but for the colours of wires."""
    paint = [
        Span(span.start + len(lead), span.end + len(lead), span.style)
        for span in content.spans
        if isinstance(span.style, str) and is_paint(span.style)
    ]
    return Content(lead + content.plain, spans=paint)
