"""Readings that were not asked, as a person types them behind ``also``: every kind of check there is."""

from __future__ import annotations

import re
from dataclasses import replace

from model.circuit.condition import Condition, require_point
from model.errors import AnswerError, ArgumentError
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.parts import Fuse, Relay
from model.harness.points import all_points
from model.harness.supply import grounded_posts
from model.tracing.asking import Also
from model.tracing.checks import FUSE_LAMP_WATTS, TEST_LAMP_WATTS, Check, CheckKind, Outcome
from model.tracing.complaint_words import one_load
from model.tracing.typed_answer import read_answer
from model.words import FIND_PART, clean, did_you_mean
from tui.line_replies import lamp_in_place

EXAMPLES: dict[CheckKind, str] = {
    CheckKind.VOLTS: "also K7.30 12.4",
    CheckKind.DROP: "also drop K7.30 K7.87 0.2",
    CheckKind.OHMS: "also ohms K7.85 K7.86 OL",
    CheckKind.AMPS: "also amps F3 4.1",
    CheckKind.LAMP: "also lamp K7.30 dark",
    CheckKind.OBSERVE: "also observe E1:dip dead",
    CheckKind.LISTEN: "also listen K7 pulls",
    CheckKind.LOOK: "also look F3 bad",
    CheckKind.BRIDGE: "also bridge K7.30 K7.87 15 A cured",
    CheckKind.SWAP: "also swap K7 K2 not cured",
    CheckKind.NEW_FUSE: "also new fuse F3 holds",
}
"""How each kind is typed."""

_NUMBER = re.compile(r"(\d{1,4}(?:[.,]\d{1,2})?)\s*([aAwW]?)", re.ASCII)
_OWNER: dict[CheckKind, type[Part]] = {
    CheckKind.AMPS: Fuse,
    CheckKind.NEW_FUSE: Fuse,
    CheckKind.LISTEN: Relay,
    CheckKind.SWAP: Relay,
}


def read_also(harness: Harness, condition: Condition, words: list[str]) -> Also:
    """Read a reading that was not asked: the kind (volts where none is typed), where, and what came of it.

    Parameters
    ----------
    condition
        In which the check is made that is asked now; a fuse that is out there is in for amperes and for a new one.

    Raises
    ------
    AnswerError, ArgumentError
        Where something of it is missing or not in the harness.
    """
    kind, left = _kind(words)
    if not left:
        raise AnswerError("What was read is not said.", do=f"Type it as {EXAMPLES[kind]}.")
    match kind:
        case CheckKind.VOLTS | CheckKind.DROP | CheckKind.OHMS:
            red, black, rest = _two_points(harness, left)
            check = Check(kind, condition, red=red, black=black)
        case CheckKind.LAMP:
            check, rest = _lamp(harness, condition, left)
        case CheckKind.BRIDGE:
            check, rest = _bridge(harness, condition, left)
        case CheckKind.SWAP:
            part, other = (_part(harness, name, Relay) for name in _first_two(kind, left))
            check, rest = Check(kind, condition, part=part, other=other), left[2:]
        case CheckKind.OBSERVE:
            check, rest = Check(kind, condition, load=one_load(harness, left[0])), left[1:]
        case _:
            part, rest = _part(harness, left[0], _OWNER.get(kind, Part)), left[1:]
            here = condition if kind not in (CheckKind.AMPS, CheckKind.NEW_FUSE) else _with_fuse(condition, part)
            check = Check(kind, here, part=part)
    return Also(check, _outcome(kind, rest))


def _kind(words: list[str]) -> tuple[CheckKind, list[str]]:
    """Take the kind off what was typed."""
    named = {str(kind): kind for kind in CheckKind}
    for count in (2, 1):
        kind = named.get(" ".join(words[:count]).casefold())
        if kind is not None:
            return kind, words[count:]
    return CheckKind.VOLTS, words


def _two_points(harness: Harness, left: list[str]) -> tuple[str, str, list[str]]:
    """Take two points off, the second the grounded post where none is typed."""
    red, rest = _point(harness, left[0]), left[1:]
    black = grounded_posts(harness)[0]
    if len(rest) > 1:
        try:
            black = _point(harness, rest[0])
            rest = rest[1:]
        except ArgumentError:
            # a reading of several words, such as 0.3 mV, and no second point
            if not rest[0][0].isdigit():
                raise
    if red == black:
        raise AnswerError(f"Both probes stand on {red}.", do="Name two different points.")
    return red, black, rest


def _lamp(harness: Harness, condition: Condition, left: list[str]) -> tuple[Check, list[str]]:
    """Read a lamp in place of a fuse, or from one point to another or to the grounded post."""
    if isinstance(harness.parts.get(left[0]), Fuse):
        watts, rest = _amount(left[1:])
        return lamp_in_place(harness, condition, left[0], watts or FUSE_LAMP_WATTS), rest
    red, black, rest = _two_points(harness, left)
    watts, rest = _amount(rest)
    return Check(CheckKind.LAMP, condition, red=red, black=black, watts=watts or TEST_LAMP_WATTS), rest


def _bridge(harness: Harness, condition: Condition, left: list[str]) -> tuple[Check, list[str]]:
    one, other = (_point(harness, name) for name in _first_two(CheckKind.BRIDGE, left))
    if one == other:
        raise AnswerError(f"Both ends stand on {one}.", do="Name two different points.")
    amps, rest = _amount(left[2:])
    if not amps:
        example = EXAMPLES[CheckKind.BRIDGE]
        raise AnswerError("The fuse in the jumper lead is not said.", do=f"Type it as {example}.")
    return Check(CheckKind.BRIDGE, condition, red=one, black=other, fuse_amps=amps), rest


def _first_two(kind: CheckKind, left: list[str]) -> list[str]:
    if len(left) < 2:
        raise AnswerError("Only one of two is named.", do=f"Type it as {EXAMPLES[kind]}.")
    return left[:2]


def _amount(left: list[str]) -> tuple[float, list[str]]:
    """Take amperes or watts off what is left, with or without their unit; 0 where there are none."""
    found = _NUMBER.fullmatch(left[0]) if left else None
    if found is None:
        return 0.0, left
    rest = left[1:]
    if not found[2] and rest and rest[0] in ("A", "a", "W", "w"):
        rest = rest[1:]
    return float(found[1].replace(",", ".")), rest


def _with_fuse(condition: Condition, fuse_id: str) -> Condition:
    settings = tuple(pair for pair in condition.settings if pair[0] != fuse_id)
    return replace(condition, settings=settings)


def _part(harness: Harness, name: str, owner: type[Part]) -> str:
    if isinstance(harness.parts.get(name), owner):
        return name
    do = did_you_mean(name, [one.id for one in harness.each_part() if isinstance(one, owner)], FIND_PART)
    what = "part" if owner is Part else owner.__name__.lower()
    raise ArgumentError(f"There is no {what} “{clean(name)}”.", do=do)


def _point(harness: Harness, typed: str) -> str:
    """Give the point that was typed, capitals or not."""
    folded = typed.casefold()
    named = typed if typed in all_points(harness) else None
    named = named or next((name for name in all_points(harness) if name.casefold() == folded), typed)
    return require_point(harness, named).name


def _outcome(kind: CheckKind, words: list[str]) -> Outcome:
    return read_answer(kind, " ".join(words))
