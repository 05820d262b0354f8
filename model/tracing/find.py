"""Finding wires, parts and points the way one asks for them with a wire in the hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import nsmallest

from model.harness.fields import Part
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import wire_points
from model.harness.places import BODY_PLACE, end_place, place_of, place_words, point_place
from model.harness.points import points_of, resolve_point
from model.harness.records import Connector, Joint, Wire
from model.harness.wire_words import kind_of, size_words
from model.tracing.find_index import Field, FindIndex, FindKind, find_index
from model.tracing.find_match import fitting, nearly_fitting, where_found, without_typos
from model.tracing.find_terms import Term, read_terms, tokens_of
from model.words import clean, colour_words

__all__ = ["FindKind", "Found", "Search", "find", "search"]

_FIELD_WORDS = {
    Field.ID: "id",
    Field.POINT: "point",
    Field.WHOLE_LABEL: "label",
    Field.LABEL: "label",
    Field.CAVITY: "cavity",
    Field.TERMINAL: "terminal",
    Field.TERMINAL_WORD: "terminal",
    Field.COLOUR: "colour",
    Field.COLOUR_BASE: "colour",
    Field.COLOUR_STRIPE: "stripe",
    Field.COLOUR_REVERSED: "colour the other way round",
    Field.SIZE: "size",
    Field.SIZE_ASSUMED: "size, assumed",
    Field.RATING: "rating",
    Field.WHOLE_PLACE: "place",
    Field.PLACE: "place",
    Field.WHOLE_TRUNK: "trunk",
    Field.TRUNK: "trunk",
    Field.REACH: "about its place",
    Field.ROLE: "role",
    Field.ELEMENT: "element",
    Field.HALF: "half",
    Field.KIND: "kind",
    Field.TRADE_WORD: "also called",
    Field.CARRIED: "its wire",
    Field.END: "ends there",
    Field.END_LABEL: "ends there",
    Field.NOTE: "note",
}


@dataclass(frozen=True, slots=True)
class Found:
    """Something that was found.

    Attributes
    ----------
    id
        Of a wire or part its id, of a point its name.
    kind
        ``wire``, ``lamp``, ``fuse`` …; of a point the kind of its part.
    why
        What matched, as a phrase.
    missing
        What was asked for and does not fit, as typed; empty where everything fits.
    places
        Where it is, as phrases: of a wire its two ends.
    ends
        Of a wire the points at its two ends.
    colour, colour_words, size
        Of a wire; empty for the rest.
    points
        Where a probe can be put on it.
    score
        How well it matches; only the order means something.
    """

    what: FindKind
    id: str
    kind: str
    label: str
    why: str
    missing: tuple[str, ...]
    places: tuple[str, ...]
    points: tuple[str, ...]
    score: int
    ends: tuple[str, ...] = ()
    trunks: tuple[str, ...] = ()
    colour: str = ""
    colour_words: str = ""
    size: str = ""


@dataclass(frozen=True, slots=True)
class Search:
    """What a search gave.

    Attributes
    ----------
    found
        The best first, at most as many as were asked for.
    total
        How many match.
    remarks
        What a person must know beside it, in sentences: a word taken for another, nothing that fits whole.
    """

    found: tuple[Found, ...]
    total: int
    remarks: tuple[str, ...]


def find(harness: Harness, words: Sequence[str], limit: int = 50) -> tuple[Found, ...]:
    """Find wires, parts and points; see :func:`search`."""
    return search(harness, words, limit).found


def search(harness: Harness, words: Sequence[str], limit: int = 50) -> Search:
    """Find wires, parts and points by what was typed, the best first.

    Several words narrow. Where nothing fits them all, a misspelled word is taken for the nearest one, then what fits
    most of them is given; both are said.

    Parameters
    ----------
    words
        As typed: ids, labels, colours as words or codes, sizes, ratings, places, trunks, cavities, kinds, roles, in any
        order. The first call for a harness builds its index.
    limit
        Most things to give.
    """
    index = find_index(harness)
    tokens = tokens_of(words)
    terms = read_terms(index, tokens)
    if not terms:
        return Search((), 0, ("Type an id, a label, a colour, a size, a place or a cavity.",))
    tokens, remarks = without_typos(index, tokens, terms)
    terms = read_terms(index, tokens)
    scores = fitting(index, terms)
    if not scores:
        scores = nearly_fitting(index, terms)
        if scores:
            remarks.append("Nothing fits all of it. These fit most, each with what does not fit.")
    if not scores:
        remarks.append(f"Nothing is found for “{clean(' '.join(words), 60)}”.")
    best = nsmallest(limit, scores, key=lambda number: (-scores[number], index.entries[number].rank, number))
    found = tuple(_found(harness, index, number, terms, scores[number]) for number in best)
    return Search(found, len(scores), tuple(remarks))


def _found(harness: Harness, index: FindIndex, number: int, terms: Sequence[Term], score: int) -> Found:
    entry = index.entries[number]
    why, missing = _why(index, number, terms)
    if entry.id == CHASSIS and entry.id not in harness.parts:
        return Found(entry.what, entry.id, "body", "", why, missing, (place_words(BODY_PLACE),), (entry.id,), score)
    part_id = index.entries[entry.part].id
    part = harness.parts[part_id]
    label = clean(part.label, 80)
    if entry.what is FindKind.POINT:
        places = (place_words(point_place(harness, entry.id)),)
        return Found(entry.what, entry.id, kind_of(part), label, why, missing, places, (entry.id,), score)
    if not isinstance(part, Wire):
        points = _probe_points(harness, part)
        places = (place_words(place_of(harness, part_id)),)
        return Found(entry.what, entry.id, kind_of(part), label, why, missing, places, points, score)
    ends = wire_points(harness, part)
    return Found(
        entry.what,
        entry.id,
        kind_of(part),
        label,
        why,
        missing,
        tuple(place_words(end_place(harness, part, end)) for end in "ab"),
        ends,
        score,
        ends=ends,
        trunks=tuple(clean(trunk) for trunk in part.via),
        colour=clean(part.colour),
        colour_words=clean(colour_words(part.colour)),
        size=size_words(harness, part),
    )


def _probe_points(harness: Harness, part: Part) -> tuple[str, ...]:
    """Name where a probe can be put on a part; of a connector none, since which cavity was not asked."""
    if isinstance(part, Joint):
        return resolve_point(harness, part.from_point), resolve_point(harness, part.to_point)
    return () if isinstance(part, Connector) else tuple(point.name for point in points_of(part))


def _why(index: FindIndex, number: int, terms: Sequence[Term]) -> tuple[str, tuple[str, ...]]:
    """Say what of the terms an entry, or for a point its part, matches, and what not."""
    said: list[str] = []
    missing: list[str] = []
    for term in terms:
        where = where_found(index, term, number) or where_found(index, term, index.entries[number].part)
        if where is None:
            missing.append(term.text)
        else:
            said.append(f"{_FIELD_WORDS[where]} “{term.text}”")
    return ", ".join(said), tuple(missing)
