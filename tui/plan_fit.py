"""The step of a plan fitted into few lines: what is long is cut, with the key that shows the whole."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from tui.text import CUT, assembled, fit
from tui.trace_layout import NAME_CELLS, Named, TraceStep, caution_lines, named_lines

_CAUTION = "Caution: "
_WHOLE = " a"
"""Behind what is cut: the key that shows it whole."""

_ANY_ROOM = 1000
_CAPS = (4, 3, 2)
_LEAST_CAPS = (3, 2, 1)
_CUT_ORDER = ("first", "set", "place", "open", "blind", "do", "with", "expect", "red", "black")
_MORE: Named = ("all", "a shows the whole step")
_NEEDED_LEAST = ("with", "place", "set", "first", "do", "open", "blind")


def fitted(step: TraceStep, cells: int, height: int) -> TraceStep:
    """Return a step whose lines and first caution fit into a height, as long as that can be.

    What is long is cut first; where that does not do, the caution is said in one line; in a window so small that even
    this is too much only the caution, the probes and what to expect are left, with the key that shows all.
    """
    shorter = step
    for one, caps in ((step, _CAPS), (briefly_cautioned(step, cells), _LEAST_CAPS)):
        shorter = one
        for cap, name in [(0, ""), *product(caps, _CUT_ORDER)]:
            lines = tuple(_capped(line, cells, cap) if line[0] == name else line for line in shorter.lines)
            shorter = replace(shorter, lines=lines)
            if least_height(shorter, cells) <= height:
                return shorter
    for count in range(1, len(_NEEDED_LEAST) + 1):
        kept = tuple(line for line in shorter.lines if line[0] not in _NEEDED_LEAST[:count])
        fewer = replace(shorter, lines=(_MORE, *kept))
        if least_height(fewer, cells) <= height:
            return fewer
    return fewer


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


def briefly_cautioned(step: TraceStep, cells: int) -> TraceStep:
    """Return a step whose cautions stand in one line, cut, with the key that shows them."""
    if not step.cautions:
        return step
    first, count = step.cautions[0], len(step.cautions)
    if count == 1 and len(_CAUTION) + len(first) <= cells:
        return step
    more = f"a: all {count}" if count > 1 else "a: all of it"
    return replace(step, cautions=(f"{fit(first, cells - len(_CAUTION) - len(more) - 2)} {more}",))


def _lines(lines: tuple[Named, ...], cells: int) -> int:
    return sum(len(named_lines(name, words, cells)) for name, words in lines)


def _capped(line: Named, cells: int, cap: int) -> Named:
    """Cut the words of a line so that they take so many lines at most."""
    name, words = line
    room = max(cells - NAME_CELLS, 8)
    wrapped = [one.plain for one in assembled(words).wrap(room) if one.plain.strip()]
    if len(wrapped) <= cap:
        return line
    last = fit(" ".join(wrapped[cap - 1 :]), room - len(_WHOLE))
    last = last if last.endswith(CUT) else f"{last}{CUT}"
    return name, " ".join((*wrapped[: cap - 1], last.rstrip(CUT).rstrip() + CUT + _WHOLE))
