"""The profile of volts as rows: a row a point, its signs on a scale that stays, the drops in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from textual.content import Content

from model.harness.harness import Harness
from model.sheets.profile_text import (
    BAND,
    SIGNS,
    across_words,
    axis,
    chart,
    drop_sentence,
    drop_sentences,
    drop_volts,
    figure_heads,
    figures,
    is_outside,
    legend,
    link_named,
    outside_sentences,
)
from model.sheets.volts_profile import Drop, Origin, Profile, ProfilePoint
from model.sheets.walk_words import band_text
from model.words import size_text, volts_text
from tui.text import Part, assembled, padded, swatch, width, wrapped_lines
from tui.walk_rows import NEVER_PROBED, row_key
from tui.widgets.rows import Row

_GAP = "  "
_POINT_LEAST, _POINT_MOST = 6, 16
_CHART_LEAST = 22
_FIGURE_LEAST = 6


@dataclass(frozen=True, slots=True)
class ProfileColumns:
    """How wide the columns are.

    Attributes
    ----------
    shown
        The columns of figures that have room, by their place among all of them, and how wide each is.
    """

    point: int
    chart: int
    shown: tuple[tuple[int, int], ...]


def profile_columns(profile: Profile, cells: int) -> ProfileColumns:
    """Return the columns for a list so many cells wide: the scale keeps its room, figures give way from the last on."""
    names = [width(point.row.point) for section in profile.sections for point in section]
    point = min(max([_POINT_LEAST, *names]), _POINT_MOST)
    shown = [(place, max(width(head), _FIGURE_LEAST)) for place, head in enumerate(figure_heads(profile))]

    def room() -> int:
        return cells - point - len(_GAP) - sum(cell + len(_GAP) for _, cell in shown)

    while len(shown) > 1 and room() < _CHART_LEAST:
        # the drop goes first, what was read last
        del shown[-1 if shown[-1][0] == len(profile.origins) else -2 if len(shown) > 2 else -1]
    return ProfileColumns(point, max(room(), 1), tuple(shown))


def profile_words(harness: Harness, profile: Profile) -> Content:
    """Return the largest drops as sentences, and what was read outside the good band."""
    drops = " ".join(drop_sentences(harness, profile))
    return assembled((drops, "bold"), *((f" {one}", "bold $suspect") for one in outside_sentences(profile)))


def profile_legend(profile: Profile) -> Content:
    """Return each sign with its word."""
    parts: list[Part] = []
    for sign, word in legend(profile):
        parts += [(sign, _style(sign, "$feed")), f" {word}   "]
    return assembled(*parts)


def profile_heads(profile: Profile, cells: int) -> Content:
    """Return the labels of the scale and the heads of the figures; two cells are left for the mark."""
    columns, heads = profile_columns(profile, cells), figure_heads(profile)
    told = "".join(f"{_GAP}{padded(heads[place], cell, right=True)}" for place, cell in columns.shown)
    lead = " " * (2 + columns.point + len(_GAP))
    return assembled((f"{lead}{axis(profile, columns.chart)}{told}", "$quiet"))


def profile_rows(harness: Harness, profile: Profile, cells: int) -> list[Row]:
    """Return the rows for a list so many cells wide; what is longer is wrapped."""
    columns = profile_columns(profile, cells)
    rows: list[Row] = []
    largest = profile.largest_drop(Origin.COMPUTED)
    for number, section in enumerate(profile.told.sections):
        hue = "$feed" if section.side.value == "feed" else "$ground"
        if number == 1:
            rows += _load_rows(profile, cells)
        rows += _told(assembled((section.heading, f"bold {hue}")), cells)
        remarks = [section.remark] if not section.rows else _control_drops(harness, profile, number)
        for remark in remarks:
            rows += _told(assembled((remark, "$quiet")), cells)
        rows += [
            Row(_point_line(profile, point, columns, hue, largest), row_key(number, place))
            for place, point in enumerate(profile.sections[number])
        ]
    return rows


def profile_detail(harness: Harness, profile: Profile, key: str) -> Content:
    """Return the point of a row in full: where it is, what leads there, how far the volts fall on the way."""
    section, _, place = key.partition(" ")
    if not place:
        return Content("")
    point = profile.sections[int(section)][int(place)]
    row = point.row
    where = ", ".join(word for word in (row.label, row.place.name) if word)
    parts: list[Part] = [(row.point, "bold"), f" {where}. " if where else ". "]
    if row.refusal:
        return assembled(*parts, (f"{NEVER_PROBED.capitalize()}.", "bold $caution"))
    parts += _volts_parts(profile, point)
    drops = ", ".join(f"{drop_volts(drop)} {origin}" for origin, drop in point.drops.items() if len(drop.rows) == 1)
    if row.wire is not None:
        parts += [f" By {link_named(harness, row)}, ", swatch(row.wire.colour, told=bool(row.wire.colour))]
        parts.append(f", {row.wire.size}{'' if row.wire.size.startswith('AWG') else ' mm²'}")
        parts.append(f", {size_text(row.wire.length_m)} m")
    elif row.link is not None:
        parts.append(f" By {link_named(harness, row)}")
    return assembled(*parts, f": drop {drops}." if drops else "." if row.link is not None else "")


def _volts_parts(profile: Profile, point: ProfilePoint) -> Iterator[Part]:
    expect = point.row.expect[profile.told.condition.key]
    if Origin.COMPUTED not in point.volts:
        yield f"{expect.word}." if expect.word else ""
        return
    told = [f"{volts_text(volts)} V {origin}" for origin, volts in point.volts.items()]
    good = "" if profile.told.condition.faults else "good "
    band = band_text(expect)
    yield (", ".join([told[0], *([f"{good}{band}"] if band else []), *told[1:]]) + ".", "bold")


def _point_line(
    profile: Profile, point: ProfilePoint, columns: ProfileColumns, hue: str, largest: Drop | None
) -> Content:
    name = padded(point.row.point, columns.point)
    if point.row.refusal:
        return assembled(name, _GAP, (NEVER_PROBED, "$caution"))
    is_odd = any(is_outside(profile, point, origin) for origin in profile.origins)
    drawn: list[Part] = [
        ("".join(run), _style(sign, hue, is_odd=is_odd)) for sign, run in groupby(chart(profile, point, columns.chart))
    ]
    told = figures(profile, point)
    is_largest = point.drops.get(Origin.COMPUTED) is not None and point.drops[Origin.COMPUTED] is largest
    shown: list[Part] = [
        (f"{_GAP}{padded(told[place], cell, right=True)}", "bold" if is_largest and place == len(told) - 1 else "")
        for place, cell in columns.shown
    ]
    return assembled(name, _GAP, *drawn, *shown)


def _style(sign: str, hue: str, *, is_odd: bool = False) -> str:
    if sign == BAND:
        return "$quiet"
    if sign == SIGNS[Origin.COMPUTED]:
        return f"bold {hue}"
    return "bold $suspect" if is_odd else "bold"


def _load_rows(profile: Profile, cells: int) -> list[Row]:
    across = across_words(profile)
    words = f"{profile.told.load.label}: {across} across it" if across else profile.told.load.label
    return _told(assembled(("load  ", "bold"), words), cells)


def _control_drops(harness: Harness, profile: Profile, number: int) -> list[str]:
    """Name the largest drops of a control, under the head of its feed."""
    sections = profile.told.sections
    of = sections[number].of
    if number < 2 or sections[number - 1].of == of:
        return []
    return [said for origin in profile.origins if (said := drop_sentence(harness, profile, origin, of))]


def _told(words: Content, cells: int) -> list[Row]:
    return [Row(line, can_be_marked=False) for line in wrapped_lines(words, max(cells, 8))]
