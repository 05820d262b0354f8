"""A demo build in which every free text has something hostile in it: for terminals, Markdown, HTML, spreadsheets."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any
from zlib import crc32

import tomli_w

DEMO_BUILDS = Path(__file__).parents[2] / "demo_builds"
PAYLOADS = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</style></title><b>",
    "<!-- ",
    "--> ]]> ",
    "&lt;b&gt; &amp;",
    "a | b | c",
    "`code` ``` ~~~",
    "[go](javascript:alert(1))",
    "![x](http://example.org/x.png)",
    "<http://example.org>",
    "# head",
    "*bold* _thin_ ~~no~~",
    "\\| \\",
    '=HYPERLINK("http://example.org","x")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "=cmd|' /C calc'!A0",
    ";=1+1",
    ",=1+1",
    '"",=1+1',
    "\t=1+1",
    "[/]",
    "[@click=app.quit]go[/]",
    "[red]",
    "\x1b]0;taken\x07\x1b[2J\x9b31m",
    "\x1b]8;;http://example.org\x1b\\x",
    "a\u202eb\u2066c\u200fd\u2028e",
    "\r\n- [ ] line",
    "1. one\n2. two",
    "$(rm) %s {0} ${x}",
    "\x85\x90\x9d",
    "Ω µ 前照灯 ⚠️",
    "../../../etc/passwd",
    "/dev/null",
    "CON",
)
_FREE = frozenset(
    {"label", "note", "location", "from_location", "to_location", "reach", "picture", "date", "active", "works_in"}
    | {"when", "via", "box", "near", "words"}
)
_NAMED = frozenset({"build", "key_states", "locations", "trunks"})
_POSITIONED = frozenset({"switches", "resistors"})


def hostile(text: str) -> str:
    """Give a text with something hostile before it, the same for the same text."""
    return f"{PAYLOADS[crc32(text.encode()) % len(PAYLOADS)]} {text}"


@cache
def hostile_loom(name: str) -> str:
    """Give a demo build, by the name of its file, with all that is not an id, a point or a word of the format hostile.

    What names each other still does: places, trunks, key states and positions of switches are renamed everywhere.
    """
    document = tomllib.loads((DEMO_BUILDS / f"{name}.toml").read_text(encoding="utf-8"))
    return tomli_w.dumps({table: _table(table, value) for table, value in document.items()})


def _table(table: str, value: object) -> object:
    if isinstance(value, list):
        return [_row(table, row) for row in value]
    return _row(table, value) if isinstance(value, dict) else value


def _row(table: str, row: dict[str, Any]) -> dict[str, Any]:
    if table == "switches":
        row = {"positions": {"off": [], "on": [["1", "2"]]}} | row
    return {key: _value(table, key, value) for key, value in row.items()}


def _value(table: str, key: str, value: Any) -> object:  # noqa: ANN401 - whatever TOML holds
    match key:
        case "name" if table in _NAMED:
            return hostile(value)
        case "rest" if table in _POSITIONED:
            return hostile(value)
        case "positions":
            return {hostile(position): groups for position, groups in value.items()}
        case "follows":
            return {hostile(state): hostile(position) for state, position in value.items()}
        case "works_with":
            tables = value if isinstance(value, list) else [value]
            return [{switch: hostile(position) for switch, position in one.items()} for one in tables]
        case "ohms" if isinstance(value, dict):
            return {part: hostile(number) if part == "rest" else number for part, number in _ohms(value).items()}
        case "drivers" | "outputs" | "feeds" | "elements":
            return [_row(key, one) for one in value]
    if key in _FREE:
        return _all(value)
    return value


def _ohms(value: dict[str, Any]) -> dict[str, Any]:
    return {part if part == "rest" else hostile(part): number for part, number in value.items()}


def _all(value: object) -> object:
    if isinstance(value, list):
        return [_all(one) for one in value]
    return hostile(value) if isinstance(value, str) else value
