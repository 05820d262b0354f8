"""The rows of a parts list: each becomes a row of a table of the harness file, as far as it can be read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache

from model.errors import FusewalkError
from model.harness.fields import Record
from model.harness.harness import ROW_TYPES
from model.harness.records import Build, Defaults
from model.harness.wire_list_cells import (
    NOTHING,
    flag_of,
    json_value,
    length_m_of,
    number_of,
    size_of,
)
from model.harness.wire_list_header import PARTS, Header, find_header, header_score
from model.harness.wire_list_kinds import KEY_STATE_ROWS, Kind, kind_named, known_by
from model.harness.wire_list_remark import ListRefusedError, Remark
from model.harness.wire_list_sheet import SheetRow, read_sheet
from model.words import clean

NUMBERS = frozenset(
    {"watts", "amps", "ohms", "volts", "at", "start_amps", "starts_at", "cut_out", "cut_in", "emf", "charged_emf"}
    | {"amp_hours", "reserve_minutes", "cold_amps", "coil_ohms", "pull_in", "drop_out", "nominal_volts"}
    | {"ambient_celsius", "asleep_after_minutes", "crimp", "contact", "switch", "relay", "joint"}
)
WHOLE = frozenset({"cavities", "revision"})
FLAGS = frozenset({"charging", "resets", "key", "momentary", "pulses", "critical", "bonded"})
WORD_LISTS = frozenset({"exposure", "active", "terminals", "halves", "works_in", "delicate"})
JSON_ONLY = frozenset(
    {"positions", "follows", "contacts", "coils", "elements", "feeds", "drivers", "outputs", "exciter", "works_with"}
    | {"pins", "face"}
)
_BOTH = frozenset({"chassis", "ground"})
"""A number among the defaults, something else elsewhere."""


@dataclass(frozen=True, slots=True)
class ListedPart:
    """One row of a parts list: id as written, kind, and its keys as a harness file has them."""

    line: int
    id: str
    kind: Kind
    row: dict[str, object]


@dataclass(slots=True)
class PartsList:
    """A whole parts list and what is to be said about it.

    Attributes
    ----------
    is_whole
        Whether it has a row of the kind ``build``: then nothing is made up beside it.
    """

    parts: list[ListedPart] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)

    @property
    def is_whole(self) -> bool:
        """Whether it was written from a harness file: then it has everything, and nothing is added."""
        return any(part.kind.table == "build" for part in self.parts)


@cache
def keys_of(table: str) -> tuple[str, ...]:
    """Give the keys of a table's rows in the order of the format."""
    kind: type[Record] = {"build": Build, "defaults": Defaults}.get(table) or ROW_TYPES[table]
    own = [one.alias or name for name, one in kind.model_fields.items()]
    first = ("id", "label", "location", "inside") if "id" in own else ("name",)
    return tuple(dict.fromkeys([*(key for key in first if key in own), *own]))


@cache
def all_keys() -> frozenset[str]:
    """Give every key that a row of a parts list may have."""
    tables = ("build", "defaults", *(table for table in ROW_TYPES if table != "wires"))
    return frozenset(key for table in tables for key in keys_of(table)) | {"kind"}


def read_parts_list(content: bytes, name: str) -> PartsList:
    """Read the bytes of a parts list.

    Parameters
    ----------
    name
        What the file is called in a refusal.

    Raises
    ------
    FusewalkError
        Where nothing in it can be read as a part.
    """
    keys = all_keys()
    sheet = read_sheet(content, name, lambda rows: header_score(PARTS, rows, keys))
    header = find_header(PARTS, sheet.rows, keys)
    if header is None:
        raise FusewalkError(
            "no column is headed “id” or “label”.", name, "Name the columns in one line above the parts."
        )
    found = PartsList()
    for remark in sheet.remarks:
        _tell(found, remark.line, remark.says)
    for heading in header.unknown:
        _tell(found, header.line, f"the column “{clean(heading, 40)}” is not known; left out")
    seen: dict[str, int] = {}
    for row in sheet.rows:
        if row.line <= header.line:
            continue
        part = _part(header, row, found)
        if part is None:
            continue
        key = f"{part.kind.table if part.kind.table in KEY_STATE_ROWS else ''}/{part.id.casefold()}"
        if part.id and key in seen:
            _tell(found, row.line, f"{clean(part.id, 60)} stands in line {seen[key]} already; left out")
            continue
        seen[key] = row.line
        found.parts.append(part)
    return found


def _tell(found: PartsList, line: int, says: str) -> None:
    found.remarks.append(Remark(line, says, in_parts=True))


def _part(header: Header, row: SheetRow, found: PartsList) -> ListedPart | None:
    part_id, words = header.cell(row, "id"), header.cell(row, "kind")
    label = header.cell(row, "label")
    if not part_id and not label and not words:
        _tell(found, row.line, "neither id nor label; left out")
        return None
    kind = _kind(part_id, label, words)
    if words and kind is None:
        _tell(found, row.line, f"“{clean(words, 40)}” is no kind of part that is known; taken by its id and label")
    kind = kind or known_by(part_id, label) or Kind("")
    values: dict[str, object] = {}
    for key in header.places:
        cell = header.cell(row, key)
        if (
            key in ("id", "kind")
            or not cell
            or (cell.casefold() in NOTHING and key not in ("label", "note", "from", "to"))
        ):
            continue
        _put(values, kind, key, cell, row, found)
    if kind.table == "loads":
        values = _one_rating(values, row, found)
        if kind.load_kind:
            values = {"kind": kind.load_kind} | values
    return ListedPart(row.line, part_id, kind, values)


def _kind(part_id: str, label: str, words: str) -> Kind | None:
    """Give the kind that a row says, with what its label tells beside it."""
    said = kind_named(words) if words else None
    if said is None:
        return None
    if said.table == "loads":
        by_label = known_by(part_id, label)
        if by_label and by_label.table == "loads":
            return said._replace(role=said.role or by_label.role)
    return said


def _put(values: dict[str, object], kind: Kind, key: str, cell: str, row: SheetRow, found: PartsList) -> None:
    table = kind.table or "loads"
    if key == "volts" and table == "loads":
        key = "at"
    if key not in keys_of(table):
        if not (key in ("watts", "amps", "ohms", "role", "cavities", "bus", "style") and not kind.table):
            _tell(
                found, row.line, f"a row of this kind has no {key.replace('_', ' ')}: “{clean(cell, 40)}” is left out"
            )
        return
    try:
        values[key] = value_of(table, key, cell)
    except ListRefusedError as error:
        _tell(found, row.line, f"{key.replace('_', ' ')}: {error}; left out")


def value_of(table: str, key: str, cell: str) -> object:
    """Read a cell of a parts list as the value of a key.

    Raises
    ------
    ListRefusedError
        Where it is none.
    """
    if key in NUMBERS or (key in _BOTH and table == "defaults"):
        plain = re.sub(r"\s*(?:w|watts?|a|amps?|ampere|v|volts?|ohms?|Ω|Ah|°C|min)\.?$", "", cell, flags=re.IGNORECASE)
        return number_of(plain)
    if key in WHOLE:
        return int(number_of(cell))
    if key in FLAGS or (key == "chassis" and table == "build"):
        return flag_of(cell)
    if key == "length":
        return length_m_of(cell)
    if key == "size":
        return size_of(cell)
    if key in WORD_LISTS:
        return (
            json_value(cell) if cell.startswith("[") else [one.strip() for one in re.split("[;|]", cell) if one.strip()]
        )
    if key in JSON_ONLY:
        return _structured(key, cell)
    return (
        cell.casefold()
        if key in ("hazard", "access", "style", "chemistry", "rest", "ground_side") and table != "switches"
        else cell
    )


def _structured(key: str, cell: str) -> object:
    if cell.startswith(("{", "[")):
        return json_value(cell)
    if key == "contacts" and cell.casefold() in ("make", "break", "changeover"):
        return cell.casefold()
    if key == "positions":
        return positions_of(cell)
    if key == "pins":
        pairs = re.findall(r"([A-Za-z0-9+_-]+)\s*[=:]\s*(\d{1,4})", cell)
        if pairs:
            return {name: int(cavity) for name, cavity in pairs}
    raise ListRefusedError(f"“{clean(cell, 40)}” cannot be read")


def positions_of(text: str) -> dict[str, object]:
    """Read positions in words: ``off; side: in-side; head: in-side-head``; further groups after a comma.

    Raises
    ------
    ListRefusedError
        Where a position has no name.
    """
    positions: dict[str, object] = {}
    for piece in re.split(r"[;\n]", text):
        name, _, groups = piece.partition(":")
        if not name.strip():
            continue
        joined = [[one.strip() for one in re.split(r"[-+=]", group) if one.strip()] for group in groups.split(",")]
        positions[clean(name.strip(), 60)] = [group for group in joined if group]
    if not positions or (len(positions) == 1 and ":" not in text):
        raise ListRefusedError(f"“{clean(text, 40)}” names no positions: write them as off; on: 1-2")
    return positions


def _one_rating(values: dict[str, object], row: SheetRow, found: PartsList) -> dict[str, object]:
    """Keep one of watts, amps and ohms; none beside elements."""
    given = [key for key in ("watts", "amps", "ohms") if key in values]
    extra = given if values.get("elements") else given[1:]
    for key in extra:
        _tell(found, row.line, f"{key} beside {'elements' if values.get('elements') else given[0]}; left out")
    return {key: value for key, value in values.items() if key not in extra}
