"""Which circuit of a load is asked for: of a cluster found by ``brake light`` the stop lamp."""

from __future__ import annotations

from collections.abc import Sequence

from model.harness.harness import Element, Harness, elements_of
from model.harness.parts import Load, LoadElement
from model.tracing.find_index import words_of
from model.tracing.find_trade import longest_trade_phrase, singular, trade_names


def circuits_as_asked(harness: Harness, load: Load, typed: Sequence[str]) -> tuple[Element, ...]:
    """List the circuits of a load, those first whose name and role have most of what was typed.

    Parameters
    ----------
    typed
        The words as they were typed; what else the trade calls them counts too.
    """
    asked = _words_meant(typed)
    return tuple(sorted(elements_of(harness, load), key=lambda one: -len(asked & _words_of_circuit(one))))


def _words_meant(typed: Sequence[str]) -> frozenset[str]:
    words = words_of(" ".join(typed))
    phrases = [
        words[begin : begin + length]
        for length in range(1, longest_trade_phrase() + 1)
        for begin in range(len(words) - length + 1)
    ]
    others = (word for phrase in phrases for other in trade_names(phrase) for word in other)
    return frozenset(singular(word) for word in (*words, *others))


def _words_of_circuit(element: Element) -> frozenset[str]:
    record = element.record
    if not isinstance(record, LoadElement):
        return frozenset()
    return frozenset(singular(word) for text in (record.name, record.role) for word in words_of(text or ""))
