"""An element of a load by label and id."""

from __future__ import annotations

from model.harness.harness import Harness
from model.plans.load_rows import load_name
from model.review.spread import element_of
from model.words import clean


def load_words(harness: Harness, name: str) -> str:
    """Name an element of a load by label and id: ``Left head lamp dip (E1:dip)``; without a label by its id."""
    element = element_of(harness, name)
    spelled = clean(name.removesuffix(":load"), 40)
    label = load_name(harness, element)
    return spelled if label in (spelled, element.part_id) else f"{label} ({spelled})"
