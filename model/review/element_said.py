"""An element, a feed or a coil in a sentence, by the label of its part and its own name."""

from __future__ import annotations

from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Module, Relay
from model.tracing.names import id_and_label
from model.words import clean


def element_said(harness: Harness, name: str) -> str:
    """Name what takes current.

    Parameters
    ----------
    name
        ``id:element``, ``id:terminal`` of a module's feed, ``id:coil`` of a relay, or a part's id alone.

    Examples
    --------
    ``E4 (Stop lamp)``, ``E1 (Left head lamp) dip``, ``A2 (Radio) pin 75``, ``the coil of K3 (Dip relay)``.
    """
    part_id, _, inner = name.partition(":")
    named = id_and_label(harness, part_id)
    match harness.parts.get(part_id):
        case Relay():
            return f"the coil of {named}"
        case Module():
            return f"{named} pin {inner}"
    return named if inner in ("", SINGLE_ELEMENT) else f"{named} {clean(inner, 20)}"


def sentence_start(words: str) -> str:
    """Give words with a capital: an id begins with one or is left as it is typed."""
    return f"The{words[3:]}" if words.startswith("the ") else words
