"""``fusewalk find``: parts, wires and points the way one asks for them, with the volts to expect there."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from model.circuit.condition import Condition
from model.errors import ArgumentError, CircuitError
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.sheets.find_sheet import Expected, find_json, find_lines
from model.sheets.volts_sheet import point_words
from model.tracing.find import search
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review
from tui.cli.volts import add_condition_arguments, condition_of

if TYPE_CHECKING:
    from model.sheets.review_sheet import ReviewSheet

SHOWN = 8
WITH_VOLTS = 4


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument(
        "words", nargs="+", help="what is known of it: green/white 1.5 left sill, X2 6, 15 A, fuel pump, K7 30"
    )
    add_condition_arguments(parser)
    parser.add_argument("--most", metavar="N", type=int, default=SHOWN, help="at most so many things (%(default)s)")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print what is found and give the exit code; nothing found is no error."""
    if arguments.most < 1:
        raise ArgumentError(f"--most {arguments.most} shows nothing.", do="Write a whole number from 1 on.")
    harness = read_harness(arguments.file)
    condition = condition_of(harness, arguments)
    result = search(harness, arguments.words, arguments.most)
    points = [point for found in result.found[:WITH_VOLTS] for point in found.points]
    keys = (condition.key,) if arguments.key is not None else harness.key_names
    expected = expected_volts(harness, points, condition, keys)
    words = " ".join(arguments.words)
    lines = partial(find_lines, harness, words, result, expected, condition)
    listed = partial(find_json, harness, words, result, expected, condition)
    review = Review(
        sheet=lambda: _sheet(harness, listed(), condition),
        csv=lambda: _csv(harness, listed()),
        as_json=lambda: {"format": "fusewalk find", **listed()},
        text=lambda: "\n".join(lines()),
        title="find",
    )
    return print_review(review, arguments)


def _sheet(harness: Harness, listed: dict[str, Any], condition: Condition) -> ReviewSheet:
    from model.sheets.find_paper import find_paper

    return find_paper(harness, listed, condition)


def _csv(harness: Harness, listed: dict[str, Any]) -> str:
    from model.sheets.find_paper import find_csv

    return find_csv(harness, listed)


def expected_volts(harness: Harness, points: Iterable[str], condition: Condition, keys: Iterable[str]) -> Expected:
    """Work out the volts of points in some key states, settings and faults as in a condition.

    Where the posts were read in the condition, the other key states follow from that emf. Where the circuit has no
    solution in a key state, that is said in place of the volts.

    Raises
    ------
    CircuitError
        Where the posts cannot read what the condition says.
    """
    named = list(dict.fromkeys(points))
    expected: dict[str, dict[str, float | str]] = {point: {} for point in named}
    if not named:
        return expected
    from model.circuit.survey import survey

    first_emf = survey(harness, condition).settled.first_emf if condition.posts_volts is not None else None
    for key in keys:
        at_key = condition if key == condition.key else condition.at_key(key)
        try:
            settled = survey(harness, at_key, first_emf=first_emf).settled
        except CircuitError:
            for point in named:
                expected[point][key] = "no solution"
            continue
        for point in named:
            volts = settled.volts_at(point)
            expected[point][key] = point_words(settled, settled.net.index[point]) if volts is None else volts
    return expected
