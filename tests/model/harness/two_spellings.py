"""A document written in either spelling of the harness format, with the line on which each thing was put."""

import re
from collections.abc import Callable, Iterator
from enum import StrEnum
from itertools import chain
from typing import Any

TomlPath = tuple[str | int, ...]
Document = dict[str, Any]


class Spelling(StrEnum):
    """How rows are typed: one a line in an array, or as tables with headers."""

    ROWS = "one a line"
    HEADERS = "headers"


def no_noise() -> str:
    """Put nothing between the lines."""
    return ""


class Writer:
    """Lines put down one after another, and where each path of the document went."""

    def __init__(self, noise: Callable[[], str] = no_noise) -> None:
        self.lines: list[str] = []
        self.places: dict[TomlPath, int] = {}
        self.noise = noise

    def put(self, line: str, *paths: TomlPath) -> None:
        """Write a line, with noise before it, and note what stands on it."""
        self.lines += self.noise().splitlines()
        self.lines.append(line)
        for path in paths:
            self.places.setdefault(path, len(self.lines))

    def text(self) -> str:
        """Give the whole document."""
        return "\n".join([*self.lines, ""])


def write(
    document: Document, spelling: Spelling, noise: Callable[[], str] = no_noise
) -> tuple[str, dict[TomlPath, int]]:
    """Write a document and give its text and the line of each path."""
    writer = Writer(noise)
    if spelling is Spelling.ROWS:
        _write_rows(writer, document)
    else:
        _write_headers(writer, document)
    return writer.text(), writer.places


def _write_rows(writer: Writer, document: Document) -> None:
    for table, value in document.items():
        if not is_list_of_tables(value):
            writer.put(f"{key_text(table)} = {value_text(value)}", (table,), *paths_within((table,), value))
            continue
        writer.put(f"{key_text(table)} = [", (table,))
        for number, row in enumerate(value):
            path = (table, number)
            writer.put(f"  {value_text(row)},", path, *paths_within(path, row))
        writer.put("]")


def _write_headers(writer: Writer, document: Document) -> None:
    flat = {
        table: value for table, value in document.items() if not (isinstance(value, dict) or is_list_of_tables(value))
    }
    for table, value in flat.items():
        writer.put(f"{key_text(table)} = {value_text(value)}", (table,), *paths_within((table,), value))
    for table, value in document.items():
        if isinstance(value, dict):
            writer.put(f"[{key_text(table)}]", (table,))
            _write_body(writer, (table,), key_text(table), value)
        elif table not in flat:
            for number, row in enumerate(value):
                writer.put(f"[[{key_text(table)}]]", (table,), (table, number))
                _write_body(writer, (table, number), key_text(table), row)


def _write_body(writer: Writer, path: TomlPath, header: str, row: Document) -> None:
    later: list[tuple[str, Any]] = []
    for key, value in row.items():
        if value and (isinstance(value, dict) or is_list_of_tables(value)):
            later.append((key, value))
            continue
        writer.put(f"{key_text(key)} = {value_text(value)}", (*path, key), *paths_within((*path, key), value))
    for key, value in later:
        inner = f"{header}.{key_text(key)}"
        if isinstance(value, dict):
            writer.put(f"[{inner}]", (*path, key))
            _write_body(writer, (*path, key), inner, value)
            continue
        for number, inner_row in enumerate(value):
            writer.put(f"[[{inner}]]", (*path, key), (*path, key, number))
            _write_body(writer, (*path, key, number), inner, inner_row)


def is_list_of_tables(value: object) -> bool:
    """Tell whether a value may be written as rows."""
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


def paths_within(path: TomlPath, value: object) -> Iterator[TomlPath]:
    """Give the path of everything inside a value that is written on one line."""
    inner: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    for key, one in inner:
        yield from chain([(*path, key)], paths_within((*path, key), one))


def key_text(key: str) -> str:
    """Write a key, in quotes where it needs them."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else text_in_quotes(key)


def text_in_quotes(text: str) -> str:
    """Write a text in double quotes, what is not printed by its number."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(one if one.isprintable() else f"\\U{ord(one):08x}" for one in escaped) + '"'


def value_text(value: object) -> str:
    """Write a value on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return text_in_quotes(value)
    if isinstance(value, list):
        return "[" + ", ".join(map(value_text, value)) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key_text(key)} = {value_text(one)}" for key, one in value.items()) + " }"
    return str(value)
