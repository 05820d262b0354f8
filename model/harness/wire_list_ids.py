"""Ids of the wires of a list: those that it has, made fit for a harness file, and stable ones where it has none."""

from __future__ import annotations

import re
from collections.abc import Mapping

from model.harness.wire_list_book import PartsBook, Row
from model.harness.wire_list_rows import ListWire

_SIDES = ("from", "to", "colour")


def fit_wire_id(written: str) -> str:
    """Give an id of a list as a harness file takes it: a bare number gets a W before it."""
    plain = re.sub(r"(?<=[A-Za-z]) (?=\d)", "", written.strip())
    plain = re.sub(r"[^A-Za-z0-9_-]+", "_", plain).strip("_")[:50]
    if not plain:
        return ""
    return plain if plain[0].isascii() and plain[0].isalpha() else f"W{plain}"


def give_ids(listed: list[ListWire], rows: list[Row], book: PartsBook) -> None:
    """Give every wire an id.

    Parameters
    ----------
    rows
        The wires' rows with their ends, beside the wires of the list.
    book
        Its wires of the list before: one without an id gets that of a wire with its ends and colour, then of one with
        its ends, then the next that is free in the list and in the file.
    """
    first: dict[str, int] = {}
    for at, wire in enumerate(listed):
        wanted = fit_wire_id(wire.id)
        if not wanted:
            continue
        found = wanted
        if wanted.casefold() in first:
            found = book.unique(wanted)
            book.tell(
                wire.line, f"the wire {wanted} stands in line {first[wanted.casefold()]} already; taken in as {found}"
            )
        elif wanted.casefold() in book.taken:
            found = book.unique(f"W_{wanted}")
            book.tell(wire.line, f"{wanted} is a part and cannot be a wire too; taken in as {found}")
        elif wanted.removeprefix("W") != wire.id.strip() != wanted:
            book.tell(wire.line, f"the id “{wire.id[:40]}” is taken in as {found}")
        first.setdefault(wanted.casefold(), wire.line)
        book.taken.add(found.casefold())
        rows[at]["id"] = found
    without = [at for at in range(len(listed)) if "id" not in rows[at]]
    before: list[Mapping[str, object]] = [
        row for row in book.before.wires if str(row.get("id", "")).casefold() not in book.taken
    ]
    for keys in (_SIDES, _SIDES[:2]):
        without = _matched(without, rows, before, keys, book)
    listed_before = {row.get("id") for row in before}
    used = book.taken | book.before.foreign
    used_before = used | {str(row.get("id", "")).casefold() for row in before}
    number = 1
    for at in without:
        wanted = f"W{at + 1}"
        if wanted.casefold() in used or wanted in listed_before:
            while f"w{number}" in used_before:
                number += 1
            wanted = f"W{number}"
        rows[at]["id"] = wanted
        for ids in (book.taken, used, used_before):
            ids.add(wanted.casefold())


def _matched(
    without: list[int], rows: list[Row], before: list[Mapping[str, object]], keys: tuple[str, ...], book: PartsBook
) -> list[int]:
    """Give ids of earlier wires that agree in some keys; list those that are left."""
    by_keys: dict[tuple[object, ...], list[str]] = {}
    for row in before:
        if str(row["id"]).casefold() not in book.taken:
            by_keys.setdefault(tuple(row.get(key) for key in keys), []).append(str(row["id"]))
    left: list[int] = []
    for at in without:
        same = by_keys.get(tuple(rows[at].get(key) for key in keys))
        if same:
            rows[at]["id"] = same.pop(0)
            book.taken.add(str(rows[at]["id"]).casefold())
        else:
            left.append(at)
    return left
