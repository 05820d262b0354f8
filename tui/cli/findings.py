"""``fusewalk findings``: what in the design of a loom can hurt, fails, works badly or has to be cleared up."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.review.findings import find_all
from model.sheets.findings_sheet import findings_csv, findings_json, findings_sheet
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the findings and give the exit code: 0 whatever is found."""
    harness = read_harness(arguments.file)
    found = find_all(Bench(harness))
    review = Review(
        lambda: findings_sheet(harness, found),
        lambda: findings_csv(harness, found),
        lambda: findings_json(harness, found),
    )
    return print_review(review, arguments)
