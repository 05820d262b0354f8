"""``fusewalk cut-list``: what wire to buy and cut."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.harness.toml_file import read_harness
from model.sheets.cut_list import END_ALLOWANCE_M, cut_list_csv, cut_list_json, cut_list_sheet
from tui.cli.forms import add_form_arguments, within_argument
from tui.cli.review_arguments import Review, print_review

_CM_IN_M = 100


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument(
        "--allowance",
        metavar="CM",
        type=within_argument(0, 200, "cm"),
        default=END_ALLOWANCE_M * _CM_IN_M,
        help="how much longer each end is cut than it lies; 10 where nothing is said",
    )
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the list, or write it where the arguments say, and give the exit code.

    Raises
    ------
    HarnessFileError
        Where the file cannot be read.
    """
    harness = read_harness(arguments.file)
    allowance_m = arguments.allowance / _CM_IN_M
    review = Review(
        lambda: cut_list_sheet(harness, allowance_m),
        lambda: cut_list_csv(harness, allowance_m),
        lambda: cut_list_json(harness, allowance_m),
    )
    return print_review(review, arguments)
