"""Labels on the sheets of a walk stand there as they are, whatever they hold."""

from __future__ import annotations

import json
from typing import Any

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.sheets.review_markdown import review_markdown
from model.sheets.walk_json import walk_json
from model.sheets.walk_paper import walk_paper
from model.sheets.walk_sheet import walk_text
from model.tracing.rows import ToldWalk, tell_walk
from model.tracing.walk import Walker, find_element
from tests.model.tracing.rigs import rig, wires


def told(harness: Harness, load: str, condition: Condition | None = None) -> ToldWalk:
    """Tell a walk."""
    bench = Bench(harness)
    return tell_walk(bench, Walker(bench).walk(find_element(harness, load)), condition)


def text_of(harness: Harness, load: str, condition: Condition | None = None) -> str:
    """Give the text of a walk."""
    return walk_text(harness, told(harness, load, condition))


def json_of(harness: Harness, load: str, condition: Condition | None = None) -> dict[str, Any]:
    """Give the JSON of a walk, as it comes back from its text."""
    found: dict[str, Any] = json.loads(json.dumps(walk_json(harness, told(harness, load, condition))))
    return found


HOSTILE = r"S1 [on] [/15A] *x* _y_ `z` <b>|# ![i](u) a\\b ~s~ &amp;"


def hostile(label: str, place: str) -> Harness:
    """Give a lamp with that label in that place."""
    return rig(
        f"locations = [ {{ name = '{place}' }} ]\n"
        f"loads = [ {{ id = \"E1\", kind = \"lamp\", watts = 5, label = '{label}', location = '{place}' }} ]\n"
        + wires("G1.+ E1.+", "E1.- G1.-")
    )


def unescaped(line: str) -> str:
    """Take the backslashes of Markdown away again."""
    found, skip = "", False
    for character in line:
        skip = character == "\\" and not skip
        found += "" if skip else character
    return found


def test_nothing_in_a_label_is_taken_for_markdown() -> None:
    """Every sign that Markdown reads has a backslash; taken away again the label stands there whole.

    A bar in it makes no further column.
    """
    walk = told(hostile(HOSTILE, "the [red] | box"), "E1")
    markdown = review_markdown(walk_paper(hostile(HOSTILE, "the [red] | box"), walk))
    title = next(line for line in markdown.splitlines() if line.startswith("#"))
    assert unescaped(title) == f"# Walk of E1:load, {HOSTILE}"
    tables = [line for line in markdown.splitlines() if line.startswith("|")]
    columns = {len(line.replace("\\\\", "").replace("\\|", "").split("|")) for line in tables}
    assert len(columns) == 1
    assert any(HOSTILE in unescaped(line) and "the [red] | box" in unescaped(line) for line in tables)


def test_a_label_stands_in_the_text_as_it_is() -> None:
    """Nothing is interpreted, nothing swallowed."""
    text = text_of(hostile(HOSTILE, "box"), "E1")
    assert text.splitlines()[0] == f"Walk of E1:load, {HOSTILE}"


def test_escape_bytes_do_not_reach_the_sheet() -> None:
    """What a terminal would obey is gone from text, Markdown and JSON."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 5, label = "a\\u001b[31mred\\u0007\\u202eb" } ]\n'
        + wires("G1.+ E1.+", "E1.- G1.-")
    )
    walk = told(harness, "E1")
    for sheet in (
        walk_text(harness, walk),
        review_markdown(walk_paper(harness, walk)),
        json.dumps(walk_json(harness, walk)),
    ):
        assert not any(sign in sheet for sign in ("\x1b", "\x07", "\u202e", "\\u001b", "\\u202e"))
