"""Changes to a harness file that a person has typed: remarks, order, spelling and line ends stay."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from model.errors import FusewalkError
from model.harness.toml_gaps import gap_without_row, gaps_with_row
from model.harness.toml_pieces import Piece, Sort, piece_with_key, piece_without_key, pieces_of
from model.harness.toml_places import statements
from model.harness.toml_text import toml_key, toml_value
from model.words import clean

Value = str | int | float | bool | list[Any] | tuple[Any, ...] | Mapping[str, Any]
"""What a key of a row may hold."""

_NAMED = frozenset({"key_states", "locations", "trunks"})
"""Tables whose rows have a name in place of an id."""
_SINGLE = ("build", "defaults")
"""Tables that are one row each."""


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
            self._wanted = tomllib.loads(text)
        except (ValueError, RecursionError) as error:
            raise _unchangeable(str(error)) from error
        self._pieces = pieces_of(text)
        self._line_break = "\r\n" if text.partition("\n")[0].endswith("\r") else "\n"
        self._rows = dict(self._each_row())

    @property
    def text(self) -> str:
        """The file as it now is.

        Raises
        ------
        FusewalkError
            Where it would say anything else than what it said, with the changes made.
        """
        text = "".join(piece.text for piece in self._pieces)
        try:
            found = tomllib.loads(text)
        except ValueError as error:
            raise _unchangeable(str(error)) from error
        if _plain(found) != _plain(self._wanted):
            raise _unchangeable("the rows of one table are parted in a way that cannot be kept")
        return text

    def set(self, table: str, row_id: str, key: str, value: object) -> None:
        """Put a value into a row: in its place where the row has the key, else at the end of the row.

        Raises
        ------
        FusewalkError
            Where there is no such row.
        """
        piece, row = self._found(table, row_id)
        self._put(piece, key, value)
        row[key] = value

    def unset(self, table: str, row_id: str, key: str) -> None:
        """Take a key out of a row; nothing where the row does not have it.

        Raises
        ------
        FusewalkError
            Where there is no such row.
        """
        piece, row = self._found(table, row_id)
        piece.text = piece_without_key(piece, key)
        row.pop(key, None)

    def set_build(self, key: str, value: object) -> None:
        """Put a value into the table ``build``."""
        self._set_single("build", key, value)

    def unset_build(self, key: str) -> None:
        """Take a key out of the table ``build``; nothing where it does not have it."""
        pieces = [piece for piece in self._pieces if piece.table == "build"]
        if not pieces:
            raise _unchangeable("its build is spelled in a way that cannot be kept")
        if pieces[0].sort is Sort.DOTTED:
            self._drop_dotted(pieces, key)
        else:
            pieces[0].text = piece_without_key(pieces[0], key)
        self._wanted["build"].pop(key, None)

    def _drop_dotted(self, pieces: list[Piece], key: str) -> None:
        """Take a line ``build.name = …`` out with its line end, where nothing else stands in that line."""
        for piece in pieces:
            if statements(piece.text)[0].key[1] == key:
                place = self._pieces.index(piece)
                behind = self._pieces[place + 1 : place + 2]
                if behind and behind[0].sort is Sort.PLAIN:
                    behind[0].text = behind[0].text.removeprefix(self._line_break)
                del self._pieces[place]

    def set_default(self, key: str, value: object) -> None:
        """Put a value into the table ``defaults``; a file that has none gets it behind its line ``format``."""
        if "defaults" not in self._wanted:
            line = next((place for place, one in enumerate(self._pieces) if one.sort is Sort.FORMAT), None)
            if line is None:
                raise _unchangeable("it has no line format = 1")
            opening = Piece(Sort.PLAIN, f"{self._line_break}defaults = ")
            self._pieces[line + 1 : line + 1] = [opening, Piece(Sort.BRACES, "{}", "defaults")]
            self._wanted["defaults"] = {}
        self._set_single("defaults", key, value)

    def _set_single(self, table: str, key: str, value: object) -> None:
        pieces = [piece for piece in self._pieces if piece.table == table]
        if not pieces:
            raise _unchangeable(f"its {table} is spelled in a way that cannot be kept")
        if pieces[0].sort is Sort.DOTTED:
            self._put_dotted(pieces, key, value)
        else:
            self._put(pieces[0], key, value)
        self._wanted[table][key] = value

    def _put(self, piece: Piece, key: str, value: object) -> None:
        piece.text = piece_with_key(piece, key, value_text(value), self._line_break)

    def _put_dotted(self, pieces: list[Piece], key: str, value: object) -> None:
        """Put a value into a table of lines ``build.name = …``: into its line, or into a new one behind the last."""
        line = f"{pieces[-1].table}.{toml_key(key)} = {value_text(value)}"
        if key not in self._wanted[pieces[-1].table]:
            new = Piece(Sort.DOTTED, line, pieces[-1].table)
            place = self._pieces.index(pieces[-1]) + 1
            self._pieces[place:place] = [Piece(Sort.PLAIN, self._line_break), new]
            return
        for piece in pieces:
            one = statements(piece.text)[0]
            if one.key[1] == key:
                piece.text = f"{piece.text[: one.value]}{value_text(value)}{piece.text[one.end :]}"

    def add(self, table: str, row: Mapping[str, object]) -> None:
        """Add a row after the last of its table, spelled as that table is.

        A table that the file does not have yet comes last.
        """
        last = next((piece for piece in reversed(self._pieces) if piece.table == table), None)
        if last is None:
            new = self._add_table(table, row)
        elif last.sort is Sort.HEADED:
            new = self._add_headed(self._pieces.index(last), row)
        else:
            new = self._add_braces(self._pieces.index(last), row)
        wanted = dict(row)
        self._rows[table, _row_id(table, row)] = new, wanted
        self._wanted.setdefault(table, []).append(wanted)

    def remove(self, table: str, row_id: str) -> None:
        """Take a row out.

        Raises
        ------
        FusewalkError
            Where there is no such row.
        """
        piece, row = self._found(table, row_id)
        place = self._pieces.index(piece)
        before, behind = self._pieces[place - 1], self._pieces[place + 1]
        if piece.sort is Sort.HEADED:
            _close(before, behind)
            del self._pieces[place]
        else:
            before.text = gap_without_row(before.text, behind.text)
            del self._pieces[place : place + 2]
        del self._rows[table, row_id]
        self._wanted[table] = [one for one in self._wanted[table] if one is not row]

    def _each_row(self) -> Iterator[tuple[tuple[str, str], tuple[Piece, dict[str, Any]]]]:
        """Give each row's piece and keys by table and id: rows and pieces stand in the same order."""
        pieces: dict[str, list[Piece]] = {}
        for piece in self._pieces:
            if piece.sort in (Sort.BRACES, Sort.HEADED):
                pieces.setdefault(piece.table, []).append(piece)
        for table, rows in self._wanted.items():
            if table in _SINGLE or not isinstance(rows, list):
                continue
            for row, piece in zip(rows, pieces.get(table, ()), strict=False):
                yield (table, _row_id(table, row)), (piece, row)

    def _found(self, table: str, row_id: str) -> tuple[Piece, dict[str, Any]]:
        if not isinstance(self._wanted.get(table), list):
            raise FusewalkError(
                f"The harness file has no table {clean(table, 60)}.",
                do="Run fusewalk check on the file, then try again.",
            )
        found = self._rows.get((table, row_id))
        if found is None:
            raise FusewalkError(
                f"There is no {clean(row_id, 60)} in the table {clean(table, 60)} of the harness file.",
                do="Run fusewalk check on the file, then try again.",
            )
        return found

    def _add_table(self, table: str, row: Mapping[str, object]) -> Piece:
        """Put a new table at the end: one a line, or with headers where the file has any, since those come last."""
        end, tail = self._line_break, self._pieces[-1]
        if not "".join(piece.text for piece in self._pieces[-2:]).endswith("\n"):
            tail.text += end
        if any(piece.sort is Sort.HEADED for piece in self._pieces):
            new = Piece(Sort.HEADED, self._headed(table, row), table)
            self._pieces += [Piece(Sort.PLAIN, end), new, Piece(Sort.PLAIN, end)]
            return new
        new = Piece(Sort.BRACES, value_text(row), table)
        opening, closing = Piece(Sort.GAP, f"{end}  ", table), Piece(Sort.GAP, f",{end}", table)
        self._pieces += [Piece(Sort.PLAIN, f"{table} = ["), opening, new, closing, Piece(Sort.PLAIN, f"]{end}")]
        return new

    def _add_headed(self, place: int, row: Mapping[str, object]) -> Piece:
        """Add a row under a header of its own, behind an empty line where one stands before the row at a place."""
        end = self._line_break
        between = end * 2 if place and self._pieces[place - 1].text.endswith(end * 2) else end
        new = Piece(Sort.HEADED, self._headed(self._pieces[place].table, row), self._pieces[place].table)
        self._pieces[place + 1 : place + 1] = [Piece(Sort.PLAIN, between), new]
        return new

    def _add_braces(self, place: int, row: Mapping[str, object]) -> Piece:
        """Add a row behind the last gap of an array, which stands at a place."""
        gap = self._pieces[place]
        is_first = self._pieces[place - 1].sort is not Sort.BRACES
        before = "" if is_first else self._pieces[place - 2].text
        texts = gaps_with_row(before, gap.text, self._line_break, is_first=is_first)
        new = Piece(Sort.BRACES, value_text(row), gap.table)
        self._pieces[place : place + 1] = [
            Piece(Sort.GAP, texts[0], gap.table),
            new,
            Piece(Sort.GAP, texts[1], gap.table),
        ]
        return new

    def _headed(self, table: str, row: Mapping[str, object]) -> str:
        lines = [f"[[{table}]]", *(f"{toml_key(key)} = {value_text(value)}" for key, value in row.items())]
        return self._line_break.join(lines)


def value_text(value: object) -> str:
    """Spell a value as TOML on one line: tables and lists with a space inside their braces, a float with its point."""
    return toml_value(value, keep_floats=True)


def _unchangeable(reason: str) -> FusewalkError:
    return FusewalkError(
        f"The harness file cannot be changed by program: {clean(reason)}.", do="Mend that by hand first."
    )


def _row_id(table: str, row: Mapping[str, object]) -> str:
    return str(row.get("name" if table in _NAMED else "id"))


def _close(before: Piece, behind: Piece) -> None:
    """Close what a row under a header leaves: its line, and one of two empty lines around it."""
    behind.text = _without_line(behind.text)
    if before.text.endswith(("\n\n", "\n\r\n")) and behind.text.startswith(("\n", "\r\n")):
        behind.text = _without_line(behind.text)


def _without_line(text: str) -> str:
    return text.removeprefix("\r").removeprefix("\n")


def _plain(value: object) -> object:
    """Give a value as `tomllib` would: lists for tuples, no table without rows."""
    match value:
        case Mapping():
            return {str(key): _plain(one) for key, one in value.items() if one != []}
        case list() | tuple():
            return [_plain(one) for one in value]
    return value
