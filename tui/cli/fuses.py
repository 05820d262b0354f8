"""``fusewalk fuses``: what each fuse feeds, carries and guards; with ``--card`` a card for the lid of its box."""

from __future__ import annotations

import argparse
from pathlib import Path

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.review.fuse_use import FuseUse, fuse_review
from model.sheets.fuse_remarks import place_name
from model.words import clean, nearest
from tui.cli.forms import Form, add_form_arguments
from tui.cli.review_arguments import Review, print_review
from tui.cli.sheet_file import form_of, write_sheet


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument("--card", action="store_true", help="a card for the lid: number, rating, colour, what it feeds")
    parser.add_argument("--box", metavar="PLACE", help="the fuses of one place only")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the fuses, or their card, and give the exit code."""
    harness = read_harness(arguments.file)
    uses = fuse_review(Bench(harness))
    if arguments.box is not None:
        uses = in_box(harness, uses, arguments.box)
    if arguments.card:
        return _print_card(harness, uses, arguments)
    from model.sheets.fuses_json import fuses_json
    from model.sheets.fuses_sheet import fuses_csv, fuses_sheet

    review = Review(
        sheet=lambda: fuses_sheet(harness, uses),
        csv=lambda: fuses_csv(harness, uses),
        as_json=lambda: fuses_json(harness, uses),
    )
    return print_review(review, arguments)


def in_box(harness: Harness, uses: tuple[FuseUse, ...], place: str) -> tuple[FuseUse, ...]:
    """Give the fuses of one place, whatever its capitals.

    Raises
    ------
    ArgumentError
        Where no fuse is there, naming the nearest place that has some.
    """
    found = tuple(use for use in uses if place_name(harness, use).casefold() == place.casefold())
    if found:
        return found
    places = list(dict.fromkeys(place_name(harness, use) for use in uses))
    near = nearest(place, places)
    do = f"Did you mean {near}?" if near else f"Fuses are at: {', '.join(places)}." if places else "There is no fuse."
    raise ArgumentError(f"There is no fuse at “{clean(place)}”.", do=do)


def _print_card(harness: Harness, uses: tuple[FuseUse, ...], arguments: argparse.Namespace) -> int:
    from model.sheets.lid_card import lid_card, lid_card_csv, lid_card_html, lid_card_json

    if form_of(arguments.form, arguments.output) is Form.HTML:
        return write_sheet(lid_card_html(harness, uses), arguments)
    review = Review(
        sheet=lambda: lid_card(harness, uses),
        csv=lambda: lid_card_csv(harness, uses),
        as_json=lambda: lid_card_json(harness, uses),
    )
    return print_review(review, arguments)
