"""``--pictures``: the pictures that a harness file names, put into a sheet in HTML."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable

from model.errors import ArgumentError
from model.harness.harness import Harness
from model.words import clean
from tui.cli.forms import Form


def add_picture_argument(parser: argparse.ArgumentParser) -> None:
    """Add the argument that asks for pictures."""
    parser.add_argument("--pictures", action="store_true", help="in HTML: put the pictures of the places in")


def picture_lines(
    arguments: argparse.Namespace, form: Form, harness: Harness, part_ids: Iterable[str]
) -> tuple[str, ...]:
    """Give the lines of HTML that show the pictures of parts, where they are asked for.

    What is left out is told on standard error too.

    Raises
    ------
    ArgumentError
        Where another form than HTML is asked for.
    """
    if not arguments.pictures:
        return ()
    if form is not Form.HTML:
        raise ArgumentError("Pictures go into HTML alone.", do="Add --html, or -o with a name that ends in .html.")
    from model.sheets.pictures import pictures_html, pictures_of

    found = pictures_of(harness, arguments.file.parent, part_ids)
    for words in found.left_out:
        sys.stderr.write(f"fusewalk: left out: {clean(words, 1000)}\n")
    if not found.shown and not found.left_out:
        sys.stderr.write(
            'fusewalk: no part of this sheet has a picture in the file: give it one, picture = "box.jpg".\n'
        )
    return tuple(pictures_html(found))
