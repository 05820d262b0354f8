"""How terms are matched against the index of a harness, and what is done where they do not match."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence, Set
from itertools import islice

from model.tracing.find_index import SITE_FIELDS, Field, FindIndex, FindKind, Posted, Shelf, words_of
from model.tracing.find_terms import FILLERS, Look, Option, Term
from model.tracing.find_trade import trade_names
from model.tracing.find_typos import meant_word
from model.words import nearest

Hits = dict[int, int]
"""Number of an entry → how much the match counts."""

_BEGINNING_SHARE = 0.6
_PART_SHARE = 0.5
_MANY_WORDS = 500
_LETTERS_AND_NUMBER = re.compile(r"([a-z]+)([0-9]{1,9})")
_SITES = frozenset(int(where) for where in SITE_FIELDS)
_COLOUR_TEXT = "black brown red orange yellow green blue violet grey gray white pink purple turquoise silver gold"
_COLOUR_WORDS = _COLOUR_TEXT.split()


def fitting(index: FindIndex, terms: Sequence[Term]) -> Hits:
    """Give the entries that every term matches, with the sum of what the matches count."""
    scores = _things_that_fit(index, terms)
    for point, shares in _points(index, terms).items():
        if all(shares):
            scores[point] = sum(shares)
    return scores


def nearly_fitting(index: FindIndex, terms: Sequence[Term]) -> Hits:
    """Give the entries that most terms match, with the sum of what the matches count."""
    matched: dict[int, int] = {}
    scores: Hits = {}
    for term in terms:
        for number, score in _hits(index, index.things, term).items():
            matched[number] = matched.get(number, 0) + 1
            scores[number] = scores.get(number, 0) + score
    for number, shares in _points(index, terms).items():
        matched[number] = len(shares) - shares.count(0)
        scores[number] = sum(shares)
    most = max(matched.values(), default=0)
    return {number: scores[number] for number, count in matched.items() if count == most}


def where_found(index: FindIndex, term: Term, number: int) -> Field | None:
    """Tell where a term matches an entry best; None where it does not."""
    shelf = index.points if index.entries[number].what is FindKind.POINT else index.things
    best: tuple[int, int] = (0, 0)
    for option in term.options:
        if option.look is Look.BEGINNING:
            if shelf is index.things:
                where = _best_beginning(index, option.keys[0], number)
                best = max(best, (int(where * _BEGINNING_SHARE), where))
            continue
        tables = _tables(index, shelf, option)
        if tables and all(number in table for table in tables):
            where = min(int(option.most), *(table[number] for table in tables))
            best = max(best, (where, where))
    return Field(best[1]) if best[1] else None


def _best_beginning(index: FindIndex, start: str, number: int) -> int:
    words = index.beginning(start)
    having = (index.things.words[word][number] for word in words if number in index.things.words[word])
    # One place is enough for a single letter that begins ten thousand words.
    return max(islice(having, 1 if len(words) > _MANY_WORDS else None), default=0)


def without_typos(index: FindIndex, tokens: Sequence[str], terms: Iterable[Term]) -> tuple[list[str], list[str]]:
    """Put the nearest known word in place of each that nothing matches.

    An id is never guessed: a wrong one would send the probe to another wire.

    Returns
    -------
    tuple
        The tokens, and a sentence for each word that is not there.
    """
    remarks: list[str] = []
    instead: dict[str, str] = {}
    for term in terms:
        if not term.word or term.word in FILLERS or _is_known(index, term):
            continue
        if any(character.isdigit() for character in term.word):
            near = _nearest_id(index, term.word)
            remarks.append(f"There is no “{term.text}”{f'; the nearest is {near}' if near else ''}.")
            continue
        meant = None if trade_names((term.word,)) else meant_word(term.word, _known_words(index))
        if meant is not None:
            instead[term.word] = meant
            remarks.append(f"There is no “{term.text}”; taken as “{meant}”.")
    mended: list[str] = []
    for token in tokens:
        words = words_of(token)
        mended += [instead.get(word, word) for word in words] if instead.keys() & set(words) else [token]
    return mended, remarks


def _things_that_fit(index: FindIndex, terms: Sequence[Term]) -> Hits:
    """Match the terms one after another, the rarest first, each within what is left."""
    scores: Hits = {}
    within: Set[int] | None = None
    for term in sorted(terms, key=lambda one: _most_hits(index, one)):
        matched = _hits(index, index.things, term, within)
        scores = {number: scores.get(number, 0) + score for number, score in matched.items()}
        within = scores.keys()
        if not scores:
            break
    return scores


def _most_hits(index: FindIndex, term: Term) -> int:
    """Estimate how many entries a term matches; of a beginning at least how many words begin so."""
    count = 0
    for option in term.options:
        if option.look is Look.BEGINNING:
            count += len(index.beginning(option.keys[0]))
        else:
            count += sum(map(len, _tables(index, index.things, option)))
    return count


def _is_known(index: FindIndex, term: Term) -> bool:
    if any(option.look is Look.BEGINNING and index.beginning(option.keys[0]) for option in term.options):
        return True
    return any(_tables(index, shelf, option) for option in term.options for shelf in (index.things, index.points))


def _points(index: FindIndex, terms: Sequence[Term]) -> dict[int, list[int]]:
    """Give the points of which a cavity, terminal, half or name was asked for, with what each term counts for them.

    What its part matches counts half for a point.
    """
    own = [_hits(index, index.points, term) for term in terms]
    sites = dict.fromkeys(number for hits in own for number, score in hits.items() if score in _SITES)
    if not sites:
        return {}
    parts = {index.entries[number].part for number in sites}
    of_part = [_hits(index, index.things, term, parts) for term in terms]
    return {
        number: [
            hits.get(number) or int(shared.get(index.entries[number].part, 0) * _PART_SHARE)
            for hits, shared in zip(own, of_part, strict=True)
        ]
        for number in sites
    }


def _hits(index: FindIndex, shelf: Shelf, term: Term, within: Set[int] | None = None) -> Hits:
    """Give every entry of a shelf that a term matches in any of its ways, of those within a set where one is given."""
    found: Hits = {}
    for option in term.options:
        hits = _option_hits(index, shelf, option, within)
        if not found:
            found = dict(hits)
            continue
        for number, score in hits.items():
            if found.get(number, 0) < score:
                found[number] = score
    return found


def _option_hits(index: FindIndex, shelf: Shelf, option: Option, within: Set[int] | None) -> Hits:
    tables = _tables(index, shelf, option)
    if not tables:
        return {}
    if option.look is Look.BEGINNING:
        return _any_of(tables, within)
    if len(tables) == 1:
        hits = tables[0] if within is None else {number: tables[0][number] for number in tables[0].keys() & within}
    else:
        common: Set[int] = tables[0].keys() if within is None else tables[0].keys() & within
        for table in tables[1:]:
            common = common & table.keys()
        hits = {number: min([table[number] for table in tables]) for number in common}
    if option.most == Field.ID:
        return hits
    return {number: min(score, int(option.most)) for number, score in hits.items()}


def _any_of(tables: Sequence[Posted], within: Set[int] | None) -> Hits:
    best: Hits = {}
    for table in tables:
        for number, score in table.items():
            if best.get(number, 0) < score and (within is None or number in within):
                best[number] = score
    return {number: int(score * _BEGINNING_SHARE) for number, score in best.items()}


def _tables(index: FindIndex, shelf: Shelf, option: Option) -> list[Posted]:
    """Give the tables that an option looks in; none where it cannot match."""
    match option.look:
        case Look.MARK:
            found = [shelf.marks.get(option.keys[0])]
        case Look.PHRASE:
            found = [shelf.phrases.get(option.keys)]
        case Look.WORDS:
            found = [shelf.words.get(word) for word in dict.fromkeys(option.keys)]
        case Look.BEGINNING:
            words = index.beginning(option.keys[0]) if shelf is index.things else []
            return [shelf.words[word] for word in words]
    tables = [table for table in found if table is not None]
    return sorted(tables, key=len) if len(tables) == len(found) else []


def _known_words(index: FindIndex) -> list[str]:
    return [one for one in (*_COLOUR_WORDS, *index.sorted_words) if len(one) > 2 and one.isalpha()]


def _nearest_id(index: FindIndex, word: str) -> str | None:
    """Give the id that looks most like a word, else the one with the same letters and the nearest number."""
    ids = [entry.id for entry in index.entries if entry.what is not FindKind.POINT]
    like = nearest(word, (one for one in ids if abs(len(one) - len(word)) <= 1 and one[:1].casefold() == word[0]))
    parted = _LETTERS_AND_NUMBER.fullmatch(word)
    if like is not None or parted is None:
        return like
    numbered = ((one, _LETTERS_AND_NUMBER.fullmatch(one.casefold())) for one in ids)
    same = [(abs(int(had[2]) - int(parted[2])), one) for one, had in numbered if had and had[1] == parted[1]]
    return min(same)[1] if same else None
