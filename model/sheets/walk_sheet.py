"""The walk of a load as text for a terminal of 80 cells."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.harness import Harness
from model.sheets.columns import WIDTH, cell_width, padded, wrapped
from model.sheets.profile_text import profile_text
from model.sheets.volts_profile import volts_profile
from model.sheets.walk_as_built import NOT_READ, AsBuilt
from model.sheets.walk_words import (
    AS_BUILT,
    as_built_text,
    band_text,
    does_words,
    intro,
    key_mark,
    led_words,
    rating_words,
    rows_once,
    shown,
    title,
    walk_cautions,
    what_words,
    where_words,
)
from model.tracing.expect import Expect
from model.tracing.rows import ToldWalk, WalkRow, WalkSection

_FIGURE = 9
_POINT_LEAST, _POINT_MOST = 12, 30
_DEEP = "      "


def walk_text(harness: Harness, told: ToldWalk, as_built: AsBuilt = NOT_READ) -> str:
    """Give the walk as text: cautions, the condition told point by point, a table of every key state, the profile.

    What leads to a point stands above it, and the place where it changes. What was read while the loom was proven has
    a column of its own, where anything was.
    """
    lines = [title(told), ""]
    for caution in walk_cautions(harness, told):
        lines += wrapped(f"Caution: {caution}", rest="  ")
    lines += ["", *(line for text in intro(harness, told) for line in wrapped(text)), ""]
    sheet = _Sheet(harness, told, as_built)
    lines.append(sheet.heads())
    for number, section in enumerate(told.sections):
        if number == 1:
            lines += ["", *sheet.load()]
        lines += ["", *sheet.section(section)]
    lines += ["", "Every key state, load plugged in, V"]
    lines += sheet.key_tables()
    lines += ["", *profile_text(harness, volts_profile(harness, told, as_built))]
    return "\n".join(line.rstrip() for line in lines)


class _Sheet:
    """The parts of the text, all with the same columns."""

    def __init__(self, harness: Harness, told: ToldWalk, as_built: AsBuilt) -> None:
        self.as_built = as_built
        self.harness = harness
        self.told = told
        self.key = told.condition.key
        self.rows = rows_once(told)
        names = [row.point for section in told.sections for row in section.rows]
        self.point_cells = min(max([_POINT_LEAST, *(cell_width(name) for name in names)]), _POINT_MOST)
        self.has_places = any(row.place for section in told.sections for row in section.rows if where_words(row))

    def heads(self) -> str:
        """Give the heads of the columns."""
        return self._figures("", ("expect, V", "unplugged", AS_BUILT), "good reading")

    def _figures(self, point: str, figures: tuple[str, str, str], band: str) -> str:
        shown_figures = figures if self.as_built else figures[:2]
        cells = (*(padded(figure, _FIGURE, right=True) for figure in shown_figures), band)
        return f"  {'·' if point else ' '} {padded(point, self.point_cells)}{'  '.join(cells)}"

    def _expected(self, name: str, expect: Expect, read_volts: float | None) -> str:
        on, unplugged = shown(expect.on, expect.word), shown(expect.unplugged, expect.unplugged_word)
        return self._figures(name, (on, unplugged, as_built_text(read_volts)), band_text(expect))

    def load(self) -> list[str]:
        """Tell the load itself, between its feed and its ground."""
        load = self.told.load
        lines = ["load", *wrapped(rating_words(self.told), first="  ", rest="  ")]
        if load.refusal:
            return lines
        lines.append(self._expected("across it", load.across[self.key], self.as_built.across_volts))
        return lines + wrapped(f"red {load.red}, black {load.black}; {does_words(self.told, self.key)}", first=_DEEP)

    def section(self, section: WalkSection) -> list[str]:
        """Tell a stretch."""
        lines = [section.heading, *wrapped(section.remark, first="  ", rest="  ")]
        place = ""
        for row in section.rows:
            led = led_words(self.harness, self.told, row)
            lines += wrapped(led, first="  │ ", rest="  │   ") if led else []
            if self.has_places and where_words(row) not in ("", place):
                place = where_words(row)
                lines += wrapped(place, first="  ─ ", rest="    ")
            lines += self._row(row)
        return lines

    def _row(self, row: WalkRow) -> Iterator[str]:
        if row.refusal:
            yield f"  · {row.point}"
            yield from wrapped(row.refusal, first=_DEEP, rest=_DEEP)
            return
        yield self._expected(row.point, row.expect[self.key], self.as_built.volts.get(row.point))
        for text in (what_words(row), *row.notes):
            yield from wrapped(text, first=_DEEP, rest=_DEEP)

    def key_tables(self) -> Iterator[str]:
        """Give the volts of every key state, as many columns side by side as there is room for."""
        keys = self.told.expectations.keys
        cells = max(_FIGURE, *(cell_width(key) for key in keys)) + 1
        at_once = max((WIDTH - self.point_cells) // cells, 1)
        for start in range(0, len(keys), at_once):
            shown_keys = keys[start : start + at_once]
            yield ""
            yield self._key_row("point", list(shown_keys), cells)
            marks = [key_mark(self.harness, self.told, key) for key in shown_keys]
            if any(marks):
                yield self._key_row("", marks, cells)
            for row in self.rows:
                expected = [row.expect[key] for key in shown_keys]
                yield self._key_row(row.point, [shown(one.on, one.word) for one in expected], cells)

    def _key_row(self, name: str, words: list[str], cells: int) -> str:
        return padded(name, self.point_cells) + "".join(padded(word, cells, right=True) for word in words)
