"""Columns of figures on the screens as they are kept: each figure ends under the last sign of its head."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent.parent / "golden"
VOLTS = re.compile(r"(?<!\S)-?\d+\.\d\d(?!\S)")
COUNT = re.compile(r"(?<!\S)\d+(?!\S)")
HEADS: dict[str, tuple[tuple[str, ...], re.Pattern[str]]] = {
    "walk": (("expect, V", "unplugged"), VOLTS),
    "trace": (("expect, V", "read, V"), VOLTS),
    "card_[68]": (("now, V",), VOLTS),
    "card_1": (("off", "accessory", "ignition", "crank", "running"), VOLTS),
    "search": (("now, V",), VOLTS),
    "profile": (("computed, V", "as built"), VOLTS),
    "plans": (("rows", "open", "good", "bad", "skipped", "unproven"), COUNT),
}
"""Of each screen the heads under which figures stand, and what such a figure is."""

TABLES = [
    (path.name, name) for name in HEADS for path in sorted(GOLDEN.glob(f"{name}{'' if '_' in name else '_[0-9]'}*.txt"))
]


@pytest.mark.parametrize(("file_name", "name"), TABLES)
def test_figures_end_under_their_heads(file_name: str, name: str) -> None:
    """Volts have two decimals, so that their points stand below each other where they end in one place."""
    heads, figure_of = HEADS[name]
    lines = (GOLDEN / file_name).read_text(encoding="utf-8").splitlines()
    columns, place = max(
        ((heads_in(line, heads), place) for place, line in enumerate(lines)), key=lambda one: len(one[0])
    )
    ends = {end for _, end in columns}
    figures = [
        (figure.end(), row)
        for row in rows_below(lines[place + 1 :])
        for figure in figure_of.finditer(row)
        if columns[0][0] - 2 <= figure.start() and figure.end() <= max(ends) + 2
    ]
    assert figures
    assert [row for end, row in figures if end not in ends] == []


def heads_in(line: str, heads: tuple[str, ...]) -> list[tuple[int, int]]:
    """Return where heads begin and end in a line."""
    found = [re.search(rf"(?<!\S){re.escape(head)}(?!\S)", line) for head in heads]
    return sorted(one.span() for one in found if one is not None)


def rows_below(lines: list[str]) -> list[str]:
    """Return the rows of a table, up to the rule under it, the line of the record left out."""
    rule = next((place for place, line in enumerate(lines) if line.startswith("─")), len(lines))
    return [line for line in lines[:rule] if not line.strip().startswith("record")]
