"""What a list said when it was taken in last, kept beside the harness file, so that a change of the list is known."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from model.errors import FusewalkError
from model.harness.file_bytes import file_bytes
from model.harness.wire_list_book import Row
from model.harness.wire_list_loom import Loom
from model.words import clean

_FORMAT = "fusewalk list 1"
_LARGEST_BYTES = 30_000_000
"""What a list of the most rows is kept in is smaller; of a larger file the end is cut off, so that it is none."""


@dataclass(frozen=True, slots=True)
class EarlierList:
    """Tables made from the lists before, without anything that was changed by hand since.

    Attributes
    ----------
    lines
        Line of the wire list by the id of a part or wire.
    is_known
        Whether there was any.
    """

    tables: dict[str, list[Row]] = field(default_factory=dict)
    build: Row = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    is_known: bool = False


def earlier_path(harness_path: Path) -> Path:
    """Give where the list of a harness file is kept: ``buggy.toml`` has ``buggy.list.json``."""
    return harness_path.with_name(f"{harness_path.stem}.list.json")


def read_earlier(harness_path: Path) -> EarlierList:
    """Read what the list of a harness file said before; nothing is known where there is none that can be read."""
    try:
        content = file_bytes(earlier_path(harness_path), _LARGEST_BYTES, in_it="", check="")
        found = json.loads(content.decode("utf-8"))
    except (FusewalkError, ValueError, RecursionError):
        return EarlierList()
    if not isinstance(found, dict) or found.get("format") != _FORMAT:
        return EarlierList()
    tables, build, lines = found.get("tables"), found.get("build"), found.get("lines")
    if not (isinstance(tables, dict) and isinstance(build, dict) and isinstance(lines, dict)):
        return EarlierList()
    rows = {
        str(table): [row for row in listed if isinstance(row, dict)]
        for table, listed in tables.items()
        if isinstance(listed, list)
    }
    return EarlierList(rows, build, {str(key): one for key, one in lines.items() if isinstance(one, int)}, True)


def earlier_text(loom: Loom, rows: Mapping[str, list[Row]]) -> str:
    """Spell what a list says now, with those of its rows that the file has or had."""
    head = _spelled({"format": _FORMAT, "build": loom.build}).removesuffix("\n}")
    tables = ",\n".join(f"  {_spelled(table)}: {_rows_text(listed)}" for table, listed in rows.items())
    lines = _spelled(loom.lines).replace("\n", "\n ")
    block = f"{{\n{tables}\n }}" if tables else "{}"
    return f'{head},\n "tables": {block},\n "lines": {lines}\n}}\n'


def _rows_text(rows: list[Row]) -> str:
    """Spell rows with each indented by one more, as `json.dumps` does, but quicker where no row holds another."""
    types = {type(value) for row in rows for value in row.values()}
    if not all(rows) or not rows or not types.isdisjoint((list, tuple, dict)):
        return _spelled(rows).replace("\n", "\n  ")
    joined = json.dumps(rows, ensure_ascii=False, separators=(",\n    ", ": "))
    parted = joined[2:-2].replace("},\n    {", "\n   },\n   {\n    ")
    return f"[\n   {{\n    {parted}\n   }}\n  ]"


def _spelled(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1)


def keep_earlier(harness_path: Path, kept: Path) -> None:
    """Keep what the list said before beside the revision of the file that it goes with.

    Raises
    ------
    FusewalkError
        Where it cannot be written.
    """
    _copy(earlier_path(harness_path), earlier_path(kept))


def put_back_earlier(harness_path: Path, kept: Path) -> None:
    """Take a list for what it said when a revision of the file was kept: for unknown where nothing was kept with it.

    Raises
    ------
    FusewalkError
        Where it cannot be written.
    """
    _copy(earlier_path(kept), earlier_path(harness_path))


def _copy(source: Path, target: Path) -> None:
    try:
        text = source.read_text(encoding="utf-8") if source.exists() else ""
        if not text:
            target.unlink(missing_ok=True)
    except (OSError, ValueError) as error:
        raise FusewalkError(
            f"{clean(str(source), 500)} cannot be read: {clean(str(error))}.",
            do="See that it is there and may be read; moved away, all rows of the list are taken as new.",
        ) from error
    if text:
        write_whole(target, text)


def write_whole(path: Path, text: str, is_new: bool = False) -> None:
    """Write a file whole or not at all: under a temporary name, synced, then renamed.

    Parameters
    ----------
    is_new
        Whether the file must not be there yet.

    Raises
    ------
    FusewalkError
        Where it cannot be written, or is there.
    """
    beside = path.with_name(f".{path.name[:200]}.{os.getpid()}.part")
    try:
        with beside.open("xb") as stream:
            stream.write(text.encode("utf-8", errors="replace"))
            stream.flush()
            os.fsync(stream.fileno())
        if is_new and path.exists():
            raise FusewalkError(f"{clean(str(path), 500)} is there already.", do="Run it again: it is then merged.")
        beside.replace(path)
    except OSError as error:
        reason = clean(error.strerror or str(error))
        raise FusewalkError(
            f"{clean(str(path), 500)} cannot be written: {reason}.",
            do="See that the disk has room and that its directory may be written, then try again.",
        ) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
