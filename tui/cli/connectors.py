"""``fusewalk connectors``: each plug with its face from both sides and what is in its cavities."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.harness.toml_file import read_harness
from model.sheets.plug_tables import plug_tables, plug_tables_csv, plug_tables_json, plugs_of
from model.sheets.review_html import review_html
from tui.cli.forms import add_form_arguments
from tui.cli.picture_argument import add_picture_argument, picture_lines
from tui.cli.review_arguments import Review, print_review
from tui.cli.sheet_file import form_of


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument("part", nargs="*", default=[], help="only these connectors and plugged parts: X3 K7")
    add_form_arguments(parser)
    add_picture_argument(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the tables, or write them where the arguments say, and give the exit code.

    Raises
    ------
    HarnessFileError
        Where the file cannot be read.
    ArgumentError
        Where there is no such part, or it has no plug.
    """
    harness = read_harness(arguments.file)
    parts = tuple(arguments.part)
    form = form_of(arguments.form, arguments.output)
    pictures = picture_lines(arguments, form, harness, (plug.part.id for plug in plugs_of(harness, parts)))
    review = Review(
        lambda: plug_tables(harness, parts),
        lambda: plug_tables_csv(harness, parts),
        lambda: plug_tables_json(harness, parts),
        lambda: review_html(plug_tables(harness, parts), pictures),
    )
    return print_review(review, arguments)
