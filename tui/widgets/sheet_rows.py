"""Rows of a sheet: what is marked may take several lines, and long texts stand between what can be marked."""

from __future__ import annotations

from textual.content import Content
from textual.events import Click
from textual.geometry import Region

from tui.text import assembled, padded, wrapped_lines
from tui.widgets.rows import Row, RowList

_ROUND_THE_MARK = 2


def named_rows(key: str, names: int, words: Content, room: int) -> list[Row]:
    """Return the lines of one key: itself on the left, the words wrapped beside it.

    Parameters
    ----------
    names
        Cells of the left column.
    room
        Cells of the words.
    """
    lines = enumerate(wrapped_lines(words, room))
    return [
        Row(assembled((padded("" if place else key, names), "bold"), "  ", line), key, can_be_marked=place == 0)
        for place, line in lines
    ]


class SheetRows(RowList):
    """Marks all lines of one key together; a step goes through a text that is longer than the window."""

    def is_marked(self, place: int) -> bool:
        """Tell whether a line belongs to what is marked."""
        if self.marked is None or place == self.marked:
            return place == self.marked
        return bool(self.rows[place].key) and self.rows[place].key == self.rows[self.marked].key

    def would_show_mark(self, height: int) -> bool:
        """Tell whether the marked row stands in a window of so many lines: at first that may show what is above it."""
        return self.marked is not None and (not self.stays_on_top or self._last_line() < height)

    @property
    def marked_lines(self) -> int:
        """How many lines what is marked takes."""
        return 0 if self.marked is None else self._last_line() - self.marked + 1

    def _last_line(self) -> int:
        """Return the place of the last line of what is marked."""
        assert self.marked is not None
        last = self.marked
        while last + 1 < len(self.rows) and self.is_marked(last + 1):
            last += 1
        return last

    def _come_down(self) -> None:
        """Go from what stands on top down to the marked row."""
        assert self.marked is not None
        if self._is_far(self.marked, 1):
            self.scroll_relative(y=max(self.size.height // 2, 1), animate=False)
            return
        self._come_to_mark()

    def _come_to_mark(self) -> None:
        """Bring what is marked into the window, from what stands above it."""
        assert self.marked is not None
        self.stays_on_top = False
        self._follow()
        self.post_message(self.Marked(self.rows[self.marked]))

    def mark_key(self, key: str) -> None:
        """Mark the row of a key, and bring it into the window where it was marked but not in sight."""
        super().mark_key(key)
        if self.stays_on_top and self.marked_row is not None and self.marked_row.key == key:
            self._come_to_mark()

    def action_step(self, way: int) -> None:
        """Mark the next row, up (-1) or down (1); where more than a window lies between, show some of that first."""
        if way > 0 and self.marked is not None and not self.would_show_mark(self.size.height):
            self._come_down()
            return
        place = None if self.marked is None else self._from(self.marked + way, way)
        if place is not None and self._is_far(place, way):
            self.scroll_relative(y=way * max(self.size.height // 2, 1), animate=False)
        else:
            super().action_step(way)

    def _is_far(self, place: int, way: int) -> bool:
        """Tell whether lines would be passed over unread on the way to a row."""
        top, height = self.scroll_offset.y, self.size.height
        if way > 0:
            return place + _ROUND_THE_MARK + 1 - (top + height) > height
        return top - (place - _ROUND_THE_MARK) > height

    def on_click(self, event: Click) -> None:
        """Mark what was clicked, on whichever of its lines; take it where it was marked already."""
        place = event.y + self.scroll_offset.y
        if place >= len(self.rows) or not self.rows[place].key:
            return
        event.prevent_default()
        while not self.rows[place].can_be_marked and place > 0:
            place -= 1
        if place == self.marked:
            self.post_message(self.Taken(self.rows[place]))
        else:
            self._mark(place)

    def _follow(self) -> None:
        """Bring all lines of what is marked into the window, with a few round them where there is room."""
        if self.marked is None or self.stays_on_top:
            return
        height = max(self.size.height, 1)
        lines = min(self.marked_lines, height)
        round_it = min(_ROUND_THE_MARK, (height - lines) // 2)
        is_first = self._from(0, 1) == self.marked
        top = 0 if is_first and self.marked + lines <= height else max(self.marked - round_it, 0)
        end = min(self.marked + lines + round_it, len(self.rows), top + height)
        self.scroll_to_region(Region(0, top, 1, end - top), animate=False, force=True)
