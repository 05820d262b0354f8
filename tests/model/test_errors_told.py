"""Every error that a person is meant to read says what to do about it."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from model.words import did_you_mean

ROOT = Path(__file__).parent.parent.parent
DO_PLACE = 2
TELLS_ITSELF = {"HarnessFileError"}
"""It lists what is wrong, each with what would be right."""


@cache
def sources() -> dict[Path, str]:
    """Return the text of every file that may make an error."""
    files = [path for area in ("model", "tui") for path in sorted((ROOT / area).rglob("*.py"))]
    texts = {path: path.read_text("utf-8") for path in files}
    return {path: text for path, text in texts.items() if "Error" in text}


def family() -> set[str]:
    """Return the names of `FusewalkError` and of every class made from it."""
    bases = [pair for text in sources().values() for pair in re.findall(r"^class (\w+)\((\w+)", text, re.MULTILINE)]
    found = {"FusewalkError"}
    while more := {name for name, base in bases if base in found} - found:
        found |= more
    return found - TELLS_ITSELF


@cache
def made() -> tuple[tuple[str, ast.Call], ...]:
    """Return every place in which an error of the family is made."""
    names = family()
    makes = re.compile(rf"\b({'|'.join(names)})\(")
    return tuple(
        (f"{path.relative_to(ROOT)}:{node.lineno}", node)
        for path, text in sources().items()
        if makes.search(text)
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names
    )


def can_be_empty(node: ast.expr | None) -> bool:
    """Tell whether what stands there is nothing, or nothing in one of its cases."""
    match node:
        case None:
            return True
        case ast.Constant(value=value):
            return not value
        case ast.IfExp(body=body, orelse=orelse):
            return can_be_empty(body) or can_be_empty(orelse)
        case _:
            return False


def test_every_error_says_what_to_do() -> None:
    """No error of the family is made without what to do, nor with one that is empty in some case."""
    places = made()
    assert len(places) > 200
    assert {"HarnessFileError", "RecordError"} & family() == {"RecordError"}
    silent = []
    for where, call in places:
        given = next((word.value for word in call.keywords if word.arg == "do"), None)
        if given is None and len(call.args) > DO_PLACE:
            given = call.args[DO_PLACE]
        if can_be_empty(given):
            silent.append(where)
    assert silent == []


def test_every_error_is_a_sentence() -> None:
    """What is wrong, and what to do, ends as a sentence does wherever it is written out in full."""
    unended = []
    for where, call in made():
        told = [*call.args[:1], *(word.value for word in call.keywords if word.arg == "do")]
        for node in told:
            last = node.values[-1] if isinstance(node, ast.JoinedStr) else node
            if isinstance(last, ast.Constant) and isinstance(last.value, str) and last.value.rstrip()[-1:] not in ".?!":
                unended.append((where, last.value))
    assert unended == []


@pytest.mark.parametrize(
    ("word", "choices", "told"),
    [
        ("f7", ["F7", "F8"], "Did you mean F7?"),
        ("wlak", ["walk", "volts"], "Did you mean walk?"),
        ("zebra", ["F7", "F8"], "There are: F7, F8."),
        ("zebra", ["F7"], "There is: F7."),
        ("zebra", [], "Look it up."),
        ("zebra", [f"F{number}" for number in range(90)], "Look it up."),
    ],
)
def test_what_was_meant_is_guessed(word: str, choices: list[str], told: str) -> None:
    """The nearest choice is named, else all of a few, else where to look."""
    assert did_you_mean(word, choices, "Look it up.") == told
