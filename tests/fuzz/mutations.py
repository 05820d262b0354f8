"""Sound files made unsound with a sense for their structure: rows, keys, values, names and bytes of them changed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from copy import deepcopy
from functools import cache
from random import Random
from typing import Any

import tomli_w

from tests.fuzz.hostile_loom import DEMO_BUILDS, PAYLOADS

BUILDS = ("field_tractor", "harbour_launch", "trail_buggy")
NUMBERS = (
    0, 1, -1, 2, 0.1, 1e-9, 1e-300, 5e-324, 1e6, 1e15, 1e300, 1.7e308, 10**20, 10**400, 2**63, -(2**63), -0.0,
    float("inf"), float("-inf"), float("nan"), 12, 24, 60, 4, 9999, 10_000,
)  # fmt: skip
ODD: tuple[object, ...] = (
    "",
    " ",
    "x",
    True,
    False,
    [],
    {},
    [[]],
    [""],
    {"": ""},
    "F1.out",
    "CHASSIS",
    "off",
    "rest",
    "1",
    "AWG 4/0",
    "GN/WH",
)
PIECES = (
    b"\0", b"\x1b[2J", b"\xff", b"\xef\xbb\xbf", b"\r", b"\n", b'"', b"'", b"'''", b"[", b"]", b"{", b"}", b"=", b",",
    b".", b"#", b"\\", b"\\u0000", b"[[wires]]\n", b"[entry]\n", b"[[entry]]\n", b"a.a.a.a = 1\n", b"9" * 5000, b"nan",
    b"\xe2\x80\xae", b"\xed\xa0\x80", b"1979-05-27T07:32:00Z", b"0x", b"kind = ", b";", b"\t", b'"\n"', b"=1+1",
)  # fmt: skip
Document = dict[str, Any]


@cache
def _build(name: str) -> Document:
    return tomllib.loads((DEMO_BUILDS / f"{name}.toml").read_text(encoding="utf-8"))


def mutated_harness(random: Random) -> str:
    """Give a demo build with one to six things in its structure changed, as text."""
    document = deepcopy(_build(random.choice(BUILDS)))
    for _ in range(random.randint(1, 6)):
        random.choice(_CHANGES)(document, random)
    return tomli_w.dumps(document)


def mutated_bytes(content: bytes, random: Random) -> bytes:
    """Give bytes with pieces cut out, doubled and put in."""
    for _ in range(random.randint(1, 8)):
        at, length = random.randint(0, len(content)), random.choice((0, 0, 1, 2, 8, 64, 1000))
        piece = random.choice(PIECES) if random.random() < 0.7 else content[at : at + length] * 2
        content = content[:at] + piece + content[at + length * random.randint(0, 1) :]
    return content


def _rows(document: Document, random: Random) -> list[Any]:
    tables = [value for value in document.values() if isinstance(value, list) and value]
    return random.choice(tables) if tables else []


def _row(document: Document, random: Random) -> Document:
    """Give a row, or a table within one."""
    rows = _rows(document, random)
    row = random.choice(rows) if rows and random.random() < 0.95 else document
    inner = [value for value in row.values() if isinstance(value, dict) and value] if isinstance(row, dict) else []
    inner += [one for value in row.values() if isinstance(value, list) for one in value if isinstance(one, dict)]
    return random.choice(inner) if inner and random.random() < 0.4 else row


def _key(row: Document, random: Random) -> str:
    return random.choice(list(row)) if row else ""


def _set_number(document: Document, random: Random) -> None:
    """Put a number where one stands."""
    for _ in range(20):
        row = _row(document, random)
        numbers = [key for key, value in row.items() if isinstance(value, (int, float))]
        if numbers:
            row[random.choice(numbers)] = random.choice(NUMBERS)
            return


def _set_all_numbers(document: Document, random: Random) -> None:
    """Put a number of one key in every row of a table."""
    rows = [row for row in _rows(document, random) if isinstance(row, dict)]
    key, number = _key(rows[0], random) if rows else "", random.choice(NUMBERS)
    for row in rows:
        if isinstance(row.get(key), (int, float)):
            row[key] = number


def _add_number(document: Document, random: Random) -> None:
    """Put a number under a key that some row of the file has."""
    row, other = _row(document, random), _row(document, random)
    numbers = [key for key, value in other.items() if isinstance(value, (int, float))]
    if numbers:
        row[random.choice(numbers)] = random.choice(NUMBERS)


def _set_odd(document: Document, random: Random) -> None:
    row = _row(document, random)
    row[_key(row, random) or "id"] = deepcopy(random.choice(ODD))


def _set_hostile(document: Document, random: Random) -> None:
    row = _row(document, random)
    row[random.choice(("label", "note", "location", "picture", "name", _key(row, random)))] = random.choice(PAYLOADS)


def _exchange(document: Document, random: Random) -> None:
    """Put what stands under a key of one row under that of another: points, places and ids among it."""
    one, other = _row(document, random), _row(document, random)
    key = _key(other, random)
    if key:
        one[key] = deepcopy(other[key])


def _cross(document: Document, random: Random) -> None:
    """Put a value of one row under another key of another."""
    one, other = _row(document, random), _row(document, random)
    from_key, to_key = _key(other, random), _key(one, random)
    if from_key and to_key:
        one[to_key] = deepcopy(other[from_key])


def _drop_key(document: Document, random: Random) -> None:
    row = _row(document, random)
    row.pop(_key(row, random), None)


def _drop_rows(document: Document, random: Random) -> None:
    rows = _rows(document, random)
    for _ in range(random.choice((1, 1, 3, 50))):
        if rows:
            rows.pop(random.randrange(len(rows)))


def _double_row(document: Document, random: Random) -> None:
    rows = _rows(document, random)
    if rows:
        row = deepcopy(random.choice(rows))
        if isinstance(row, dict) and "id" in row and random.random() < 0.8:
            row["id"] = f"{row['id']}x"
        rows.append(row)


def _join_points(document: Document, random: Random) -> None:
    """Lay a wire between two points that the file names, a short circuit as likely as not."""
    wires = [row for row in document.get("wires", []) if isinstance(row, dict)]
    points = [row[end] for row in wires for end in ("from", "to") if isinstance(row.get(end), str)]
    if points:
        new = {"id": f"Z{len(wires)}", "from": random.choice(points), "to": random.choice(points)}
        document["wires"].append(new)


_CHANGES: tuple[Callable[[Document, Random], None], ...] = (
    _set_number, _set_number, _set_number, _set_all_numbers, _add_number, _set_odd, _set_hostile, _exchange,
    _exchange, _cross, _drop_key, _drop_rows, _double_row, _join_points, _join_points,
)  # fmt: skip
