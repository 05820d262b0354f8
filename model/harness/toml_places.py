"""The places of statements, keys and rows in a TOML text, as offsets: what is to be changed in it is cut out there.

Only a text that `tomllib` has read is looked at: the grammar is trusted.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from model.harness.toml_lines import TOKEN, plain_key

_OPENING = ("[", "{")
_CLOSING = ("]", "}")


class Statement(NamedTuple):
    """A key with its value, or a header.

    Attributes
    ----------
    key
        The parts of its key, without quotes.
    start
        Where the key begins, or the header's bracket.
    value
        Where the value begins; of a header where it ends.
    end
        Where it ends; what else stands on its line lies behind.
    is_header, is_row
        Whether it is a header, and one in two brackets.
    """

    key: tuple[str, ...]
    start: int
    value: int
    end: int
    is_header: bool = False
    is_row: bool = False


class Element(NamedTuple):
    """An element of an array: where it begins and ends."""

    start: int
    end: int


class _Token(NamedTuple):
    kind: str
    word: str
    start: int
    end: int


def statements(text: str) -> list[Statement]:
    """List the headers and the keys of a document, or of a part of one, in their order."""
    tokens = _tokens(text, 0, len(text))
    found: list[Statement] = []
    place = 0
    while place < len(tokens):
        if tokens[place].kind == "line":
            place += 1
            continue
        read = _header if tokens[place].word == "[" else _pair
        statement, place = read(tokens, place)
        found.append(statement)
    return found


def pairs_within(row: str) -> list[Statement]:
    """List the keys of a table in braces, given with its braces."""
    tokens = _tokens(row, 1, len(row) - 1)
    found: list[Statement] = []
    place = 0
    while place < len(tokens):
        if tokens[place].word == "," or tokens[place].kind == "line":
            place += 1
            continue
        statement, place = _pair(tokens, place)
        found.append(statement)
    return found


def elements_within(text: str, start: int, end: int) -> list[Element]:
    """List the elements of the array that lies between two offsets, its brackets among them."""
    tokens = _tokens(text, start + 1, end - 1)
    found: list[Element] = []
    place = 0
    while place < len(tokens):
        if tokens[place].word == "," or tokens[place].kind == "line":
            place += 1
            continue
        behind = _value_end(tokens, place)
        found.append(Element(tokens[place].start, tokens[behind - 1].end))
        place = behind
    return found


def comma_in(gap: str) -> int:
    """Give the offset of the comma in what stands between two elements, remarks aside; -1 where there is none."""
    return next((token.start for token in _tokens(gap, 0, len(gap)) if token.word == ","), -1)


def _tokens(text: str, start: int, end: int) -> list[_Token]:
    """List the tokens between two offsets; space and remarks are left out."""
    return list(_each_token(text, start, end))


def _each_token(text: str, start: int, end: int) -> Iterator[_Token]:
    for found in TOKEN.finditer(text, start, end):
        kind = found.lastgroup or ""
        if kind != "space":
            yield _Token(kind, found.group(), found.start(), found.end())


def _header(tokens: list[_Token], place: int) -> tuple[Statement, int]:
    is_row = tokens[place + 1].word == "["
    behind = place
    while behind < len(tokens) and tokens[behind].kind != "line":
        behind += 1
    key = tuple(plain_key(token.word) for token in tokens[place:behind] if token.kind in ("bare", "text"))
    end = tokens[behind - 1].end
    return Statement(key, tokens[place].start, end, end, is_header=True, is_row=is_row), behind


def _pair(tokens: list[_Token], place: int) -> tuple[Statement, int]:
    sign = next(at for at in range(place, len(tokens)) if tokens[at].word == "=")
    key = tuple(plain_key(token.word) for token in tokens[place:sign] if token.kind in ("bare", "text"))
    behind = _value_end(tokens, sign + 1)
    return Statement(key, tokens[place].start, tokens[sign + 1].start, tokens[behind - 1].end), behind


def _value_end(tokens: list[_Token], place: int) -> int:
    """Give the place of the first token behind a value."""
    depth = 0
    while place < len(tokens):
        kind, word = tokens[place].kind, tokens[place].word
        if depth == 0 and (kind == "line" or word == "," or word in _CLOSING):
            break
        depth += (word in _OPENING) - (word in _CLOSING)
        place += 1
        if depth == 0 and word in _CLOSING:
            break
    return place
