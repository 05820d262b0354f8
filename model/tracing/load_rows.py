"""The loads of a harness as a list: where each is, what it needs to work, and the fuse that it hangs on.

The list alone costs no import of what finds walks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from model.circuit.condition import Condition
from model.harness.harness import Element, Harness, all_elements, element_label
from model.harness.places import Place, place_of

if TYPE_CHECKING:
    from model.tracing.walk import Walk, Walker


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One circuit of a load.

    Attributes
    ----------
    label
        Label of the load, with the circuit's name where it has several.
    """

    element: Element
    label: str
    place: Place


@dataclass(frozen=True, slots=True)
class LoadNeeds:
    """What a load needs: the condition in which it should work, in words too, and the last fuse before it.

    Attributes
    ----------
    words
        ``key ignition, lighting switch side``, ``no key`` of what works with the key at rest; that nothing feeds
        it where no setting does.
    fuse_id
        Empty where the feed has no fuse.
    """

    condition: Condition
    words: str
    reached: bool
    fuse_id: str


def load_rows(harness: Harness) -> tuple[LoadRow, ...]:
    """List every circuit of every load, and every feed of a module, in the order of the file."""
    return tuple(
        LoadRow(element, element_label(harness, element), place_of(harness, element.part_id))
        for element in all_elements(harness)
    )


def load_needs(walker: Walker, walk: Walk) -> LoadNeeds:
    """Say what a load needs, from its walk."""
    working = walk.working
    if not working.reached:
        return LoadNeeds(working.condition, "nothing feeds it in any setting", reached=False, fuse_id=_last_fuse(walk))
    words = [_key_words(walker.harness, working.condition.key)]
    for name, position in working.condition.settings:
        part = walker.harness.parts.get(name.partition(".")[0])
        words.append(f"{part.label if part is not None and part.label else name} {position}")
    return LoadNeeds(working.condition, ", ".join(words), reached=True, fuse_id=_last_fuse(walk))


def _key_words(harness: Harness, key: str) -> str:
    return "no key" if key == harness.key_names[0] else f"key {key}"


def _last_fuse(walk: Walk) -> str:
    from model.tracing.graph import LinkKind

    if walk.feed is None:
        return ""
    fuses = [step.link.part_id for step in walk.feed.steps if step.link is not None and step.link.kind is LinkKind.FUSE]
    return fuses[-1] if fuses else ""
