"""How the step of a trace is laid out: cautions first, then what to do, whole, then what there is room for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content

from model.words import plural
from tui.sentences import first_sentence
from tui.text import Part, assembled, coloured, fit, signed, width, wrapped_lines

NAME_CELLS = 8
Named = tuple[str, str]
"""A name in a column of its own, and what it says."""

_STRONG = frozenset({"expect", "red", "black", "do", "move"})
_GIVEN_UP = ("load", "place", "with", "set")
"""What goes, in this order, where a window is too small for all of a step; the probes and the band stay."""

_WHOLE = "a: the whole step"
_CAUTION = "Caution: "


@dataclass(frozen=True, slots=True)
class TraceStep:
    """What to do now, in words.

    Attributes
    ----------
    title
        The check in a few words.
    cautions
        Full sentences, the gravest first.
    lines
        Where, what is set, the meter, the probes, what to expect: at most eight.
    after
        What is worth knowing besides, shown where there is room.
    """

    title: str
    cautions: tuple[str, ...]
    lines: tuple[Named, ...]
    after: tuple[Named, ...] = ()


def step_lines(step: TraceStep, cells: int, height: int) -> list[Content]:
    """Return a step in at most so many lines where that can be: the probes and what to expect are never left out.

    Cautions that have no room are counted, with the key that shows them; of the first, the first sentence stands, and
    where even that has no room its beginning in one row. After them the lines go that can be done without.
    """
    lines = _core_lines(step, cells, height)
    core = [line for _, named in lines for line in named]
    before = caution_lines(step.cautions, cells, height - len(core))
    if before and len(before) + len(core) > height:
        before = [folded_cautions(step.cautions, cells)]
    if not before and len(lines) < len(step.lines):
        before = [assembled((_WHOLE, "bold"))]
    left = height - len(core) - len(before)
    after: list[Content] = []
    for name, words in step.after:
        wrapped = named_lines(name, words, cells, "$quiet")
        if len(wrapped) <= left:
            after += wrapped
            left -= len(wrapped)
    return [*before, *core, *after]


def least_height(step: TraceStep, cells: int) -> int:
    """Return how many lines a step wants at least: all that is to be done, of the cautions the first sentence."""
    core = sum(len(named_lines(name, words, cells)) for name, words in step.lines)
    first = first_sentence(step.cautions[0]) if step.cautions else ""
    folded = len(_painted(first, cells)) + 1 if first else 0
    return core + min(folded, sum(len(_painted(caution, cells)) for caution in step.cautions))


def wanted_height(step: TraceStep, cells: int) -> int:
    """Return how many lines a step wants with all its cautions, without what is worth knowing besides."""
    core = sum(len(named_lines(name, words, cells)) for name, words in step.lines)
    return core + sum(len(_painted(caution, cells)) for caution in step.cautions)


def step_sentences(step: TraceStep) -> list[str]:
    """Return a step as paragraphs, nothing left out."""
    told = [f"{name}: {words}" for name, words in (*step.lines, *step.after)]
    return [*(f"Caution: {caution}" for caution in step.cautions), *told]


def caution_lines(cautions: Sequence[str], cells: int, room: int) -> list[Content]:
    """Return the cautions that have room; of the first at least its first sentence, and how many more there are."""
    lines: list[Content] = []
    for place, caution in enumerate(cautions):
        drawn = _painted(caution, cells)
        more = len(cautions) - place - 1
        if len(lines) + len(drawn) + bool(more) <= room:
            lines += drawn
            continue
        if place == 0:
            lines += _painted(first_sentence(caution), cells)
            told = "a: the rest of it" if not more else f"a: the rest, and {plural(more, 'more caution')}"
        else:
            told = f"a: {plural(more + 1, 'more caution')} first"
        return [*lines, assembled((told, "bold $caution"))]
    return lines


def folded_cautions(cautions: Sequence[str], cells: int) -> Content:
    """Return cautions in one row: the gravest as far as it goes, with the key that shows them all."""
    return assembled((f"{_CAUTION}{brief_caution(cautions, cells - len(_CAUTION))}", "$caution"))


def brief_caution(cautions: Sequence[str], cells: int) -> str:
    """Return cautions in so many cells: a single one that has room as it is, else the gravest cut, and which key."""
    first, count = cautions[0], len(cautions)
    if count == 1 and width(first) <= cells:
        return first
    more = f" a: all {count}" if count > 1 else " a: all of it"
    return f"{fit(first, cells - len(more))}{more}"


def named_lines(name: str, words: str, cells: int, style: str = "") -> list[Content]:
    """Return words wrapped beside the name that they go with."""
    strong = style or ("bold" if name in _STRONG else "")
    wrapped = _wrapped(signed(words), cells - NAME_CELLS)
    rows: list[Content] = []
    for place, line in enumerate(wrapped):
        head: Part = (f"{'' if place else name:<{NAME_CELLS}}", "$quiet")
        rows.append(assembled(head, coloured(line.plain, strong)))
    return rows


def at_most(words: str, cells: int, height: int) -> Content:
    """Return a sentence wrapped into at most so many lines, the end cut with the sign for it."""
    wrapped = _wrapped(words, cells)
    if len(wrapped) <= height:
        return Content("\n").join(wrapped)
    rest = " ".join(line.plain for line in wrapped[height - 1 :])
    return Content("\n").join([*wrapped[: height - 1], assembled(fit(rest, cells))])


def _core_lines(step: TraceStep, cells: int, height: int) -> list[tuple[str, list[Content]]]:
    """Return the lines of what is to be done, without what the height does not allow, the least needed first."""
    lines = [(name, named_lines(name, words, cells)) for name, words in step.lines]
    told_before = bool(step.cautions)
    for spared in _GIVEN_UP:
        if sum(len(named) for _, named in lines) + told_before <= height:
            break
        told_before = True
        lines = [(name, named) for name, named in lines if name != spared]
    return lines


def _painted(caution: str, cells: int) -> list[Content]:
    return [assembled((line.plain, "$caution")) for line in _wrapped(f"{_CAUTION}{caution}", cells)]


def _wrapped(words: str, cells: int) -> list[Content]:
    return [line for line in wrapped_lines(assembled(words), max(cells, 8)) if line.plain.strip()] or [Content("")]
