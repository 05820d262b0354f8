"""An answer to what a list left open, as changes of rows of the harness file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from model.errors import FusewalkError
from model.harness.applied_changes import AddRow, Change, DropKey, DropRow, SetKey
from model.harness.parts_list_read import keys_of, value_of
from model.harness.wire_list_cells import flag_of, length_m_of, number_of, size_of
from model.harness.wire_list_colours import colour_of
from model.harness.wire_list_marks import marks_of, with_marks
from model.harness.wire_list_questions import BOLTED, ISOLATED, NO, PASSES_ON, SIGNAL, TO_GROUND, YES, Question
from model.harness.wire_list_remark import ListRefusedError
from model.words import clean

_AS_IT_IS = {False: (YES,), True: (NO,)}
"""Answers that leave the key as it stands, by whether it was asked if there is one."""

_RATING = re.compile(r"([\d.,]+)\s*(w|watts?|a|amps?|ohms?|Ω)?", re.IGNORECASE)
_UNITS = {"w": "watts", "a": "amps", "o": "ohms", "Ω": "ohms", "ω": "ohms"}


def answered(question: Question, answer: str) -> tuple[Change, ...]:
    """Give what an answer changes: the value, and the note that no longer says it is assumed.

    Raises
    ------
    FusewalkError
        Where the answer cannot be read; its text says what would be right.
    """
    text = answer.strip()
    if question.key == "key_states" and text and text.casefold() not in _AS_IT_IS[NO in question.choices]:
        return (*_key_states(question, text), *_note(question))
    if question.others:
        return tuple(_of_bar(question, text))
    try:
        values = _values(question, text)
    except ListRefusedError as error:
        raise FusewalkError(f"{str(error)[:1].upper()}{str(error)[1:]}.", do=_hint(question)) from None
    if question.table == "joints" and question.key == "from" and text.casefold() == NO:
        return (DropRow("joints", question.part),)
    if question.key == "joined":
        joint = {"id": f"N_{question.part}_plus", "from": f"{question.part}.+", "to": clean(text, 120)}
        return (AddRow("joints", joint), *_note(question))
    return (*(_put(question, key, value) for key, value in values.items()), *_note(question))


def _put(question: Question, key: str, value: object) -> Change:
    """Put a value where a question is about; None takes the key out."""
    if value is None:
        return DropKey(question.table, question.part, key)
    return SetKey(question.table, question.part, key, value)


def _key_states(question: Question, text: str) -> Iterable[Change]:
    """Put other positions of the key in the place of those that stand there, in the order in which they are typed."""
    names = list(dict.fromkeys(clean(name.strip(), 60) for name in text.split(",") if name.strip()))
    if len(names) < 2:
        raise FusewalkError(
            f"“{clean(text, 40)}” names fewer than two positions.", do="Such as: off, accessory, ignition."
        )
    stood = list(question.stands)
    new = [AddRow("key_states", {"name": name}) for name in names]
    gone = [DropRow("key_states", name) for name in stood]
    # rows are spelled like those before them, as long as there are any
    return [*new, *gone] if set(stood).isdisjoint(names) else [*gone, *new]


def _hint(question: Question) -> str:
    return f"Such as: {question.choices[0]}." if question.choices else ""


def _note(question: Question) -> Iterable[Change]:
    """Take what is answered out of what the note says is assumed."""
    note = str((question.row or {}).get("note", ""))
    marks = marks_of(note)
    if question.key not in marks:
        return
    rest = with_marks(note, [mark for mark in marks if mark != question.key])
    yield _put(question, "note", rest or None)


def _of_bar(question: Question, text: str) -> Iterable[Change]:
    """Leave those fuses on their bar that an answer names, and take the others off."""
    rows = {question.part: question.row or {}, **question.others}
    words = [word for word in re.split(r"[,;\s]+", text.casefold()) if word not in ("", "and")]
    named = {part for part in rows if part.casefold() in words}
    if words in ([YES], [NO]):
        named = set(rows) if words == [YES] else set()
    elif not words or len(named) != len(set(words)):
        first, *_ = rows
        raise FusewalkError(
            f"“{clean(text, 40)}” does not say which.", do=f"Type yes, no, or those alone that sit on it: {first}."
        )
    for part, row in rows.items():
        one = replace(question, part=part, row=row)
        if part not in named:
            yield DropKey(question.table, part, "bus")
        yield from _note(one)


def _values(question: Question, text: str) -> dict[str, object]:
    """Give the keys that an answer sets."""
    if not text:
        raise ListRefusedError("an answer is empty")
    row, key = question.row or {}, question.key
    if text.casefold() == YES and YES in question.choices:
        return {}
    if key in ("hazard", "bus", "inside") and text.casefold() == NO:
        return {key: None}
    if key == "bonded" and text.casefold() in (BOLTED, ISOLATED):
        return {key: text.casefold() == BOLTED}
    if key == "key_states":
        return {}
    inner, _, terminal = key.partition(".")
    if terminal:
        return {inner: _inside(row, inner, terminal, text, question)}
    match question.table, key:
        case "joints", "from":
            if text.casefold() != NO:
                raise ListRefusedError(f"“{clean(text, 40)}” is neither yes nor no")
            return {}
        case "batteries", "joined":
            return {}
        case _, "size":
            return {"size": size_of(text)}
        case "wires", "length":
            return {"length": _whole(length_m_of(text))}
        case "wires", "colour":
            return {"colour": colour_of(text)}
        case "loads", "watts" | "amps":
            return _rating(text, key)
        case "switches", "momentary":
            return {"momentary": flag_of(text)}
    if question.table != "wires" and key not in keys_of(question.table):
        raise ListRefusedError("what kind of part it is stands in the parts list: change it there")
    if key == "kind" and text not in question.choices:
        raise ListRefusedError(f"“{clean(text, 40)}” is none of: {', '.join(question.choices)}")
    return {key: _whole(value_of(question.table, key, text))}


def _whole(value: object) -> object:
    """Give a figure without decimals as it was typed: 60 is not written as 60.0."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _rating(text: str, key: str) -> dict[str, object]:
    """Give a rating by its unit; a bare number is in that of the question."""
    found = _RATING.fullmatch(text)
    if found is None:
        raise ListRefusedError(f"“{clean(text, 40)}” is no rating")
    value = number_of(found[1])
    if value <= 0:
        raise ListRefusedError(f"a rating is above zero, not {clean(text, 40)}")
    unit = _UNITS[found[2][0].casefold()] if found[2] else key
    dropped: dict[str, object] = {} if unit == key else {key: None}
    return dropped | {unit: _whole(value)}


def _inside(row: Mapping[str, object], inner: str, terminal: str, text: str, question: Question) -> list[object]:
    """Give the elements, feeds or drivers of a part with one of them answered."""
    listed = row.get(inner)
    if not isinstance(listed, list):
        raise ListRefusedError("the part has changed since it was asked")
    return [
        _answered_row(one, inner, text, question)
        if isinstance(one, dict) and terminal in (one.get("name"), one.get("terminal"))
        else one
        for one in listed
    ]


def _answered_row(one: Mapping[str, object], inner: str, text: str, question: Question) -> dict[str, object]:
    if inner == "drivers":
        if text == SIGNAL:
            return dict(one)
        does, _, keys = text.partition(":")
        if does not in (TO_GROUND, PASSES_ON) or not keys.strip():
            raise ListRefusedError(f"“{clean(text, 40)}” is none of: {'; '.join(question.choices)}")
        when = [clean(key.strip(), 60) for key in keys.split(",") if key.strip()]
        return dict(one) | {"pulls": "ground" if does == TO_GROUND else "feed", "when": when}
    given = next((key for key in ("watts", "amps", "ohms") if key in one), "amps")
    rating = {key: value for key, value in _rating(text, given).items() if value is not None}
    if (inner == "feeds" and "amps" not in rating) or (given == "ohms" and "ohms" not in rating):
        raise ListRefusedError(f"“{clean(text, 40)}” is in another unit")
    return {key: value for key, value in one.items() if key not in ("watts", "amps", "ohms")} | rating
