"""Published figures, each with its unit and its source, and the one loader that reads them.

A table is a file of comma-separated values beside this module. Its last three columns are ``unit`` (of the row's main
quantity), ``source`` (the standard, manual or book) and ``source_kind``. A blank cell means that the source says
nothing there. Nothing is read before it is asked for.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType

Row = Mapping[str, str]


class SourceKind(StrEnum):
    """How far a figure can be relied on."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"
    JUDGEMENT = "judgement"


@cache
def table_rows(name: str) -> tuple[Row, ...]:
    """Read a table, header names to cells as text.

    Parameters
    ----------
    name
        Name of its file without ``.csv``, such as ``fuse_times``.

    Raises
    ------
    FileNotFoundError
        Where there is no such table.
    """
    path = Path(__file__).with_name(f"{name}.csv")
    with path.open(encoding="utf-8", newline="") as lines:
        return tuple(MappingProxyType(row) for row in csv.DictReader(lines, strict=True))


def cell_figure(cell: str) -> float | None:
    """Read the figure of a cell; None of a blank one."""
    return float(cell) if cell else None


@cache
def conductor_ohms_per_km(standard: str, coating: str = "plain") -> Mapping[float, float]:
    """Give the largest permitted resistance of each size of a standard.

    Parameters
    ----------
    standard
        As in the table, such as ``IEC 60228 class 5`` or ``DIN VDE 0295``.
    coating
        ``plain`` or ``tinned`` copper.

    Returns
    -------
    Mapping[float, float]
        Area in mm² → ohms per kilometre at 20 °C; empty for a standard that is not in the table.
    """
    return MappingProxyType(
        {
            float(row["area_mm2"]): float(row["max_ohms_per_km"])
            for row in table_rows("conductors")
            if row["standard"] == standard and row["coating"] == coating
        }
    )


@cache
def fuse_figures(quantity: str, style: str = "medium blade") -> Mapping[float, float]:
    """Give a quantity of fuses by rating.

    Parameters
    ----------
    quantity
        ``cold resistance`` (milliohms) or ``drop at rated current`` (millivolts).
    style
        ``medium blade``, ``mini blade`` or ``maxi blade`` (ISO 8820-3 types C, F, E).

    Returns
    -------
    Mapping[float, float]
        Rating in amperes → the quantity.
    """
    return MappingProxyType(
        {
            float(row["rating_amps"]): float(row["value"])
            for row in table_rows("fuses")
            if row["quantity"] == quantity and row["style"] == style
        }
    )


@cache
def wire_colour_names() -> Mapping[str, str]:
    """Give the colour in words for each code of IEC 60757."""
    return MappingProxyType({row["code"]: row["colour"] for row in table_rows("wire_colours")})
