"""Changes to a harness file that a person has typed: comments, order and spelling stay.

It imports tomlkit, so it is imported only where a file is changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, InlineTable, Item, Null, Table, Whitespace

from model.errors import FusewalkError
from model.harness.toml_lines import toml_lines
from model.words import clean

Value = str | int | float | bool | list[Any] | tuple[Any, ...] | Mapping[str, Any]
"""What a key of a row may hold."""

_NAMED = frozenset({"key_states", "locations", "trunks"})
"""Tables whose rows have a name in place of an id."""


class HarnessText:
    """The text of a harness file, changed row by row.

    Parameters
    ----------
    text
        A file that `read_harness` takes.

    Raises
    ------
    FusewalkError
        Where the text is no TOML that can be changed.
    """

    def __init__(self, text: str) -> None:
        try:
            self._document = tomlkit.parse(text)
        except (TOMLKitError, ValueError, RecursionError) as error:
            raise FusewalkError(
                f"The harness file cannot be changed by program: {clean(str(error))}.", do="Mend that by hand first."
            ) from error

    @property
    def text(self) -> str:
        """The file as it now is."""
        return tomlkit.dumps(self._document)

    def set(self, table: str, row_id: str, key: str, value: Value) -> None:
        """Put a value into a row: in its place where the row has the key, else at the end of the row.

        Raises
        ------
        FusewalkError
            Where there is no such row.
        """
        rows, place = self._rows(table), self._place(table, row_id)
        row = rows[place]
        if isinstance(row, InlineTable) and key not in row:
            rows[place] = _with_key(row, key, value)
        else:
            row[key] = _item(value, _trail(row))

    def unset(self, table: str, row_id: str, key: str) -> None:
        """Take a key out of a row; nothing where the row does not have it.

        Raises
        ------
        FusewalkError
            Where there is no such row.
        """
        row = self._row(table, row_id)
        if key not in row:
            return
        row.remove(key)
        if isinstance(row, InlineTable):
            _close_gap(row)

    def set_build(self, key: str, value: Value) -> None:
        """Put a value into the table ``build``."""
        self._set_single("build", key, value)

    def set_default(self, key: str, value: Value) -> None:
        """Put a value into the table ``defaults``; a file that has none gets it behind its line ``format``."""
        if "defaults" in self._document:
            self._set_single("defaults", key, value)
            return
        lines = self.text.splitlines(keepends=True)
        place = toml_lines(self.text).of(("format",))
        end = "\r\n" if lines[place - 1].endswith("\r\n") else "\n"
        lines.insert(place, f"defaults = {_short_row({key: value})}{end}")
        self._document = tomlkit.parse("".join(lines))

    def _set_single(self, table: str, key: str, value: Value) -> None:
        row = self._document[table]
        assert isinstance(row, InlineTable | Table)
        if isinstance(row, InlineTable) and key not in row:
            self._document[table] = _with_key(row, key, value)
        else:
            row[key] = _item(value, _trail(row))

    def add(self, table: str, row: Mapping[str, Value]) -> None:
        """Add a row after the last of its table, spelled as that table is.

        A table that the file does not have yet comes last.
        """
        rows = self._document.get(table)
        if isinstance(rows, AoT):
            rows.append(_long_row(row))
        elif isinstance(rows, Array):
            _append(rows, row)
        else:
            self._add_table(table, row)

    def remove(self, table: str, row_id: str) -> None:
        """Take a row out.

        Raises
        ------
        FusewalkError
            Where there is no such row.
        """
        rows = self._rows(table)
        del rows[self._place(table, row_id)]

    def _rows(self, table: str) -> Array | AoT:
        rows = self._document.get(table)
        if not isinstance(rows, Array | AoT):
            raise FusewalkError(f"The harness file has no table {clean(table, 60)}.")
        return rows

    def _place(self, table: str, row_id: str) -> int:
        key = "name" if table in _NAMED else "id"
        for place, row in enumerate(self._rows(table)):
            if str(row.get(key)) == row_id:
                return place
        raise FusewalkError(f"There is no {clean(row_id, 60)} in the table {clean(table, 60)} of the harness file.")

    def _row(self, table: str, row_id: str) -> InlineTable | Table:
        row = self._rows(table)[self._place(table, row_id)]
        assert isinstance(row, InlineTable | Table)
        return row

    def _add_table(self, table: str, row: Mapping[str, Value]) -> None:
        """Put a new table at the end: one a line, or with headers where the file has any, since those come last."""
        if any(isinstance(item, AoT | Table) for _, item in self._document.body):
            rows = tomlkit.aot()
            rows.append(_long_row(row))
            self._document.append(table, rows)
            return
        gap = "" if self.text.endswith("\n") else "\n"
        self._document = tomlkit.parse(f"{self.text}{gap}{table} = [\n  {_short_row(row)},\n]\n")


def _trail(row: InlineTable | Table) -> str:
    """Give what ends a key: in a table under a header the end of its line."""
    return "\n" if isinstance(row, Table) else ""


def _with_key(row: InlineTable, key: str, value: Value) -> InlineTable:
    """Give a row in one line with a key more at its end; the space before its brace stays."""
    spelled = row.as_string()
    inside = spelled[:-1].rstrip()
    gap = spelled[len(inside) : -1]
    comma = ", " if len(row) else " "
    parsed = tomlkit.parse(f"row = {inside}{comma}{tomlkit.key(key).as_string()} = {value_text(value)}{gap}}}\n")["row"]
    assert isinstance(parsed, InlineTable)
    return parsed


def _close_gap(row: InlineTable) -> None:
    """Take the space before a key that was taken out, so that none stands there twice."""
    body = row.value.body
    for place, (_, item) in enumerate(body):
        before = body[place - 1][1] if place > 0 else None
        if isinstance(item, Null) and isinstance(before, Whitespace):
            body[place - 1] = (None, Whitespace(before.s.rstrip(" ")))


def _append(rows: Array, row: Mapping[str, Value]) -> None:
    """Add a row to an array, on a line of its own where the others stand so."""
    spelled = rows.as_string()
    rows.append(_parsed(f"rows = [ {_short_row(row)} ]\n")[0])
    if "\n" not in spelled and not spelled.strip("[] "):
        rows.multiline(multiline=True)


def _parsed(text: str) -> Array:
    rows = tomlkit.parse(text)["rows"]
    assert isinstance(rows, Array)
    return rows


def _long_row(row: Mapping[str, Value]) -> Table:
    table = tomlkit.table()
    for key, value in row.items():
        table.append(key, _item(value, "\n"))
    return table


def _short_row(row: Mapping[str, Value]) -> str:
    """Spell a row in one line."""
    return f"{{ {', '.join(f'{tomlkit.key(key).as_string()} = {value_text(value)}' for key, value in row.items())} }}"


def _item(value: Value, trail: str = "") -> Item:
    item = tomlkit.parse(f"value = {value_text(value)}\n").item("value")
    assert isinstance(item, Item)
    item.trivia.trail = trail
    return item


def value_text(value: Value) -> str:
    """Spell a value as TOML on one line: tables and lists with a space inside their braces."""
    if isinstance(value, Mapping):
        return _short_row(value) if value else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(value_text(one) for one in value)}]"
    return tomlkit.item(value).as_string()
