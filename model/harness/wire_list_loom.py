"""A wire list and a parts list become a harness file that is read without breach."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from pydantic import ValidationError

from model.harness.fields import Part
from model.harness.harness import CHASSIS, ROW_TYPES
from model.harness.parts_list_read import PartsList
from model.harness.points import points_of
from model.harness.wire_list_added import add_what_lacks
from model.harness.wire_list_book import FoundPart, PartsBook, Row, Use
from model.harness.wire_list_cells import fold
from model.harness.wire_list_fit import (
    fit_connector,
    fit_diode,
    fit_fuse,
    fit_ground,
    fit_posts,
    fit_single,
    put_on_box,
)
from model.harness.wire_list_fit_loads import fit_load, fit_module, fit_resistor
from model.harness.wire_list_fit_switching import fit_relay, fit_switch, is_flasher
from model.harness.wire_list_fuses import rate_fuses
from model.harness.wire_list_hazards import mark_hazards
from model.harness.wire_list_ids import fit_wire_id, give_ids
from model.harness.wire_list_kinds import KEY_STATE_ROWS, Kind
from model.harness.wire_list_marks import with_marks
from model.harness.wire_list_names import Before
from model.harness.wire_list_points import Known, ids_in, named
from model.harness.wire_list_remark import Remark
from model.harness.wire_list_rows import EndWords, ListWire, WireList
from model.harness.wire_list_starter import part_solenoids
from model.harness.wire_list_two_ended import two_ended

_WIRE_KEYS = ("id", "label", "from", "to", "colour", "size", "length", "via")
_GENERATOR = frozenset({"d+", "df", "61", "w", "l", "dfm", "ig"})
"""Terminals that a generator has and a battery never."""


@dataclass(slots=True)
class Loom:
    """A harness file as its tables, and what is to be said about how it was made.

    Attributes
    ----------
    lines
        Line of the wire list by the id of a part or wire.
    """

    build: Row
    defaults: Row
    rows: dict[str, list[Row]]
    remarks: list[Remark] = field(default_factory=list)
    lines: dict[str, int] = field(default_factory=dict)


def make_loom(
    wires: WireList, parts: PartsList, name: str, before: Before | None = None, nominal_volts: float | None = None
) -> Loom:
    """Make the tables of a harness file.

    Parameters
    ----------
    name
        What the vehicle is called where no list says so.
    before
        What stood in the list before and stands in the file: ids are given again to the same wires and labels.
    nominal_volts
        Of the vehicle, where it is known.
    """
    book = PartsBook(before=before or Before())
    loom = Loom({}, {}, {table: [] for table in ROW_TYPES}, [*wires.remarks, *parts.remarks])
    book.written = _written_ids(wires)
    _take_parts_list(parts, loom, book)
    book.has_chassis = loom.build.get("chassis") is not False
    book.known.two_ended = two_ended(wires, book.known)
    rows = [_wire_row(wire, book) for wire in wires.wires]
    _joint_ends(loom, book)
    _label_by_wires(book)
    put_on_box(book)
    volts = _nominal_volts(loom, book, nominal_volts)
    part_solenoids(book, volts)
    for part in list(book.parts.values()):
        _fit(part, book, volts)
    rate_fuses(book, rows, volts)
    give_ids(wires.wires, rows, book)
    for row, wire in zip(rows, wires.wires, strict=True):
        loom.lines[str(row["id"])] = wire.line
    assumed = [] if "nominal_volts" in loom.build or nominal_volts else ["nominal_volts"]
    loom.build = {"name": wires.title or name, "nominal_volts": volts} | loom.build
    if not parts.is_whole:
        mark_hazards(book, rows)
        assumed += add_what_lacks(loom.rows, book, volts)
        loom.build["note"] = with_marks(str(loom.build.get("note", "")), assumed)
        if not loom.build["note"]:
            del loom.build["note"]
    _put_rows(loom, book, rows)
    loom.remarks += book.remarks
    return loom


def _written_ids(wires: WireList) -> set[str]:
    """Give everything in the ends of wires that looks like the id of a part."""
    cells = {cell[:200] for wire in wires.wires for end in wire.ends for cell in (end.text, end.pin)}
    return {found for cell in cells for found in ids_in(cell)}


def _take_parts_list(parts: PartsList, loom: Loom, book: PartsBook) -> None:
    for listed in parts.parts:
        table = listed.kind.table
        if table in ("build", "defaults"):
            target = loom.build if table == "build" else loom.defaults
            target.update(({"name": listed.id} if table == "build" and listed.id else {}) | listed.row)
        elif table in KEY_STATE_ROWS:
            label = listed.row.pop("label", "")
            loom.rows[table].append({"name": listed.id or label} | listed.row)
        else:
            part_id = _listed_id(listed.id, listed.kind, listed.row, book)
            row: Row = {"id": part_id} | listed.row
            part = book.add(FoundPart(part_id, listed.kind, row, listed.line, is_listed=True))
            book.known.points |= _points(part)
    for label, part_id in book.before.names.items():
        named_part = book.parts.get(part_id)
        if named_part is not None and named_part.is_listed and not named_part.line:
            book.known.labels[label] = part_id


def _listed_id(written: str, kind: Kind, row: Row, book: PartsBook) -> str:
    fit = fit_wire_id(written) if written else ""
    is_label = bool(written) and " " in written and not fit[-1:].isdigit()
    if fit and not is_label and fit.casefold() not in book.taken and fit.casefold() != CHASSIS.casefold():
        return fit
    if written and is_label:
        row.setdefault("label", written)
    label = str(row.get("label", ""))
    if fit and not is_label:
        return book.before.names.get(fold(label)) or book.unique(fit)
    return book.id_of_label(label, kind.letter)


def _points(part: FoundPart) -> set[str]:
    """Give the points that a listed part has as it stands; none where its row is not whole."""
    kind: type[Part] | None = ROW_TYPES.get(part.kind.table)
    if kind is None:
        return set()
    try:
        record = kind.model_validate(part.row)
    except ValidationError:
        return set()
    return {point.name for point in points_of(record)} | ({f"{part.id}.in"} if part.kind.table == "fuses" else set())


def _wire_row(wire: ListWire, book: PartsBook) -> Row:
    row: Row = {}
    label = str(wire.keys.get("label", ""))
    _ends(row, wire.ends, book, wire.line, label)
    row |= wire.keys
    if "superseded_by" in row:
        row["superseded_by"] = fit_wire_id(str(row["superseded_by"]))
    return row


def _ends(row: Row, ends: Iterable[EndWords], book: PartsBook, line: int, label: str) -> None:
    uses = []
    for key, words in zip(("from", "to"), ends, strict=True):
        found = named(words, book.known)
        if found is not None:
            row[key] = None
            uses.append(book.use(row, key, found, line, label))
    if len(uses) == 2:
        uses[0].other, uses[1].other = uses[1], uses[0]


def _joint_ends(loom: Loom, book: PartsBook) -> None:
    """Put the ends of listed joints on the parts that they name."""
    for part in list(book.parts.values()):
        if part.kind.table == "joints":
            ends = [EndWords(str(part.row.get(key, ""))) for key in ("from", "to")]
            _ends(part.row, ends, book, 0, "")


def _label_by_wires(book: PartsBook) -> None:
    """Call a load or fuse without a label by that of its wires, where all of them have the same."""
    labels: dict[str, set[str]] = {}
    for part in book.parts.values():
        for use in part.uses:
            labels.setdefault(part.id, set()).add(str(use.row.get("label", "")))
    for part in book.parts.values():
        own = labels.get(part.id, set()) - {""}
        if part.kind.table in ("loads", "fuses") and not part.is_listed and "label" not in part.row and len(own) == 1:
            part.row["label"] = own.pop()


def _nominal_volts(loom: Loom, book: PartsBook, said: float | None) -> float:
    given = loom.build.get("nominal_volts")
    if isinstance(given, int | float) and 4 <= given <= 60:
        return float(given)
    loom.build.pop("nominal_volts", None)
    if said is not None:
        return said
    for part in book.parts.values():
        words = fold(str(part.row.get("label", ""))).replace(" ", "")
        if part.kind.table == "batteries" and "24v" in words:
            return 24.0
    return 12.0


def _fit(part: FoundPart, book: PartsBook, nominal_volts: float) -> None:
    """Give every wire of a part its point, and the part what a file needs of it."""
    if part.kind.table == "batteries" and not part.is_listed and _has_generator_terminal(part):
        part.kind = Kind("chargers")
    if part.kind.table == "relays" and not part.is_listed and is_flasher(part):
        part.kind = Kind("switches")
    uses = part.uses
    if part.is_listed and _settle_exact(part, book.known):
        part.uses = []
    if not part.kind.table:
        _take_a_kind(part)
    _fit_by_kind(part, book, nominal_volts)
    part.uses = uses


def _has_generator_terminal(part: FoundPart) -> bool:
    return any(use.terminal.casefold() in _GENERATOR for use in part.uses)


def _fit_by_kind(part: FoundPart, book: PartsBook, nominal_volts: float) -> None:
    match part.kind.table:
        case "chassis":
            for use in part.uses:
                use.settle(CHASSIS)
        case "batteries" | "chargers":
            fit_posts(part, book, nominal_volts)
        case "fuses":
            fit_fuse(part, book)
        case "grounds":
            fit_ground(part, book)
        case "diodes":
            fit_diode(part, book)
        case "connectors":
            fit_connector(part, book)
        case "switches":
            fit_switch(part, book)
        case "relays":
            fit_relay(part, book, nominal_volts)
        case "loads":
            fit_load(part, book)
        case "resistors":
            fit_resistor(part, book)
        case "modules":
            fit_module(part, book)
        case _:
            fit_single(part, book)


def _settle_exact(part: FoundPart, known: Known) -> bool:
    """Write the points of ends where a listed part is sure to have all of them; tell whether it has."""
    exact = [_exact(use, known) for use in part.uses]
    if not all(exact):
        return False
    for use, point in zip(part.uses, exact, strict=True):
        use.settle(point)
    return True


def _exact(use: Use, known: Known) -> str:
    name = ".".join(word for word in (use.part.id, use.half, use.terminal) if word)
    return name if name in known.points else ""


def _take_a_kind(part: FoundPart) -> None:
    """Take a part of which nothing is known for a splice where it has one terminal, else for electronics."""
    part.kind = Kind("splices") if len({use.terminal for use in part.uses}) <= 1 else Kind("loads", "electronics")
    part.row["kind" if part.kind.table == "loads" else "note"] = "electronics" if part.kind.table == "loads" else ""
    part.assumed.append("kind")


def _put_rows(loom: Loom, book: PartsBook, wires: list[Row]) -> None:
    for part in book.parts.values():
        table = part.kind.table
        if table not in ROW_TYPES:
            continue
        loom.lines.setdefault(part.id, part.line if not part.is_listed else 0)
        row = {"id": part.id} | part.row
        if part.assumed:
            row["note"] = with_marks(str(row.get("note", "")), part.assumed)
        loom.rows[table].append({key: value for key, value in row.items() if value is not None and value != ""})
    for row in wires:
        marks = book.guessed.get(id(row))
        whole = row | {"note": with_marks(str(row.get("note", "")), marks)} if marks else row
        ordered = {key: whole[key] for key in _WIRE_KEYS if key in whole} | whole
        loom.rows["wires"].append({key: value for key, value in ordered.items() if value not in (None, "", [])})
    _name_places(loom)


def _name_places(loom: Loom) -> None:
    """Add a row for every location and trunk that is named and has none."""
    for table, keys in (("locations", ("location", "from_location", "to_location")), ("trunks", ("via",))):
        known = {str(row.get("name")) for row in loom.rows[table]}
        for rows in loom.rows.values():
            for row in rows:
                for key in keys:
                    value = row.get(key)
                    for name in value if isinstance(value, list) else [value]:
                        if isinstance(name, str) and name and name not in known:
                            known.add(name)
                            loom.rows[table].append({"name": name})
