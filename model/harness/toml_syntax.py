"""What is wrong with a text that is no TOML, in the words of the person who typed it."""

from __future__ import annotations

import re

from model.errors import Breach
from model.harness.toml_lines import TomlPath, open_brackets
from model.words import clean

_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_ID = re.compile(r"""\bid\s*=\s*["']([^"'\n]*)["']""")
_FIRST_WORD = re.compile(r"[A-Za-z_]+")
_HEADER = re.compile(r"[ \t]*\[\[?\s*[A-Za-z_][\w.]*\s*\]")
_NEW_TABLE = re.compile(r"[a-z_]+\s*=\s*\[?\s*(\n|\{|\[|$)")
_SHOWN_CHARACTERS = 60
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
    place = _PLACE.search(str(error))
    if place:
        line, column = int(place[1]), int(place[2])
        start = _start_of_line(text, line) + column - 1
    elif huge := re.search(r"\d{4300,}", text):
        start, line = huge.start(), text.count("\n", 0, huge.start()) + 1
    else:
        start, line = len(text), text.count("\n", 0, len(text.rstrip())) + 1
    brackets = open_brackets(text[:start])
    typed = _line_text(text, line)
    found = _cut(typed, column if place else 1)
    table, row_line = _row(brackets[-1][0] if brackets else (), text, start)
    if not table and _repeated(str(error)):
        table = "".join(_FIRST_WORD.findall(typed)[:1])
    ids = _ID.findall("\n".join(_line_text(text, number) for number in range(row_line or line, line + 1)))
    row_id = clean(ids[-1], _SHOWN_CHARACTERS) if ids and table else ""
    return Breach(
        line, clean(table, 30), row_id, "", found or "the end of the file", _hint(text, start, str(error), brackets)
    )


def _start_of_line(text: str, line: int) -> int:
    start = 0
    for _ in range(line - 1):
        start = text.find("\n", start) + 1
    return start


def _line_text(text: str, line: int) -> str:
    start = _start_of_line(text, line)
    end = text.find("\n", start)
    return text[start : end if end >= 0 else len(text)]


def _cut(typed: str, column: int) -> str:
    """Show the part of a line in which a column lies."""
    first = max(0, column - _SHOWN_CHARACTERS)
    piece = typed[first : first + _SHOWN_CHARACTERS + 20]
    shown = clean(piece).strip()
    return f"{'...' if first else ''}{shown}{'...' if first + len(piece) < len(typed.rstrip()) else ''}"


def _row(path: TomlPath, text: str, start: int) -> tuple[str, int]:
    """Give the table that a place lies in, and the line on which its row begins, 0 where it is in none."""
    if not path:
        return "", 0
    row_lines = [line for inner, line in open_brackets(text[:start]) if line and len(inner) >= 2]
    if row_lines:
        return str(path[0]), row_lines[0]
    header = text.rfind("\n[", 0, start)
    return str(path[0]), text.count("\n", 0, header + 1) + 1 if header >= 0 else 0


def _hint(text: str, start: int, message: str, brackets: list[tuple[TomlPath, int]]) -> str:
    """Say what would be right, by what stands around the place where the reader stopped."""
    before = text[text.rfind("\n", 0, start) + 1 : start]
    end = text.find("\n", start)
    after = text[start : end if end >= 0 else len(text)]
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


def _row_hint(before: str, after: str, brackets: list[tuple[TomlPath, int]]) -> str:
    """Say what is wrong between the rows of a list, or at the end of one."""
    path, opened_on = brackets[-1] if brackets else ((), 0)
    if not opened_on:
        return ""
    if _HEADER.match(before + after) and len(brackets) > 1:
        path, opened_on = brackets[1]
    is_list = len(path) == 1
    if after.startswith("}") and before.rstrip().endswith(","):
        return "no comma stands before the closing } of a row"
    if not is_list and not after.strip():
        return "a row { ... } stands on one line: join it with the next"
    if is_list and (not (before + after).strip() or _HEADER.match(before + after) or _NEW_TABLE.match(before + after)):
        return (
            f"the list {clean(str(path[0]), 30)}, opened on line {opened_on}, is not closed: put a ] after its last row"
        )
    if is_list and after.lstrip().startswith("{"):
        return "a comma is missing after the row before this one"
    return ""


def _value_hint(before: str, after: str) -> str:
    """Say what is wrong with a number, or with a text without quotes."""
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
    if re.search(r"\d{4300,}", after):
        return "a number has at most twenty digits"
    if re.search(r"[=,\[]\s*$", before) and not re.search(r"\{[^}]*,\s*$", before):
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
    return 'a line is a key with its value: name = "...", size = 1.5; or a header: [build], [[wires]]'
