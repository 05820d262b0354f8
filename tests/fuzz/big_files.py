"""Large hostile files, made by code: each is more of something than anybody has on a vehicle."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

HEAD = """format = 1
build = { name = "Large", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
batteries = [ { id = "G1" } ]
"""
LIST_HEAD = "id,from,to,colour,size,length\n"
ENTRY = '[[entry]]\nwhen = 2026-05-04T18:03:11+02:00\ncheck = "volts at G1.+"\nvolts = 12.4\nkind = "reading"\n\n'
MILLION = 1_000_000
MEGABYTE = 1_000_000
LARGE = 3_900_000
"""Bytes of a file that is just not too large."""
Pieces = Iterable[str]


def harness_rows(size_bytes: int) -> Pieces:
    """Give a harness of sound wires, each free at both ends, as many as fit into so many bytes."""
    yield f"{HEAD}wires = [\n"
    row = '  {{ id = "W{}", colour = "RD/BK", size = 1.5, length = 2.5, label = "Feed {}" }},\n'
    length = len(row.format(100_000, 100_000))
    yield from (row.format(number, number) for number in range(size_bytes // length))
    yield "]\n"


def headed_rows(count: int) -> Pieces:
    """Give a harness of so many splices, each below a header of its own."""
    yield HEAD
    yield from (f'[[splices]]\nid = "J{number}"\n' for number in range(count))


def wide_connectors(count: int, cavities: int) -> Pieces:
    """Give a harness with so many connectors of so many cavities."""
    yield f"{HEAD}connectors = [\n"
    yield from (f'  {{ id = "X{number}", cavities = {cavities} }},\n' for number in range(count))
    yield "]\n"


def many_key_states(count: int) -> Pieces:
    """Give a harness with so many key states."""
    yield 'format = 1\nbuild = { name = "Keys", nominal_volts = 12 }\nbatteries = [ { id = "G1" } ]\nkey_states = [\n'
    yield from (f'  {{ name = "key {number}" }},\n' for number in range(count))
    yield "]\n"


def many_positions(count: int) -> Pieces:
    """Give a harness whose switch has so many positions."""
    yield f'{HEAD}[[switches]]\nid = "S1"\n[switches.positions]\n'
    yield from (f"p{number} = [[1, 2]]\n" for number in range(count))


def many_terminals(count: int) -> Pieces:
    """Give a harness whose switch has so many terminals, all joined in one position."""
    names = ", ".join(f'"t{number}"' for number in range(count))
    yield f'{HEAD}switches = [ {{ id = "S1", terminals = [{names}], positions = {{ off = [], on = [[{names}]] }} }} ]\n'


def big_face(count: int) -> Pieces:
    """Give a harness with a connector whose face has so many places."""
    face = ", ".join("0" for _ in range(count))
    yield f'{HEAD}connectors = [ {{ id = "X1", cavities = 2, face = [[1, 2, {face}]] }} ]\n'


def breaches(count: int) -> Pieces:
    """Give a harness in which so many rows have three things wrong each."""
    yield f"{HEAD}wires = [\n"
    yield from ('  { id = "1", colourr = "RD", size = -1, length = "long" },\n' for _ in range(count))
    yield "]\n"


def same_ids(count: int) -> Pieces:
    """Give a harness with so many parts that have one id between them."""
    yield f"{HEAD}splices = [\n"
    yield from ('  { id = "J1" },\n' for _ in range(count))
    yield "]\n"


def unknown_tables(count: int) -> Pieces:
    """Give a harness with so many tables that the format does not know."""
    yield HEAD
    yield from (f"[wirez{number}]\n" for number in range(count))


def unknown_keys(count: int) -> Pieces:
    """Give a harness with a row of so many keys that it does not take."""
    keys = ", ".join(f"k{number} = 1" for number in range(count))
    yield f'{HEAD}splices = [ {{ id = "J1", {keys} }} ]\n'


def unknown_points(count: int) -> Pieces:
    """Give a harness of so many wires that begin at points that are nowhere."""
    yield f"{HEAD}wires = [\n"
    yield from (f'  {{ id = "W{number}", from = "Q{number}.1" }},\n' for number in range(count))
    yield "]\n"


def star(count: int) -> Pieces:
    """Give a harness with so many wires on one splice."""
    yield f'{HEAD}splices = [ {{ id = "J1" }} ]\nwires = [\n  {{ id = "W", from = "G1.+", to = "J1" }},\n'
    yield from (f'  {{ id = "W{number}", from = "J1" }},\n' for number in range(count))
    yield "]\n"


def nested_within(count: int) -> Pieces:
    """Give a harness of so many parts, each inside the one before."""
    yield f'{HEAD}splices = [\n  {{ id = "J0" }},\n'
    yield from (f'  {{ id = "J{number}", inside = "J{number - 1}" }},\n' for number in range(1, count))
    yield "]\n"


def dotted(parts: int, keys: int) -> Pieces:
    """Give a text of so many keys, each of so many parts."""
    yield from (f"{'a.' * parts}b{number} = 1\n" for number in range(keys))


def repeated(piece: str, size_bytes: int, before: str = "", after: str = "") -> Pieces:
    """Give one piece as often as fits into so many bytes, with something before and after."""
    yield before
    per = max(1, 65536 // len(piece.encode()))
    times = size_bytes // len(piece.encode())
    for _ in range(times // per):
        yield piece * per
    yield piece * (times % per)
    yield after


def list_rows(size_bytes: int) -> Pieces:
    """Give a wire list of as many rows as fit into so many bytes."""
    yield LIST_HEAD
    row = "W{},F{}.out,E{}.+,red/black,1.5,2.5\n"
    length = len(row.format(100_000, 10_000, 10_000))
    count = size_bytes // length
    yield from (row.format(number, number % 9999, number % 7777) for number in range(count))


def list_labels(count: int) -> Pieces:
    """Give a wire list of so many rows, each of which names two parts that no other names."""
    yield LIST_HEAD
    yield from (f",Thing number {number} left,Other {number} right,,,\n" for number in range(count))


def parts_rows(count: int) -> Pieces:
    """Give a parts list of so many parts."""
    yield "id,kind,label,watts\n"
    yield from (f"E{number},lamp,Lamp {number},5\n" for number in range(count))


HARNESSES: dict[str, Callable[[], Pieces]] = {
    "sound rows, 100 MB": lambda: harness_rows(100 * MEGABYTE),
    "sound rows, 3.9 MB": lambda: harness_rows(LARGE),
    "sound rows, 1 MB": lambda: harness_rows(MEGABYTE),
    "a million rows": lambda: headed_rows(MILLION),
    "50,000 headers": lambda: headed_rows(50_000),
    "a million cavities": lambda: wide_connectors(1, MILLION),
    "400 connectors of 10,000": lambda: wide_connectors(400, 10_000),
    "20,000 connectors of 10,000": lambda: wide_connectors(20_000, 10_000),
    "20,000 key states": lambda: many_key_states(20_000),
    "50,000 positions": lambda: many_positions(50_000),
    "50,000 terminals": lambda: many_terminals(50_000),
    "a face of a million": lambda: big_face(MILLION),
    "20,000 wrong rows": lambda: breaches(20_000),
    "50,000 equal ids": lambda: same_ids(50_000),
    "50,000 unknown tables": lambda: unknown_tables(50_000),
    "50,000 unknown keys": lambda: unknown_keys(50_000),
    "30,000 unknown points": lambda: unknown_points(30_000),
    "30,000 wires on a splice": lambda: star(30_000),
    "20,000 inside each other": lambda: nested_within(20_000),
    "10,000 brackets": lambda: ["a = ", "[" * 10_000, "]" * 10_000, "\n"],
    "10,000 braces": lambda: ["a = ", "{a=" * 10_000, "1", "}" * 10_000, "\n"],
    "a key of 10,000 parts": lambda: dotted(10_000, 1),
    "keys of 450 parts": lambda: dotted(450, 1000),
    "keys of 40 parts": lambda: dotted(40, 20_000),
    "a header of 10,000 parts": lambda: ["[", "a." * 10_000, "b]\n"],
    "remarks of 3.9 MB": lambda: repeated("# nothing\n", LARGE, HEAD),
    "line ends of 3.9 MB": lambda: repeated("\n", LARGE, HEAD),
    "spaces of 3.9 MB": lambda: repeated(" ", LARGE, HEAD),
    "brackets of 3.9 MB": lambda: repeated("[", LARGE, "a = "),
    "quotes of 3.9 MB": lambda: repeated('"', LARGE, "a = "),
    "empty texts of 3.9 MB": lambda: repeated('"",', LARGE, "a = [", "]\n"),
    "one text of 3.9 MB": lambda: repeated("é", LARGE, f'{HEAD}[defaults]\na = "', '"\n'),
    "a text left open": lambda: repeated("x\n", LARGE, 'a = """'),
    "quotes in a text of 3.9 MB": lambda: repeated('\\"', LARGE, 'a = "', '"\n'),
    "brackets in a text left open": lambda: repeated("a[", MEGABYTE, 'a = """'),
    "braces before a mistake": lambda: repeated("{", MEGABYTE // 2, 'a = ["', '", [ =\n'),
    "spaces before a mistake": lambda: repeated(" ", LARGE, f"{HEAD}splices = [\nb =", "x\n"),
    "brackets 440 deep": lambda: repeated(f"{'[' * 440}{']' * 440},\n", MEGABYTE // 2, "a = [\n", "]\n"),
    "backslashes of 3.9 MB": lambda: repeated("\\\\", LARGE, 'a = "', '"\n'),
    "equals of 3.9 MB": lambda: repeated("=", LARGE),
    "a number of 3.9 MB": lambda: repeated("9", LARGE, "a = ", "\n"),
    "a hex number of 3.9 MB": lambda: repeated("f", LARGE, f"{HEAD}[defaults]\ncrimp = 0x", "\n"),
    "a fraction of 3.9 MB": lambda: repeated("9", LARGE, f"{HEAD}[defaults]\ncrimp = 0.", "\n"),
    "dots of 3.9 MB": lambda: repeated("a.", LARGE),
    "NUL bytes of 100 MB": lambda: repeated("\0", 100 * MEGABYTE),
}
"""Harness files by what is too much in each."""

LISTS: dict[str, Callable[[], Pieces]] = {
    "wires of 100 MB": lambda: list_rows(100 * MEGABYTE),
    "wires of 3.9 MB": lambda: list_rows(LARGE),
    "10,000 wires": lambda: list_rows(400_000),
    "10,000 wires of labels": lambda: list_labels(10_000),
    "separators of 3.9 MB": lambda: repeated(",", LARGE, LIST_HEAD),
    "quotes of 3.9 MB": lambda: repeated('"', LARGE, LIST_HEAD),
    "quotes left open": lambda: repeated('"x\n', 2 * MEGABYTE, LIST_HEAD),
    "long quoted lines left open": lambda: repeated(f'"{"x" * 5000}\n', LARGE, LIST_HEAD),
    "one cell of 3.9 MB": lambda: repeated("x", LARGE, LIST_HEAD),
    "formulas of 2 MB": lambda: repeated("=A1,=B1,=C1\n", 2 * MEGABYTE, LIST_HEAD),
    "line ends of 3.9 MB": lambda: repeated("\n", LARGE, LIST_HEAD),
    "headings of 3.9 MB": lambda: repeated("from,to,", LARGE),
    "NUL bytes of 3.9 MB": lambda: repeated("\0", LARGE, LIST_HEAD),
    "a number of 3.9 MB": lambda: repeated("9", LARGE, f"{LIST_HEAD}W1,G1.+,F1.in,RD,"),
}
"""Wire lists by what is too much in each."""

PARTS: dict[str, Callable[[], Pieces]] = {
    "10,000 parts": lambda: parts_rows(10_000),
    "100,000 parts": lambda: parts_rows(100_000),
    "deep JSON": lambda: ["id,kind,positions\nS1,switch,", "[" * 100_000, "\n"],
    "cells of 3.9 MB": lambda: repeated("E1,lamp,x,5\n", LARGE, "id,kind,label,watts\n"),
}
"""Parts lists by what is too much in each."""

RECORDS: dict[str, Callable[[], Pieces]] = {
    "entries of 100 MB": lambda: repeated(ENTRY, 100 * MEGABYTE, "format = 1\n"),
    "entries of 1 MB": lambda: repeated(ENTRY, MEGABYTE, "format = 1\n"),
    "headers of 3.9 MB": lambda: repeated("[[entry]]\n", LARGE, "format = 1\n"),
    "noise of 3.9 MB": lambda: repeated("x\n", LARGE, "format = 1\n"),
    "noise in an entry": lambda: repeated("x\n", LARGE, "format = 1\n[[entry]]\n"),
    "kinds in an entry": lambda: repeated("kind = 1\n", LARGE, "format = 1\n[[entry]]\n"),
    "one text of 3.9 MB": lambda: repeated("x", LARGE, "format = 1\n[[entry]]\nnote = '", "'\n"),
    "brackets of 3.9 MB": lambda: repeated("[", LARGE, "format = 1\n[[entry]]\na = "),
    "keys of 40 parts": lambda: [*["format = 1\n[[entry]]\n"], *dotted(40, 20_000)],
    "NUL bytes of 100 MB": lambda: repeated("\0", 100 * MEGABYTE),
}
"""Records by what is too much in each."""


def write_pieces(path: Path, pieces: Pieces) -> Path:
    """Write a file piece by piece and give its path."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        stream.writelines(pieces)
    return path
