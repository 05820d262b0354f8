"""The draw with the key off as a sheet: how much, how long that is borne, fuse by fuse, and where to look next."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from model.cautions import is_starter
from model.harness.harness import Harness, all_elements
from model.harness.parts import Battery
from model.review.battery_time import CapacityFrom, time_words
from model.review.draw import BankDraw, DrawReview, Draws, FuseDraw
from model.review.draw_figures import Figure, figure
from model.review.draw_flow import NEXT_TO_NOTHING_AMPS
from model.review.draw_fuse import fuse_ohms
from model.sheets.draw_millivolts import millivolts_section
from model.sheets.plan_csv import csv_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.tables import SourceKind
from model.tracing.names import either, id_and_label
from model.tracing.nets import nets_of
from model.words import amps_text, clean, drop_text

FORMAT = "fusewalk draw 1"
TITLE = "draw with the key off"

_GIVEN = {
    CapacityFrom.GIVEN: "",
    CapacityFrom.RESERVE: ", estimated from its reserve minutes (from memory: half of them and 16),",
    CapacityFrom.ASSUMED: ", ASSUMED: the file gives neither ampere hours nor reserve minutes,",
}
_KIND = {
    SourceKind.PUBLISHED: "",
    SourceKind.COMMON_PRACTICE: ", common practice",
    SourceKind.FROM_MEMORY: ", from memory",
    SourceKind.JUDGEMENT: "",
}
_COLUMNS = (
    Column("fuse", width_mm=38),
    Column("behind", width_mm=14),
    Column("what draws there"),
    Column("awake", is_figure=True, width_mm=17),
    Column("asleep", is_figure=True, width_mm=17),
    Column("across it", is_figure=True, width_mm=17),
)
_CSV_COLUMNS = (
    "fuse", "label", "rating, A", "behind", "what draws there", "awake, A", "asleep, A", "cold, ohm", "asleep, mV",
)  # fmt: skip


def draw_sheet(
    harness: Harness, review: DrawReview, next_words: tuple[str, ...] = (), read_words: tuple[str, ...] = ()
) -> ReviewSheet:
    """Give a draw as computed as a sheet.

    Parameters
    ----------
    next_words
        Where to look next by what was read, in full sentences.
    read_words
        What was read of the whole draw and how long that is borne, in full sentences.
    """
    build = harness.build
    sections = [
        Section("Where to look next", items=next_words) if next_words else None,
        _how_long(harness, review),
        _by_fuse(harness, review),
        _without_fuse(harness, review),
        millivolts_section(harness),
    ]
    return ReviewSheet(
        TITLE,
        f"{clean(build.name)}, revision {build.revision}",
        (*read_words, *_about(harness, review, "" if read_words else ", nothing measured")),
        tuple(section for section in sections if section is not None),
    )


def _how_long(harness: Harness, review: DrawReview) -> Section | None:
    """Give the draw against its limits and how long it is borne; None where a battery is shorted."""
    if review.shorted:
        return None
    banks = tuple(_bank_words(harness, bank) for bank in review.banks)
    notes = tuple(_time_notes(harness, review))
    return Section("How long the battery bears it", items=banks, words=tuple(_limit_words(review)), notes=notes)


def _about(harness: Harness, review: DrawReview, measured: str) -> Iterator[str]:
    key = clean(review.awake.key, 40)
    yield f"Computed from the file{measured}: key state “{key}”, everything at rest."
    if review.chargers_off:
        names = either((id_and_label(harness, name) for name in review.chargers_off), "and")
        yield f"Taken as switched off, because it would hide the draw: {names}."
    if review.sleepers:
        names = either((id_and_label(harness, name) for name in review.sleepers), "and")
        yield f"Asleep after {review.wait_minutes:g} min{_wait_source(review)}: {names}."
    if review.unsettled:
        names = either((id_and_label(harness, name) for name in review.unsettled), "and")
        blows = "blows or buzzes" if len(review.unsettled) == 1 else "blow or buzz"
        yield f"At rest the circuit does not stand still: {names} {blows}: these figures are of no use."
    if review.shorted:
        names = either((id_and_label(harness, name) for name in review.shorted), "and")
        yield f"Metal joins the posts of {names}, with no load between: these figures are of no use. Mend that first."


def _wait_source(review: DrawReview) -> str:
    return f" (not given in the file; {review.wait_source})" if review.wait_source else ""


def _limit_words(review: DrawReview) -> Iterator[str]:
    total = amps_text(abs(review.asleep_amps))
    over = "over" if abs(review.asleep_amps) > review.limit_amps else "within"
    awake = sum(bank.awake_amps for bank in review.banks)
    sleeping = f" asleep, {amps_text(abs(awake))} awake" if review.sleepers else ""
    yield f"In all {total}{sleeping}: {over} the limit of {_limit_text(review.limit)}."
    if review.other_limits:
        yield f"Others ask for: {'; '.join(_limit_text(one) for one in review.other_limits)}."


def _limit_text(limit: Figure) -> str:
    usual = f", from {limit.low:g} mA usual" if limit.low else ""
    return f"{limit.value:g} mA{usual} ({limit.source}{_KIND[limit.source_kind]}; {limit.condition})"


def _bank_words(harness: Harness, bank: BankDraw) -> str:
    time = bank.time
    names = either((id_and_label(harness, name) for name in bank.batteries), "and")
    capacity = f"{time.capacity.amp_hours:.0f} Ah{_GIVEN[time.capacity.known_from]}"
    held = _held_words(harness, bank)
    used = f"{100.0 * time.usable_share:.0f} % of {capacity}"
    return (
        f"{names}: {amps_text(abs(bank.asleep_amps))}, from full {time_words(time)} until {used} are used, its own "
        f"loss of {amps_text(time.own_amps)} counted. {held}"
    ).strip()


def _held_words(harness: Harness, bank: BankDraw) -> str:
    chemistry = harness.part_of(bank.batteries[0], Battery).chemistry
    if chemistry == "lithium":
        return "Its own guard may switch off before: its maker has the say."
    return "After that it may not start the engine; cold, or old, sooner." if _starts_engine(harness, bank) else ""


def _starts_engine(harness: Harness, bank: BankDraw) -> bool:
    """Tell whether a starter hangs on a bank, whatever is switched."""
    starters = [one for one in all_elements(harness) if is_starter(harness, one)]
    nets, posts = nets_of(harness), {f"{name}.{sign}" for name in bank.batteries for sign in "+-"}
    for point in (point for one in starters for point in (one.from_point, one.to_point)):
        before = {name for name in nets.feeds.get(point, ()) if "." in name} or set(nets.fuses_before(point))
        if not posts.isdisjoint(before):
            return True
    return False


def _time_notes(harness: Harness, review: DrawReview) -> Iterator[str]:
    share, loss = figure("usable share", "lead"), figure("own loss", "lead")
    yield (
        f"Of lead {share.value:g} % ({share.source}) and {loss.value:g} % a month by itself ({loss.source}, "
        f"{loss.source_kind}); of lithium {figure('usable share', 'lithium').value:g} % and "
        f"{figure('own loss', 'lithium').value:g} %."
    )
    fast = [harness.part_of(bank.batteries[0], Battery).chemistry for bank in review.banks if bank.time.is_fast]
    for exponent in (figure("exponent", chemistry) for chemistry in dict.fromkeys(fast)):
        yield (
            "Above capacity over 20 h Peukert's law is reckoned with, hours = 20 × (capacity / (20 × current)) to the "
            f"power {exponent.value:g} ({exponent.source})."
        )


def _by_fuse(harness: Harness, review: DrawReview) -> Section:
    carrying = [one for one in review.fuses if max(map(abs, _both(one))) >= NEXT_TO_NOTHING_AMPS]
    idle = [one.fuse_id for one in review.fuses if one not in carrying]
    rows = tuple(_fuse_cells(harness, one) for one in carrying)
    words = () if carrying else ("Nothing goes through a fuse at rest: 0 A expected on each.",)
    rest = f"0 A expected through {', '.join(idle)}." if idle and carrying else ""
    return Section(
        "By fuse",
        words=words,
        grid=Grid(_COLUMNS, rows, tuple(one.fuse_id for one in carrying)),
        notes=(*([rest] if rest else []), *([_ACROSS] if carrying else [])),
    )


_ACROSS = (
    "Across it: cold ohms of typical blade fuses times the amperes asleep, right within a quarter for a blade fuse."
)


def _both(draw: FuseDraw) -> tuple[float, float]:
    return draw.awake_amps, draw.asleep_amps


def _fuse_cells(harness: Harness, draw: FuseDraw) -> tuple[str, ...]:
    fuse = next(one for one in harness.fuses if one.id == draw.fuse_id)
    across = fuse_ohms(fuse).millivolts(draw.asleep_amps) / 1000.0
    rating = "" if fuse.amps is None else f", {fuse.amps:g} A"
    return (
        f"{id_and_label(harness, draw.fuse_id)}{rating}",
        draw.behind,
        ", ".join(_drawer_words(harness, one) for one in draw.drawers) or "fuses behind it",
        amps_text(draw.awake_amps),
        amps_text(draw.asleep_amps),
        drop_text(across),
    )


def _drawer_words(harness: Harness, one: Draws) -> str:
    owner, _, inner = one.name.partition(":")
    several = sum(element.part_id == owner for element in all_elements(harness)) > 1
    return f"{id_and_label(harness, owner)}{f' {inner}' if inner and (several or inner == 'coil') else ''}"


def _without_fuse(harness: Harness, review: DrawReview) -> Section:
    drawers = [one for bank in review.banks for one in bank.unfused]
    if not drawers:
        return Section("Without a fuse", words=("Nothing draws from the battery past every fuse.",))
    columns = (Column("what"), Column("awake", is_figure=True), Column("asleep", is_figure=True))
    rows = tuple(
        (_drawer_words(harness, one), amps_text(one.awake_amps), amps_text(one.asleep_amps)) for one in drawers
    )
    return Section("Without a fuse", grid=Grid(columns, rows, tuple(one.name.partition(":")[0] for one in drawers)))


def draw_csv(harness: Harness, review: DrawReview) -> str:
    """Give the draw as CSV, a row a fuse, those that carry nothing too; then a row for each thing without a fuse."""
    rows = [_csv_row(harness, one) for one in review.fuses]
    loose = [one for bank in review.banks for one in bank.unfused]
    rows += [("", "", None, "", one.name, one.awake_amps, one.asleep_amps, None, None) for one in loose]
    return csv_text(_CSV_COLUMNS, rows)


def _csv_row(harness: Harness, draw: FuseDraw) -> tuple[str | float | None, ...]:
    fuse = next(one for one in harness.fuses if one.id == draw.fuse_id)
    ohms = fuse_ohms(fuse)
    names = "; ".join(one.name for one in draw.drawers)
    amps = (draw.awake_amps, draw.asleep_amps)
    return (fuse.id, fuse.label, fuse.amps, draw.behind, names, *amps, ohms.cold_ohms, ohms.millivolts(amps[1]))


def draw_json(harness: Harness, review: DrawReview, next_words: tuple[str, ...] = ()) -> dict[str, Any]:
    """Give the draw as one JSON object; amperes, hours, milliohms and millivolts are said in the names."""
    return {
        "format": FORMAT,
        "vehicle": clean(harness.build.name),
        "revision": harness.build.revision,
        "key": clean(review.awake.key),
        "settings_asleep": review.asleep.by_name,
        "awake_amps": _round(sum(bank.awake_amps for bank in review.banks)),
        "asleep_amps": _round(review.asleep_amps),
        "limit": _limit_json(review.limit),
        "other_limits": [_limit_json(one) for one in review.other_limits],
        "wait_minutes": review.wait_minutes,
        "wait_source": review.wait_source,
        "chargers_off": list(review.chargers_off),
        "unsettled": list(review.unsettled),
        "shorted": list(review.shorted),
        "banks": [_bank_json(bank) for bank in review.banks],
        "fuses": {one.fuse_id: _fuse_json(harness, one) for one in review.fuses},
        "next": list(next_words),
    }


def _limit_json(limit: Figure) -> dict[str, Any]:
    return {
        "low_milliamps": limit.low,
        "high_milliamps": limit.high,
        "condition": limit.condition,
        "source": limit.source,
        "source_kind": str(limit.source_kind),
    }


def _bank_json(bank: BankDraw) -> dict[str, Any]:
    time = bank.time
    return {
        "batteries": list(bank.batteries),
        "awake_amps": _round(bank.awake_amps),
        "asleep_amps": _round(bank.asleep_amps),
        "fuses": list(bank.fuses),
        "unfused": [_draws_json(one) for one in bank.unfused],
        "amp_hours": time.capacity.amp_hours,
        "amp_hours_from": str(time.capacity.known_from),
        "usable_share": time.usable_share,
        "own_loss_amps": _round(time.own_amps),
        "hours": round(time.hours, 2),
        "peukert": time.is_fast,
    }


def _fuse_json(harness: Harness, draw: FuseDraw) -> dict[str, Any]:
    ohms = fuse_ohms(next(one for one in harness.fuses if one.id == draw.fuse_id))
    return {
        "behind": draw.behind,
        "awake_amps": _round(draw.awake_amps),
        "asleep_amps": _round(draw.asleep_amps),
        "cold_milliohms": round(1000.0 * ohms.cold_ohms, 4),
        "band": ohms.band_share,
        "asleep_millivolts": round(ohms.millivolts(draw.asleep_amps), 4),
        "draws": [_draws_json(one) for one in draw.drawers],
    }


def _draws_json(one: Draws) -> dict[str, Any]:
    return {"name": one.name, "awake_amps": _round(one.awake_amps), "asleep_amps": _round(one.asleep_amps)}


def _round(amps: float) -> float:
    return round(amps, 7) + 0.0
