"""A list that has changed is merged into the harness file made from it: what was changed by hand stays."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from model.errors import Breach, HarnessFileError
from model.harness.applied_changes import AddRow, Change, DropKey, DropRow, SetKey, applied_text
from model.harness.harness import ROW_TYPES, Harness
from model.harness.toml_file import read_harness_text
from model.harness.wire_list_book import Row
from model.harness.wire_list_earlier import EarlierList
from model.harness.wire_list_kinds import KEY_STATE_ROWS
from model.harness.wire_list_loom import Loom
from model.harness.wire_list_marks import marks_of
from model.harness.wire_list_remark import Remark
from model.words import clean

_NOT_ADDED = frozenset({"key_states"})


@dataclass(frozen=True, slots=True)
class Edit:
    """A change of the file, and what is said of it; nothing where `says` is empty."""

    change: Change
    says: str

    @property
    def id(self) -> str:
        """Give the row that it is of."""
        row = self.change.row
        return row if isinstance(row, str) else str(row.get("id", row.get("name")))


@dataclass(frozen=True, slots=True)
class Fitted:
    """Wires of a list as they fit the parts of a file, by id, and splices for points that these do not have."""

    wires: Mapping[str, Row]
    splices: tuple[Row, ...]


@dataclass(slots=True)
class Merged:
    """A merged file: its text, the harness read from it, and what is to be said.

    Attributes
    ----------
    refused
        Ids of rows of the list that were to be added or changed and could not.
    """

    text: str
    harness: Harness
    remarks: list[Remark] = field(default_factory=list)
    is_changed: bool = False
    refused: frozenset[str] = frozenset()

    def kept_from(self, loom: Loom, earlier: EarlierList) -> dict[str, list[Row]]:
        """Give the rows of a list to be known next time.

        A row that was refused is left out, or kept as it was known before, so that it is offered again.
        """
        stands = _tables(self.text)
        kept: dict[str, list[Row]] = {}
        for table, rows in loom.rows.items():
            before = _by_id(table, earlier.tables.get(table, []))
            kept[table] = []
            for row_id, row in _by_id(table, rows).items():
                is_taken = row_id not in self.refused and (row_id in stands[table] or row_id in before)
                known = row if is_taken else before.get(row_id)
                kept[table] += [known] if known is not None else []
        return kept


def merge(text: str, name: str, loom: Loom, fitted: Fitted, earlier: EarlierList, drop_missing: bool) -> Merged:
    """Merge a list into the text of a harness file.

    Parameters
    ----------
    name
        What the harness file is called.
    loom
        What the list says now.
    fitted
        Its wires as they fit the parts of the file.
    earlier
        What the list said before.
    drop_missing
        Whether wires that are no longer in the list are taken out.

    Raises
    ------
    HarnessFileError
        Where the file cannot be read as it stands.
    """
    harness = read_harness_text(text, name)
    tables = _tables(text)
    remarks: list[Remark] = []
    edits = list(_edits(tables, loom, fitted.wires, earlier, drop_missing, remarks))
    edits = [*_points_wanting(edits, fitted, tables), *edits]
    wanted = {edit.id for edit in edits}
    refused = set(_foreign(tables["wires"], loom, fitted.wires, earlier))
    remarks += [_says_foreign(wire_id, loom) for wire_id in sorted(refused)]
    while True:
        try:
            changed = _applied(text, edits, harness) if edits else text
            found = read_harness_text(changed, name)
        except HarnessFileError as error:
            edits = _without_what_breaks(edits, error.breaches, loom, remarks)
            continue
        said = [Remark(loom.lines.get(edit.id, 0), edit.says) for edit in edits if edit.says]
        refused |= wanted - {edit.id for edit in edits}
        return Merged(changed, found, remarks + said, bool(edits), frozenset(refused))


def _foreign(stands: Mapping[str, Row], loom: Loom, ends: Mapping[str, Row], earlier: EarlierList) -> Iterator[str]:
    """Give wires of the list whose id is in the file that of another wire, which no list made."""
    before = _by_id("wires", earlier.tables.get("wires", []))
    for row_id in _by_id("wires", loom.rows["wires"]):
        here, fitted = stands.get(row_id), ends.get(row_id, {})
        if here is not None and earlier.is_known and row_id not in before and not _is_same_wire(here, fitted):
            yield row_id


def _is_same_wire(one: Row, other: Row) -> bool:
    return {one.get("from"), one.get("to")} == {other.get("from"), other.get("to")}


def _says_foreign(wire_id: str, loom: Loom) -> Remark:
    return Remark(
        loom.lines.get(wire_id, 0),
        f"{wire_id} is another wire in the file, which no list made; this row is left out: give it an id that is free",
    )


def _points_wanting(edits: list[Edit], fitted: Fitted, tables: dict[str, dict[str, Row]]) -> Iterator[Edit]:
    """Give points of their own for ends that the parts of the file have no terminal for."""
    named = {point for edit in edits for point in _points_named(edit.change)}
    added = {edit.id for edit in edits if isinstance(edit.change, AddRow)}
    for row in fitted.splices:
        row_id = str(row["id"])
        if row_id in named and row_id not in added and not any(row_id in listed for listed in tables.values()):
            says = f"{row_id} stands for a point that its part does not have in the file"
            yield Edit(AddRow("splices", row), says)


def _points_named(change: Change) -> tuple[str, ...]:
    """Give the points at which a change has a wire or a joint end."""
    match change:
        case AddRow(_, row):
            return tuple(str(row[key]) for key in ("from", "to") if key in row)
        case SetKey(_, _, "from" | "to", value):
            return (str(value),)
    return ()


def _without_what_breaks(
    edits: list[Edit], breaches: tuple[Breach, ...], loom: Loom, remarks: list[Remark]
) -> list[Edit]:
    """Leave out the edits of rows that a breach is about, or names; where there are none those of a whole sort."""
    spots = {breach.id for breach in breaches}
    left = [edit for edit in edits if edit.id not in spots]
    if len(left) == len(edits):
        spots = {word for breach in breaches for word in re.findall(r"[A-Za-z][A-Za-z0-9_-]*", breach.found)}
        left = [edit for edit in edits if edit.id not in spots]
    for is_risky in (_takes_out, _changes_a_part, _anything):
        if len(left) == len(edits):
            left = [edit for edit in edits if not is_risky(edit)]
    for breach in breaches:
        line = loom.lines.get(breach.id, 0)
        remarks.append(Remark(line, f"{breach.id}: {breach.found}; {breach.right}; left as it is in the file"))
    return left


def _takes_out(edit: Edit) -> bool:
    return isinstance(edit.change, DropKey | DropRow)


def _changes_a_part(edit: Edit) -> bool:
    return isinstance(edit.change, SetKey | DropKey) and edit.change.table != "wires"


def _anything(edit: Edit) -> bool:
    return True


def _tables(text: str) -> dict[str, dict[str, Row]]:
    document = tomllib.loads(text.removeprefix("\ufeff"))
    return {table: _by_id(table, document.get(table, [])) for table in ROW_TYPES} | {"build": {"": document["build"]}}


def _by_id(table: str, rows: list[Row]) -> dict[str, Row]:
    key = "name" if table in KEY_STATE_ROWS else "id"
    return {str(row.get(key)): row for row in rows}


def _edits(
    tables: dict[str, dict[str, Row]],
    loom: Loom,
    ends: Mapping[str, Row],
    earlier: EarlierList,
    drop_missing: bool,
    remarks: list[Remark],
) -> Iterator[Edit]:
    if earlier.is_known:
        for key in dict.fromkeys([*loom.build, *earlier.build]):
            now, before, stands = loom.build.get(key), earlier.build.get(key), tables["build"][""].get(key)
            if now not in (before, stands) and before == stands and now is not None:
                yield Edit(SetKey("build", "", key, now), f"{key} of the build is now {_shown(now)}")
    everywhere = {row_id for table, rows in tables.items() if table not in KEY_STATE_ROWS for row_id in rows}
    for table in ROW_TYPES:
        now, before = _by_id(table, loom.rows[table]), _by_id(table, earlier.tables.get(table, []))
        for row_id, row in now.items():
            fitted = ends.get(row_id, row) if table == "wires" else row
            if row_id not in tables[table]:
                if row_id in before:
                    _tell_taken_out(table, row_id, loom, remarks)
                elif row_id in everywhere and table not in KEY_STATE_ROWS:
                    _tell_moved(table, row_id, loom, remarks)
                elif _is_wanted(table, row, tables):
                    yield Edit(AddRow(table, fitted), f"{row_id} is new" if table == "wires" else "")
            elif row_id in before or (table == "wires" and _may_be_same(tables[table][row_id], fitted, earlier)):
                stands = tables[table][row_id]
                yield from _changed_keys(table, row_id, (row, fitted), before.get(row_id), stands, loom, remarks)
        yield from _missing(table, tables[table], now, before, earlier, drop_missing, remarks)


def _may_be_same(stands: Row, fitted: Row, earlier: EarlierList) -> bool:
    """Tell whether a wire of the file that no list is known to have made is that of the list."""
    return not earlier.is_known or _is_same_wire(stands, fitted)


def _tell_taken_out(table: str, row_id: str, loom: Loom, remarks: list[Remark]) -> None:
    if table == "wires":
        says = f"{row_id} was taken out of the file by hand; the list still has it; left out"
        remarks.append(Remark(loom.lines.get(row_id, 0), says))


def _tell_moved(table: str, row_id: str, loom: Loom, remarks: list[Remark]) -> None:
    says = f"{row_id} is something else in the file than the list makes of it; left as it is in the file"
    remarks.append(Remark(loom.lines.get(row_id, 0), says))


def _is_wanted(table: str, row: Row, tables: dict[str, dict[str, Row]]) -> bool:
    """Tell whether a row that the file does not have is put in: not what was only made up for parts that it has."""
    marks = marks_of(str(row.get("note", "")))
    if table == "batteries":
        return "joined" not in marks
    if table == "joints" and "from" in marks:
        part_id = str(row.get("from")).partition(".")[0]
        return not any(part_id in rows for rows in tables.values())
    return table not in _NOT_ADDED


def _changed_keys(
    table: str,
    row_id: str,
    rows: tuple[Row, Row],
    before: Row | None,
    stands: Row,
    loom: Loom,
    remarks: list[Remark],
) -> Iterator[Edit]:
    """Compare a row in three states: in the list now, in the list before, in the file."""
    listed, fitted = rows
    was = before or {}
    guessed, open_still = _marks(listed) & _marks(was), _marks(stands)
    for key in dict.fromkeys([*listed, *was]):
        now, then, here = listed.get(key), was.get(key), stands.get(key)
        value = fitted.get(key)
        if now == then or key in ("id", "name") or here in (now, value):
            continue
        # another guess takes the place of the one before, not of what was answered
        if key in guessed and (here != then or key not in open_still):
            continue
        if here == then and value is not None:
            yield Edit(SetKey(table, row_id, key, value), f"{row_id}: {key} is now {_shown(value)}")
        elif here == then and before is not None:
            yield Edit(DropKey(table, row_id, key), f"{row_id}: the list no longer has its {key}")
        elif key != "note" and value is not None:
            was_words = (
                f"was {_shown(then)} and is now {_shown(value)} there" if before else f"is {_shown(value)} there"
            )
            says = f"{row_id}: {key} {was_words}, and {_shown(here)} in the file; the file stays as it is"
            remarks.append(Remark(loom.lines.get(row_id, 0), says))


def _marks(row: Row) -> frozenset[str]:
    return frozenset(marks_of(str(row.get("note", ""))))


def _missing(
    table: str,
    stands: dict[str, Row],
    now: dict[str, Row],
    before: dict[str, Row],
    earlier: EarlierList,
    drop_missing: bool,
    remarks: list[Remark],
) -> Iterator[Edit]:
    """Tell, or take out, what the list no longer has."""
    if table in KEY_STATE_ROWS:
        return
    for row_id in stands:
        if row_id in now or (earlier.is_known and row_id not in before):
            continue
        if not earlier.is_known and table != "wires":
            continue
        if table == "batteries" and not any(_is_wanted(table, row, {}) for row in now.values()):
            continue
        is_made_up = table == "joints" and "from" in marks_of(str(stands[row_id].get("note", "")))
        if drop_missing or is_made_up:
            yield Edit(DropRow(table, row_id), f"{row_id} is no longer in the list; taken out")
        else:
            remarks.append(Remark(0, f"{row_id} is no longer in the list; kept (--drop-missing takes it out)"))


def _shown(value: object) -> str:
    return clean(str(value), 60) if value is not None else "nothing"


def _applied(text: str, edits: list[Edit], harness: Harness) -> str:
    return applied_text(text, [edit.change for edit in edits], {"revision": harness.build.revision + 1})
