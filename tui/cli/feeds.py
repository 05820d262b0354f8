"""``fusewalk feeds``: in which key states each load has feed, beside those in which the file asks for it."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.review.fed_points import fed_in
from model.review.key_feeds import key_feeds
from model.review.spread import spread_of
from model.review.sweep import sweep
from model.review.terminal_feeds import terminal_remarks
from model.sheets.feeds_sheet import FeedsReview, feeds_csv, feeds_json, feeds_sheet
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the feeds and give the exit code."""
    harness = read_harness(arguments.file)
    bench = Bench(harness)
    found = sweep(bench)
    loads = key_feeds(bench, found, is_alone=True)
    feeds = FeedsReview(harness, loads, terminal_remarks(harness, fed_in(spread_of(found))))
    review = Review(
        sheet=lambda: feeds_sheet(feeds),
        csv=lambda: feeds_csv(feeds),
        as_json=lambda: feeds_json(feeds),
    )
    return print_review(review, arguments)
