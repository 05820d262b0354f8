"""What is wrong with a text that is no TOML, in the words of the person who typed it."""

from __future__ import annotations

import re

from model.errors import Breach
from model.harness.toml_bounds import endless_number
from model.harness.toml_lines import OpenBracket, open_brackets
from model.words import clean

_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_ID = re.compile(r"""\bid\s*=\s*["']([^"'\n]*)["']""")
_FIRST_WORD = re.compile(r"[A-Za-z_]+")
_HEADER = re.compile(r"[ \t]*\[\[?\s*[A-Za-z_][\w.]*\s*\]")
_NEW_TABLE = re.compile(r"[a-z_]+\s*+=\s*+(?:\[\s*+)?(\n|\{|\[|$)")
_SHOWN_CHARACTERS = 60
_COLUMNS_LEAST = 3
"""A line of so many columns and without an = is one of a list."""
_DECIMAL = "a decimal point, not a comma, stands in a number: 0.5"


def syntax_breach(text: str, error: ValueError) -> Breach:
    """Say where a text stops being TOML and what was probably meant.

    Parameters
    ----------
    text
        The whole document.
    error
        What `tomllib` said.
    """
    text = text.replace("\r\n", "\n")
    start = _where(text, error)
    lines = text.split("\n")
    line = text.count("\n", 0, start) + 1
    column = start - text.rfind("\n", 0, start)
    brackets = open_brackets(text[:start])
    table, row_line = _row(brackets, lines, line)
    if not table and _repeated(str(error)):
        table = "".join(_FIRST_WORD.findall(lines[line - 1])[:1])
    ids = _ID.findall("\n".join(lines[(row_line or line) - 1 : line])) if table else []
    return Breach(
        line,
        clean(table, 30),
        clean(ids[-1], _SHOWN_CHARACTERS) if ids else "",
        clean(brackets[-1].key, 30) if brackets[-1].path else "",
        _cut(lines[line - 1], column) or "the end of the file",
        _hint(lines[line - 1][: column - 1], lines[line - 1][column - 1 :], str(error), brackets),
    )


def _where(text: str, error: ValueError) -> int:
    """Give the place in a text where its reader stopped."""
    place = _PLACE.search(str(error))
    if place:
        start = 0
        for _ in range(int(place[1]) - 1):
            start = text.find("\n", start) + 1
        return start + int(place[2]) - 1
    endless = endless_number(text)
    return len(text.rstrip()) if endless is None else endless


def _cut(typed: str, column: int) -> str:
    """Show the part of a line in which a column lies."""
    first = max(0, column - _SHOWN_CHARACTERS)
    piece = typed[first : first + _SHOWN_CHARACTERS + 20]
    shown = clean(piece).strip()
    return f"{'...' if first else ''}{shown}{'...' if first + len(piece) < len(typed.rstrip()) else ''}"


def _row(brackets: list[OpenBracket], lines: list[str], line: int) -> tuple[str, int]:
    """Give the table that a place lies in, and the line on which its row begins, 0 where it is in none."""
    path = brackets[-1].path
    if not path:
        return "", 0
    row_lines = [bracket.line for bracket in brackets if bracket.line and len(bracket.path) >= 2]
    if row_lines:
        return str(path[0]), row_lines[0]
    headers = [number for number in range(line, 0, -1) if lines[number - 1].lstrip().startswith("[")]
    return str(path[0]), headers[0] if headers and len(brackets) == 1 else 0


def _hint(before: str, after: str, message: str, brackets: list[OpenBracket]) -> str:
    """Say what would be right, by what stands on the line before and after the place where the reader stopped."""
    return (
        _repeated(message)
        or _text_hint(before, after, message)
        or _row_hint(before, after, brackets)
        or _value_hint(before, after)
        or _statement_hint(before, after)
    )


def _repeated(message: str) -> str:
    if "Duplicate inline table key" in message:
        return "a key stands once in a row"
    if "immutable namespace" in message or "Cannot mutate" in message:
        return "a table uses one spelling: rows in [ ... ], or [[headers]], not both"
    if "twice" in message or "Cannot overwrite" in message:
        return "a table or key stands once: put both together, or begin each row of a list with its [[header]]"
    return ""


def _text_hint(before: str, after: str, message: str) -> str:
    """Say what is wrong within quotes."""
    if "Illegal character" in message and (r"'\n'" in message or not after):
        return "a text ends on the line on which it begins: close its quotes"
    if "Illegal character" in message:
        return "a control character has no place in a harness file"
    if "Unescaped" in message or "escape" in message:
        return "a backslash in double quotes is written twice, or the text stands in single quotes"
    if (before + after).count('"') % 2 and '"' not in after[:1]:
        return "a text has quotes at both ends: one is missing on this line"
    return ""


def _row_hint(before: str, after: str, brackets: list[OpenBracket]) -> str:
    """Say what is wrong between the rows of a list, or at the end of one."""
    is_header = bool(_HEADER.match(before + after)) and len(brackets) > 1
    path, opened_on, _ = brackets[1] if is_header else brackets[-1]
    if not opened_on:
        return ""
    is_list = len(path) == 1
    if after.startswith("}") and before.rstrip().endswith(","):
        return "no comma stands before the closing } of a row"
    if not is_list and not after.strip():
        return "a row { ... } stands on one line: join it with the next"
    if is_list and _is_left_open(before, after):
        name = clean(str(path[0]), 30)
        return f"the list {name}, opened on line {opened_on}, is not closed: put a ] after its last row"
    if is_list and after.lstrip().startswith("{"):
        return "a comma is missing after the row before this one"
    return ""


def _is_left_open(before: str, after: str) -> bool:
    """Tell whether the reader met the end of the file, a header or a new table where a row of a list may stand."""
    line = before + after
    ended = not after.strip() and before.rstrip()[-1:] in ("", ",", "}", "[")
    return ended or bool(_HEADER.match(line) or _NEW_TABLE.match(line))


def _value_hint(before: str, after: str) -> str:
    """Say what is wrong with a number, or with a text without quotes."""
    if endless_number(after) is not None:
        return "a number has at most twenty digits"
    word = re.match(r"[^\s,\]}=#]*", after)
    rest = word[0] if word else ""
    number = re.search(r"(?<![\w.+-])[0-9.]+$", before)
    if number and re.match(r",[0-9]", after):
        return _DECIMAL
    if number and rest and number[0].isdigit() and rest.isalnum():
        return (
            f'what is no bare number is a name and wants quotes: "{clean(number[0] + rest, 20)}"; a figure has no unit'
        )
    if number and rest:
        return f'a text wants quotes: "{clean(number[0] + rest, 20)}"; a figure has no unit'
    if re.search(r"=\s*[0-9]+,\s*[0-9]+\s*$", before):
        return _DECIMAL
    ends_row_part = before.rstrip().endswith(",") and before.rfind("{") > before.rfind("}")
    if before.rstrip().endswith(("=", ",", "[")) and not ends_row_part:
        return _missing_value(rest)
    return ""


def _missing_value(rest: str) -> str:
    match rest[:1]:
        case "":
            return "a value is missing"
        case "." | ",":
            return "a number has a digit before its point: 0.5"
        case "“" | "”" | "‘" | "’" | "„":
            return 'straight quotes stand round a text: "F1.out"'
    if rest.lower() in ("true", "false", "yes", "no"):
        return "yes and no are written true and false, in small letters and without quotes"
    return f'a text wants quotes: "{clean(rest, 20)}"'


def _statement_hint(before: str, after: str) -> str:
    """Say what is wrong with a key, a header or a whole line."""
    if before.lstrip().startswith("["):
        return "a header is a table's name in brackets, [build] or [[wires]], alone on its line"
    if before.count("{") > before.count("}"):
        return 'a row is keys with values, with a comma between: { id = "W1", size = 1.5 }; other keys want quotes'
    if after.startswith(":"):
        return "an = stands between a key and its value"
    if after.startswith(("//", ";", "--", "'", "/*")):
        return "a remark begins with #"
    line = before + after
    if "=" not in line and max(map(line.count, (",", ";", "\t"))) >= _COLUMNS_LEAST - 1:
        return "this is a wire list: fusewalk from-list LIST.csv -o LOOM.toml makes a harness file of it"
    return 'a line is a key with its value: name = "...", size = 1.5; or a header: [build], [[wires]]'
