"""Modules go in last: what stands at each terminal of their plugs first, then what they draw."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.circuit.bands import Band
from model.circuit.condition import IN, Condition
from model.circuit.series_lamp import SeriesLamp
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Module
from model.harness.places import place_of
from model.harness.points import points_of, terminals_of
from model.plans.first_power_rows import CHANGES_VOLTS, Seen, lamp_row
from model.plans.first_power_scene import Bank, FirstPower
from model.plans.judging import fits
from model.plans.load_limits import band_words, computed_limit
from model.plans.load_rows import in_order
from model.plans.plan import Limit, Measure, PlanRow
from model.tables import SourceKind
from model.tracing.condition_words import key_words
from model.tracing.names import id_and_label, point_name
from model.words import clean

_NOTHING_VOLTS = 0.5


def module_rows(first: FirstPower, module: Module) -> Iterator[PlanRow]:
    """Give the rows of a module: each terminal of its plug in each key state that changes it, then plugged in."""
    found = _supply_of(first, module)
    if found is None:
        return
    bank, fuses = found
    for terminal in terminals_of(module):
        yield from _terminal_rows(first, module, terminal, (bank, fuses))
    yield from _plugged_rows(first, module, bank, fuses)


def _supply_of(first: FirstPower, module: Module) -> tuple[Bank, tuple[str, ...]] | None:
    """Give the bank that feeds a module and every fuse that its feeds need; None where none feeds it."""
    fuses: dict[str, None] = {}
    points = [f"{module.id}.{feed.terminal}" for feed in module.feeds]
    for bank in first.banks:
        for key in first.keys:
            feeds = first.feeds(bank, key)
            if feeds is None:
                continue
            fed = [point for point in points if feeds.is_fed(point)]
            fuses.update(dict.fromkeys(feeds.needs_of(fed).fuses if fed else ()))
        if fuses:
            return bank, tuple(fuses)
    return None


def group_of(harness: Harness, module: Module) -> str:
    """Name the group of a module's rows."""
    return f"Module {id_and_label(harness, module.id)}"


def _terminal_rows(
    first: FirstPower, module: Module, terminal: str, supply: tuple[Bank, tuple[str, ...]]
) -> Iterator[PlanRow]:
    """Give the rows of one terminal of the plug of a module that is out; of its ground the volts to the live post."""
    bank, fuses = supply
    point = f"{module.id}.{terminal}"
    if may_be_probed(first.harness, point) is not None:
        return
    ends = (bank.live, point) if terminal == module.ground else (point, bank.black)
    pins = tuple(one.name for one in points_of(module))
    before: float | None = None
    for key in first.keys:
        condition = first.condition(bank, key, (), fuses)
        lamp = first.read(bank, condition, points=(bank.live, bank.black, *pins))
        if lamp is None:
            continue
        band = _band(first, lamp, ends)
        if before is not None and abs(band.volts - before) < 10.0 * CHANGES_VOLTS:
            continue
        before = band.volts
        yield _terminal_row(first, module, ends, (key, condition), band)


def _band(first: FirstPower, lamp: SeriesLamp, ends: tuple[str, str]) -> Band:
    """Give the band of the volts between two points; nothing stands at one that floats."""
    nodes = lamp.settled.net.index[ends[0]], lamp.settled.net.index[ends[1]]
    if lamp.settled.idle.intersection(nodes):
        return Band(0.0, -_NOTHING_VOLTS, _NOTHING_VOLTS)
    return first.bands(lamp).at(*nodes)


def _terminal_row(
    first: FirstPower, module: Module, ends: tuple[str, str], state: tuple[str, Condition], band: Band
) -> PlanRow:
    harness, (key, condition) = first.harness, state
    point = ends[1] if ends[1].startswith(f"{module.id}.") else ends[0]
    is_dead = abs(band.volts) < _NOTHING_VOLTS
    limit = computed_limit(harness, band)
    if is_dead:
        words = "Less than half a volt harms nothing and is what a loose probe picks up"
        limit = Limit(band.volts - _NOTHING_VOLTS, band.volts + _NOTHING_VOLTS, words, SourceKind.JUDGEMENT)
    near = (point,)
    return PlanRow(
        key=f"{point} plug {key}",
        title=f"{clean(point_name(harness, point))}: before it is plugged in",
        group=group_of(harness, module),
        measure=Measure.VOLTS,
        condition=condition,
        red=ends[0],
        black=ends[1],
        place=clean(place_of(harness, module.id).name),
        expect=round(band.volts, 4),
        expect_words="0 V" if is_dead else band_words(band, limit),
        limit=limit,
        covers=(point,),
        before=("The unit is unplugged. The wrong sign, or volts where none belong: do not plug it in.",),
        cautions=tuple(caution.text for caution in cautions_for(harness, near, condition)),
    )


def _plugged_rows(first: FirstPower, module: Module, bank: Bank, fuses: tuple[str, ...]) -> Iterator[PlanRow]:
    """Give the rows of a module that is in, in each key state that feeds it and in which the lamp changes."""
    before: float | None = None
    points = [f"{module.id}.{feed.terminal}" for feed in module.feeds]
    for key in first.keys:
        feeds = first.feeds(bank, key)
        if feeds is None or not any(feeds.is_fed(point) for point in points):
            continue
        settings = ((module.id, IN),)
        seen = Seen(bank, key, settings, fuses, module.id)
        lamp = first.read(bank, first.condition(bank, key, settings, fuses))
        if lamp is not None and before is not None and abs(lamp.volts - before) <= CHANGES_VOLTS:
            continue
        rest = first.read(bank, first.condition(bank, key, (), fuses))
        row = replace(
            lamp_row(first, seen, lamp),
            key=f"{module.id} plugged in {key}",
            title=f"{id_and_label(first.harness, module.id)} plugged in, {key_words(first.harness, Condition(key))}",
            group=group_of(first.harness, module),
            covers=(module.id,),
            before=_plug_before(module, is_first=before is None),
        )
        before = None if lamp is None else lamp.volts
        same = rest is not None and lamp is not None and fits(row, rest.volts)
        if same and row.tells:
            row = replace(row, tells=False, blind="It draws so little here that the lamp shows the same without it.")
        yield replace(row, cautions=in_order((CAUTIONS[CautionKind.SUPPLY_OFF].text, *row.cautions)))


def _plug_before(module: Module, *, is_first: bool) -> tuple[str, ...]:
    if not is_first:
        return ()
    return (
        f"Grounded clamp off, plug {module.id} in, clamp on again. The lamp may flash once while it charges.",
        "Bright and staying so: clamp off at once.",
    )
