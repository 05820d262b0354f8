"""``fusewalk live``: every point that has volts in a condition, and why; with the key off where none is given."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import make_condition
from model.harness.toml_file import read_harness
from model.review.live_review import live_review
from model.sheets.live_json import live_csv, live_json
from model.sheets.live_sheet import live_sheet
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review
from tui.cli.volts import add_condition_arguments, condition_of


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_condition_arguments(parser)
    parser.add_argument("--compare", metavar="K", help="what changes in this key state, all else set alike")
    parser.add_argument("--by", choices=("feed", "place"), default="feed", help="how the rows are ordered")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print what is live and give the exit code."""
    harness = read_harness(arguments.file)
    condition = condition_of(harness, arguments)
    other = None
    if arguments.compare is not None:
        make_condition(harness, arguments.compare)
        other = condition.at_key(arguments.compare)
    found = live_review(Bench(harness), condition, other)
    review = Review(
        lambda: live_sheet(found, by_place=arguments.by == "place"), lambda: live_csv(found), lambda: live_json(found)
    )
    return print_review(review, arguments)
