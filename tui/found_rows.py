"""What a search found, as rows: what it is, where it is, and what is to be expected there now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from textual.content import Content

from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Load, Relay
from model.harness.places import end_place, place_of, point_place
from model.harness.records import Wire
from model.tracing.find import FindKind, Found
from model.tracing.find_circuit import circuits_as_asked
from tui.point_volts import NO_PROBE, PointVolts
from tui.text import Part, assembled, fit, padded, swatch, width
from tui.widgets.rows import Row

_NAME_MOST = 14
_NOW_MOST = 15
_GAP = 2
_APART_VOLTS = 0.2


@dataclass(frozen=True, slots=True)
class Hit:
    """One row of what was found.

    Attributes
    ----------
    name
        As it is shown: of a circuit of a load its element.
    part_id, point
        The card that it leads to, and the point that was asked for; empty where the whole part was.
    element
        Of a load the circuit that it leads to the walk of; empty for the rest.
    points
        Where its volts are told.
    """

    found: Found
    name: str
    what: Content
    where: str
    part_id: str
    point: str = ""
    element: str = ""
    points: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return f"found {self.name}"


def hits_of(harness: Harness, found: Sequence[Found], typed: Sequence[str] = ()) -> list[Hit]:
    """Return what was found as rows; a load gives one for each of its circuits, the one that was typed first."""
    return [hit for one in found for hit in _hits(harness, one, typed)]


def _hits(harness: Harness, found: Found, typed: Sequence[str]) -> Iterator[Hit]:
    part_id = found.id.partition(".")[0] if found.what is FindKind.POINT else found.id
    part = harness.parts.get(part_id)
    what = assembled(", ".join(word for word in (found.label, found.kind) if word))
    if isinstance(part, Wire) and found.what is FindKind.WIRE:
        where = " to ".join(_short(end_place(harness, part, end).name) for end in "ab")
        yield Hit(found, found.id, _wire_look(found), where, part_id, points=found.ends)
    elif found.what is FindKind.POINT:
        where = _short(point_place(harness, found.id).name)
        yield Hit(found, found.id, what, where, part_id, found.id, points=found.points)
    elif isinstance(part, Load):
        for element in circuits_as_asked(harness, part, typed):
            circuit = element.name.partition(":")[2] if part.elements else ""
            told = assembled(", ".join(word for word in (found.label, f"{circuit} {found.kind}".strip()) if word))
            name = f"{part_id} {circuit}".rstrip()
            yield Hit(found, name, told, _short(place_of(harness, part_id).name), part_id, element=element.name)
    else:
        points = found.points if len(found.points) == 1 else ()
        yield Hit(found, found.id, what, _short(place_of(harness, part_id).name), part_id, points=points)


def _short(place: str) -> str:
    return place or "place not given"


def _wire_look(found: Found) -> Content:
    label = f", {found.label}" if found.label else ""
    return swatch(found.colour) + assembled(f" {found.size.replace(' mm²', '')}{label}")


def now_text(harness: Harness, hit: Hit, survey: Survey | None, volts: PointVolts, key: str) -> str:
    """Return what is to be expected of a hit now: volts, of a load its state, of a relay its position."""
    if hit.element and survey is not None:
        return str(survey.loads[hit.element].state)
    if isinstance(harness.parts.get(hit.part_id), Relay) and not hit.point and survey is not None:
        return "pulled in" if survey.settled.relays[hit.part_id] else "at rest"
    texts = [_volts_or_refusal(harness, volts, point, key) for point in hit.points]
    if len(texts) == 2 and not _differ(*texts):
        texts = texts[:1]
    return "/".join(text for text in texts if text)


def _volts_or_refusal(harness: Harness, volts: PointVolts, point: str, key: str) -> str:
    return NO_PROBE if may_be_probed(harness, point) is not None else volts.at(point, key)


def _differ(one: str, other: str) -> bool:
    try:
        return abs(float(one) - float(other)) > _APART_VOLTS
    except ValueError:
        return one != other


def found_table(hits: Sequence[Hit], now: Sequence[str], cells: int) -> list[Row]:
    """Return hits as rows in columns under a head, at most `cells` wide."""
    if not hits:
        return []
    name_cells = min(max(width(hit.name) for hit in hits), _NAME_MOST)
    now_cells = min(max((width(text) for text in [*now, "now, V"]), default=0), _NOW_MOST) if any(now) else 0
    left = max(cells - name_cells - _GAP - (now_cells + _GAP if now_cells else 0), 0)
    what_need, where_need = max(hit.what.cell_length for hit in hits), max(width(hit.where) for hit in hits)
    what_cells = min(what_need, max(left - _GAP - where_need, (left - _GAP) * 11 // 20))
    where_cells = max(left - _GAP - what_cells, 0)
    gap = " " * _GAP

    def line(name: str, what: Content, where: str, told: str, style: str) -> Content:
        parts: list[Part] = [
            assembled((padded(name, name_cells), style or "bold")),
            gap,
            _filled(what, what_cells),
            gap,
        ]
        parts.append(assembled((padded(where, where_cells), style)))
        if now_cells:
            parts += [gap, assembled((padded(fit(told, now_cells), now_cells, right=True), style))]
        return assembled(*parts)

    head = line("", assembled(("what", "$quiet")), "where", "now, V", "$quiet")
    rows = [Row(head, can_be_marked=False)]
    for hit, told in zip(hits, [*now, *[""] * (len(hits) - len(now))], strict=True):
        rows.append(Row(line(hit.name, hit.what, hit.where, told, ""), hit.key))
    return rows


def _filled(content: Content, cells: int) -> Content:
    cut = content.truncate(cells, ellipsis=True)
    return cut + Content(" " * max(cells - cell_len(cut.plain), 0))


def told_in_full(hit: Hit, now: str) -> Content:
    """Return one hit in sentences: where it is with the way there, what to expect, and why it was found."""
    found = hit.found
    parts: list[Part] = [(hit.name, "bold"), f" {', '.join(word for word in (found.kind, found.label) if word)}"]
    if found.what is FindKind.WIRE:
        parts += [", ", swatch(found.colour, told=True)] if found.colour else [f", {found.colour_words}"]
        parts.append(f", {found.size}. From {found.ends[0]}, {found.places[0]}")
        parts.append(f", to {found.ends[1]}, {found.places[1]}")
    else:
        parts += [f". {place[:1].upper()}{place[1:]}" for place in found.places]
    is_figure = now[-1:].isdigit()
    parts.append(f". V now: {now}." if is_figure else f". Now {now}." if now else ".")
    parts.append((f" Found by {found.why}." if found.why else "", "$quiet"))
    if found.missing:
        parts.append((f" Does not fit: {', '.join(found.missing)}.", "$caution"))
    return assembled(*parts)
