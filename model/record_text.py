"""The record as text: entries written as blocks of TOML, and read back each on its own.

A block is whole when it has its ``kind``, which is written last: a block that was cut off has none.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from itertools import chain, pairwise
from typing import Annotated

from pydantic import Field, TypeAdapter, ValidationError

from model.harness.toml_bounds import MOST_SIGNS, endless_number, has_endless_key
from model.record_entries import AnyEntry
from model.record_fields import OPEN, Entry
from model.words import clean

FORMAT = 1
HEAD = f"""\
# What was measured, found and mended on this loom. Entries are added at the end and never changed.
# An entry is whole when it has its kind; whatever cannot be read is told and passed over.
format = {FORMAT}

"""
HEADER = "[[entry]]"

_HEADER_LINE = re.compile(rb"[ \t]*\[\[[ \t]*entry[ \t]*\]\][ \t]*(#.*)?\r?")
_FORMAT_LINE = re.compile(rb"[ \t]*format[ \t]*=[ \t]*([0-9]{1,9})[ \t]*(#.*)?\r?")
_LAST_LINE = re.compile(rb"kind = |[ \t\r]*\Z")
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_LAST_KEYS = ("who", "meter", "ambient_celsius", "revision", "note", "kind")
_SHORT_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}
_CUT_OFF = "an entry was cut off or damaged; it is left out"


@dataclass(frozen=True, slots=True)
class Trouble:
    """A piece of a record that was passed over.

    Attributes
    ----------
    line, last_line
        Where it stands, counted from 1.
    what
        What is wrong with it.
    """

    line: int
    last_line: int
    what: str

    def __str__(self) -> str:
        lines = f"line {self.line}" if self.line == self.last_line else f"lines {self.line} to {self.last_line}"
        return f"{lines}: {self.what}"


@dataclass(frozen=True, slots=True)
class Contents:
    """What could be read of a record.

    Attributes
    ----------
    format
        As the file says; 1 where it says none.
    """

    format: int
    entries: tuple[AnyEntry, ...]
    trouble: tuple[Trouble, ...]


def block_text(entry: Entry) -> str:
    """Write one entry as a block of its own, an empty line after it.

    Characters that a terminal would obey stand escaped, so that the file can be shown as it is.
    """
    row = entry.model_dump(by_alias=True, exclude_defaults=True) | {"kind": entry.kind}
    keys = chain((key for key in row if key not in _LAST_KEYS), (key for key in _LAST_KEYS if key in row))
    lines = (f"{key} = {_value_text(row[key], key)}" for key in keys)
    return "\n".join((HEADER, *lines, "", ""))


def _value_text(value: object, key: str = "") -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case float() if key in ("ohms", "expect") and value == math.inf:
            return f'"{OPEN}"'
        case int() | float():
            return repr(value)
        case str():
            return _string_text(value)
        case datetime():
            return value.isoformat()
        case list() | tuple():
            return f"[{', '.join(_value_text(item, key) for item in value)}]"
        case dict():
            pairs = (f"{_key_text(name)} = {_value_text(item)}" for name, item in value.items())
            return f"{{ {', '.join(pairs)} }}"
    raise TypeError(f"a record holds no {type(value).__name__}")


def _key_text(key: str) -> str:
    return key if _BARE_KEY.fullmatch(key) else _string_text(key)


def _string_text(text: str) -> str:
    return '"' + "".join(map(_character_text, text)) + '"'


@cache
def _character_text(character: str) -> str:
    if character in _SHORT_ESCAPES:
        return _SHORT_ESCAPES[character]
    if character.isascii() and character.isprintable():
        return character
    if character.isprintable() and clean(character) == character:
        return character
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def lacks_head(start: bytes) -> bool:
    """Tell whether the start of a file has neither the line of the format nor an entry yet."""
    lines = start.removeprefix(_BYTE_ORDER_MARK).split(b"\n")
    return not any(_FORMAT_LINE.fullmatch(line) or _HEADER_LINE.fullmatch(line) for line in lines)


def read_contents(content: bytes) -> Contents:
    """Read every entry that can be read, whatever stands between.

    Nothing in a file makes this raise: what is damaged, cut off or unknown is told and passed over.
    """
    lines = content.removeprefix(_BYTE_ORDER_MARK).split(b"\n")
    starts = [index for index, line in enumerate(lines) if b"[[" in line and _HEADER_LINE.fullmatch(line)]
    head = lines[: starts[0]] if starts else lines
    found_format, trouble = _read_head(head, has_entries=bool(starts))
    entries: list[AnyEntry] = []
    for start, end in pairwise([*starts, len(lines)]):
        for item in _read_block(lines[start:end], start + 1):
            if isinstance(item, Trouble):
                trouble.append(item)
            else:
                entries.append(item)
    return Contents(found_format, tuple(entries), tuple(_joined(trouble)))


def _joined(trouble: Iterable[Trouble]) -> Iterator[Trouble]:
    """Tell of pieces that follow each other with the same thing wrong as of one."""
    last: Trouble | None = None
    for one in trouble:
        if last is not None and one.what == last.what and one.line <= last.last_line + 2:
            last = Trouble(last.line, max(last.last_line, one.last_line), last.what)
            continue
        if last is not None:
            yield last
        last = one
    if last is not None:
        yield last


def _read_head(lines: list[bytes], *, has_entries: bool) -> tuple[int, list[Trouble]]:
    """Give the format, and what is wrong with the lines before the first entry."""
    written = [match for line in lines if b"format" in line and (match := _FORMAT_LINE.fullmatch(line))]
    found = int(written[0][1]) if written else FORMAT
    strange = list(_joined(_strange_lines(lines)))
    if has_entries and not written:
        strange.append(Trouble(1, 1, f"the line “format = {FORMAT}” is missing; the record is read as that format"))
    return found, strange


def _strange_lines(lines: list[bytes]) -> Iterator[Trouble]:
    """Tell of each line before the first entry that is neither a remark nor the format, runs of them as one."""
    first = 0
    for number, line in enumerate([*lines, b""], 1):
        bare = line.strip()
        if bare and bare[:1] != b"#" and not (b"format" in bare and _FORMAT_LINE.fullmatch(line)):
            first = first or number
        elif first:
            yield Trouble(first, number - 1, "this is no part of a record; it is passed over")
            first = 0


def _read_block(lines: list[bytes], first: int) -> Iterator[AnyEntry | Trouble]:
    """Read one block; where it cannot be read whole, what stands before its kind or its first empty line ends."""
    if not any(b"=" in line for line in lines):
        yield Trouble(first, _last_line(lines, first), _CUT_OFF)
        return
    row = _parsed(lines)
    if row is not None:
        yield _entry(row, first, _last_line(lines, first))
        return
    ends = (index + bool(line.strip()) for index, line in enumerate(lines) if _LAST_LINE.match(line))
    cut = next(ends, len(lines))
    row = _parsed(lines[:cut])
    if row is None:
        yield Trouble(first, _last_line(lines, first), _CUT_OFF)
        return
    yield _entry(row, first, first + cut - 1)
    rest = first + next((index for index in range(cut, len(lines)) if lines[index].strip()), cut)
    yield Trouble(rest, max(rest, _last_line(lines, first)), "this is no part of an entry; it is passed over")


def _last_line(lines: list[bytes], first: int) -> int:
    """Give the number of the last line that is not empty."""
    return first + next((index for index in range(len(lines) - 1, -1, -1) if lines[index].strip()), 0)


def _parsed(lines: list[bytes]) -> Mapping[str, object] | None:
    """Read the keys of a block; None where it is not TOML, or more than one entry."""
    try:
        text = b"\n".join([*lines, b""]).decode()
        if _is_endless(text):
            return None
        document = tomllib.loads(text)
    except (ValueError, RecursionError):
        return None
    match document:
        case {"entry": [dict(row)], **others} if not others:
            return row
    return None


def _is_endless(text: str) -> bool:
    """Tell of a block over which `tomllib` would take minutes."""
    is_crowded = sum(map(text.count, ",=[{")) > MOST_SIGNS
    return is_crowded or has_endless_key(text) or endless_number(text) is not None


def _entry(row: Mapping[str, object], first: int, last: int) -> AnyEntry | Trouble:
    """Make an entry of its keys, or tell what is wrong with them."""
    kind = row.get("kind")
    if kind is None:
        return Trouble(first, last, f"{_CUT_OFF}: it has no kind")
    try:
        return _any_entry().validate_python(row)
    except ValidationError as error:
        faults = error.errors(include_url=False, include_context=False, include_input=False)
    if faults[0]["type"].startswith("union_tag"):
        return Trouble(first, last, f"an entry of a kind that is not known, {clean(str(kind), 40)}; it is left out")
    keys = [clean(str(place[1]), 40) for fault in faults if len(place := fault["loc"]) > 1]
    what = f"{keys[0]} is missing or does not fit" if keys else "it has no value, or more than one"
    return Trouble(first, last, f"{clean(str(kind), 40)}: {what}; the entry is left out")


@cache
def _any_entry() -> TypeAdapter[AnyEntry]:
    return TypeAdapter(Annotated[AnyEntry, Field(discriminator="kind")])
