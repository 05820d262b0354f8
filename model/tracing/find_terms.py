"""What a person typed, read as terms: an id, a colour, a size, a rating, a cavity, a place, or a plain word."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from types import MappingProxyType

from model.tables import table_rows
from model.tracing.find_index import Field, FindIndex, folded, number_mark, words_of
from model.tracing.find_trade import longest_trade_phrase, singular, trade_names
from model.words import clean, colour_codes

LONGEST_QUERY = 200
"""Characters of a query that are read; what is typed beyond them is left out."""

_FILLER_TEXT = (
    "a an and any are at be behind beside by can coming comes do does find for found from get goes going got "
    "has have hold holding i in into is it its here looking me mine my near of on one or please see show some "
    "stripe striped stripes tell that the there theres these this to tracer under what whats where wheres "
    "which whose with "
)
FILLERS = frozenset(_FILLER_TEXT.split())
"""Words that narrow nothing when one asks for a wire."""

_JOINERS = frozenset({"with", "and", "a", "an", "stripe", "stripes", "striped", "tracer", "band", "on"})
_AMPS = frozenset({"a", "amp", "amps", "ampere", "amperes"})
_WATTS = frozenset({"w", "watt", "watts"})
_AREA = frozenset({"mm2", "mm²", "mm", "sq", "sqmm", "qmm"})
_GAUGE = frozenset({"awg", "gauge", "ga"})
_CAVITY = frozenset({"cavity", "cav", "pin", "terminal", "way", "pole", "position"})
_NUMBER = re.compile(r"(\d{1,5}(?:[.,]\d{1,4})?)")
_NUMBER_AND_UNIT = re.compile(r"(\d{1,5}(?:[.,]\d{1,4})?)([a-z]+[2²]?)")
_TERMINAL = re.compile(r"\d{1,4}[a-z]?")
_AWG = re.compile(r"\d{1,2}|[1-4]/0")
_LEAST_SHORT_FORM = 3
_CODE_LETTERS = 2
_EDGES = ",;:!?()[]{}<>\"'“”„‘’`.…#/-"


class Look(StrEnum):
    """How an option is looked up."""

    MARK = "mark"
    WORDS = "words"
    BEGINNING = "beginning"
    PHRASE = "phrase"


@dataclass(frozen=True, slots=True)
class Option:
    """One way in which a term can match.

    Attributes
    ----------
    keys
        The mark, or all the words that must be there, or the words of a phrase.
    most
        What a match counts at most, where it is a weaker reading of what was typed.
    """

    look: Look
    keys: tuple[str, ...]
    most: Field = Field.ID


@dataclass(frozen=True, slots=True)
class Term:
    """Something asked for, with every way in which it can match.

    Attributes
    ----------
    text
        As it was typed.
    word
        The plain word, for one that is nothing else; empty for the others.
    point
        The id or point that it names, folded; empty for the others.
    """

    text: str
    options: tuple[Option, ...]
    word: str = ""
    point: str = ""


Reader = Callable[[FindIndex, Sequence[str], int, Term | None], tuple[Term, int] | None]


def read_terms(index: FindIndex, tokens: Sequence[str]) -> tuple[Term, ...]:
    """Read the tokens of a query as terms; words that narrow nothing are dropped unless there are no others."""
    terms = _read(index, tokens, FILLERS)
    return terms or _read(index, tokens, frozenset())


def tokens_of(words: Sequence[str]) -> list[str]:
    """Split what was typed at its spaces."""
    return clean(" ".join(words), LONGEST_QUERY).split()


def _read(index: FindIndex, tokens: Sequence[str], fillers: frozenset[str]) -> tuple[Term, ...]:
    terms: dict[tuple[Option, ...], Term] = {}
    whole = ["".join(folded(token).split()) for token in tokens]
    bare = [token.strip(_EDGES) for token in whole]
    before: Term | None = None
    place = 0
    while place < len(tokens):
        read = _id_at(index, whole, place)
        for reader in _READERS:
            read = read or reader(index, bare, place, before)
        if read is not None:
            term, taken = read
            found = [term]
        else:
            found, taken = [] if bare[place] in fillers else _word(bare[place]), 1
        if len(found) == 1:
            spelled = " ".join(tokens[place : place + taken]).strip(_EDGES)
            found = [replace(found[0], text=spelled or found[0].text)]
        for term in found:
            terms.setdefault(term.options, term)
        before = found[-1] if found else before
        place += taken
    return tuple(terms.values())


def _id_at(index: FindIndex, tokens: Sequence[str], place: int) -> tuple[Term, int] | None:
    """Read an id, a point or an element; whole first, since a point may end in a sign, then without its edges."""
    for token in (tokens[place], tokens[place].strip(_EDGES)):
        if index.has_mark(f"id:{token}") and not (token in FILLERS and len(tokens) > 1):
            return Term(token, (Option(Look.MARK, (f"id:{token}",)),), point=token), 1
    return None


def _terminal_of_id(
    index: FindIndex, tokens: Sequence[str], place: int, before: Term | None
) -> tuple[Term, int] | None:
    """Read what stands behind an id and is a terminal or half there, though it may look like a filler."""
    token = tokens[place]
    if before is None or not before.point or not index.has_mark(f"id:{before.point}.{token}"):
        return None
    return Term(token, (_mark("terminal", token), _mark("cavity", token), Option(Look.WORDS, words_of(token)))), 1


def _measure(index: FindIndex, tokens: Sequence[str], place: int, before: Term | None) -> tuple[Term, int] | None:
    """Read a size, a gauge, amperes or watts, its unit written on to the number or behind it."""
    token, following = tokens[place], tokens[place + 1] if place + 1 < len(tokens) else ""
    if token in _GAUGE and _AWG.fullmatch(following):
        return Term(f"awg {following}", (_mark("awg", following),)), 2
    if token.startswith("awg") and _AWG.fullmatch(token[3:]):
        return Term(f"awg {token[3:]}", (_mark("awg", token[3:]),)), 1
    if _AWG.fullmatch(token) and (following in _GAUGE or "/" in token):
        return Term(f"awg {token}", (_mark("awg", token),)), 2 if following in _GAUGE else 1
    whole = _NUMBER.fullmatch(token)
    joined = _NUMBER_AND_UNIT.fullmatch(token)
    number, unit, taken = ("", "", 0)
    if whole is not None:
        number, unit, taken = whole[1], following, 2
    elif joined is not None:
        number, unit, taken = joined[1], joined[2], 1
    is_terminal = whole is None and index.has_mark(f"terminal:{token}")
    for units, name in ((_AREA, "size"), (_AMPS, "amps"), (_WATTS, "watts")):
        if number and unit in units and not is_terminal:
            words = words_of("".join(tokens[place : place + taken]))
            return Term(f"{number} {unit}", (_mark(name, _figure(number)), Option(Look.WORDS, words))), taken
    return None


def _cavity(index: FindIndex, tokens: Sequence[str], place: int, before: Term | None) -> tuple[Term, int] | None:
    following = tokens[place + 1] if place + 1 < len(tokens) else ""
    if tokens[place] not in _CAVITY or not following:
        return None
    if not _TERMINAL.fullmatch(following) and not index.has_mark(f"terminal:{following}"):
        return None
    options = (_mark("cavity", following), _mark("terminal", following))
    return Term(f"{tokens[place]} {following}", options), 2


def _colour(index: FindIndex, tokens: Sequence[str], place: int, before: Term | None) -> tuple[Term, int] | None:
    """Read a colour: ``gn/wh``, ``green white``, ``green with white stripe``, ``white on green``."""
    codes: list[str] = []
    end = at = place
    is_turned = turns_next = False
    while at < len(tokens):
        found = colours_of(tokens[at])
        if found:
            codes += found
            is_turned = is_turned or turns_next
            end = at + 1
        elif not codes or tokens[at] not in _JOINERS:
            break
        turns_next = tokens[at] == "on"
        at += 1
    if not codes:
        return None
    if is_turned and len(codes) == 2:
        codes.reverse()
    words = tuple(word for token in tokens[place:end] for word in words_of(token) if word not in _JOINERS)
    options = [_mark("colour", "/".join(codes))]
    if len(codes) == 1:
        options += [_mark("base", codes[0]), _mark("stripe", codes[0])]
    elif len(codes) == 2:
        options.append(Option(Look.MARK, (f"colour:{codes[1]}/{codes[0]}",), Field.COLOUR_REVERSED))
    options.append(Option(Look.WORDS, words))
    return Term(" ".join(tokens[place:end]), tuple(options)), end - place


def colours_of(token: str, *, has_stripe: bool = False) -> list[str]:
    """Give the codes of a token that is colours, base first; none where it is not.

    Short forms of wiring diagrams (``grn``, ``wht``) count too: those of two letters only beside another colour, since
    alone they may be a word or the name of a part.

    Parameters
    ----------
    has_stripe
        Whether another colour stands beside it.
    """
    parts = [part for part in re.split(r"[/\-+]", token) if part]
    try:
        return [_code_of(part, is_short=has_stripe or len(parts) > 1) for part in parts]
    except ValueError:
        return []


def _code_of(word: str, *, is_short: bool) -> str:
    code = short_colours().get(word) if is_short or len(word) >= _LEAST_SHORT_FORM else None
    return code or colour_codes([word])


@cache
def short_colours() -> Mapping[str, str]:
    """Give the code of each name and short form of a colour that is the same in every wiring diagram."""
    rows = [row for row in table_rows("colour_words") if row["used"] == "any" and len(row["code"]) == _CODE_LETTERS]
    return MappingProxyType({words_of(word)[0]: row["code"] for row in rows for word in row["words"].split(";")})


def _phrase(index: FindIndex, tokens: Sequence[str], place: int, before: Term | None) -> tuple[Term, int] | None:
    """Read the longest whole label, place or trunk of several words."""
    words: tuple[str, ...] = ()
    best: tuple[Term, int] | None = None
    for end in range(place, len(tokens)):
        words += words_of(tokens[end])
        if len(words) > index.longest_phrase:
            break
        if words in index.things.phrases:
            options = dict.fromkeys((Option(Look.PHRASE, words), *_whole_words(words), *_trade_options(words)))
            best = Term(" ".join(tokens[place : end + 1]), tuple(options)), end - place + 1
    return best


def _trade_phrase(index: FindIndex, tokens: Sequence[str], place: int, before: Term | None) -> tuple[Term, int] | None:
    """Read the longest phrase of several words for which the trade has another."""
    words: tuple[str, ...] = ()
    best: tuple[Term, int] | None = None
    for end in range(place, len(tokens)):
        words += words_of(tokens[end])
        if len(words) > longest_trade_phrase():
            break
        others = _trade_options(words) if len(words) > 1 else ()
        if others:
            options = dict.fromkeys((*_whole_words(words), Option(Look.WORDS, _several(words)), *others))
            best = Term(" ".join(tokens[place : end + 1]), tuple(options)), end - place + 1
    return best


def _whole_words(words: tuple[str, ...]) -> tuple[Option, Option]:
    return Option(Look.WORDS, words), Option(Look.WORDS, tuple(singular(word) for word in words))


def _trade_options(words: tuple[str, ...]) -> tuple[Option, ...]:
    """Look up what else the trade calls these words, one and several of it, as a weaker reading."""
    others = trade_names(words)
    return tuple(Option(Look.WORDS, other, Field.TRADE_WORD) for other in (*others, *map(_several, others)))


def _several(words: tuple[str, ...]) -> tuple[str, ...]:
    return (*words[:-1], f"{words[-1]}s")


def _number(index: FindIndex, tokens: Sequence[str], place: int, before: Term | None) -> tuple[Term, int] | None:
    """Read a bare number: a size, a cavity, a terminal or a rating, whichever is there."""
    token = tokens[place]
    if not _NUMBER.fullmatch(token):
        return None
    figure = _figure(token)
    names = ("size", "cavity", "terminal", "amps", "watts", "awg")
    return Term(token, (*(_mark(name, figure) for name in names), Option(Look.WORDS, (token,)))), 1


def _word(token: str) -> list[Term]:
    """Read plain words: each whole, as a terminal, without the ``s`` of several, or as the beginning of one."""
    terms = []
    for word in words_of(token):
        terminal = Option(Look.MARK, (f"terminal:{word}",), Field.TERMINAL_WORD)
        options = dict.fromkeys(
            (*_whole_words((word,)), terminal, *_trade_options((word,)), Option(Look.BEGINNING, (word,)))
        )
        terms.append(Term(word, tuple(options), word=word))
    return terms


_READERS: tuple[Reader, ...] = (_terminal_of_id, _measure, _cavity, _colour, _phrase, _trade_phrase, _number)


def _mark(name: str, value: str) -> Option:
    return Option(Look.MARK, (f"{name}:{value}",))


def _figure(text: str) -> str:
    return number_mark(float(text.replace(",", ".")))
