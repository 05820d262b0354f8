"""The card of a part as rows: cautions and facts first, then what ends on it, then what goes with it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from textual.content import Content

from model.circuit.survey import LoadReading
from model.harness.fields import Part as HarnessPart
from model.harness.harness import Harness
from model.harness.parts import Fuse, Load, Module, Relay
from model.harness.places import place_words, point_place
from model.harness.points import points_of
from model.harness.records import Connector, Joint, Wire
from model.sheets.card import Card, EndRow, card_points, old_points
from model.sheets.face import View as FaceSide
from model.sheets.face import cavity_remarks, face_cells, without_face
from model.sheets.part_facts import Fact, named
from model.tracing.behind import behind
from model.words import amps_text, clean, volts_text
from tui.card_table import WAITING, end_table, look_of
from tui.card_view import Mark, View
from tui.point_volts import NO_PROBE
from tui.text import Part, assembled, padded, painted, width, wrapped_lines
from tui.widgets.face import Side
from tui.widgets.rows import Row

GOES_WITH_MOST = 12
_GAP = "  "
_FIRST = frozenset(
    {"is", "where", "exposed to", "hazard", "now", "note", "through", "length", "superseded", "spare", "amended"}
)
_TOLD_AS_ROWS = frozenset({"from", "to", "feeds", "grounds", "joins"})


def card_rows(view: View, cells: int) -> list[Row]:
    """Return the rows, at most `cells` wide, and put what they stand for into the marks of the view."""
    facts = list(_facts(view))
    rows = _texts([*_warnings(view, cells), *_fact_lines([fact for fact in facts if fact.head in _FIRST], cells)])
    rows += _circuits(view)
    ends = _ends(view)
    if ends:
        rows += [_blank(), *end_table(view, ends, cells)]
    beside = list(_beside(view))
    if beside:
        rows += [_blank(), *_texts([assembled(("goes with", "$quiet"))]), *beside]
    rest = [fact for fact in facts if fact.head not in _FIRST]
    return [*rows, _blank(), *_texts(_fact_lines(rest, cells))] if rest else rows


def _blank() -> Row:
    return Row(Content(""), can_be_marked=False)


def _texts(lines: Iterable[Content]) -> list[Row]:
    return [Row(line, can_be_marked=False) for line in lines]


def _warnings(view: View, cells: int) -> Iterator[Content]:
    """Give why no probe goes there, and the cautions, wrapped."""
    card = view.card
    reasons = dict.fromkeys(refusal.reason for refusal in {one.origin: one for one in card.refusals}.values())
    for reason in reasons:
        yield from _wrapped(assembled(("No probe: ", "bold $caution"), (reason, "$caution")), cells)
    for caution in card.cautions:
        yield from _wrapped(assembled(("Caution: ", "bold $caution"), (caution.text, "$caution")), cells)
    if reasons or card.cautions:
        yield Content("")


def _facts(view: View) -> Iterator[Fact]:
    """Give the facts of the card, what the part does now, note, picture and what is assumed."""
    card = view.card
    is_wire = isinstance(view.harness.parts.get(card.id), Wire)
    yield from (fact for fact in card.facts if not (is_wire and fact.head in _TOLD_AS_ROWS))
    yield from _now(view)
    if card.note:
        yield Fact("note", card.note)
    if card.picture:
        yield Fact("picture", card.picture)
    yield from (Fact("assumed", sentence) for sentence in card.assumed)


def _fact_lines(facts: Sequence[Fact], cells: int) -> Iterator[Content]:
    heads = min(max((width(fact.head) for fact in facts), default=0), 12)
    for fact in facts:
        for place, line in enumerate(_wrapped(painted(fact.text), max(cells - heads - len(_GAP), 8))):
            yield assembled((padded(fact.head if place == 0 else "", heads), "$quiet"), _GAP, line)


def _wrapped(content: Content, cells: int) -> list[Content]:
    return wrapped_lines(content, max(cells, 8)) or [Content("")]


def _now(view: View) -> Iterator[Fact]:
    """Give what the part does now, and why the circuit has no answer."""
    if view.trouble:
        yield Fact("now", view.trouble)
    part, survey = view.harness.parts.get(view.card.id), view.survey
    if survey is None:
        return
    if isinstance(part, Relay):
        words = "pulled in" if survey.settled.relays[part.id] else "at rest"
        yield Fact("now", f"{words}, buzzing" if part.id in survey.settled.buzzing else words)
    if isinstance(part, Fuse):
        blown = part.id in survey.settled.blown
        yield Fact("now", "blown" if blown else amps_text(survey.fuse_amps.get(part.id, 0.0)))


def _circuits(view: View) -> Iterator[Row]:
    """Give each circuit of a load or feed of a module with what it does now; Enter shows its walk."""
    part = view.harness.parts.get(view.card.id)
    names: list[str] = []
    if isinstance(part, Load):
        names = [f"{part.id}:{one.name}" for one in part.elements] or [f"{part.id}:load"]
    elif isinstance(part, Module):
        names = [f"{part.id}:{feed.terminal}" for feed in part.feeds]
    if names:
        yield _blank()
    for name in names:
        key = f"walk {name}"
        view.marks[key] = Mark(element=name)
        reading = None if view.survey is None else view.survey.loads.get(name)
        told = WAITING if reading is None else str(reading.state)
        figures = "" if reading is None or view.refused else _figures(reading)
        circuit = name.partition(":")[2] if len(names) > 1 or isinstance(part, Module) else "now"
        yield Row(assembled((circuit, "$quiet"), _GAP, (told, "bold"), figures, ("   Enter: its walk", "$quiet")), key)


def _figures(reading: LoadReading) -> str:
    return f", {volts_text(reading.volts)} V across it, {amps_text(reading.amps)}"


def _ends(view: View) -> list[EndRow]:
    """Return what ends on each point; of a wire or joint its two ends."""
    harness, card = view.harness, view.card
    part = harness.parts.get(card.id)
    if isinstance(part, Wire | Joint):
        ends = [*zip(("from", "to"), card_points(harness, part), strict=True)]
        ends += [("old", point) for point in old_points(harness, part)]
        return [
            EndRow(point, end, other_end=point, other_place=place_words(point_place(harness, point)))
            for end, point in ends
        ]
    rows = list(card.rows)
    if part is not None and not any(row.point == view.asked for row in rows) and _is_point_of(part, view.asked):
        rows.append(EndRow(view.asked, view.asked.removeprefix(f"{card.id}.")))
    return rows


def _is_point_of(part: HarnessPart, name: str) -> bool:
    return name.startswith(f"{part.id}.") and any(point.name == name for point in points_of(part))


def _beside(view: View) -> Iterator[Row]:
    """Give the parts that go with this one: its housing, what sits in it, its fuses, what a wire feeds."""
    found = list(dict.fromkeys(_neighbours(view)))
    for word, part_id in found[:GOES_WITH_MOST]:
        key = f"part {part_id} {word}"
        view.marks[key] = Mark(part_id)
        yield Row(assembled((padded(word, 8), "$quiet"), _GAP, named(view.harness, part_id)), key)
    if len(found) > GOES_WITH_MOST:
        yield Row(assembled(f"{len(found) - GOES_WITH_MOST} more"), can_be_marked=False)


def _neighbours(view: View) -> Iterable[tuple[str, str]]:
    harness = view.harness
    part = harness.parts.get(view.card.id)
    if part is None:
        return
    if part.inside:
        yield "housing", part.inside
    for other in harness.each_part():
        if other.inside == part.id:
            yield "in it", other.id
    for fuse in harness.fuses:
        if fuse.bus == part.id:
            yield "fuse", fuse.id
    if isinstance(part, Wire):
        if part.superseded_by:
            yield "now", part.superseded_by
        hung = behind(harness, part)
        for name in hung.names:
            yield {"feed": "feeds", "ground": "grounds"}.get(hung.side, "joins"), name.partition(":")[0]


def detail(view: View, mark: Mark | None) -> Content:
    """Return the marked row in full: colour in words, the other end with its place, volts in every key state."""
    if mark is None or mark.row is None:
        return Content("")
    row = mark.row
    other = row.other_end.partition(".")[0]
    label = view.harness.parts[other].label if other in view.harness.parts else ""
    far = ", ".join(word for word in (row.other_end, label, row.other_place) if word)
    parts: list[Part] = [(f"{row.terminal} " if row.other_end == row.point else f"{row.point}: ", "bold")]
    if row.size:
        parts += [f"{row.wire} ", look_of(row), f", {row.colour_words}, {row.size}", ", to "]
    elif row.wire:
        parts.append(f"{row.wire}, to ")
    parts.append(f"{far or 'nothing ends here'}.")
    said = assembled(*parts)
    if row.point in view.refused:
        return said + assembled((f" {NO_PROBE.capitalize()} here.", "bold $caution"))
    if view.volts is None or len(view.keys) > 1:
        return said
    texts = {key: text for key in view.harness.key_names if (text := view.volts.at(row.point, key))}
    if len(texts) > 1 and len(set(texts.values())) == 1:
        return said + assembled(f" V: {next(iter(texts.values()))} in every key state.")
    told = ", ".join(f"{clean(key, 20)} {text}" for key, text in texts.items())
    return said + assembled(f" V: {told}." if told else "")


def told_points(harness: Harness, card: Card, asked: str) -> list[str]:
    """Return every point that a card tells the volts of."""
    part = harness.parts.get(card.id)
    ends = card_points(harness, part) if isinstance(part, Wire | Joint) else ()
    is_own = part is not None and _is_point_of(part, asked)
    return [*(row.point for row in card.rows), *ends, *old_points(harness, part), *([asked] if is_own else [])]


def face_sides(harness: Harness, part_id: str, point: str) -> tuple[Side, ...]:
    """Return the face of the half or plug that a point is on, from the wire side and from the mating side.

    Nothing where the part has no plug; the one sentence on it where the file gives no face.
    """
    part = harness.parts.get(part_id)
    rest = point.removeprefix(f"{part_id}.") if point.startswith(f"{part_id}.") else ""
    half, cavity = "", 0
    if isinstance(part, Connector):
        half, _, number = rest.rpartition(".")
        half, cavity = (half, int(number)) if half in part.halves and number.isdecimal() else (part.halves[0], 0)
        if not part.face:
            return (Side(f"half {half}", said=(without_face(part, half),)),)
    elif part is None or not part.face:
        return ()
    else:
        cavity = part.pins.get(rest, 0)
    name = f"half {half}, " if half else ""
    sides = []
    for view in FaceSide:
        rows = face_cells(harness, part_id, half=half, view=view, cavity=cavity)
        sides.append(Side(f"{name}{view}", rows, cavity_remarks(rows, cavity)))
    return tuple(sides)


def site_of(harness: Harness, part_id: str, point: str) -> str:
    """Return the fault site that a point of a part is: ``X1.4`` of a cavity, else the point itself."""
    part = harness.parts.get(part_id)
    if isinstance(part, Connector) and point.startswith(f"{part_id}."):
        return f"{part_id}.{point.rpartition('.')[2]}"
    return point
