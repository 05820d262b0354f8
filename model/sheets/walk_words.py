"""The words that a walk has in common as text, as Markdown and as JSON."""

from __future__ import annotations

from model.caution_words import CAUTIONS, Caution
from model.cautions import NO_PROBE, cautions_for, crank_keys
from model.circuit.bands import SUPPLY_SHARE
from model.circuit.condition import OUT
from model.harness.harness import Harness
from model.harness.places import BODY_PLACE, place_words
from model.harness.records import Wire
from model.harness.wire_words import size_words, zero_post_words
from model.sheets.condition_words import condition_words
from model.sheets.settled_words import settled_words
from model.sheets.volts_sheet import survey_remarks
from model.tracing.expect import Expect
from model.tracing.row_words import faults_of, link_words
from model.tracing.rows import ToldWalk, WalkRow
from model.words import amps_text, size_text, volts_text, watts_text

AS_BUILT = "as built"
"""The head of what was read while the loom was proven."""

_NAMED_AT_MOST = 5
_LOAD_FIRST = (
    "Measure across the load first: a good reading there and no work means the load itself, or its terminals. "
    "Then walk."
)
_HOW_TO_READ = (
    "A feed point nearer 0 than its band: the fault lies between it and the last good point. "
    "A ground point further from 0 than its band: between it and the next good one."
)


def title(told: ToldWalk) -> str:
    """Name the walk: ``Walk of E1:dip, Left head lamp dip``."""
    return ", ".join(word for word in (f"Walk of {told.walk.element.name}", told.load.label) if word)


def intro(harness: Harness, told: ToldWalk) -> list[str]:
    """Say in which condition a walk is told, where the black probe stands, and what the bands rest on."""
    lines = [f"Condition: {condition_words(harness, told.condition)}."]
    if not told.walk.working.reached:
        lines.append("No setting was found in which the healthy circuit feeds this load.")
    if told.load.refusal:
        lines.append(f"This load is neither measured nor unplugged: {told.load.refusal}")
    lines.append(f"Meter on DC volts. Black probe on {told.walk.black}, {zero_post_words(harness)}.")
    lines += remarks(told)
    posts_volts = told.condition.posts_volts
    if posts_volts is None:
        lines.append(
            f"The posts were not read, for which the bands leave {100 * SUPPLY_SHARE:.0f} %: measure them first. "
            f"Where they differ, so does all that follows."
        )
    else:
        lines.append(f"The posts read {volts_text(posts_volts)} V.")
    is_measured = not told.load.refusal and told.load.across[told.condition.key].word != NO_PROBE
    lines.append(f"{_LOAD_FIRST} {_HOW_TO_READ}" if is_measured else _HOW_TO_READ)
    if _has_word(told, NO_PROBE):
        lines.append(f"Where “{NO_PROBE}” stands, ignition wiring is meant and the engine turns: measure with it off.")
    return lines


def remarks(told: ToldWalk) -> list[str]:
    """Say which relays buzz or may not hold and which fuses open, and where it depends on the key state before.

    Of the key states that are not told, only what befalls a relay or fuse of the walk.
    """
    on_walk = {
        step.link.part_id for stretch in told.walk.stretches() for step in stretch.steps if step.link is not None
    }
    lines = survey_remarks(told.expectations.survey(told.condition.key))
    for key in told.expectations.keys:
        settled = told.expectations.settled(key)
        if key != told.condition.key and on_walk.intersection((*settled.buzzing, *settled.uncertain, *settled.blown)):
            lines += [f"Key {key}: {line}" for line in settled_words(settled)]
    return lines


def _has_word(told: ToldWalk, word: str) -> bool:
    """Tell whether a word stands in place of a figure somewhere in a walk."""
    expected = [told.load.across, *(row.expect for section in told.sections for row in section.rows)]
    return any(one.word == word for by_key in expected for one in by_key.values())


def walk_cautions(harness: Harness, told: ToldWalk) -> list[str]:
    """Say what to beware of before the walk, and at which points of it where not at all, the gravest first.

    What another key state adds names that state.
    """
    points, condition = told.walk.points(), told.condition
    here = set(cautions_for(harness, points, condition))
    if not told.load.refusal:
        here |= set(cautions_for(harness, points, condition.with_setting(told.walk.element.part_id, OUT)))
    by_point = {point: set(cautions_for(harness, (point,), condition)) for point in points}
    lines = [f"{one.text}{_where(one, by_point)}" for one in CAUTIONS.values() if one in here]
    for key in told.expectations.keys:
        added = [one for one in cautions_for(harness, points, condition.at_key(key)) if one not in here]
        lines += [f"Key {key}: {caution.text}" for caution in added]
    return lines


def _where(caution: Caution, by_point: dict[str, set[Caution]]) -> str:
    """Name the points that a caution is about; nothing where it holds at every point or for the walk as a whole."""
    points = [point for point, there in by_point.items() if caution in there]
    if not points or len(points) == len(by_point):
        return ""
    more = f" and {len(points) - _NAMED_AT_MOST} more" if len(points) > _NAMED_AT_MOST else ""
    return f" At {', '.join(points[:_NAMED_AT_MOST])}{more}."


def key_mark(harness: Harness, told: ToldWalk, key: str) -> str:
    """Say what the volts of a key state rest on: ``read``, ``computed`` or ``estimate``; nothing where on the file."""
    posts_volts = told.condition.posts_volts
    if posts_volts is not None and key == told.condition.key:
        return "read"
    if key in crank_keys(harness):
        return "estimate"
    return "computed" if posts_volts is not None else ""


def rating_words(told: ToldWalk) -> str:
    """Say what a load is and what it is rated at: ``Fuel pump, motor, 84.5 W at 13 V, 6.5 A``."""
    element, label = told.walk.element, told.load.label
    kind = str(element.kind) if element.record is not None else "control unit"
    words = [label] if label else []
    if kind not in label.casefold():
        words.append(kind)
    watts = watts_text(element.at_volts * element.rated_amps)
    return ", ".join([*words, f"{watts} at {size_text(element.at_volts)} V", amps_text(element.rated_amps)])


def does_words(told: ToldWalk, key: str) -> str:
    """Say what a load does in a key state: ``takes 4.6 A, works``."""
    reading = told.load.reading[key]
    return f"takes {amps_text(reading.amps)}, {reading.state}"


def what_words(row: WalkRow) -> str:
    """Say what a point is on and what to touch there."""
    if row.place == BODY_PLACE:
        return BODY_PLACE.name
    return ", ".join(word for word in (row.label, row.terminal) if word)


def where_words(row: WalkRow) -> str:
    """Say where a point is; nothing of the body, which is everywhere."""
    return "" if row.place == BODY_PLACE else place_words(row.place)


def led_words(harness: Harness, told: ToldWalk, row: WalkRow) -> str:
    """Say what leads to a point from the row before: ``W9 GN green, 1.5 mm², 0.3 m``; nothing at the first."""
    if row.link is None:
        return ""
    words = link_words(harness, row.link)
    if row.wire is not None:
        wire = harness.part_of(row.wire.wire_id, Wire)
        colour = f"{row.wire.colour} {row.wire.colour_words}".strip()
        assumed = " assumed" if "length" in row.wire.assumed else ""
        words = f"{words} {colour}, {size_words(harness, wire)}, {size_text(row.wire.length_m)} m{assumed}"
        if row.wire.in_place_of:
            words = f"{words}, in place of {', '.join(row.wire.in_place_of)}"
    if not row.closed[told.condition.key]:
        words += ", open now"
    faults = [fault.spelled() for fault in faults_of(row.link, told.condition.faults)]
    return ", ".join([words, *(f"fault {fault}" for fault in faults)])


def shown(volts: float | None, word: str) -> str:
    """Give volts as text, or the word that stands in their place."""
    return word if volts is None else volts_text(volts)


def as_built_text(volts: float | None) -> str:
    """Give volts that were read as text; nothing where none were."""
    return "" if volts is None else volts_text(volts)


def band_text(expect: Expect) -> str:
    """Give the band of a good reading: ``11.90 to 12.60``."""
    if expect.low is None or expect.high is None:
        return ""
    return f"{volts_text(expect.low)} to {volts_text(expect.high)}"


def outside_words(expect: Expect) -> tuple[str, str]:
    """Name a reading below and one above a band: ``low`` and ``high``; below zero they are told from zero."""
    if expect.high is not None and expect.high <= 0.0 and expect.low is not None and expect.low < 0.0:
        return "further from 0", "nearer 0"
    return "low", "high"


def rows_once(told: ToldWalk) -> list[WalkRow]:
    """List the rows of a walk that may be measured, each point once."""
    rows: dict[str, WalkRow] = {}
    for section in told.sections:
        for row in section.rows:
            if not row.refusal:
                rows.setdefault(row.point, row)
    return list(rows.values())
