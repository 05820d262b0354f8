"""A list with more in it than any loom is refused or cut in words, and a large one gets its ids one after another."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from model.errors import FusewalkError
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.wire_list_kinds import kind_of_words
from model.harness.wire_list_loom import Loom, make_loom
from model.harness.wire_list_rows import read_wire_list
from model.harness.wire_list_sheet import LONGEST_LINE, MOST_ROWS, read_list_bytes
from tests.fuzz.big_files import LIST_HEAD, list_labels


def made(text: str) -> Loom:
    """Make a loom of a wire list in text."""
    return make_loom(read_wire_list(text.encode(), "wires.csv"), PartsList(), "made")


def test_more_rows_than_any_loom_are_refused() -> None:
    """A list of one row more than is borne is refused, wires and parts alike; empty lines count nothing."""
    with pytest.raises(FusewalkError, match=f"wires.csv: more than {MOST_ROWS} rows"):
        read_wire_list(LIST_HEAD.encode() + b"x\n" * MOST_ROWS, "wires.csv")
    with pytest.raises(FusewalkError, match=f"parts.csv: more than {MOST_ROWS} rows"):
        read_parts_list(b"id,kind\n" + b"x\n" * MOST_ROWS, "parts.csv")
    assert len(made(f"{LIST_HEAD}{chr(10) * 2 * MOST_ROWS}W1,G1.+,F1.in,,,\n").rows["wires"]) == 1


def test_an_endless_line_is_cut_and_told() -> None:
    """What goes beyond the longest cells of the most columns is left out, with its line."""
    found = read_wire_list(f"{LIST_HEAD}W1,G1.+,F1.in,,,\n{'x' * (LONGEST_LINE + 7)}\n".encode(), "wires.csv")
    assert [wire.id for wire in found.wires] == ["W1"]
    assert (3, f"a line of {LONGEST_LINE + 7} characters; cut to {LONGEST_LINE}") in [
        (remark.line, remark.says) for remark in found.remarks
    ]


def test_equal_ids_are_numbered_one_after_another() -> None:
    """So many wires of one id get the numbers behind it in their order."""
    ids = [row["id"] for row in made(LIST_HEAD + "W1,G1.+,F1.in,,,\n" * 400).rows["wires"]]
    assert ids == ["W1", *(f"W1_{number}" for number in range(2, 401))]


def test_parts_known_by_their_label_are_numbered_one_after_another() -> None:
    """Labels that say nothing of a kind get ids in the order in which they come, wires without an id that of theirs."""
    rows = made("".join(list_labels(200))).rows
    labelled = {str(row.get("label")): str(row.get("id")) for table in rows.values() for row in table}
    numbers = [int(labelled[f"Thing number {number} left"].lstrip("EJ")) for number in range(200)]
    assert numbers == sorted(numbers)
    assert [row["id"] for row in rows["wires"]] == [f"W{number}" for number in range(1, 201)]


@pytest.mark.parametrize(
    ("words", "table", "load_kind"),
    [
        ("Fuel pump relay", "relays", ""),
        ("Relays of the fuel pump", "loads", "motor"),
        ("Hauptsicherungen Hauptsicherung", "fuses", ""),
        ("relays", "relays", ""),
        ("left HEAD-LAMPS, front", "loads", "lamp"),
    ],
)
def test_the_phrase_that_ends_last_tells_the_kind(words: str, table: str, load_kind: str) -> None:
    """Of several words of the trade in a label the last says what it is, one or several of it."""
    kind = kind_of_words(words)
    assert kind is not None
    assert (kind.table, kind.load_kind) == (table, load_kind)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes in the file system")
def test_a_pipe_is_no_list(tmp_path: Path) -> None:
    """A list that nobody may ever write is not waited for."""
    os.mkfifo(tmp_path / "wires.csv")
    with pytest.raises(FusewalkError, match="this is a pipe and no file"):
        read_list_bytes(tmp_path / "wires.csv")
