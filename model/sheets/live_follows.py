"""What follows from what is live: unfused wires, pulled fuses, another condition."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.metal import same_metal
from model.harness.places import point_place
from model.review.live_compared import CHANGES_VOLTS, Change, Compared
from model.review.live_points import LivePoint
from model.review.live_pulled import StaysLive
from model.review.live_switched import GroundSwitched
from model.review.live_unfused import UnfusedRun
from model.review.live_words import fuse_words, length_words, source_words, through_words
from model.sheets.condition_words import condition_words
from model.sheets.live_rows import NEVER, named_points
from model.sheets.review_sheet import Column, Grid, Section
from model.tracing.names import either, id_and_label, part_name
from model.words import clean, plural, volts_text

_NAMED_AT_MOST = 6
_RESTLESS_HEAD = "Never at rest in one of them, to be taken as live"


def switched_section(harness: Harness, switched: tuple[GroundSwitched, ...]) -> Section | None:
    """Tell what is live at both ends because a contact on its ground side is open; None where nothing is."""
    if not switched:
        return None
    items: list[str] = []
    for one in switched:
        named = part_name(harness, one.part_id)
        what = f"the coil of {named}" if one.site.endswith(":coil") else named
        by = either((part_name(harness, site.partition(":")[0]) for site in one.switched_by), "or")
        items.append(f"{_sentence(what)} is fed; {by} grounds it.")
    words = (
        "These have volts at both ends while they are off, because they are switched on their ground side. That is how "
        "the file has them built, and no fault."
    )
    return Section(
        "Fed, and switched on the ground side",
        words=(words,),
        items=tuple(items),
        item_parts=tuple(one.part_id for one in switched),
    )


def unfused_section(harness: Harness, runs: tuple[UnfusedRun, ...]) -> Section | None:
    """Tell how far the wires run without a fuse; None where nothing feeds."""
    if not runs:
        return None
    columns = (
        Column("from", width_mm=18),
        Column("wires"),
        Column("metres", is_figure=True, width_mm=26),
        Column("as far as", width_mm=70),
    )
    rows = tuple(
        (
            clean(run.source),
            ", ".join(map(clean, run.wires)) or "none",
            length_words(run.length),
            _end_words(harness, run),
        )
        for run in runs
    )
    notes = ["Metres are those of the wires between a source and the first fuse, as the contacts stand now."]
    if any(run.length.is_assumed for run in runs):
        notes.append("Assumed: the file gives no length for some wire of the run.")
    grid = Grid(columns, rows, tuple(run.end for run in runs))
    return Section("How far without a fuse", grid=grid, notes=tuple(notes))


def _end_words(harness: Harness, run: UnfusedRun) -> str:
    end = clean(run.end)
    if not run.fuses:
        return f"{end} without any, at {part_name(harness, run.end.partition('.')[0])}"
    named = [clean(name) for name in run.fuses[:_NAMED_AT_MOST]]
    more = len(run.fuses) - _NAMED_AT_MOST
    return f"{end}: fuse {either([*named, *([f'{more} more'] if more > 0 else [])], 'and')}"


def pulled_section(harness: Harness, pulled: tuple[StaysLive, ...]) -> Section | None:
    """Tell which fuses leave something live behind them when they are pulled; None where none does."""
    if not pulled:
        return None
    items: list[str] = []
    for one in pulled:
        if one.chargers:
            items.append(_may_carry_words(harness, one))
            continue
        near = next((point for point in one.points if point.point == one.load_side), one.points[0])
        others = len(one.points) - 1
        beside = f", and {plural(others, 'more point')} behind it" if others else ""
        items.append(
            f"{fuse_words(harness, one.fuse_id)} pulled: {clean(near.point)} still has {_volts_words(near)}{beside}, "
            f"{_from_words(harness, near)}."
        )
    words = ("A fuse that is out does not make all behind it dead. Measure both clips of its holder.",)
    return Section(
        "With a fuse pulled", words=words, items=tuple(items), item_parts=tuple(one.fuse_id for one in pulled)
    )


def _may_carry_words(harness: Harness, one: StaysLive) -> str:
    """Say that a charger that runs is left by itself: no battery holds its volts then."""
    named = [clean(name) for name in one.loose[:_NAMED_AT_MOST]]
    more = len(one.loose) - _NAMED_AT_MOST
    points = either([*named, *([f"{more} more"] if more > 0 else [])], "and")
    by = either([id_and_label(harness, charger.id) for charger in one.chargers], "and")
    volts = volts_text(max(charger.volts for charger in one.chargers))
    alone = "it runs" if len(one.chargers) == 1 else "they run"
    return (
        f"{fuse_words(harness, one.fuse_id)} pulled: {points} may carry the volts of {by}, {volts} V: "
        f"{alone} there without a battery, and what that gives is not worked out."
    )


def _volts_words(point: LivePoint) -> str:
    return f"{volts_text(point.volts)} V" if point.may_be_probed else f"volts ({NEVER} goes there)"


def _from_words(harness: Harness, point: LivePoint) -> str:
    through = through_words(harness, point.path)
    where = source_words(harness, point.source) if not point.path else f"from {clean(point.source)}"
    return f"{where}{f', {through}' if through else ''}"


def compared_sections(harness: Harness, against: Compared) -> Iterator[Section]:
    """Tell what another condition makes live, makes dead and changes."""
    heads = _heads(harness, against.before, against.after)
    columns = (Column("point"), Column("place"), *(Column(words, is_figure=True, width_mm=30) for words in heads))
    for head, changes in (
        ("Comes alive", against.alive),
        ("Dies", against.dead),
        (f"Changes by more than {CHANGES_VOLTS:g} V", against.changed),
        (_RESTLESS_HEAD, against.restless),
    ):
        rows = _change_rows(harness, changes)
        words = () if rows else ("Nothing.",)
        if rows or head != _RESTLESS_HEAD:
            grid = Grid(columns, tuple(rows.values()), tuple(rows))
            yield Section(f"{head}, {heads[0]} to {heads[1]}", words=words, grid=grid)


def _heads(harness: Harness, before: Condition, after: Condition) -> tuple[str, str]:
    if before.key != after.key:
        return clean(before.key, 20), clean(after.key, 20)
    return condition_words(harness, before), condition_words(harness, after)


def _change_rows(harness: Harness, changes: tuple[Change, ...]) -> dict[str, tuple[str, ...]]:
    """Give rows of points of one metal, in one place, with the same figures; each under the first of its points."""
    found: dict[tuple[str, ...], list[str]] = {}
    for one in changes:
        place = clean(point_place(harness, one.point).name) or "not given"
        key = (same_metal(harness, one.point), place, *_figures(harness, one))
        found.setdefault(key, []).append(one.point)
    return {points[0]: (named_points(harness, points), *key[1:]) for key, points in found.items()}


def _figures(harness: Harness, change: Change) -> tuple[str, str]:
    if may_be_probed(harness, change.point) is not None:
        return NEVER, NEVER
    before, after = (
        "--" if volts is None else volts_text(volts) for volts in (change.before_volts, change.after_volts)
    )
    return before, after


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
