"""What reads bytes or lines of a person, each with the laws that hold for whatever it is given."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from random import Random

from model.circuit.condition import make_condition
from model.errors import FusewalkError
from model.harness.amendment_kinds import removed
from model.harness.amendments import amended_text
from model.harness.harness import Harness
from model.harness.parts_list import parts_list
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.toml_file import harness_of_bytes
from model.harness.wire_list import csv_of, wire_list
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list
from model.record_text import HEAD, block_text, read_contents
from model.tracing.checks import CheckKind
from model.tracing.typed_answer import echo_words, read_answer
from tests.fuzz.commands import assert_no_escapes, assert_no_formulas
from tests.fuzz.hostile_loom import DEMO_BUILDS, hostile_loom
from tests.model.record_rows import every_kind
from tui.__main__ import told
from tui.line_also import read_also
from tui.line_replies import read_outcome

BETWEEN = b"\n----\n"
"""Stands between a wire list and a parts list."""


def read_as_harness(content: bytes) -> None:
    """Read bytes as a harness file; what is accepted is amended as well, and what the amendment makes is read."""
    try:
        harness = harness_of_bytes(content, "fuzz.toml")
    except FusewalkError as error:
        assert_no_escapes(str(error))
        return
    assert_no_formulas(csv_of(*wire_list(harness)))
    part = next((part for part in harness.each_part()), None)
    if part is None:
        return
    with suppress(FusewalkError):
        changes = removed(harness, part.id).changes
        text = amended_text(content.decode("utf-8-sig"), changes, harness.build.revision + 1, "2026-05-04")
        assert all(one.id != part.id for one in harness_of_bytes(text.encode(), "fuzz.toml").each_part())


def read_as_lists(content: bytes) -> None:
    """Read bytes as a wire list, and what stands behind a line between as a parts list; what is made is a harness."""
    wires, _, parts = content.partition(BETWEEN)
    try:
        found = read_wire_list(wires, "wires.csv")
        listed = read_parts_list(parts, "parts.csv") if parts else PartsList()
    except FusewalkError as error:
        assert_no_escapes(str(error))
        return
    loom = make_loom(found, listed, "made")
    text, harness = readable(loom, "made.toml")
    assert_no_escapes(text)
    for remark in loom.remarks:
        assert_no_escapes(remark.text())
    assert_no_formulas(csv_of(*wire_list(harness)))
    assert_no_formulas(csv_of(*parts_list(harness)))


def read_as_record(content: bytes) -> None:
    """Read bytes as a record; whatever could be read is written again and read as the same."""
    contents = read_contents(content)
    for trouble in contents.trouble:
        assert 1 <= trouble.line <= trouble.last_line
        assert_no_escapes(str(trouble))
    written = HEAD + "".join(map(block_text, contents.entries))
    assert_no_escapes(written)
    again = read_contents(written.encode())
    assert repr(again.entries) == repr(contents.entries)


def read_as_lines(content: bytes) -> None:
    """Read each line of a text as an answer of every kind of check, as words and as JSON, and as what was not asked."""
    harness = _tractor()
    condition = make_condition(harness)
    for line in content.decode("utf-8", errors="surrogateescape").splitlines()[:5]:
        for kind in CheckKind:
            try:
                assert_no_escapes(echo_words(kind, read_answer(kind, line)))
            except FusewalkError as error:
                assert_no_escapes(told(error))
            with suppress(FusewalkError, ValueError, RecursionError):
                said = json.loads(line)
                read_outcome(kind, said if isinstance(said, dict) else {"read": said})
        try:
            read_also(harness, condition, line.split())
        except FusewalkError as error:
            assert_no_escapes(told(error))


@cache
def _tractor() -> Harness:
    return harness_of_bytes((DEMO_BUILDS / "field_tractor.toml").read_bytes(), "field_tractor.toml")


TARGETS: dict[str, Callable[[bytes], None]] = {
    "harness": read_as_harness,
    "wires": read_as_lists,
    "record": read_as_record,
    "lines": read_as_lines,
}
"""Readers by the word that asks for them."""


@cache
def seeds(target: str) -> Sequence[bytes]:
    """Give sound files, or lines, that a target reads, from which hostile ones are made."""
    match target:
        case "harness":
            small = b'format = 1\nbuild = { name = "B", nominal_volts = 12 }\nkey_states = [ { name = "on" } ]\n'
            builds = [path.read_bytes() for path in sorted(DEMO_BUILDS.glob("*.toml"))]
            return (small, hostile_loom("field_tractor").encode(), *builds)
        case "wires":
            lists = [csv_of(*make(_tractor())).encode() for make in (wire_list, parts_list)]
            return (b"id,from,to,colour,size\nW1,battery +,F1.in,red,2.5\n", BETWEEN.join(lists))
        case "record":
            return tuple((HEAD + block_text(entry)).encode() for entry in every_kind())
    answers = "12.4\n0.3 mV\n4.7k\nOL\n0.1 to 12.3\n12,4 V\n-0.1\n1e3\nopen\nyes\n24 at 4.6"
    others = 'new fuse F1 holds\nvolts G1.+ 12.4\nE1 works\n{}\n{"read": 12.4}\n{"read": [0, 1]}\n[[[\nlamp F1 dark'
    return (answers.encode(), others.encode())


def noise(target: str, random: Random) -> bytes:
    """Give what a target reads with bytes of it changed."""
    from tests.fuzz.mutations import mutated_bytes

    return mutated_bytes(random.choice(seeds(target)), random)
