"""A harness file cut into pieces: each row and each single table by itself, and what stands between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from typing import NamedTuple

from model.harness.toml_places import Statement, elements_within, pairs_within, statements
from model.harness.toml_text import toml_key


class Sort(Enum):
    """What a piece of a file is."""

    PLAIN = auto()
    """What no row holds: space, remarks, brackets."""
    FORMAT = auto()
    """The line of the format."""
    BRACES = auto()
    """A row, or a single table, in braces."""
    HEADED = auto()
    """A row, or a single table, from its header to its last line."""
    DOTTED = auto()
    """One line ``build.name = …`` of a single table."""
    GAP = auto()
    """What stands in an array before, between or behind its rows."""


@dataclass(slots=True, eq=False)
class Piece:
    """A piece of a file; `table` is the table that it is of."""

    sort: Sort
    text: str
    table: str = ""


class _Mark(NamedTuple):
    sort: Sort
    start: int
    end: int
    table: str


def pieces_of(text: str) -> list[Piece]:
    """Cut a text that `tomllib` has read into pieces; put together they are the text."""
    pieces: list[Piece] = []
    at = 0
    for sort, start, end, table in _marks(text):
        if start > at:
            pieces.append(Piece(Sort.PLAIN, text[at:start]))
        pieces.append(Piece(sort, text[start:end], table))
        at = end
    return [*pieces, Piece(Sort.PLAIN, text[at:])]


def _marks(text: str) -> Iterator[_Mark]:
    found = statements(text)
    place = 0
    while place < len(found):
        one = found[place]
        behind = _behind(found, place)
        if not one.is_header:
            yield from _top_marks(text, one)
        elif len(one.key) == 1:
            yield _Mark(Sort.HEADED, one.start, line_end(text, found[behind - 1].end), one.key[0])
        place = behind


def _behind(found: list[Statement], place: int) -> int:
    """Give the place behind a statement; behind a header that of the next one which opens no table within its own."""
    key = found[place].key
    behind = place + 1
    if found[place].is_header:
        while behind < len(found) and not _is_outside(found[behind], key):
            behind += 1
    return behind


def _is_outside(one: Statement, key: tuple[str, ...]) -> bool:
    return one.is_header and (len(one.key) <= len(key) or one.key[: len(key)] != key)


def _top_marks(text: str, one: Statement) -> Iterator[_Mark]:
    table = one.key[0]
    if len(one.key) > 1:
        yield _Mark(Sort.DOTTED, one.start, line_end(text, one.end), table)
    elif table == "format":
        yield _Mark(Sort.FORMAT, one.start, line_end(text, one.end), table)
    elif text[one.value] == "{":
        yield _Mark(Sort.BRACES, one.value, one.end, table)
    elif text[one.value] == "[":
        yield from _row_marks(text, one)


def _row_marks(text: str, one: Statement) -> Iterator[_Mark]:
    table = one.key[0]
    at = one.value + 1
    for start, end in elements_within(text, one.value, one.end):
        yield _Mark(Sort.GAP, at, start, table)
        yield _Mark(Sort.BRACES, start, end, table)
        at = end
    yield _Mark(Sort.GAP, at, one.end - 1, table)


def line_end(text: str, at: int) -> int:
    """Give where the line ends on which an offset lies: before its line end."""
    end = text.find("\n", at)
    if end < 0:
        return len(text)
    return end - 1 if text[end - 1] == "\r" and end > at else end


def piece_with_key(piece: Piece, key: str, spelled: str, line_break: str) -> str:
    """Give the text of a piece with a key of that value: in its place where it is there, else at its end.

    Parameters
    ----------
    spelled
        The value as TOML.
    """
    there = _pairs_of(piece, key)
    if len(there) == 1 and len(there[0].key) == 1 and not there[0].is_header:
        one = there[0]
        return f"{piece.text[: one.value]}{spelled}{piece.text[one.end :]}"
    text = piece_without_key(piece, key)
    return (
        _braces_with(text, key, spelled) if piece.sort is Sort.BRACES else _lines_with(text, key, spelled, line_break)
    )


def piece_without_key(piece: Piece, key: str) -> str:
    """Give the text of a piece without a key, and without the space or the line that it leaves."""
    text = piece.text
    for one in reversed(_pairs_of(piece, key)):
        text = _braces_without(text, one) if piece.sort is Sort.BRACES else _lines_without(text, one)
    return text


def _pairs_of(piece: Piece, key: str) -> list[Statement]:
    """List what gives a key of a row its value: one pair, several dotted ones, or headers of tables within it."""
    if piece.sort is Sort.BRACES:
        return [one for one in pairs_within(piece.text) if one.key[0] == key]
    header, *others = statements(piece.text)
    own: list[Statement] = []
    within: tuple[str, ...] = ()
    for one in others:
        within = one.key[len(header.key) :] if one.is_header else within
        if (within or one.key)[0] == key:
            own.append(one)
    return own


def _braces_with(text: str, key: str, spelled: str) -> str:
    inside = text[:-1].rstrip()
    if inside == "{":
        return f"{{ {toml_key(key)} = {spelled} }}"
    return f"{inside}, {toml_key(key)} = {spelled}{text[len(inside) :]}"


def _braces_without(text: str, one: Statement) -> str:
    pairs = pairs_within(text)
    place = next(place for place, other in enumerate(pairs) if other.start == one.start)
    if place > 0:
        return text[: pairs[place - 1].end] + text[one.end :]
    end = pairs[1].start if len(pairs) > 1 else one.end
    return text[: one.start] + text[end:]


def _lines_with(text: str, key: str, spelled: str, line_break: str) -> str:
    """Add a line behind the last one of a table's own, before any table within it."""
    header, *others = statements(text)
    last = header
    for one in others:
        if one.is_header:
            break
        last = one
    at = line_end(text, last.end)
    begin = text.rfind("\n", 0, last.start) + 1
    return f"{text[:at]}{line_break}{text[begin : last.start]}{toml_key(key)} = {spelled}{text[at:]}"


def _lines_without(text: str, one: Statement) -> str:
    begin = text.rfind("\n", 0, one.start)
    begin -= text[begin - 1] == "\r"
    return text[:begin] + text[line_end(text, one.end) :]
