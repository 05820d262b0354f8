"""Answers in JSON, read by the letter: anything that does not fit what is asked is refused."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, NoReturn, assert_never

from model.circuit.condition import OUT, Condition, parse_setting, require_point
from model.errors import AnswerError, ArgumentError
from model.harness.harness import Harness
from model.harness.parts import Fuse, Relay
from model.harness.points import resolve_point
from model.tracing.asking import Also, NoHelper, Question, Read, Reply, Skip, Stop, Unsure
from model.tracing.checks import (
    FUSE_LAMP_WATTS,
    MEASURED,
    TEST_LAMP_WATTS,
    WORDS_OF,
    Check,
    CheckKind,
    Outcome,
    Word,
    seen,
)
from model.tracing.complaint_words import one_load
from model.tracing.typed_answer import checked
from model.words import FIND_PART, clean, did_you_mean, nearest

IN_DOUBT_KEY = "in_doubt"
"""Beside a number, true: who read it does not trust it."""

_SHOWN_AT_MOST = 60
_PLAIN: dict[str, Callable[[], Reply]] = {
    "skip": Skip,
    "unsure": Unsure,
    "no_helper": NoHelper,
    "stop": Stop,
}
_TRUE_OR_FALSE = {
    CheckKind.LISTEN: ("pulls", Word.PULLS, Word.SILENT),
    CheckKind.LOOK: ("good", Word.GOOD, Word.BAD),
    CheckKind.BRIDGE: ("cured", Word.CURED, Word.NOT_CURED),
    CheckKind.SWAP: ("cured", Word.CURED, Word.NOT_CURED),
    CheckKind.NEW_FUSE: ("holds", Word.HOLDS, Word.BLOWS),
}


@dataclass(frozen=True, slots=True)
class Undo:
    """The last answer is struck."""


def read_reply(harness: Harness, question: Question, line: str) -> Reply | Undo:
    """Read one line that answers a question.

    Raises
    ------
    AnswerError
        Where the line is no JSON object, or does not answer what is asked.
    ArgumentError
        Where a reading that was not asked names what the harness does not have.
    """
    said = _object(line)
    if len(said) == 1:
        (word,) = said
        if word == "undo":
            _require_true(said, word)
            return Undo()
        if word in _PLAIN:
            _require_true(said, word)
            return _PLAIN[word]()
        if word == "also":
            return _also(harness, said[word])
    return Read(read_outcome(question.check.kind, said))


def read_outcome(kind: CheckKind, said: dict[str, Any]) -> Outcome:
    """Read what came of a check of some kind.

    Raises
    ------
    AnswerError
        Where it is not one of the answers of that kind.
    """
    if kind in MEASURED and IN_DOUBT_KEY in said:
        _require_true(said, IN_DOUBT_KEY)
        sure = {key: value for key, value in said.items() if key != IN_DOUBT_KEY}
        return replace(read_outcome(kind, sure), in_doubt=True)
    if len(said) != 1:
        raise AnswerError(f"One answer is wanted, not {len(said)}.", do=_how(kind))
    ((key, value),) = said.items()
    match kind:
        case CheckKind.VOLTS | CheckKind.DROP if key == "volts":
            if isinstance(value, list) and len(value) == 2:
                return checked(kind, _number(kind, value[0]), _number(kind, value[1]))
            return checked(kind, _number(kind, value))
        case CheckKind.OHMS if key == "ohms":
            return checked(kind, math.inf if value is None else _number(kind, value))
        case CheckKind.AMPS if key == "amps":
            return checked(kind, _number(kind, value))
        case CheckKind.AMPS if key == "millivolts":
            return checked(kind, _number(kind, value) / 1000.0, across_fuse=True)
        case CheckKind.LAMP if key == "lamp":
            return seen(_word(kind, value))
        case CheckKind.OBSERVE if key == "load":
            return seen(_word(kind, value))
        case CheckKind.LISTEN if key == "buzzes" and value is True:
            return seen(Word.BUZZES)
    if kind in _TRUE_OR_FALSE and key == _TRUE_OR_FALSE[kind][0] and isinstance(value, bool):
        _, yes, no = _TRUE_OR_FALSE[kind]
        return seen(yes if value else no)
    raise AnswerError(f"“{_shown(key)}” with that value does not answer a question of {kind}.", do=_how(kind))


def _object(line: str) -> dict[str, Any]:
    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        if len({key for key, _ in pairs}) != len(pairs):
            raise AnswerError("A key stands twice in that object.", do="Send each key once.")
        return dict(pairs)

    def no_constant(name: str) -> NoReturn:
        raise AnswerError(f"{name} is not a number.", do='Open ohms are null: {"ohms": null}.')

    try:
        said = json.loads(line, object_pairs_hook=once, parse_constant=no_constant)
    except (ValueError, RecursionError):
        raise AnswerError("That is no JSON.", do='Send one object a line, such as {"skip": true}.') from None
    if not isinstance(said, dict):
        raise AnswerError("That is no JSON object.", do='Send one object a line, such as {"skip": true}.')
    return said


def _require_true(said: dict[str, Any], word: str) -> None:
    if said[word] is not True:
        raise AnswerError(f"“{word}” is sent with true or not at all.", do=f'Send {{"{word}": true}}.')


def _number(kind: CheckKind, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise AnswerError("A number is wanted.", do=_how(kind))
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf


def _word(kind: CheckKind, value: object) -> Word:
    if isinstance(value, str) and value in WORDS_OF[kind]:
        return Word(value)
    near = nearest(value, WORDS_OF[kind]) if isinstance(value, str) else None
    raise AnswerError(
        f"“{_shown(str(value))}” is none of the words for {kind}.", do=f"Did you mean {near}?" if near else _how(kind)
    )


def _how(kind: CheckKind) -> str:
    """Say how such an answer is sent."""
    match kind:
        case CheckKind.VOLTS | CheckKind.DROP:
            return 'Send {"volts": 0.02}, or least and most {"volts": [0.1, 12.3]}.'
        case CheckKind.OHMS:
            return 'Send {"ohms": 1.2}, or {"ohms": null} for open.'
        case CheckKind.AMPS:
            return 'Send {"amps": 4.1}, or {"millivolts": 0.4} across the fuse.'
        case CheckKind.LAMP:
            return f'Send {{"lamp": "lit"}}; the words are {", ".join(WORDS_OF[kind])}.'
        case CheckKind.OBSERVE:
            return f'Send {{"load": "works"}}; the words are {", ".join(WORDS_OF[kind])}.'
        case CheckKind.LISTEN:
            return 'Send {"pulls": true}, {"pulls": false} or {"buzzes": true}.'
        case CheckKind.LOOK | CheckKind.BRIDGE | CheckKind.SWAP | CheckKind.NEW_FUSE:
            word = _TRUE_OR_FALSE[kind][0]
            return f'Send {{"{word}": true}} or {{"{word}": false}}.'
        case _:
            assert_never(kind)


def _also(harness: Harness, said: object) -> Also:
    """Read a check that was not asked, and what came of it, from one object."""
    if not isinstance(said, dict):
        raise AnswerError("A reading that was not asked is an object.", do="Give kind, points or part, key, settings.")
    left = dict(said)
    kind = _kind(left)
    condition = _condition(harness, left)
    check, outcome = _check(harness, kind, condition, left)
    if outcome is None:
        outcome = read_outcome(kind, left)
    return Also(check, outcome)


def _kind(left: dict[str, Any]) -> CheckKind:
    name = _text(left, "kind")
    try:
        return CheckKind(name)
    except ValueError:
        near = nearest(name, list(CheckKind))
        do = f"Did you mean {near}?" if near else f"Kinds: {', '.join(CheckKind)}."
        raise AnswerError(f"There is no kind “{_shown(name)}”.", do=do) from None


def _condition(harness: Harness, left: dict[str, Any]) -> Condition:
    key, settings = _text(left, "key"), left.pop("settings", {})
    if key not in harness.key_names:
        near = nearest(key, harness.key_names)
        do = f"Did you mean {near}?" if near else f"Key states: {', '.join(harness.key_names)}."
        raise AnswerError(f"There is no key state “{_shown(key)}”.", do=do)
    if not isinstance(settings, dict) or not all(isinstance(value, str) for value in settings.values()):
        raise AnswerError("Settings are an object of words.", do='Such as {"S4": "pressed", "X7": "apart"}.')
    return Condition(key, tuple(parse_setting(harness, f"{name}={value}") for name, value in settings.items()))


def _check(
    harness: Harness, kind: CheckKind, condition: Condition, left: dict[str, Any]
) -> tuple[Check, Outcome | None]:
    """Take the own fields of a check out of what is left; the outcome comes only where it stands among them."""
    match kind:
        case CheckKind.VOLTS | CheckKind.DROP | CheckKind.OHMS:
            red, black = _two_points(harness, left, "red", "black")
            return Check(kind, condition, red=red, black=black), None
        case CheckKind.LAMP:
            return _lamp(harness, condition, left), None
        case CheckKind.BRIDGE:
            red, black = _two_points(harness, left, "from", "to")
            return Check(kind, condition, red=red, black=black, fuse_amps=_amount(left, "fuse_amps")), None
        case CheckKind.AMPS | CheckKind.NEW_FUSE:
            return Check(kind, condition, part=_part(harness, left, "part", Fuse)), None
        case CheckKind.LISTEN:
            return Check(kind, condition, part=_part(harness, left, "part", Relay)), None
        case CheckKind.LOOK:
            return Check(kind, condition, part=_part(harness, left, "part", object)), None
        case CheckKind.SWAP:
            part, other = _part(harness, left, "part", Relay), _part(harness, left, "with", Relay)
            return Check(kind, condition, part=part, other=other), None
        case CheckKind.OBSERVE:
            name, outcome = _observed(left)
            return Check(kind, condition, load=one_load(harness, name)), outcome
        case _:
            assert_never(kind)


def _lamp(harness: Harness, condition: Condition, left: dict[str, Any]) -> Check:
    if "part" not in left:
        watts = _amount(left, "watts") if "watts" in left else TEST_LAMP_WATTS
        red, black = _two_points(harness, left, "red", "black")
        return Check(CheckKind.LAMP, condition, red=red, black=black, watts=watts)
    watts = _amount(left, "watts") if "watts" in left else FUSE_LAMP_WATTS
    return lamp_in_place(harness, condition, _part(harness, left, "part", Fuse), watts)


def lamp_in_place(harness: Harness, condition: Condition, fuse_id: str, watts: float = FUSE_LAMP_WATTS) -> Check:
    """Give the check of a lamp in place of a fuse, the red probe on its hot side."""
    red, black = resolve_point(harness, f"{fuse_id}.in"), f"{fuse_id}.out"
    if harness.build.ground_side == "positive":
        red, black = black, red
    return Check(CheckKind.LAMP, condition.with_setting(fuse_id, OUT), red=red, black=black, part=fuse_id, watts=watts)


def _observed(left: dict[str, Any]) -> tuple[str, Outcome]:
    """Read the load and how it is: the one key stands for both, as a pair."""
    load = left.pop("load", None)
    if left or not isinstance(load, dict) or len(load) != 1:
        raise AnswerError("The load and how it is are wanted.", do='Send "load": {"E1:dip": "works"}.')
    ((name, word),) = load.items()
    return name, seen(_word(CheckKind.OBSERVE, word))


def _two_points(harness: Harness, left: dict[str, Any], one: str, other: str) -> tuple[str, str]:
    first, second = (require_point(harness, _text(left, name)).name for name in (one, other))
    if first == second:
        raise AnswerError(f"Both ends stand on {first}.", do="Give two different points.")
    return first, second


def _part(harness: Harness, left: dict[str, Any], key: str, kind: type) -> str:
    name = _text(left, key)
    part = harness.parts.get(name)
    if isinstance(part, kind) and part is not None:
        return name
    do = did_you_mean(name, [one.id for one in harness.each_part() if isinstance(one, kind)], FIND_PART)
    what = "part" if kind is object else kind.__name__.lower()
    raise ArgumentError(f"There is no {what} “{_shown(name)}”.", do=do)


def _text(left: dict[str, Any], key: str) -> str:
    value = left.pop(key, None)
    if not isinstance(value, str) or not value:
        raise AnswerError(f"“{key}” is missing in the reading that was not asked.", do=f'Give "{key}" as text.')
    return value


def _amount(left: dict[str, Any], key: str) -> float:
    value = left.pop(key, None)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 1e6:
        raise AnswerError(f"“{key}” is a number above zero.", do=f'Give "{key}" as a number.')
    return float(value)


def _shown(text: str) -> str:
    return clean(text, _SHOWN_AT_MOST)
