"""Lists taken in: a new harness file beside them, or a merge into the one that is there."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from model.harness.file_read import read_file
from model.harness.harness import ROW_TYPES, Harness
from model.harness.parts_list_read import ListedPart, PartsList
from model.harness.wire_list_book import Row
from model.harness.wire_list_earlier import (
    EarlierList,
    earlier_path,
    earlier_text,
    keep_earlier,
    read_earlier,
    write_whole,
)
from model.harness.wire_list_kinds import KEY_STATE_ROWS, Kind
from model.harness.wire_list_loom import Loom, make_loom
from model.harness.wire_list_marks import marks_of
from model.harness.wire_list_merge import Fitted, merge
from model.harness.wire_list_names import before_of
from model.harness.wire_list_questions import Question, questions
from model.harness.wire_list_remark import Remark
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import WireList


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of lists that were taken in.

    Attributes
    ----------
    remarks
        What is to be said about the lists, line by line.
    questions
        What the harness still needs.
    was_there
        Whether the file was there before: then it was merged.
    is_changed
        Whether the file was written.
    added
        Ids of parts and wires that a merge put in.
    """

    harness: Harness
    remarks: tuple[Remark, ...]
    questions: tuple[Question, ...]
    was_there: bool
    is_changed: bool
    added: tuple[str, ...] = ()


def take_in(
    wires: WireList, parts: PartsList, path: Path, nominal_volts: float | None = None, drop_missing: bool = False
) -> Taken:
    """Write the harness file of lists, or merge them into it.

    Parameters
    ----------
    path
        The harness file. Where it is there already the one before is kept beside it under its revision.
    nominal_volts
        Of the vehicle, where it is known.
    drop_missing
        Whether a merge takes out wires that the list no longer has.

    Raises
    ------
    FusewalkError
        Where nothing can be made of the lists, the file cannot be read as it stands, or not be written.
    """
    if path.exists():
        return _merged(wires, parts, path, nominal_volts, drop_missing)
    loom = make_loom(wires, parts, path.stem, None, nominal_volts)
    text, harness = readable(loom, path.name)
    write_whole(path, text, is_new=True)
    write_whole(earlier_path(path), earlier_text(loom, loom.rows))
    return Taken(harness, _ordered(loom.remarks), questions(harness, loom.lines), False, True)


def _merged(wires: WireList, parts: PartsList, path: Path, nominal_volts: float | None, drop_missing: bool) -> Taken:
    from model.harness.kept_file import kept_path, replace_keeping

    read = read_file(path)
    standing = read.harness
    earlier = read_earlier(path)
    nominal_volts = nominal_volts or _given_volts(standing)
    loom, fitted = _two_looms(wires, parts, path.stem, standing, earlier, nominal_volts)
    readable(loom, path.name)
    merged = merge(read.text, path.name, loom, fitted, earlier, drop_missing)
    if merged.is_changed:
        kept = kept_path(path, standing.build.revision)
        replace_keeping(read, read.with_text(merged.text), kept)
        keep_earlier(path, path.with_name(kept.name))
    write_whole(earlier_path(path), earlier_text(loom, merged.kept_from(loom, earlier)))
    remarks = _ordered([*loom.remarks, *merged.remarks])
    asked = questions(merged.harness, loom.lines)
    return Taken(merged.harness, remarks, asked, True, merged.is_changed, _added(standing, merged.harness))


def _added(before: Harness, after: Harness) -> tuple[str, ...]:
    old, new = _tables_of(before), _tables_of(after)
    known = {row.get("id") for rows in old.values() for row in rows}
    return tuple(str(row["id"]) for rows in new.values() for row in rows if "id" in row and row["id"] not in known)


def _two_looms(
    wires: WireList, parts: PartsList, name: str, standing: Harness, earlier: EarlierList, nominal_volts: float | None
) -> tuple[Loom, Fitted]:
    """Make the loom as the lists alone have it, and the ends of its wires as they fit the parts of the file."""
    from copy import deepcopy

    tables = _tables_of(standing)
    before = before_of(earlier.tables if earlier.is_known else tables, tables)
    fitted_parts = _with_those_of(standing, deepcopy(parts))
    loom = make_loom(deepcopy(wires), parts, name, before, nominal_volts)
    fitted = make_loom(wires, fitted_parts, name, before, nominal_volts)
    pairs = zip(loom.rows["wires"], fitted.rows["wires"], strict=True)
    ends = {str(row["id"]): fit | {"id": row["id"]} for row, fit in pairs}
    return loom, Fitted(ends, tuple(fitted.rows["splices"]))


def _given_volts(standing: Harness) -> float | None:
    """Give the nominal volts that the file has, unless they are assumed."""
    build = standing.build
    return None if "nominal_volts" in marks_of(build.note) else float(build.nominal_volts)


def _tables_of(harness: Harness) -> dict[str, list[Row]]:
    return {
        table: [record.model_dump(by_alias=True, exclude_unset=True, mode="json") for record in getattr(harness, table)]
        for table in ROW_TYPES
    }


def _with_those_of(harness: Harness, parts: PartsList) -> PartsList:
    """Give a parts list in which the parts of a file stand as they are, before those that only the list has."""
    found = PartsList([ListedPart(0, harness.build.name, Kind("build"), _tables_of_build(harness))])
    known: set[str] = set()
    for table, rows in _tables_of(harness).items():
        for row in rows if table != "wires" else ():
            name = str(row.get("name") if table in KEY_STATE_ROWS else row.get("id"))
            known.add(name.casefold())
            values = {key: value for key, value in row.items() if key not in ("id", "name")}
            found.parts.append(ListedPart(0, name, Kind(table, str(row.get("kind", ""))), values))
    found.parts += [
        part for part in parts.parts if part.id.casefold() not in known and part.kind.table not in ("build", "defaults")
    ]
    return found


def _tables_of_build(harness: Harness) -> Row:
    row = harness.build.model_dump(by_alias=True, exclude_unset=True, mode="json")
    return {key: value for key, value in row.items() if key != "name"}


def _ordered(remarks: list[Remark]) -> tuple[Remark, ...]:
    """Order remarks by list and line, each once."""
    return tuple(sorted(dict.fromkeys(remarks), key=lambda one: (one.in_parts, one.line)))
