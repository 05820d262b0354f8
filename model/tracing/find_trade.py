"""What else the trade calls a thing: ``brake light`` for a stop lamp, ``petrol`` for fuel."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from model.tables import table_rows
from model.tracing.find_index import words_of

Phrase = tuple[str, ...]


@cache
def trade_phrases() -> Mapping[Phrase, tuple[Phrase, ...]]:
    """Give the phrases of the table ``trade_words``, folded, each with the others that mean the same."""
    phrases: dict[Phrase, tuple[Phrase, ...]] = {}
    for row in table_rows("trade_words"):
        alike = tuple(words_of(phrase) for phrase in row["words"].split(";"))
        phrases.update((phrase, tuple(other for other in alike if other != phrase)) for phrase in alike)
    return MappingProxyType(phrases)


@cache
def longest_trade_phrase() -> int:
    """Give how many words the longest phrase of the table has."""
    return max(map(len, trade_phrases()))


def trade_names(words: Phrase) -> tuple[Phrase, ...]:
    """Give what else the trade calls what these words name, one or several of it; nothing where it has no other."""
    others = trade_phrases().get(words)
    if others is None and words:
        others = trade_phrases().get((*words[:-1], singular(words[-1])))
    return others or ()


def singular(word: str) -> str:
    """Give a word without the ``s`` of several."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
