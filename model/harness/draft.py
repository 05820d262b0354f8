"""A harness file on its way in: rows that may still be wrong, and what is to be said about them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Generic, TypeVar, cast

from model.errors import Breach
from model.harness.fields import Part, Record
from model.harness.harness import ROW_TYPES
from model.harness.points import terminals_of
from model.harness.records import Build, Defaults, Joint, Wire
from model.harness.toml_lines import TomlLines, TomlPath
from model.words import clean

R = TypeVar("R", bound=Record)
R_co = TypeVar("R_co", bound=Record, covariant=True)

_SHOWN_CHARACTERS = 60
_SAID_CHARACTERS = 1000


@dataclass(frozen=True, slots=True)
class Complaint:
    """A breach that has a path in the document, but no line yet; `other` is a further place that it is about."""

    path: TomlPath
    table: str
    id: str
    key: str
    found: str
    right: str
    other: TomlPath = ()

    def on_line(self, lines: TomlLines) -> Breach:
        """Give the breach with the line that its path stands on, and that of the other place that it names."""
        right = f"{self.right} (see line {lines.of(self.other)})" if self.other else self.right
        found, right = clean(self.found, _SAID_CHARACTERS), clean(right, _SAID_CHARACTERS)
        return Breach(lines.of(self.path), self.table, self.id, self.key, found, right)


@dataclass(frozen=True, slots=True)
class Row(Generic[R_co]):
    """One row of a table.

    Attributes
    ----------
    path
        Where it stands in the document.
    id
        Its id or name as typed; empty where it has none that can be read.
    record
        The row as a record; where the row is wrong, without what is wrong in it.
    typed
        The row as it stands in the file.
    dropped
        Paths within the row that were left out of the record, or filled in, because they are wrong or missing.
    """

    table: str
    path: TomlPath
    id: str
    record: R_co
    typed: dict[str, object]
    dropped: tuple[TomlPath, ...] = ()

    def sound(self, *sub: str | int) -> bool:
        """Tell whether what stands at a path of this row is as typed: nothing on, above or under it was dropped."""
        if not self.dropped:
            return True
        return not any(path[: len(sub)] == sub[: len(path)] for path in self.dropped)

    def value(self, path: TomlPath) -> object:
        """Give what stands at a path of this row, None where there is nothing."""
        return value_at(self.typed, path)

    def complain(self, sub: TomlPath, right: str, found: str = "", other: TomlPath = ()) -> Complaint:
        """Say what would be right at a path of this row, and what stands there unless that is given."""
        name = self.id or (f"row {self.path[-1] + 1}" if self.path and isinstance(self.path[-1], int) else "")
        name = clean(name, _SHOWN_CHARACTERS)
        found = found or found_at(self.typed, sub)
        return Complaint((*self.path, *sub), self.table, name, _spelled(self.typed, sub), found, right, other)


@dataclass
class Draft:
    """All rows of a harness file, as far as they can be read.

    Attributes
    ----------
    rows
        Rows by table, in the order of the file.
    paths
        Where each table stands in the document.
    unread
        Tables of which rows are there but cannot be read: what is named may stand in one of them.
    """

    build: Row[Build]
    defaults: Row[Defaults]
    rows: dict[str, list[Row[Record]]]
    paths: dict[str, TomlPath]
    unread: set[str] = field(default_factory=set)
    _names: dict[type[Record], dict[str, None]] = field(default_factory=dict)
    _terminals: dict[str, frozenset[str]] = field(default_factory=dict)

    def of(self, kind: type[R]) -> list[Row[R]]:
        """Give the rows of the table that holds records of this kind."""
        return cast("list[Row[R]]", self.rows.get(_TABLES[kind], []))

    @cached_property
    def part_rows(self) -> list[Row[Part]]:
        """Every row that has an id, table by table in the order of the format."""
        tables = (table for table, kind in ROW_TYPES.items() if issubclass(kind, Part))
        return [cast("Row[Part]", row) for table in tables for row in self.rows.get(table, ())]

    @cached_property
    def parts(self) -> dict[str, Row[Part]]:
        """The first row with each id."""
        found: dict[str, Row[Part]] = {}
        for row in self.part_rows:
            if row.id:
                found.setdefault(row.id, row)
        return found

    def has_terminal(self, part_id: str, terminal: str) -> bool:
        """Tell whether a part that is there has a terminal of this name."""
        found = self._terminals.get(part_id)
        if found is None:
            found = self._terminals[part_id] = frozenset(terminals_of(self.parts[part_id].record))
        return terminal in found

    @cached_property
    def probed(self) -> dict[str, None]:
        """Ids of the parts that have points, in their order."""
        without = (_TABLES[Joint], _TABLES[Wire])
        return dict.fromkeys(row.id for row in self.part_rows if row.id and row.table not in without)

    def names(self, kind: type[Record]) -> dict[str, None]:
        """Give the ids or names of a table in their order."""
        if kind not in self._names:
            self._names[kind] = dict.fromkeys(row.id for row in self.of(kind) if row.id)
        return self._names[kind]

    def is_unread(self, kind: type[Record]) -> bool:
        """Tell whether some row of a table cannot be read at all."""
        return _TABLES[kind] in self.unread


_TABLES: dict[type, str] = {kind: table for table, kind in ROW_TYPES.items()}


def value_at(typed: object, path: Iterable[str | int]) -> object:
    """Give what stands at a path, None where there is nothing."""
    for part in path:
        if isinstance(typed, dict) and isinstance(part, str):
            typed = typed.get(part)
        elif isinstance(typed, list) and isinstance(part, int) and part < len(typed):
            typed = typed[part]
        else:
            return None
    return typed


def found_at(typed: object, path: TomlPath) -> str:
    """Write a key with its value as both stand in the file."""
    last = next((part for part in reversed(path) if isinstance(part, str)), "")
    return f"{clean(last, 30)} = {shown(value_at(typed, path))}"


def shown(value: object) -> str:
    """Write a value as it stands in the file, cut short where it is long."""
    match value:
        case None:
            text = "nothing"
        case bool():
            text = "true" if value else "false"
        case str():
            text = f'"{clean(_visible(value), _SHOWN_CHARACTERS)}"'
        case list():
            text = "[" + ", ".join(shown(one) for one in value[:6]) + (", ...]" if len(value) > 6 else "]")
        case dict():
            text = (
                "{ " + ", ".join(f"{clean(str(key), 20)} = {shown(one)}" for key, one in list(value.items())[:6]) + " }"
            )
        case int() if abs(value) >= 10**20:
            text = "a number of over twenty digits"
        case _:
            text = str(value)
    return clean(text, _SHOWN_CHARACTERS)


def _visible(text: str) -> str:
    """Write characters that show nothing as TOML writes them."""
    if text.isprintable():
        return text
    return "".join(one if one.isprintable() else f"\\u{ord(one):04x}" for one in text)


def _spelled(typed: dict[str, object], sub: TomlPath) -> str:
    """Spell a path within a row for people: rows of its own by their name, list elements left out."""
    words: list[str] = []
    for depth, part in enumerate(sub):
        if isinstance(part, str):
            words.append(clean(part, 30))
            continue
        inner = value_at(typed, sub[: depth + 1])
        if isinstance(inner, dict):
            name = inner.get("name", inner.get("terminal", part + 1))
            words.append(clean(str(name), 30))
    return ".".join(words)
