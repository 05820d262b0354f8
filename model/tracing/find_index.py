"""The words by which everything of a harness can be found, gathered once for it."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import IntEnum, StrEnum
from functools import lru_cache
from typing import TypeVar

from model.circuit.faults import contact_names
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.harness import CHASSIS, SINGLE_ELEMENT, Harness
from model.harness.metal import wires_at
from model.harness.parts import Battery, Charger, Fuse, Load, LoadElement, Module, Relay, ResistorPack, Switch
from model.harness.places import BODY_PLACE, Place, end_place, place_of
from model.harness.points import points_of
from model.harness.records import Connector, GroundPoint, Wire
from model.harness.supply import assumed_of, wire_size
from model.harness.wire_words import kind_of
from model.units import parse_size

T = TypeVar("T", str, tuple[str, ...])

_WORD = re.compile(r"[^\W_]+")


class Field(IntEnum):
    """Where a word was found; the number is what a match there counts (judgement)."""

    ID = 100
    POINT = 99
    WHOLE_LABEL = 75
    CAVITY = 62
    TERMINAL = 61
    COLOUR = 60
    WHOLE_PLACE = 56
    WHOLE_TRUNK = 52
    SIZE = 51
    RATING = 50
    LABEL = 48
    COLOUR_BASE = 46
    ROLE = 45
    ELEMENT = 44
    PLACE = 40
    HALF = 39
    TRUNK = 38
    TERMINAL_WORD = 37
    KIND = 36
    TRADE_WORD = 34
    COLOUR_REVERSED = 32
    CARRIED = 30
    COLOUR_STRIPE = 25
    SIZE_ASSUMED = 22
    END = 20
    REACH = 15
    END_LABEL = 12
    NOTE = 8


SITE_FIELDS = frozenset({Field.POINT, Field.CAVITY, Field.TERMINAL, Field.TERMINAL_WORD, Field.HALF})
"""A point is found only where one of these was asked for: else its part stands for it."""

_SYNONYMS = {
    "wire": "wire cable lead",
    "lamp": "lamp bulb light",
    "led": "led lamp light",
    "connector": "connector plug",
    "ground point": "ground earth point ring lug",
    "busbar": "busbar bus bar",
    "module": "module controller unit",
    "resistor": "resistor sender sensor dimmer",
    "body": "body ground earth",
}
"""Words for each kind beside its own name."""

_STRAP_WORDS = f"{_SYNONYMS['body']} strap bonding braid"
"""Words for a wire between metal and metal of the grounded side."""
_THICK_MM2 = 10.0

_FIRST = (Load, Module, Relay, Fuse, Switch, Connector, GroundPoint, Battery, Charger)
"""Which kind of part comes first of several that match alike; the others, wires and points follow."""

_WIRE_RANK = len(_FIRST) + 1
_POINT_RANK = len(_FIRST) + 2


class FindKind(StrEnum):
    """What was found."""

    PART = "part"
    WIRE = "wire"
    POINT = "point"


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that can be found.

    Attributes
    ----------
    part
        Number of the entry of its part, for a point; its own number else.
    rank
        Which comes first of two that match alike, the lowest.
    """

    what: FindKind
    id: str
    part: int
    rank: int


Posted = dict[int, int]
"""Number of an entry → the field in which it was found, as its number."""


@dataclass(slots=True)
class Shelf:
    """The words and marks of one sort of entries.

    Attributes
    ----------
    words
        Word of a text, folded → entries.
    marks
        What is more than a word, such as ``size:1.5``, ``colour:GN/WH``, ``cavity:6``, ``id:x2`` → entries.
    phrases
        Words of a whole label, place or trunk → entries.
    """

    words: dict[str, Posted] = field(default_factory=dict)
    marks: dict[str, Posted] = field(default_factory=dict)
    phrases: dict[tuple[str, ...], Posted] = field(default_factory=dict)


@dataclass
class FindIndex:
    """Words and marks of everything of a harness.

    Attributes
    ----------
    things
        Of parts and wires.
    points
        Of points: what they do not share with their part.
    sorted_words
        All words of things in order, for the ones that begin alike.
    """

    entries: list[Entry] = field(default_factory=list)
    things: Shelf = field(default_factory=Shelf)
    points: Shelf = field(default_factory=Shelf)
    sorted_words: list[str] = field(default_factory=list)
    longest_phrase: int = 1

    def has_mark(self, mark: str) -> bool:
        """Tell whether a thing or a point has a mark."""
        return mark in self.things.marks or mark in self.points.marks

    def beginning(self, start: str) -> list[str]:
        """List the words of things that begin with a text, itself among them."""
        first = bisect_left(self.sorted_words, start)
        last = bisect_left(self.sorted_words, f"{start}\U0010ffff", first)
        return self.sorted_words[first:last]

    def add(self, what: FindKind, name: str, rank: int, part: int | None = None) -> int:
        """Add an entry and give its number."""
        number = len(self.entries)
        self.entries.append(Entry(what, name, number if part is None else part, rank))
        return number


def folded(text: str) -> str:
    """Give a text without capitals and accents, as it is looked up."""
    plain = text.casefold()
    if plain.isascii():
        return plain
    parts = unicodedata.normalize("NFKD", plain)
    bare = "".join(character for character in parts if not unicodedata.combining(character))
    return unicodedata.normalize("NFC", bare)


@lru_cache(maxsize=8192)
def words_of(text: str) -> tuple[str, ...]:
    """Split a text into its words, folded."""
    return tuple(_WORD.findall(folded(text)))


def number_mark(number: float) -> str:
    """Spell a number as marks have it: ``1.5``, ``15``."""
    return f"{number:.4g}"


@once_per_harness
def find_index(harness: Harness) -> FindIndex:
    """Gather the words of a harness."""
    index = FindIndex()
    if harness.build.chassis:
        number = index.add(FindKind.PART, CHASSIS, len(_FIRST))
        _post(index.things.marks, f"id:{folded(CHASSIS)}", number, Field.ID)
        _post_text(index.things, number, CHASSIS, Field.ID)
        _post_text(index.things, number, _SYNONYMS["body"], Field.KIND)
        _post_place(index.things, number, BODY_PLACE)
    for part in harness.each_part():
        if isinstance(part, Wire):
            _add_wire(index, harness, part)
        else:
            _add_part(index, harness, part)
    index.sorted_words = sorted(index.things.words)
    index.longest_phrase = max((len(phrase) for phrase in index.things.phrases), default=1)
    return index


def _rank_of(part: Part) -> int:
    return next((rank for rank, kind in enumerate(_FIRST) if isinstance(part, kind)), len(_FIRST))


def _post(table: dict[T, Posted], key: T, number: int, where: int) -> None:
    posted = table.get(key)
    if posted is None:
        table[key] = {number: int(where)}
    elif posted.get(number, 0) < where:
        posted[number] = int(where)


def _post_text(shelf: Shelf, number: int, text: str, where: Field) -> None:
    for word in words_of(text):
        _post(shelf.words, word, number, where)


def _post_whole(shelf: Shelf, number: int, text: str, part: Field, whole: Field) -> None:
    """Post the words of a text, and all of them together as what counts more."""
    words = words_of(text)
    if len(words) == 1:
        _post(shelf.words, words[0], number, whole)
        return
    for word in words:
        _post(shelf.words, word, number, part)
    if words:
        _post(shelf.phrases, words, number, whole)


def _post_place(shelf: Shelf, number: int, place: Place) -> None:
    _post_whole(shelf, number, place.name, Field.PLACE, Field.WHOLE_PLACE)
    _post_text(shelf, number, place.reach, Field.REACH)
    for exposure in place.exposure:
        _post_text(shelf, number, exposure, Field.REACH)


def _post_common(shelf: Shelf, part: Part, number: int) -> None:
    _post(shelf.marks, f"id:{folded(part.id)}", number, Field.ID)
    _post(shelf.words, folded(part.id), number, Field.ID)
    _post_whole(shelf, number, part.label, Field.LABEL, Field.WHOLE_LABEL)
    kind = kind_of(part)
    _post_text(shelf, number, _SYNONYMS.get(kind, kind), Field.KIND)
    _post_text(shelf, number, part.note, Field.NOTE)
    if part.hazard is not None:
        _post_text(shelf, number, part.hazard, Field.REACH)
    if part.inside is not None:
        _post(shelf.words, folded(part.inside), number, Field.END)


def _add_part(index: FindIndex, harness: Harness, part: Part) -> None:
    number = index.add(FindKind.PART, part.id, _rank_of(part))
    shelf = index.things
    _post_common(shelf, part, number)
    _post_place(shelf, number, place_of(harness, part.id))
    match part:
        case Fuse() | Switch() | Relay() | Connector():
            if part.amps is not None:
                _post(shelf.marks, f"amps:{number_mark(part.amps)}", number, Field.RATING)
        case Load():
            _post_rated(shelf, number, part, part)
            for element in part.elements:
                _post_rated(shelf, number, part, element)
            _post_inner(shelf, number, part, () if part.elements else (SINGLE_ELEMENT,))
        case Module():
            _post_inner(shelf, number, part, [feed.terminal for feed in part.feeds])
            _post_inner(shelf, number, part, [one.terminal for one in part.drivers])
            _post_inner(shelf, number, part, [one.terminal for one in part.outputs])
        case ResistorPack():
            _post_inner(shelf, number, part, [one.name for one in part.elements])
            for one in part.elements:
                _post_text(shelf, number, one.name, Field.ELEMENT)
    if isinstance(part, Relay | Switch):
        _post_inner(shelf, number, part, (*contact_names(part), *(("coil",) if isinstance(part, Relay) else ())))
    _add_points(index, harness, part, number)


def _post_inner(shelf: Shelf, number: int, part: Part, names: Iterable[str]) -> None:
    """Post what is named within a part, such as ``E1:dip``, ``M2:load``, ``A1:15`` or ``S2:30-58``."""
    for name in names:
        _post(shelf.marks, f"id:{folded(part.id)}:{folded(name)}", number, Field.ID)


def _post_rated(shelf: Shelf, number: int, load: Load, rated: Load | LoadElement) -> None:
    if isinstance(rated, LoadElement):
        _post(shelf.marks, f"id:{folded(load.id)}:{folded(rated.name)}", number, Field.ID)
        _post_text(shelf, number, rated.name, Field.ELEMENT)
    _post_text(shelf, number, rated.role, Field.ROLE)
    for unit, figure in (("amps", rated.amps), ("watts", rated.watts)):
        if figure is not None:
            _post(shelf.marks, f"{unit}:{number_mark(figure)}", number, Field.RATING)


def _add_points(index: FindIndex, harness: Harness, part: Part, number: int) -> None:
    """Add the points of a part that has several."""
    points = points_of(part)
    if len(points) == 1 and points[0].name == part.id:
        return
    shelf = index.points
    for point in points:
        entry = index.add(FindKind.POINT, point.name, _POINT_RANK, number)
        _post(shelf.marks, f"id:{folded(point.name)}", entry, Field.POINT)
        cavity = point.cavity or part.pins.get(point.terminal, 0)
        if cavity:
            # a cavity may bear the number that another terminal has for a name
            _post(shelf.marks, f"id:{folded(part.id)}.{cavity}", entry, Field.CAVITY)
            _post(shelf.marks, f"cavity:{cavity}", entry, Field.CAVITY)
        if point.half:
            _post_text(shelf, entry, point.half, Field.HALF)
        if point.terminal:
            _post(shelf.marks, f"terminal:{folded(point.terminal)}", entry, Field.TERMINAL)
        for wire in wires_at(harness).get(point.name, ()):
            for mark, _ in _look_marks(harness, wire):
                _post(shelf.marks, mark, entry, Field.CARRIED)


def _add_wire(index: FindIndex, harness: Harness, wire: Wire) -> None:
    number = index.add(FindKind.WIRE, wire.id, _WIRE_RANK)
    shelf = index.things
    _post_common(shelf, wire, number)
    for mark, where in _look_marks(harness, wire):
        _post(shelf.marks, mark, number, where)
    for end, point in (("a", wire.from_point), ("b", wire.to_point)):
        _post_place(shelf, number, end_place(harness, wire, end))
        if point is None:
            entry = index.add(FindKind.POINT, f"{wire.id}.{end}", _POINT_RANK, number)
            _post(index.points.marks, f"id:{folded(wire.id)}.{end}", entry, Field.POINT)
            _post(index.points.marks, f"terminal:{end}", entry, Field.TERMINAL)
        else:
            _post_end(shelf, harness, number, point)
    if parse_size(wire_size(harness, wire)).area_mm2 >= _THICK_MM2:
        _post(shelf.words, "thick", number, Field.SIZE)
    if _is_strap(harness, wire):
        _post_text(shelf, number, _STRAP_WORDS, Field.KIND)
    for trunk in wire.via:
        _post_whole(shelf, number, trunk, Field.TRUNK, Field.WHOLE_TRUNK)
    if wire.spare:
        _post(shelf.words, "spare", number, Field.ROLE)
    if wire.superseded_by is not None:
        _post_text(shelf, number, f"superseded {wire.superseded_by}", Field.END)


def _is_strap(harness: Harness, wire: Wire) -> bool:
    """Tell whether a wire joins two ground points, bodies or the chassis: a strap, in the words of the trade."""
    metal = {CHASSIS, *(part.id for part in (*harness.grounds, *harness.bodies))}
    return wire.from_point in metal and wire.to_point in metal


def _post_end(shelf: Shelf, harness: Harness, number: int, point: str) -> None:
    """Post the part that a wire ends on, its label, and the cavity or terminal there."""
    part_id, _, rest = folded(point).partition(".")
    _post(shelf.words, part_id, number, Field.END)
    _post(shelf.marks, f"id:{part_id}", number, Field.END)
    _post(shelf.marks, f"id:{part_id}.{rest}", number, Field.END)
    part = harness.parts.get(point.partition(".")[0])
    if part is None:
        return
    _post_text(shelf, number, part.label, Field.END_LABEL)
    _post_text(shelf, number, _SYNONYMS.get(kind_of(part), ""), Field.END_LABEL)
    half, _, cavity = rest.rpartition(".")
    if isinstance(part, Connector):
        _post(shelf.marks, f"id:{part_id}.{cavity}", number, Field.END)
        _post(shelf.marks, f"cavity:{cavity}", number, Field.END)
        _post_text(shelf, number, half, Field.END_LABEL)
    elif rest:
        _post(shelf.marks, f"terminal:{rest}", number, Field.END)


def _look_marks(harness: Harness, wire: Wire) -> Iterator[tuple[str, Field]]:
    """Give the marks of a wire's colour and size."""
    codes = [code.strip().upper() for code in wire.colour.split("/") if code.strip()]
    if codes:
        yield f"colour:{'/'.join(codes)}", Field.COLOUR
        yield f"base:{codes[0]}", Field.COLOUR_BASE
        for code in codes[1:]:
            yield f"stripe:{code}", Field.COLOUR_STRIPE
    size = wire_size(harness, wire)
    where = Field.SIZE_ASSUMED if "size" in assumed_of(harness, wire) else Field.SIZE
    if isinstance(size, str):
        yield f"awg:{folded(size).removeprefix('awg').strip()}", where
    else:
        yield f"size:{number_mark(size)}", where
