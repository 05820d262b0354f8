"""In what forms a sheet is given, and the arguments that ask for one; it knows no sheet, so that every command may."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from enum import StrEnum
from pathlib import Path

from model.units import number_typed
from model.words import clean


class Form(StrEnum):
    """In what form a sheet is given."""

    TEXT = "text"
    MARKDOWN = "markdown"
    HTML = "html"
    CSV = "csv"
    JSON = "json"


FORMS: dict[str, str] = {
    Form.MARKDOWN: "Markdown",
    Form.HTML: "one HTML file, to print or to read on a telephone",
    Form.CSV: "comma-separated values",
    Form.JSON: "one JSON object",
}
"""The forms that have to be asked for."""


def add_form_arguments(parser: argparse.ArgumentParser, more: Mapping[str, str] | None = None) -> None:
    """Add the arguments that say in what form a sheet is given and where it goes.

    Parameters
    ----------
    more
        Forms that this command alone has, or has other words of help for.
    """
    form = parser.add_mutually_exclusive_group()
    for name, words in {**FORMS, **(more or {})}.items():
        form.add_argument(f"--{name}", action="store_const", const=name, dest="form", help=words)
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        type=Path,
        help="write it there; its ending says in what form where none is given",
    )
    parser.add_argument("--force", action="store_true", help="with -o: write over a file that is there already")


def within_argument(least: float, most: float, unit: str) -> Callable[[str], float]:
    """Give what reads a number in a range as an argument, with a point or a comma."""

    def read(typed: str) -> float:
        try:
            number = number_typed(typed)
        except ValueError:
            raise argparse.ArgumentTypeError(f"“{clean(typed, 60)}” is no number; write it as {most / 4:g}") from None
        if not least <= number <= most:
            raise argparse.ArgumentTypeError(f"“{clean(typed, 60)}” is not from {least:g} to {most:g} {unit}")
        return number

    return read
