"""What the file leaves open: figures that are assumed, and hazards that a label or a colour suggests."""

from __future__ import annotations

import re
from collections.abc import Iterator

from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.hazards import hazards_of_part
from model.harness.parts import Load, Module, ResistorPack
from model.harness.records import Connector, Wire
from model.harness.supply import ASSUMED_LENGTH_M, ASSUMED_SIZE_MM2, assumed_of
from model.review.defects.telling import some_of
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.tracing.names import either, id_and_label
from model.words import plural

_SUGGESTS = {
    Hazard.RESTRAINT: re.compile(
        r"\b(air ?-?bags?|restraints?|(pre)?-?tensioners?|pyro\w*|squibs?|srs)\b", re.IGNORECASE
    ),
    Hazard.HIGH_VOLTAGE: re.compile(r"\b(high[ -]voltage|traction battery|hv)\b", re.IGNORECASE),
}
_HOLDS_FUEL = re.compile(r"\b(fuel|petrol|gasoline)\b.*\b(pumps?|tanks?|senders?|injectors?)\b", re.IGNORECASE)
_ORANGE = "OG"


def hazard_suggested(scene: ReviewScene) -> Iterator[Finding]:
    """Give the parts whose label suggests airbag, high voltage or fuel, and orange cables, not marked so."""
    harness = scene.harness
    for hazard, words in _SUGGESTS.items():
        parts = [part for part in harness.each_part() if part.label and words.search(part.label)]
        unmarked = [part.id for part in parts if hazard not in hazards_of_part(harness, part.id)]
        if unmarked:
            named = some_of(id_and_label(harness, part_id) for part_id in unmarked)
            yield Finding(
                FindingRule.HAZARD_SUGGESTED,
                Gravity.DANGER,
                f"{named}: the label suggests the hazard “{hazard}”, and the file does not mark it.",
                f'Keep every probe and lamp away until that is cleared up. If it is so, give hazard = "{hazard}": no '
                "plan then touches it. If not, word the label otherwise.",
                tuple(unmarked),
            )
    yield from _fuel_suggested(harness)
    orange = [wire.id for wire in harness.wires if _is_orange(wire)]
    unmarked = [wire_id for wire_id in orange if Hazard.HIGH_VOLTAGE not in hazards_of_part(harness, wire_id)]
    if unmarked:
        yield Finding(
            FindingRule.HAZARD_SUGGESTED,
            Gravity.ASK,
            f"{plural(len(unmarked), 'wire')} {'is' if len(unmarked) == 1 else 'are'} plain orange, the colour of high "
            f"voltage cables: {some_of(unmarked)}.",
            "Keep every probe away until it is clear where they lead. Where one is of a high voltage system, give the "
            'part that it ends on hazard = "high voltage".',
            tuple(unmarked),
            rule_text=rule_of("orange cable"),
        )


def _fuel_suggested(harness: Harness) -> Iterator[Finding]:
    """Give the parts that hold or move fuel by their label; a fuse, relay or switch of these lies elsewhere."""
    parts = [part for part in harness.each_part() if isinstance(part, Load | Module | ResistorPack | Connector)]
    labelled = [part.id for part in parts if part.label and _HOLDS_FUEL.search(part.label)]
    unmarked = [part_id for part_id in labelled if Hazard.FUEL not in hazards_of_part(harness, part_id)]
    if unmarked:
        named = some_of(id_and_label(harness, part_id) for part_id in unmarked)
        yield Finding(
            FindingRule.HAZARD_SUGGESTED,
            Gravity.ASK,
            f"{named}: the label suggests the hazard “{Hazard.FUEL}”, and the file does not mark it.",
            f'If petrol or its vapour can be there, give hazard = "{Hazard.FUEL}": the cautions for it then stand '
            "before each step. If not, word the label otherwise.",
            tuple(unmarked),
        )


def _is_orange(wire: Wire) -> bool:
    return wire.colour == _ORANGE


def figures_assumed(scene: ReviewScene) -> Iterator[Finding]:
    """Give, as one finding, how many wires have an assumed size, length or colour, and the first of them."""
    assumed = {wire.id: assumed_of(scene.harness, wire) for wire in scene.harness.wires}
    wire_ids = tuple(wire_id for wire_id, kinds in assumed.items() if kinds)
    if not wire_ids:
        return
    lacking = {kind: [one for one, kinds in assumed.items() if kind in kinds] for kind in ("size", "length", "colour")}
    parts = [f"the {kind} of {plural(len(ids), 'wire')} ({some_of(ids)})" for kind, ids in lacking.items() if ids]
    yield Finding(
        FindingRule.ASSUMED,
        Gravity.ASK,
        f"The file leaves out {either(parts, 'and')}.{_taken_words(lacking)}",
        "Look and measure when the loom is next open, and write it down: what is assumed is four times as uncertain.",
        wire_ids,
        value=float(len(wire_ids)),
        unit="wires",
    )


def _taken_words(lacking: dict[str, list[str]]) -> str:
    """Say what is taken in place of sizes and lengths."""
    taken = [f"{ASSUMED_SIZE_MM2:g} mm²"] if lacking["size"] else []
    if lacking["length"]:
        taken.append(f"{ASSUMED_LENGTH_M:g} m, or the sum of the trunks,")
    return f" What is computed through them rests on {either(taken, 'and')} taken in their place." if taken else ""
