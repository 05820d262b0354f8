"""Where things stand in a TOML text, since `tomllib` gives no line numbers.

Only a text that `tomllib` has read is scanned, and only once something in it is to be reported: the scan trusts the
grammar and looks at nothing but keys, brackets and line ends.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import NamedTuple

TomlPath = tuple[str | int, ...]
"""Keys and row numbers from the top of a document: ``("wires", 3, "size")``."""

TOKEN = re.compile(
    r'''
      (?P<space>[ \t\r\ufeff]++ | \#[^\n]*+)
    | (?P<line>\n)
    | (?P<text>"""(?:[^"\\]++ | \\. | "(?!""))*+"{0,5}
             | \'\'\'(?:[^']++ | '(?!''))*+'{0,5}
             | "(?:[^"\\\n]++ | \\.)*+"?
             | '[^'\n]*+'?)
    | (?P<mark>[\[\]{},=.])
    | (?P<bare>[^\s\[\]{},=."'\#]++)
    ''',
    re.VERBOSE | re.DOTALL,
)
"""One token of a TOML text: space or a remark, a line end, a quoted text, a sign, a bare word.

A quoted text that is left open goes on to where it would have to end, so that no part of it is looked at twice.
"""

_MOST_TOKENS = 1_000_000
"""A loom of ten thousand wires has four hundred thousand."""
_LONGEST_PATH = 16
"""The longest of a harness file has seven: what lies deeper is told with the line of what it lies in."""


@dataclass(frozen=True, slots=True)
class TomlLines:
    """The line on which each key and each row of a document begins."""

    numbers: dict[TomlPath, int]

    def of(self, path: TomlPath) -> int:
        """Give the line of a path, or of the nearest thing around it that has one; 1 where there is none."""
        for length in range(len(path), 0, -1):
            number = self.numbers.get(path[:length])
            if number is not None:
                return number
        return 1


@dataclass(slots=True)
class _Bracket:
    """An open array, or an open table that braces or a header opened."""

    path: TomlPath
    is_array: bool
    line: int = 0
    next_index: int = 0
    key: list[str] = field(default_factory=list)
    key_line: int = 0
    in_value: bool = False


Token = tuple[str, str, int]
"""Kind, text and line."""


def toml_lines(text: str) -> TomlLines:
    """Find the line of every key and every array element of a TOML text.

    Parameters
    ----------
    text
        A document that `tomllib` reads; of any other the result is a best effort.

    Notes
    -----
    A row of ``wires = [ … ]`` stands where its brace opens, a row of ``[[wires]]`` at its header.
    """
    return _scan(text)[0]


class OpenBracket(NamedTuple):
    """A bracket that a text opens and does not close, or the table of its last header.

    Attributes
    ----------
    path
        What stands in it.
    line
        Where it opens; 0 for the table of the last header.
    key
        The key whose value is awaited in it at the end of the text; empty where none is.
    """

    path: TomlPath
    line: int
    key: str


def open_brackets(text: str) -> list[OpenBracket]:
    """List the brackets that are open at the end of a text, the outermost first, before them the last header.

    Of a text with more in it than any loom nothing but the top is given.
    """
    stack = _scan(text, _MOST_TOKENS)[1]
    return [OpenBracket(one.path, one.line, ".".join(one.key) if one.in_value else "") for one in stack]


def _scan(text: str, most: int | None = None) -> tuple[TomlLines, list[_Bracket]]:
    numbers: dict[TomlPath, int] = {}
    last_rows: dict[TomlPath, int] = {}
    stack = [_Bracket((), False)]
    tokens = _tokens(text)
    for token in islice(tokens, most):
        top = stack[-1]
        is_header = token[1] == "[" and len(stack) == 1 and not top.in_value and not top.key
        if is_header:
            stack = [_Bracket(_header(tokens, token[2], numbers, last_rows), False)]
            continue
        opened = _array_token(top, token, numbers) if top.is_array else _table_token(top, token, numbers)
        if opened:
            stack.append(opened)
        elif token[1] == ("]" if top.is_array else "}") and len(stack) > 1:
            stack.pop()
    if next(tokens, None) is not None:
        return TomlLines(numbers), [_Bracket((), False)]
    return TomlLines(numbers), stack


def _tokens(text: str) -> Iterator[Token]:
    """Give each token; space and comments are left out."""
    line = 1
    for found in TOKEN.finditer(text):
        kind = found.lastgroup or ""
        if kind == "space":
            continue
        word = found.group()
        yield kind, word, line
        if kind in ("line", "text"):
            line += word.count("\n")


def _array_token(top: _Bracket, token: Token, numbers: dict[TomlPath, int]) -> _Bracket | None:
    kind, word, line = token
    if kind == "line" or word == "]":
        return None
    if word == ",":
        top.next_index += 1
        return None
    path = _recorded(numbers, top.path, top.next_index, line)
    return _Bracket(path, word == "[", line) if word in ("[", "{") else None


def _table_token(top: _Bracket, token: Token, numbers: dict[TomlPath, int]) -> _Bracket | None:
    kind, word, line = token
    if kind == "line" or word == ",":
        top.key.clear()
        top.in_value = False
    elif top.in_value:
        return _Bracket((*top.path, *top.key)[:_LONGEST_PATH], word == "[", line) if word in ("[", "{") else None
    elif kind in ("bare", "text"):
        top.key_line = top.key_line if top.key else line
        around = (*top.path, *top.key[:_LONGEST_PATH])
        top.key.append(plain_key(word))
        _recorded(numbers, around, top.key[-1], top.key_line)
    elif word == "=":
        top.in_value = True
    return None


def _recorded(numbers: dict[TomlPath, int], around: TomlPath, step: str | int, line: int) -> TomlPath:
    """Note the line of what lies one step deeper, and give its path; too deep it has that of what it lies in."""
    if len(around) >= _LONGEST_PATH:
        return around
    path = (*around, step)
    numbers.setdefault(path, line)
    return path


def _header(
    tokens: Iterator[Token], line: int, numbers: dict[TomlPath, int], last_rows: dict[TomlPath, int]
) -> TomlPath:
    """Read a header up to its closing bracket and give the path of the table that it opens."""
    names: list[str] = []
    is_row = False
    for kind, word, _ in tokens:
        if word == "[":
            is_row = True
        elif kind in ("bare", "text"):
            names.append(plain_key(word))
        elif kind == "line" or word == "]":
            break
    path: TomlPath = ()
    for depth, name in enumerate(names, 1):
        path = (*path, name)
        numbers.setdefault(path, line)
        if is_row and depth == len(names):
            last_rows[path] = last_rows.get(path, -1) + 1
        if path in last_rows:
            path = (*path, last_rows[path])
            numbers.setdefault(path, line)
    return path


def plain_key(word: str) -> str:
    """Give a key, or a part of one, without its quotes."""
    if word[0] not in "\"'":
        return word
    if "\\" not in word:
        return word[1:-1]
    try:
        return str(tomllib.loads(f"key = {word}")["key"])
    except tomllib.TOMLDecodeError:
        return word
