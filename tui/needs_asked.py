"""The questions of a file one after the other: which is asked, which are left as assumed, and what answers did.

What takes time here belongs in a thread.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from model.errors import FusewalkError
from model.harness.answered_file import answer_in_file
from model.harness.file_read import ChangedOutsideError, FileRead, read_file
from model.harness.wire_list_earlier import read_earlier
from model.harness.wire_list_questions import Question, questions
from model.review.finding import Finding
from model.words import clean

_LONGEST = 400


@dataclass(frozen=True)
class Asked:
    """The questions as they stand.

    Attributes
    ----------
    read
        The file as it is.
    lines
        Line of the wire list by the id of a part or wire.
    left
        Ids of the questions that are left as assumed, in the order in which they were.
    place
        Which of `open` is asked.
    """

    read: FileRead
    lines: Mapping[str, int] = field(default_factory=dict)
    left: tuple[str, ...] = ()
    place: int = 0

    @cached_property
    def open(self) -> tuple[Question, ...]:
        """All that is still asked: what is left as assumed comes last."""
        found = {one.id: one for one in questions(self.read.harness, self.lines)}
        left = [found[one] for one in self.left if one in found]
        return (*(one for one in found.values() if one.id not in self.left), *left)

    @property
    def question(self) -> Question | None:
        """What is asked now; None where nothing is."""
        found = self.open
        return found[min(self.place, len(found) - 1)] if found else None

    def left_assumed(self) -> Asked:
        """Leave what is asked as it is assumed, and go on to the next question."""
        question = self.question
        if question is None:
            return self
        left = (*(one for one in self.left if one != question.id), question.id)
        return replace(self, left=left)

    def back(self) -> Asked:
        """Take the question up again that was left last."""
        return replace(self, left=self.left[:-1], place=self._place_of(self.left[-1])) if self.left else self

    def _place_of(self, question_id: str) -> int:
        found = replace(self, left=self.left[:-1]).open
        return next((place for place, one in enumerate(found) if one.id == question_id), 0)


@dataclass(frozen=True)
class Wrote:
    """What came of an answer.

    Attributes
    ----------
    asked
        The questions as they stand then.
    said
        What stands in the file now.
    wrong
        Why the answer was not taken; empty where it was.
    """

    asked: Asked
    said: str = ""
    wrong: str = ""


def begin(path: Path) -> Asked:
    """Read a file, and the lines of the wire list that it was made from.

    Raises
    ------
    FusewalkError
        Where it cannot be read.
    """
    return Asked(read_file(path), read_earlier(path).lines)


def write_answer(asked: Asked, question: Question, answer: str) -> Wrote:
    """Write an answer into the file; where something else has changed the file, read it anew and write nothing."""
    try:
        read = answer_in_file(asked.read, question, answer)
    except ChangedOutsideError as error:
        return _read_anew(asked, error)
    except FusewalkError as error:
        return Wrote(asked, wrong=error_words(error))
    left = tuple(one for one in asked.left if one != question.id)
    said = f"Written: {row_words(question)}."
    if not asked.read.kept:
        said += f" The file as it was before is kept in {clean(read.kept, 120)}."
    return Wrote(replace(asked, read=read, left=left), said=said)


def _read_anew(asked: Asked, error: ChangedOutsideError) -> Wrote:
    try:
        read = read_file(asked.read.path)
    except FusewalkError as found:
        return Wrote(asked, wrong=f"{error.what} As it is now it cannot be read: {error_words(found)}")
    words = f"{error.what} It has been read anew; your answer stands in the line, Enter puts it in."
    return Wrote(replace(asked, read=replace(read, kept=asked.read.kept)), wrong=words)


def error_words(error: FusewalkError) -> str:
    """Say an error in one line: what is wrong, the first breaches where it has any, what to do."""
    breaches = getattr(error, "breaches", ())
    told = [f"{one.id} {one.key}: {one.found}; {one.right}." for one in breaches[:2]]
    return clean(" ".join(part for part in (error.what, *told, error.do) if part), _LONGEST)


@dataclass(frozen=True)
class Effect:
    """What an answer did: the findings as they are now, and the words for it; empty where they are not known."""

    after: tuple[Finding, ...] | None
    words: str


def effect_of(before: tuple[Finding, ...] | None, old: FileRead, new: FileRead) -> Effect:
    """Look for every finding of a file as it is, and set them beside those that it had before.

    Parameters
    ----------
    before
        The findings of the old file; None where they are not known yet.
    """
    from model.sheets.findings_effect import findings_effect

    earlier = _findings_of(old) if before is None else before
    after = _findings_of(new)
    if earlier is None or after is None:
        return Effect(after, "Its findings cannot be worked out.")
    words = findings_effect(earlier, after)
    return Effect(after, f"{words[:1].upper()}{words[1:]}.")


def _findings_of(read: FileRead) -> tuple[Finding, ...] | None:
    from model.circuit.bench import Bench
    from model.review.findings import find_all

    try:
        return find_all(Bench(read.harness))
    except FusewalkError:
        return None


def origin_words(question: Question) -> str:
    """Say where a question comes from and what is assumed meanwhile."""
    line = f"Line {question.line} of the wire list. " if question.line else ""
    assumed = f"Until it is answered: {question.assumed}." if question.assumed else "Nothing is assumed for it."
    others = " Others are typed as: off, accessory, ignition." if question.key == "key_states" else ""
    if question.others:
        others = f" Where only some do, type those: {question.part}, {next(iter(question.others))}."
    return f"{line}{assumed}{others}"


def row_words(question: Question) -> str:
    """Name what a question is about: a key and whose it is."""
    owner = question.part or {"build": "the build", "defaults": "the defaults"}.get(question.table, question.table)
    return clean(f"{question.key.partition('.')[0].replace('_', ' ')} of {owner}", 120)


def answer_keys(
    question: Question | None, keys: Iterable[tuple[str, str]], *, is_untouched: bool, has_marked: bool
) -> tuple[tuple[str, str], ...]:
    """Give the keys of the bottom line with what Enter does now: what is only marked is taken by Space alone.

    Parameters
    ----------
    question
        What is asked; None where nothing is, and nothing can be taken.
    is_untouched
        True while nothing has been typed, ticked or chosen.
    has_marked
        True where a row of a plain list is marked.
    """
    words: dict[str, tuple[str, str]] = {}
    if question is None:
        words = dict.fromkeys(("Enter", "Tab"), ("", ""))
    elif question.assumed and is_untouched:
        words = {"Enter": ("Enter", "leave it assumed"), "Tab": ("Space", "take it") if has_marked else ("", "")}
    return tuple(one for one in (words.get(key, (key, word)) for key, word in keys) if one[0])
