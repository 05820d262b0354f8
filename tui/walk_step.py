"""The step at one point of a walk: cautions, where, which probes, in which condition, what to expect, what it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from model.words import clean, plural, volts_text
from tui.text import Part, assembled, width
from tui.walk_rows import figure, row_of, wire_at

if TYPE_CHECKING:
    from model.caution_words import Caution
    from model.circuit.condition import Condition
    from model.harness.harness import Harness
    from model.tracing.rows import ToldWalk, WalkRow, WireWords

_NAME_CELLS = 7


@dataclass(frozen=True, slots=True)
class Step:
    """What to do at a point.

    Attributes
    ----------
    cautions
        What stands before it, the gravest first.
    lines
        The step itself: a name in a column of its own, and what it says.
    after
        What a wrong reading says, and what else is to be known.
    """

    title: str
    cautions: tuple[Caution, ...]
    lines: tuple[tuple[str, str], ...]
    after: tuple[tuple[str, str], ...]


def make_step(harness: Harness, told: ToldWalk, key: str, condition: Condition, known: bool) -> Step | None:
    """Return the step at a row of a walk; None where the key is that of no point.

    Parameters
    ----------
    key : str
        Of the row.
    condition : Condition
        As the vehicle is now.
    known : bool
        False while the figures are being worked out.
    """
    from model.cautions import cautions_for
    from model.harness.places import place_words

    row = row_of(told, key)
    if row is None:
        return None
    title = f"{row.point}  {row.label}".rstrip()
    cautions = cautions_for(harness, [row.point], condition)
    where = ("where", place_words(row.place))
    remarks = [("note", remark) for remark in row.remarks]
    if row.refusal:
        return Step(title, cautions, (where, ("never", f"No probe here. {row.refusal}")), tuple(remarks))
    touch = [row.point, row.terminal or row.label]
    wire = wire_at(told, key)
    if wire is not None:
        touch.append(_insulation(wire))
    lines = [
        where,
        ("set", _set_words(harness, condition)),
        ("red", ", ".join(word for word in touch if word)),
        ("black", f"{told.walk.black}, the grounded battery post; meter on DC volts"),
        ("expect", _expect_words(row, condition.key) if known else "being worked out"),
    ]
    says = [("low", row.says[condition.key][0]), ("high", row.says[condition.key][1])] if known else []
    return Step(title, cautions, tuple(lines), (*says, *remarks))


def step_content(step: Step, cells: int, height: int) -> Content:
    """Return a step in so many lines, the step itself always whole where it can be.

    Cautions stand before it in full, the gravest first; those that there is no room for are counted, with the key that
    shows them. What comes after the step is left out where there is no room.
    """
    core = [line for name, words in step.lines for line in _named(name, words, cells)]
    left = height - len(core)
    before = _caution_lines(step.cautions, cells, left)
    left -= len(before)
    after: list[Content] = []
    for name, words in step.after:
        lines = _named(name, words, cells, "$quiet")
        if len(lines) <= left:
            after += lines
            left -= len(lines)
    return Content("\n").join([*before, *core, *after])


def step_height(step: Step, cells: int) -> int:
    """Return how many lines a step wants with all its cautions, without what comes after it."""
    core = sum(len(_named(name, words, cells)) for name, words in step.lines)
    return core + sum(len(_wrapped(_caution_words(caution), cells)) for caution in step.cautions)


def step_sentences(step: Step) -> list[str]:
    """Return a step as paragraphs, nothing left out."""
    said = [_caution_words(caution) for caution in step.cautions]
    return said + [f"{name}: {words}" for name, words in (*step.lines, *step.after)]


def _caution_words(caution: Caution) -> str:
    """Say a caution, named as what it is: its colour alone must not tell."""
    return f"Caution: {caution.text}"


def _caution_lines(cautions: Sequence[Caution], cells: int, room: int) -> list[Content]:
    lines: list[Content] = []
    for place, caution in enumerate(cautions):
        wrapped = _wrapped(_caution_words(caution), cells)
        more = len(cautions) - place - 1
        if len(lines) + len(wrapped) + (1 if more else 0) > room:
            kinds = ", ".join(str(one.kind) for one in cautions[place:])
            count = plural(len(cautions) - place, "more caution" if place else "caution")
            told = f"{count} first, key a: {kinds}"
            return [*lines, *([assembled((told, "bold $caution"))] if room > len(lines) else [])]
        lines += [assembled((line, "$caution")) for line in wrapped]
    return lines


def _named(name: str, words: str, cells: int, style: str = "") -> list[Content]:
    """Return words wrapped beside the name that they go with."""
    wrapped = _wrapped(words, cells - _NAME_CELLS) or [""]
    strong = style or ("bold" if name == "expect" else "$caution" if name == "never" else "")
    rows: list[Content] = []
    for place, line in enumerate(wrapped):
        head: Part = (f"{'' if place else name:<{_NAME_CELLS}}", "$quiet")
        rows.append(assembled(head, (line, strong) if strong else line))
    return rows


def _wrapped(words: str, cells: int) -> list[str]:
    """Break a text into lines of at most so many cells, at spaces where there are any."""
    lines = [""]
    for word in clean(words, limit=1000).split():
        while width(word) > max(cells, 1):
            head = ""
            while word and width(head + word[0]) <= max(cells, 1):
                head, word = head + word[0], word[1:]
            if not head:
                return [line for line in lines if line]
            lines += [head]
        joined = f"{lines[-1]} {word}".strip()
        if width(joined) <= cells:
            lines[-1] = joined
        else:
            lines.append(word)
    return [line for line in lines if line]


def _insulation(wire: WireWords) -> str:
    """Say what the wire at the point looks like: ``red with blue stripe 2.5 mm²``."""
    unit = "" if wire.size.startswith("AWG") else " mm²"
    assumed = " (size assumed)" if "size" in wire.assumed else ""
    return f"{wire.colour_words} {wire.size}{unit}{assumed}"


def _set_words(harness: Harness, condition: Condition) -> str:
    words = [f"key {condition.key.upper()}"]
    for name, value in condition.settings:
        part = harness.parts.get(name.partition(".")[0])
        driven = name.partition(".")[2]
        label = " ".join(word for word in (part.label if part is not None else "", driven) if word)
        words.append(f"{label or name} {value}")
    words += [f"fault {fault.spelled()}" for fault in condition.faults]
    return ", ".join([*words, "load plugged in"])


def _expect_words(row: WalkRow, key: str) -> str:
    expect = row.expect[key]
    on = figure(expect.on, expect.word)
    unplugged = figure(expect.unplugged, expect.unplugged_word)
    volts = " V" if expect.on is not None else ""
    bare = " V" if expect.unplugged is not None else ""
    words = [f"{on}{volts}"]
    if expect.low is not None and expect.high is not None:
        words.append(f"good {volts_text(expect.low)} to {volts_text(expect.high)}")
    return ", ".join([*words, f"unplugged {unplugged}{bare}"])
