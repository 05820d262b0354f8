"""A form as rows: what is asked on the left, what is answered beside it, all of the marked one below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content

from model.words import plural
from tui.text import Part, assembled, coloured, fit, padded, signed, width
from tui.widgets.rows import Row

PUT_IN = "put in"
_HEAD_MOST = 40
_GAP = "  "
_BESIDE_FROM = 96
_VALUE_MOST = 28
_CHOICES_MOST = 12


@dataclass(frozen=True, slots=True)
class FormLine:
    """One row of a form.

    Attributes
    ----------
    key
        What it stands for; empty for a head over rows.
    head
        What is asked, in a word or two; of a figure with its unit.
    value
        The answer as it would be typed; empty where there is none.
    stands_for
        What is taken where there is no answer.
    words
        What it is, in full.
    why
        Why it is so and from where; empty where nothing is to be said.
    choices
        Answers to choose from, each with what it means.
    is_changed
        True where somebody has given it.
    """

    key: str
    head: str
    value: str = ""
    stands_for: str = ""
    words: str = ""
    why: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    is_changed: bool = False


def form_rows(lines: Sequence[FormLine], cells: int, does: str) -> list[Row]:
    """Return the rows, at most so many cells wide; the last one puts all into the file.

    Parameters
    ----------
    does
        What the last row does.
    """
    heads = min(max((width(one.head) for one in lines if one.key), default=0), _HEAD_MOST, max(cells // 2, 8))
    beside = cells >= _BESIDE_FROM and any(one.why for one in lines)
    values = min(max((width(_shown(one)) for one in lines if one.key), default=0), _VALUE_MOST) if beside else 0
    rows = []
    for one in lines:
        if not one.key:
            rows.append(Row(assembled((fit(one.head, cells), "bold $feed")), can_be_marked=False))
            continue
        room = cells - heads - len(_GAP)
        style = "bold" if one.is_changed else "$quiet" if not one.value else ""
        value = fit(_shown(one), room) if not beside else padded(_shown(one), values)
        parts: list[Part] = [padded(one.head, heads), _GAP, coloured(value, style)]
        if beside:
            parts += [_GAP, (fit(one.why, max(room - values - len(_GAP), 0)), "$quiet")]
        rows.append(Row(assembled(*parts), one.key))
    rows.append(Row(Content(""), can_be_marked=False))
    return [*rows, Row(assembled((does, "bold")), PUT_IN)]


def _shown(one: FormLine) -> str:
    value = one.value or one.stands_for
    return signed(value, alone=True) if one.head.startswith("colour") else value


def line_words(one: FormLine) -> list[Content]:
    """Return all that is to be said of a row: what it is, its answer in full, why, and what can be chosen."""
    told: list[Content] = [assembled((one.words, ""))] if one.words else []
    value = _shown(one)
    if width(value) > _VALUE_MOST:
        told.append(coloured(value, "bold"))
    if one.why:
        told.append(assembled(one.why))
    if one.choices:
        told.append(assembled(("Left, Right: ", "$quiet"), choice_words(one)))
    return told


def choice_words(one: FormLine) -> str:
    """Say what can be chosen: of the answer that stands there what it means, then the others by name."""
    means = next((words for value, words in one.choices if value == one.value and words), "")
    names = [value or "nothing" for value, _ in one.choices]
    more = len(names) - _CHOICES_MOST
    listed = ", ".join(names[:_CHOICES_MOST]) + (f" and {plural(more, 'other')}" if more > 0 else "")
    return f"{means}; {listed}" if means else listed


def next_choice(one: FormLine, way: int) -> str:
    """Give the choice after (1) or before (-1) the one that stands there; from none the first or the last."""
    values = [value for value, _ in one.choices]
    if one.value not in values:
        return values[0 if way > 0 else -1]
    return values[(values.index(one.value) + way) % len(values)]
