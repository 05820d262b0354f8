"""The walk of a load for paper and for a table: one HTML sheet to take to the vehicle, or comma-separated values."""

from __future__ import annotations

from collections.abc import Iterator

from model.caution_words import GENERAL_CAUTIONS
from model.harness.harness import Harness
from model.sheets.plan_csv import Cell, csv_text
from model.sheets.profile_text import profile_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.sheets.volts_profile import volts_profile
from model.sheets.walk_as_built import NOT_READ, AsBuilt
from model.sheets.walk_words import (
    band_text,
    does_words,
    intro,
    key_mark,
    led_words,
    outside_words,
    rating_words,
    shown,
    title,
    walk_cautions,
    what_words,
    where_words,
)
from model.tracing.expect import Expect
from model.tracing.rows import ToldWalk, WalkRow, WalkSection

_PAPER_MM = 188
"""What A4 leaves between the margins of a sheet."""
_WORDS_SHARE = 0.4
"""So much is kept for what leads to a point: the one column of words decides how many points fill a sheet."""

_POINT_MM, _BAND_MM, _READ_MM = 17, 15, 11
_FIGURE_LEAST_MM, _FIGURE_MOST_MM = 11, 18


def walk_paper(harness: Harness, told: ToldWalk, as_built: AsBuilt = NOT_READ) -> ReviewSheet:
    """Lay the walk out for paper: cautions, the load between its feed and its ground, controls, then the profile."""
    head, *drawn = profile_text(harness, volts_profile(harness, told, as_built))
    sections = [_section(harness, told, section) for section in told.sections]
    sections.insert(1, _load(harness, told))
    return ReviewSheet(
        title=title(told),
        vehicle=harness.build.name,
        about=(),
        sections=(
            Section("", words=tuple(intro(harness, told))),
            *sections,
            Section(head, drawing=tuple(drawn)),
        ),
        cautions=(*walk_cautions(harness, told), *(caution.text for caution in GENERAL_CAUTIONS)),
    )


def _load(harness: Harness, told: ToldWalk) -> Section:
    load, key = told.load, told.condition.key
    if load.refusal:
        return Section("Load", words=(f"{rating_words(told)}. {load.refusal}",))
    below, above = load.says[key]
    row = _cells(told, "across it", f"red {load.red}, black {load.black}", load.across)
    return Section(
        "Load",
        words=(f"{rating_words(told)}; {does_words(told, key)}.", f"Below the band: {below} Above: {above}"),
        grid=Grid(_columns(harness, told), (row,)),
    )


def _section(harness: Harness, told: ToldWalk, section: WalkSection) -> Section:
    return Section(
        f"{section.heading[:1].upper()}{section.heading[1:]}",
        words=(section.remark,) if section.remark else (),
        grid=Grid(_columns(harness, told), tuple(_row(harness, told, row) for row in section.rows)),
        notes=tuple(_said(told, section)),
    )


def _row(harness: Harness, told: ToldWalk, row: WalkRow) -> tuple[str, ...]:
    here = ", ".join(word for word in (what_words(row), where_words(row)) if word)
    what = ": ".join(word for word in (led_words(harness, told, row), here) if word)
    if row.refusal:
        figures = ("not measured",) * (len(told.expectations.keys) + 2)
        return (row.point, f"{what}. {row.refusal}", *figures, "")
    return _cells(told, row.point, ". ".join((what, *row.notes)), row.expect)


def _said(told: ToldWalk, section: WalkSection) -> Iterator[str]:
    """Say of each point what a reading outside its band tells."""
    key = told.condition.key
    for row in section.rows:
        if not row.refusal and row.expect[key].on is not None:
            below, above = row.says[key]
            low, high = outside_words(row.expect[key])
            if low == "low":
                yield f"{row.point} below the band: {below} Above: {above}"
            else:
                yield f"{row.point} {high} than the band: {above} {low.capitalize()}: {below}"


def _columns(harness: Harness, told: ToldWalk) -> tuple[Column, ...]:
    keys = [" ".join(word for word in (key, key_mark(harness, told, key)) if word) for key in told.expectations.keys]
    left_mm = (1.0 - _WORDS_SHARE) * _PAPER_MM - _POINT_MM - _BAND_MM - _READ_MM
    figure_mm = min(max(int(left_mm / (len(keys) + 1)), _FIGURE_LEAST_MM), _FIGURE_MOST_MM)
    return (
        Column("point", width_mm=_POINT_MM),
        Column("what leads to it, what and where"),
        *(Column(head, is_figure=True, width_mm=figure_mm) for head in keys),
        Column(f"good in {told.condition.key}", is_figure=True, width_mm=_BAND_MM),
        Column("unplugged", is_figure=True, width_mm=figure_mm),
        Column("read", width_mm=_READ_MM),
    )


def _cells(told: ToldWalk, name: str, what: str, expect: dict[str, Expect]) -> tuple[str, ...]:
    here = expect[told.condition.key]
    figures = (shown(one.on, one.word) for one in expect.values())
    return (name, what, *figures, band_text(here), shown(here.unplugged, here.unplugged_word), "")


def walk_csv(harness: Harness, told: ToldWalk, as_built: AsBuilt = NOT_READ) -> str:
    """Give the walk as CSV, a row a point in the order of the walk: volts per key state, those of its own key's band.

    A word (``floating``, ``unsettled``) stands where there are no volts; ``never probed`` says why where no probe may
    go.
    """
    keys = told.expectations.keys
    columns = (
        "section",
        "point",
        "what",
        "place",
        "leads to it",
        *(f"{key}, V" for key in keys),
        "good from, V",
        "good to, V",
        "unplugged, V",
        "as built, V",
        "never probed",
    )
    return csv_text(columns, _csv_rows(harness, told, as_built))


def _csv_rows(harness: Harness, told: ToldWalk, as_built: AsBuilt) -> Iterator[tuple[Cell, ...]]:
    load = told.load
    for number, section in enumerate(told.sections):
        if number == 1 and not load.refusal:
            across = _csv_figures(told, load.across, as_built.across_volts)
            yield ("load", load.red, f"across it, black {load.black}", "", "", *across, "")
        for row in section.rows:
            what, led = what_words(row), led_words(harness, told, row)
            figures = (
                ("",) * (len(told.expectations.keys) + 4)
                if row.refusal
                else _csv_figures(told, row.expect, as_built.volts.get(row.point))
            )
            yield (section.heading, row.point, what, where_words(row), led, *figures, row.refusal)


def _csv_figures(told: ToldWalk, expect: dict[str, Expect], read_volts: float | None) -> tuple[Cell, ...]:
    here = expect[told.condition.key]
    unplugged = here.unplugged_word if here.unplugged is None else here.unplugged
    return (
        *(one.word if one.on is None else one.on for one in expect.values()),
        here.low,
        here.high,
        unplugged,
        read_volts,
    )
