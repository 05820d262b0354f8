"""What wire to buy and cut: lengths by size and colour, with an allowance at each end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.supply import assumed_of, wire_length_m, wire_size
from model.harness.wire_words import colour_code, size_words
from model.sheets.plan_csv import csv_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.units import parse_size
from model.words import clean, colour_words, plural

END_ALLOWANCE_M = 0.10
"""What a hand leaves longer at each end to crimp it twice: common practice, no published figure."""

COLUMNS = ("size", "colour", "colour in words", "wire", "from", "to", "length, m", "cut, m", "assumed")


@dataclass(frozen=True, slots=True)
class Cut:
    """One wire to cut.

    Attributes
    ----------
    length_m
        As it lies; `is_assumed` where the file leaves it out.
    cut_m
        With the allowance at both ends.
    """

    wire: Wire
    length_m: float
    cut_m: float
    is_assumed: bool


@dataclass(frozen=True, slots=True)
class Reel:
    """All wires of one size and colour, the longest first."""

    size: str
    colour: str
    cuts: tuple[Cut, ...]

    @property
    def cut_m(self) -> float:
        """Metres in all, with the allowances."""
        return sum(cut.cut_m for cut in self.cuts)

    @property
    def assumed(self) -> int:
        """How many of the lengths are assumed."""
        return sum(cut.is_assumed for cut in self.cuts)


def cut_list(harness: Harness, end_allowance_m: float = END_ALLOWANCE_M) -> tuple[Reel, ...]:
    """Give the wires by size and colour, the thickest first; those out of work are laid no more.

    Parameters
    ----------
    end_allowance_m
        Metres that each end is cut longer.
    """
    found: dict[tuple[float, str, str], list[Cut]] = {}
    for wire in harness.wires:
        if wire.superseded_by is not None:
            continue
        area_mm2 = parse_size(wire_size(harness, wire)).area_mm2
        length_m = wire_length_m(harness, wire)
        cut = Cut(wire, length_m, length_m + 2 * end_allowance_m, "length" in assumed_of(harness, wire))
        found.setdefault((-area_mm2, size_words(harness, wire), colour_code(wire)), []).append(cut)
    return tuple(
        Reel(size, colour, tuple(sorted(found[area, size, colour], key=lambda cut: -cut.cut_m)))
        for area, size, colour in sorted(found)
    )


def cut_list_sheet(harness: Harness, end_allowance_m: float = END_ALLOWANCE_M) -> ReviewSheet:
    """Lay out what to buy, size by size, then what to cut, wire by wire."""
    reels = cut_list(harness, end_allowance_m)
    idle = ", ".join(wire.id for wire in harness.wires if wire.superseded_by is not None)
    about = (
        f"Each wire is cut {end_allowance_m * 100:g} cm longer at either end than it lies: to lay it, strip it and "
        f"crimp it a second time (common practice, no published figure).",
        "Lay each wire in its place before it is cut: the lengths are those of the file.",
        *((f"Left out, since others do their work now: {clean(idle, 400)}.",) if idle else ()),
    )
    return ReviewSheet(
        "cut list",
        f"{clean(harness.build.name)}, revision {harness.build.revision}",
        about,
        (_to_buy(reels), _to_cut(reels)) if reels else (Section(words=("No wire is in this file.",)),),
    )


def _to_buy(reels: Sequence[Reel]) -> Section:
    columns = (
        Column("size", width_mm=32),
        Column("colour", width_mm=20),
        Column("in words"),
        Column("wires", True, 16),
        Column("metres", True, 18),
        Column("of them assumed", True, 24),
    )
    rows = tuple(
        (
            one.size,
            one.colour,
            clean(colour_words(one.colour)) if one.colour != "--" else "not given",
            str(len(one.cuts)),
            f"{one.cut_m:.1f}",
            str(one.assumed or ""),
        )
        for one in reels
    )
    total_m, count = sum(one.cut_m for one in reels), sum(len(one.cuts) for one in reels)
    assumed = sum(one.assumed for one in reels)
    note = f"{plural(count, 'wire')}, {total_m:.1f} m in all"
    notes = (f"{note}; the length of {plural(assumed, 'wire')} is assumed." if assumed else f"{note}.",)
    return Section("To buy", grid=Grid(columns, rows), notes=notes)


def _to_cut(reels: Sequence[Reel]) -> Section:
    columns = (
        Column("size, colour", width_mm=38),
        Column("wire", width_mm=20),
        Column("from"),
        Column("to"),
        Column("cut, m", True, 18),
    )
    rows = tuple(
        (
            f"{one.size} {one.colour}",
            cut.wire.id,
            cut.wire.from_point or "free end",
            cut.wire.to_point or "free end",
            f"{cut.cut_m:.2f}{'?' if cut.is_assumed else ''}",
        )
        for one in reels
        for cut in one.cuts
    )
    note = "With a question mark the length is assumed."
    has_assumed = any(one.assumed for one in reels)
    grid = Grid(columns, rows, tuple(row[1] for row in rows))
    return Section("To cut", grid=grid, notes=(note,) if has_assumed else ())


def cut_list_csv(harness: Harness, end_allowance_m: float = END_ALLOWANCE_M) -> str:
    """Give the cuts as CSV, a row a wire."""
    return csv_text(
        COLUMNS,
        (
            (
                one.size,
                one.colour,
                clean(colour_words(one.colour)) if one.colour != "--" else "",
                cut.wire.id,
                cut.wire.from_point,
                cut.wire.to_point,
                cut.length_m,
                cut.cut_m,
                "yes" if cut.is_assumed else "",
            )
            for one in cut_list(harness, end_allowance_m)
            for cut in one.cuts
        ),
    )


def cut_list_json(harness: Harness, end_allowance_m: float = END_ALLOWANCE_M) -> dict[str, object]:
    """Give the cuts as one JSON object."""
    return {
        "format": "fusewalk cut list",
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "end_allowance_m": end_allowance_m,
        "reels": [
            {
                "size": one.size,
                "colour": one.colour,
                "cut_m": round(one.cut_m, 3),
                "wires": [
                    {"wire": cut.wire.id, "length_m": cut.length_m, "cut_m": cut.cut_m, "assumed": cut.is_assumed}
                    for cut in one.cuts
                ],
            }
            for one in cut_list(harness, end_allowance_m)
        ],
    }
