"""The step at one point of a walk: cautions, where, which probes, in which condition, what to expect, what it says."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from textual.content import Content

from model.words import clean, plural, volts_text
from tui.key_shown import key_shown
from tui.sentences import first_sentence
from tui.text import Part, assembled, coloured, signed, width
from tui.walk_rows import WITH_FAULT, figure, is_live, row_of, wire_at

if TYPE_CHECKING:
    from model.caution_words import Caution
    from model.circuit.condition import Condition
    from model.harness.harness import Harness
    from model.tracing.rows import ToldWalk, WalkRow, WireWords

_NAME_CELLS = 7
_READ_POSTS = "Read the posts, key b takes their volts: every band rests on them."


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
        What a wrong reading says, the one that tells most first, and what else is to be known.
    is_folded
        The cautions were all read before, and stand there in one line.
    """

    title: str
    cautions: tuple[Caution, ...]
    lines: tuple[tuple[str, str], ...]
    after: tuple[tuple[str, str], ...]
    is_folded: bool = False


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
    from model.harness.part_picture import picture_of
    from model.harness.places import place_words
    from model.tracing.graph import hot_posts

    row = row_of(told, key)
    if row is None:
        return None
    title = f"{row.point}  {row.label}".rstrip()
    cautions = cautions_for(harness, [row.point], condition)
    where = ("where", place_words(row.place))
    remarks = [("note", remark) for remark in row.remarks]
    picture = picture_of(harness, row.part_id)
    if picture:
        remarks.append(("shown", f"in {picture}"))
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
        ("expect", _expect_words(row, condition) if known else "being worked out"),
    ]
    says = _says(row, condition.key, harness.build.ground_side == "positive") if known else []
    unread = condition.posts_volts is None and row.point in hot_posts(harness)
    return Step(title, cautions, tuple(lines), (*([("first", _READ_POSTS)] if unread else []), *says, *remarks))


def step_content(step: Step, cells: int, height: int) -> Content:
    """Return a step in so many lines, the step itself always whole where it can be.

    Cautions stand before it in full, the gravest first; those that there is no room for are counted, with the key that
    shows them. What comes after the step is left out where there is no room.
    """
    return Content("\n").join(_laid_out(step, cells, height)[0])


def leaves_out(step: Step, cells: int, height: int) -> bool:
    """Tell whether something of a step has no room in so many lines."""
    return not _laid_out(step, cells, height)[1]


def step_height(step: Step, cells: int, says: int = 0) -> int:
    """Return how many lines a step wants with all its cautions and the first so many of what comes after it."""
    named = (*step.lines, *step.after[:says])
    core = sum(len(_named(name, words, cells)) for name, words in named)
    if step.is_folded:
        return core + 1
    return core + sum(len(_wrapped(_caution_words(caution), cells)) for caution in step.cautions)


def folded(step: Step, read: Collection[str]) -> Step:
    """Return a step with its cautions in one line, where each was read before and none of them is of the gravest."""
    is_known = all(caution.text in read and not _is_grave(caution) for caution in step.cautions)
    return replace(step, is_folded=True) if step.cautions and is_known else step


def shows_cautions(step: Step, cells: int, height: int) -> bool:
    """Tell whether all cautions of a step stand in full in so many lines."""
    core = sum(len(_named(name, words, cells)) for name, words in step.lines)
    return not step.is_folded and _caution_lines(step.cautions, cells, height - core)[1]


def step_sentences(step: Step) -> list[str]:
    """Return a step as paragraphs, nothing left out."""
    said = [_caution_words(caution) for caution in step.cautions]
    return said + [f"{name}: {words}" for name, words in (*step.lines, *step.after)]


def _caution_words(caution: Caution) -> str:
    """Say a caution, named as what it is: its colour alone must not tell."""
    return f"Caution: {caution.text}"


def _laid_out(step: Step, cells: int, height: int) -> tuple[list[Content], bool]:
    """Return the lines of a step, and whether they are all."""
    core = [line for name, words in step.lines for line in _named(name, words, cells)]
    if step.is_folded:
        before, whole = [_folded_line(step.cautions)], False
    else:
        before, whole = _caution_lines(step.cautions, cells, height - len(core))
    left = height - len(core) - len(before)
    after: list[Content] = []
    for name, words in step.after:
        lines = _named(name, words, cells, "$quiet")
        if len(lines) > left:
            whole = False
            continue
        after += lines
        left -= len(lines)
    return [*before, *core, *after], whole


def _caution_lines(cautions: Sequence[Caution], cells: int, room: int) -> tuple[list[Content], bool]:
    """Return the cautions that have room, and whether they are all; of the gravest at least the first sentence."""
    lines: list[Content] = []
    for place, caution in enumerate(cautions):
        wrapped = _wrapped(_caution_words(caution), cells)
        more = len(cautions) - place - 1
        if len(lines) + len(wrapped) + (1 if more else 0) > room:
            first = _wrapped(_first_sentence(caution), cells) if place == 0 and _is_grave(caution) else []
            kinds = ", ".join(str(one.kind) for one in cautions[place:])
            count = plural(len(cautions) - place, "more caution" if place else "caution")
            told = "The rest and all other cautions: key a" if first else f"{count} first, key a: {kinds}"
            lines += _painted(first)
            return [*lines, *([assembled((told, "bold $caution"))] if room > len(lines) else [])], False
        lines += _painted(wrapped)
    return lines, True


def _folded_line(cautions: Sequence[Caution]) -> Content:
    kinds = ", ".join(str(one.kind) for one in cautions)
    return assembled((f"{plural(len(cautions), 'caution')} as before, key a: {kinds}", "bold $caution"))


def _painted(lines: Sequence[str]) -> list[Content]:
    return [assembled((line, "$caution")) for line in lines]


def _is_grave(caution: Caution) -> bool:
    from model.caution_words import CautionKind

    return caution.kind in {CautionKind.RESTRAINT, CautionKind.HIGH_VOLTAGE}


def _first_sentence(caution: Caution) -> str:
    return first_sentence(_caution_words(caution))


def _says(row: WalkRow, key: str, positive_ground: bool) -> list[tuple[str, str]]:
    """Return what a reading below and one above says, that first which points at a fault.

    Where volts are expected that is a reading nearer to zero, elsewhere one further from it. Of a band below zero
    both are told from zero: there the higher reading is the weaker one.
    """
    from model.sheets.walk_words import outside_words

    names = outside_words(row.expect[key])
    told = [
        (name, said) if name in ("low", "high") else ("if", f"{name}: {said}")
        for name, said in zip(names, row.says[key], strict=True)
    ]
    return told if is_live(row.expect[key]) != positive_ground else told[::-1]


def _named(name: str, words: str, cells: int, style: str = "") -> list[Content]:
    """Return words wrapped beside the name that they go with."""
    wrapped = _wrapped(signed(words), cells - _NAME_CELLS) or [""]
    strong = style or ("bold" if name == "expect" else "$caution" if name == "never" else "")
    rows: list[Content] = []
    for place, line in enumerate(wrapped):
        head: Part = (f"{'' if place else name:<{_NAME_CELLS}}", "$quiet")
        rows.append(assembled(head, coloured(line, strong)))
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
    """Say what the wire at the point looks like: ``RD/BU 2.5 mm², red with blue stripe``."""
    unit = "" if wire.size.startswith("AWG") else " mm²"
    assumed = " (size assumed)" if "size" in wire.assumed else ""
    size = f"{wire.size}{unit}{assumed}"
    return f"{wire.colour} {size}, {wire.colour_words}" if wire.colour else f"{wire.colour_words}, {size}"


def _set_words(harness: Harness, condition: Condition) -> str:
    key = key_shown(harness, condition.key)
    words = [f"key {key.upper()}"] if key else []
    for name, value in condition.settings:
        part = harness.parts.get(name.partition(".")[0])
        driven = name.partition(".")[2]
        label = " ".join(word for word in (part.label if part is not None else "", driven) if word)
        words.append(f"{label or name} {value}")
    words += [f"fault {fault.spelled()}" for fault in condition.faults]
    return ", ".join([*words, "load plugged in"])


def _expect_words(row: WalkRow, condition: Condition) -> str:
    expect = row.expect[condition.key]
    on = figure(expect.on, expect.word)
    unplugged = figure(expect.unplugged, expect.unplugged_word)
    volts = " V" if expect.on is not None else ""
    bare = " V" if expect.unplugged is not None else ""
    words = [f"{on}{volts} {WITH_FAULT}" if condition.faults else f"{on}{volts}"]
    if expect.low is not None and expect.high is not None:
        good = "" if condition.faults else "good "
        words.append(f"{good}{volts_text(expect.low)} to {volts_text(expect.high)}")
    return ", ".join([*words, f"unplugged {unplugged}{bare}"])
