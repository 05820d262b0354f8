"""What a search found, as lines of text and as one JSON object."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from model.cautions import NO_PROBE, Caution, cautions_for, crank_keys, wants_engine_off
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.hazards import Refusal, may_be_probed
from model.harness.records import Wire
from model.sheets.condition_words import setting_words
from model.sheets.part_facts import hung_words, listed
from model.tracing.behind import Behind, Side, behind
from model.tracing.find import FindKind, Found, Search
from model.words import clean, plural, volts_text

WIDTH = 80
_NAMED_MOST = 6

Expected = Mapping[str, Mapping[str, float | str]]
"""Point → key state → volts, or the word that stands for them."""


def find_lines(harness: Harness, words: str, result: Search, expected: Expected, condition: Condition) -> list[str]:
    """Give what a search found as lines of text, cautions before the volts.

    Parameters
    ----------
    words
        What was typed.
    expected
        Volts for the points of the first few; points that must not be probed are left out of the table.
    condition
        What is set where the volts were worked out; where the posts were read, its key state is the one of that.
    """
    expected = _without_running_ignition(harness, expected, condition)
    lines = [clean(harness.build.name, 60)]
    if result.total:
        lines[0] += f": {plural(result.total, 'thing')} found for “{clean(words, 60)}”"
    lines += [line for remark in result.remarks for line in textwrap.wrap(remark, WIDTH)]
    shown = {point for found in result.found for point in found.points if point in expected}
    of_each = [(found.id, _texts(harness, found, expected, condition)) for found in result.found]
    for caution in _cautions(harness, sorted(shown), condition):
        words = f"Caution: {with_its_parts(caution.text, of_each)}"
        lines += ["", *textwrap.wrap(words, WIDTH, break_on_hyphens=False)]
    if shown:
        lines += ["", *textwrap.wrap(what_volts(harness, _keys(harness, expected), condition), WIDTH)]
    for found in result.found:
        lines += ["", *_found_lines(harness, found, expected)]
    if result.total > len(result.found):
        lines += ["", f"{result.total - len(result.found)} more: another word narrows it."]
    if shown:
        lines += _volts_of_first(result.found, expected)
    return lines


def find_json(harness: Harness, words: str, result: Search, expected: Expected, condition: Condition) -> dict[str, Any]:
    """Give what a search found as one JSON object.

    ``expect`` holds point → key state → volts, or the word (``floating``, ``unsettled``, ``no probe``) that stands for
    them;
    ``refused`` the points that must not be probed, with the reason.
    """
    expected = _without_running_ignition(harness, expected, condition)
    return {
        "words": clean(words),
        "settings": condition.by_name,
        "total": result.total,
        "remarks": list(result.remarks),
        "found": [_found_json(harness, found, expected, condition) for found in result.found],
    }


def _without_running_ignition(harness: Harness, expected: Expected, condition: Condition) -> Expected:
    """Put a word in place of the volts of ignition wiring in the key states in which the engine turns."""
    return {
        point: {
            key: NO_PROBE if wants_engine_off(harness, point, condition.at_key(key)) else one
            for key, one in texts.items()
        }
        for point, texts in expected.items()
    }


def _volts_of_first(found: Sequence[Found], expected: Expected) -> list[str]:
    """Say for how many things the volts stand there, where they are left out of the rest."""
    first = next((place for place, one in enumerate(found) if not set(one.points) <= expected.keys()), len(found))
    if first == len(found):
        return []
    these = "thing" if first == 1 else f"{first} things"
    return ["", *textwrap.wrap(f"Volts stand with the first {these} only: ask for one of the others by its id.", WIDTH)]


def _found_json(harness: Harness, found: Found, expected: Expected, condition: Condition) -> dict[str, Any]:
    shown = [point for point in found.points if point in expected]
    hung = _hung(harness, found)
    refusals = _refusals(harness, found)
    return {
        "what": str(found.what),
        "id": found.id,
        "kind": found.kind,
        "label": found.label,
        "why": found.why,
        "missing": list(found.missing),
        "places": list(found.places),
        "ends": list(found.ends),
        "trunks": list(found.trunks),
        "colour": found.colour,
        "colour_words": found.colour_words,
        "size": found.size,
        "side": None if hung is None else str(hung.side),
        "behind": [] if hung is None else list(hung.names),
        "cautions": _texts(harness, found, expected, condition),
        "refused": {refusal.point: refusal.reason for refusal in refusals},
        "expect": {
            point: {key: round(one, 6) + 0.0 if isinstance(one, float) else one for key, one in expected[point].items()}
            for point in shown
            if point not in {refusal.point for refusal in refusals}
        },
    }


def _found_lines(harness: Harness, found: Found, expected: Expected) -> Iterator[str]:
    yield from _wrapped(_title(found), "", "    ")
    if found.what is FindKind.WIRE:
        for head, point, place in zip(("from", "to"), found.ends, found.places, strict=True):
            yield from _row(head, f"{point}, {place}")
        if found.trunks:
            yield from _row("through", ", ".join(found.trunks))
    else:
        yield from _row("where", found.places[0])
    hung = _hung(harness, found)
    if hung is not None and hung.names:
        head = {Side.FEED: "feeds", Side.GROUND: "grounds", Side.BETWEEN: "joins"}[hung.side]
        yield from _row(head, listed(hung_words(harness, name) for name in hung.names))
    if found.why:
        yield from _row("fits", found.why)
    if found.missing:
        yield from _row("not", ", ".join(f"“{text}”" for text in found.missing))
    refusals = _refusals(harness, found)
    if refusals:
        yield from _row("no probe", refusals[0].reason)
    refused = {refusal.point for refusal in refusals}
    points = [point for point in found.points if point in expected and point not in refused]
    if points:
        yield from _volts_table(points, expected, _keys(harness, expected))


def _title(found: Found) -> str:
    if found.what is FindKind.WIRE:
        colour = f"{found.colour} {found.colour_words}".strip()
        return f"{found.id}  wire, {colour}, {found.size}{f', {found.label}' if found.label else ''}"
    return f"{found.id}  {found.kind}{f', {found.label}' if found.label else ''}"


def _volts_table(points: Sequence[str], expected: Expected, keys: Sequence[str]) -> Iterator[str]:
    """Give the volts, a row a point, the figures on the right under their key state."""
    texts = [[_text(expected[point].get(key, "")) for key in keys] for point in points]
    first = max(len("expect, V"), *map(len, points))
    widths = [max(len(clean(key, 20)), *(len(row[column]) for row in texts)) for column, key in enumerate(keys)]
    heads = (f"{clean(key, 20):>{width}}" for key, width in zip(keys, widths, strict=True))
    yield "  ".join((f"    {'expect, V':<{first}}", *heads))
    for point, row in zip(points, texts, strict=True):
        cells = (f"{text:>{width}}" for text, width in zip(row, widths, strict=True))
        yield "  ".join((f"    {point:<{first}}", *cells))


def _text(volts: float | str) -> str:
    return volts_text(volts) if isinstance(volts, float) else clean(volts, 20)


def _keys(harness: Harness, expected: Expected) -> list[str]:
    return [key for key in harness.key_names if any(key in texts for texts in expected.values())]


def what_volts(harness: Harness, keys: Sequence[str], condition: Condition) -> str:
    """Say what the volts are worked out with, and which of them are an estimate."""
    changed = [setting_words(harness, name, value) for name, value in condition.settings]
    changed += [f"fault {fault.spelled()}" for fault in condition.faults]
    given = f"Volts with {', '.join(changed)}, the rest at rest." if changed else "Volts with everything at rest."
    read_in = condition.key if condition.posts_volts is not None else ""
    estimated = [clean(key, 40) for key in keys if key in crank_keys(harness) and key != read_in]
    if not estimated:
        return clean(given, 1000)
    return clean(f"{given} In {' and '.join(estimated)} they are an estimate until the posts are read there.", 1000)


def _cautions(harness: Harness, points: Sequence[str], condition: Condition) -> tuple[Caution, ...]:
    return cautions_for(harness, points, condition) if points else ()


def _texts(harness: Harness, found: Found, expected: Expected, condition: Condition) -> list[str]:
    """List the cautions of one thing that was found."""
    shown = [point for point in found.points if point in expected]
    return [caution.text for caution in _cautions(harness, shown, condition)]


def with_its_parts(caution: str, of_each: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Say a caution with the things that it is for, a few by id, where it is not for all: ``At E1, E2: This part …``.

    Parameters
    ----------
    of_each
        Id and cautions of everything that stands below it.
    """
    ids = [one for one, cautions in of_each if caution in cautions]
    if not ids or len(ids) == len(of_each):
        return caution
    more = len(ids) - _NAMED_MOST
    return f"At {', '.join(ids[:_NAMED_MOST])}{f' and {more} more' if more > 0 else ''}: {caution}"


def _refusals(harness: Harness, found: Found) -> list[Refusal]:
    refusals = (may_be_probed(harness, point) for point in found.points)
    return [refusal for refusal in refusals if refusal is not None]


def _hung(harness: Harness, found: Found) -> Behind | None:
    part = harness.parts.get(found.id)
    return behind(harness, part) if isinstance(part, Wire) else None


def _row(head: str, text: str) -> Iterator[str]:
    yield from _wrapped(f"{head:<9} {text}", "    ", " " * 14)


def _wrapped(text: str, first: str, rest: str) -> Iterator[str]:
    yield from textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
