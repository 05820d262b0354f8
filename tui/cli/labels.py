"""``fusewalk labels``: labels for both ends of every wire."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.harness.toml_file import read_harness
from model.sheets.wire_labels import labels_csv, labels_html, labels_json, labels_sheet
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the labels, or write them where the arguments say, and give the exit code.

    Raises
    ------
    HarnessFileError
        Where the file cannot be read.
    """
    harness = read_harness(arguments.file)
    review = Review(
        lambda: labels_sheet(harness),
        lambda: labels_csv(harness),
        lambda: labels_json(harness),
        lambda: labels_html(harness),
    )
    return print_review(review, arguments)
