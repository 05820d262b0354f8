"""Whatever stands in a list, it is read or refused in words, and what is made of it is a harness."""

import csv
from contextlib import suppress
from io import StringIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.errors import FusewalkError
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.wire_list import csv_of, wire_list
from model.harness.wire_list_answers import answered
from model.harness.wire_list_cells import armed, unarmed
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_questions import questions
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list

NOISE = st.text(alphabet=st.characters(codec="utf-8"), max_size=12)
ENDS = st.sampled_from(
    ["K1.30", "K1:87a", "K1 4", "X2 4", "X1.dash.4", "F3 15A", "F3", "battery +", "B+", "chassis", "GND2",
     "S1", "S1.x", "Fuel pump", "Head lamp left 56b", "G1+", "G1 D+", "A1.pump",
     "A1 31", "R1", "V1 a", "E1", "T9", "W1.a", "-", "=A"]
)  # fmt: skip
CELLS = st.one_of(ENDS, NOISE, st.sampled_from(["", "RD", "1,5", "AWG 16", "0", "-1", "1e999", "yes"]))
KINDS = st.one_of(
    NOISE, st.sampled_from(["relay", "switch", "lamp", "connector", "module", "joint", "key state", "build", "trunk"])
)
VALUES = st.one_of(
    NOISE,
    st.sampled_from(["5", "{}", "[]", '{"a":[["1","2"]]}', "off; on: 1-2", "[null]", "NaN", "make", '[{"name":"a"}]']),
)
COLUMNS = st.lists(
    st.sampled_from(
        ["label", "watts", "amps", "positions", "contacts", "coils", "elements", "feeds", "halves", "cavities"]
    ),
    unique=True,
    min_size=1,
)


def spelled(rows: list[list[str]]) -> bytes:
    """Spell rows as CSV, quoted where needed."""
    stream = StringIO()
    csv.writer(stream).writerows(rows)
    return stream.getvalue().encode("utf-8", "replace")


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(CELLS, CELLS, CELLS, CELLS, CELLS), min_size=1, max_size=12), st.data())
def test_any_list_becomes_a_harness(rows: list[tuple[str, ...]], data: st.DataObject) -> None:
    """Ends, sizes and parts of any kind give a file that is read without breach, and questions that can be answered."""
    wires = spelled([["id", "from", "to", "colour", "size"], *map(list, rows)])
    columns = data.draw(COLUMNS)
    listed = data.draw(st.lists(st.tuples(KINDS, CELLS, *[VALUES] * len(columns)), max_size=6))
    parts = spelled([["kind", "id", *columns], *map(list, listed)])
    try:
        found = read_wire_list(wires, "wires.csv")
    except FusewalkError:
        return
    loom = make_loom(found, read_parts_list(parts, "parts.csv") if listed else PartsList(), "made")
    text, harness = readable(loom, "made.toml")
    text.encode("utf-8")
    for question in questions(harness, loom.lines):
        for answer in (*question.choices, "5", "no", "x y"):
            with suppress(FusewalkError):
                assert all(change.table for change in answered(question, answer))


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    """No byte of a list or parts list leads to anything but rows or a refusal in words."""
    for head in (b"", b"id,from,to,size\n", b"from;to\n"):
        try:
            found = read_wire_list(head + content, "wires.csv")
        except FusewalkError:
            continue
        readable(make_loom(found, PartsList(), "made"), "made.toml")
    assert all(part.line > 1 for part in read_parts_list(b"kind,id,label\n" + content, "parts.csv").parts)


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(ENDS, ENDS), min_size=1, max_size=10))
def test_a_list_settles_after_one_round(ends: list[tuple[str, str]]) -> None:
    """Whatever a list became, written out and read again it stays as it is."""
    rows = [["id", "from", "to"], *([f"W{at}", start, end] for at, (start, end) in enumerate(ends, 1))]
    made = spelled(rows)
    written: list[str] = []
    for _ in range(3):
        try:
            _, harness = readable(make_loom(read_wire_list(made, "w.csv"), PartsList(), "made"), "made.toml")
        except FusewalkError:
            return
        written.append(csv_of(*wire_list(harness)))
        made = written[-1].encode()
    assert written[1] == written[2]


@given(st.text(alphabet=st.sampled_from("'=+-@ a1"), max_size=8))
def test_disarming_is_undone_for_any_text(text: str) -> None:
    """Nothing is lost or added, however many apostrophes stand before a sign."""
    assert unarmed(armed(text)) == text
