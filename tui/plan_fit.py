"""The step of a plan fitted into few lines: what is long is cut, with the key that shows the whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from model.caution_words import CAUTIONS
from tui.text import CUT, assembled, fit, wrapped_lines
from tui.trace_layout import NAME_CELLS, Named, TraceStep, brief_caution, caution_lines, named_lines

UNSEEN = "unseen"
"""The line of what a row cannot show: one line, cut."""

_CAUTION = "Caution: "
_WHOLE = " a"
"""Behind what is cut: the key that shows it whole."""

_ANY_ROOM = 1000
_PLACES: tuple[tuple[str, int], ...] = (("place", 1), ("set", 2), ("set", 1))
_CUTS: tuple[tuple[str, int], ...] = (
    *((name, 2) for name in ("open", "blind", "with", "clamp", "red", "black", "do", "expect")),
    *(("first", cap) for cap in (8, 7, 6, 5, 4)),
    *((name, 1) for name in ("open", "blind", "with", "clamp")),
    *(("first", cap) for cap in (3, 2)),
    *((name, 1) for name in ("do", "expect", "red", "black")),
)
"""Lines in the order in which they are cut, each with how many it keeps, once place and set take one."""

_KINDS = {caution.text: str(kind) for kind, caution in CAUTIONS.items()}
_MORE: Named = ("all", "a shows the whole step")
_DROPPED = ("with", UNSEEN, "place", "set", "open", "blind", "do", "first")


@dataclass(frozen=True, slots=True)
class PlanStep(TraceStep):
    """The step of a row of a plan.

    Attributes
    ----------
    brief
        Lines that can be said in fewer words.
    """

    brief: tuple[Named, ...] = ()


def fitted(step: PlanStep, cells: int, height: int) -> PlanStep:
    """Return a step whose lines and first caution fit into a height, as long as that can be.

    First the cautions are said in one line, then the place and what is set are; then the source of the limit goes, and
    only then is cut what is to be done before. In a window so small that even this is too much lines are left out,
    the probes and what to expect last, with the key that shows all.
    """
    shorter = step
    for shorter in _shorter(step, cells):
        if least_height(shorter, cells) <= height:
            return shorter
    fewer = shorter
    for count in range(1, len(_DROPPED) + 1):
        kept = tuple(line for line in shorter.lines if line[0] not in _DROPPED[:count])
        fewer = replace(shorter, lines=(_MORE, *kept))
        if least_height(fewer, cells) <= height:
            return fewer
    return fewer


def _shorter(step: PlanStep, cells: int) -> Iterator[PlanStep]:
    """Give a step as it is, then cut more and more."""
    shorter = _cut(step, UNSEEN, cells, 1)
    yield shorter
    shorter = briefly_cautioned(shorter, cells)
    yield shorter
    for name, cap in _PLACES:
        shorter = _cut(shorter, name, cells, cap)
        yield shorter
    brief = dict(step.brief)
    shorter = replace(shorter, lines=tuple((name, brief.get(name, words)) for name, words in shorter.lines))
    yield shorter
    for name, cap in _CUTS:
        shorter = _cut(shorter, name, cells, cap)
        yield shorter


def _cut(step: PlanStep, name: str, cells: int, cap: int) -> PlanStep:
    return replace(step, lines=tuple(_capped(line, cells, cap) if line[0] == name else line for line in step.lines))


def least_height(step: TraceStep, cells: int) -> int:
    """Return how many lines a step takes with its first caution."""
    whole = caution_lines(step.cautions, cells, _ANY_ROOM)
    return _lines(step.lines, cells) + min(len(whole), len(caution_lines(step.cautions, cells, 0)))


def easy_height(step: TraceStep, cells: int, most: int, easy: int) -> int:
    """Return the height for a step: all its cautions and what is worth knowing besides, as far as that stays easy.

    Parameters
    ----------
    most
        Lines that there are at most.
    easy
        Lines up to which there is room for more than is needed.
    """
    least = least_height(step, cells)
    room = min(max(easy, least), most)
    cautions = sum(len(caution_lines((one,), cells, room)) for one in step.cautions)
    height = min(_lines(step.lines, cells) + cautions, room)
    for line in step.after:
        lines = len(named_lines(*line, cells))
        height += lines if height + lines <= room else 0
    return max(height, 1)


def briefly_cautioned(step: PlanStep, cells: int) -> PlanStep:
    """Return a step whose cautions stand in one line, with the key that shows them: several by what they are about."""
    if not step.cautions:
        return step
    kinds = [_KINDS[text] for text in step.cautions if text in _KINDS]
    if len(kinds) != len(step.cautions) or len(kinds) == 1:
        return replace(step, cautions=(brief_caution(step.cautions, cells - len(_CAUTION)),))
    key = f" a: all {len(kinds)}"
    return replace(step, cautions=(f"{fit(', '.join(kinds), cells - len(_CAUTION) - len(key))}{key}",))


def _lines(lines: tuple[Named, ...], cells: int) -> int:
    return sum(len(named_lines(name, words, cells)) for name, words in lines)


def _capped(line: Named, cells: int, cap: int) -> Named:
    """Cut the words of a line so that they take so many lines at most."""
    name, words = line
    room = max(cells - NAME_CELLS, 8)
    wrapped = [one.plain for one in wrapped_lines(assembled(words), room) if one.plain.strip()]
    if len(wrapped) <= cap:
        return line
    last = fit(" ".join(wrapped[cap - 1 :]), room - len(_WHOLE))
    last = last if last.endswith(CUT) else f"{last}{CUT}"
    return name, " ".join((*wrapped[: cap - 1], last.rstrip(CUT).rstrip() + CUT + _WHOLE))
