"""``fusewalk changes``: two revisions of a loom compared."""

from __future__ import annotations

import argparse
from functools import cache
from pathlib import Path

from model.harness.toml_file import read_harness
from model.review.changes import Changes, changes_between
from model.sheets.changes_sheet import changes_csv, changes_json, changes_sheet
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("old", type=Path, metavar="OLD", help="harness file of the earlier revision: buggy.rev3.toml")
    parser.add_argument("file", type=Path, metavar="NEW", help="harness file of the later one")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print what differs, or write it where the arguments say, and give the exit code.

    Raises
    ------
    HarnessFileError
        Where one of the files cannot be read.
    """
    old, new = read_harness(arguments.old), read_harness(arguments.file)

    @cache
    def found() -> Changes:
        return changes_between(old, new)

    return print_review(
        Review(
            lambda: changes_sheet(found()),
            lambda: changes_csv(found()),
            lambda: changes_json(found()),
        ),
        arguments,
    )
