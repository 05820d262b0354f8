"""What names and ids stood for when a list was read before, and in the file made from it: both are given again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from model.harness.wire_list_cells import fold
from model.harness.wire_list_kinds import kind_of_words
from model.harness.wire_list_marks import marks_of

Tables = Mapping[str, list[dict[str, object]]]


@dataclass(frozen=True, slots=True)
class Before:
    """What is known of a list that was taken in before.

    Attributes
    ----------
    wires
        Wires that the list had.
    names
        Ids of parts by their folded labels, in the list or in the file.
    held
        Ids of the list and of the file, folded: none of them is invented for something new.
    nameless
        Those of `held` that the list made up for parts without a label.
    foreign
        Wires of the file, folded, that the list did not make.
    settled
        Parts of the file, folded, whose elements somebody has given.
    """

    wires: tuple[dict[str, object], ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    held: frozenset[str] = frozenset()
    nameless: frozenset[str] = frozenset()
    foreign: frozenset[str] = frozenset()
    settled: frozenset[str] = frozenset()


def before_of(listed: Tables, standing: Tables) -> Before:
    """Tell what names and ids stood for.

    Parameters
    ----------
    listed
        Tables made from the list before.
    standing
        Tables of the file as it stands.
    """
    found: dict[str, list[tuple[str, str]]] = {}
    for tables in (standing, listed):
        for table, row in _parts(tables):
            if row.get("label"):
                found.setdefault(fold(str(row["label"])), []).append((table, str(row["id"])))
    ids = frozenset(str(row["id"]).casefold() for tables in (standing, listed) for _, row in _parts(tables))
    wires = tuple(listed.get("wires", ()))
    of_list = {str(row.get("id")).casefold() for row in wires}
    of_file = {str(row.get("id")).casefold() for row in standing.get("wires", ())}
    return Before(
        wires,
        {label: _named(label, several) for label, several in found.items()},
        ids | of_file | of_list,
        frozenset(str(row["id"]).casefold() for _, row in _parts(listed) if not row.get("label")),
        frozenset(of_file - of_list),
        frozenset(str(row["id"]).casefold() for _, row in _parts(standing) if has_settled_elements(row)),
    )


def has_settled_elements(row: Mapping[str, object]) -> bool:
    """Tell whether a part has elements of which at least one is not assumed."""
    elements = row.get("elements")
    marks = marks_of(str(row.get("note", "")))
    rows = elements if isinstance(elements, list) else []
    return any(isinstance(one, dict) and f"elements.{one.get('name')}" not in marks for one in rows)


def _parts(tables: Tables) -> Iterator[tuple[str, dict[str, object]]]:
    return ((table, row) for table, rows in tables.items() if table != "wires" for row in rows if row.get("id"))


def _named(label: str, several: list[tuple[str, str]]) -> str:
    """Give the part that a label means: the last of the sort that it tells of, else the last."""
    kind = kind_of_words(label)
    fit = [part_id for table, part_id in several if kind is not None and table == kind.table]
    return (fit or [part_id for _, part_id in several])[-1]
