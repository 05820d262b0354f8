"""``fusewalk glance``: the power distribution of a loom as a tree of lines, or as one picture."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import assert_never

from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.review.glance import Glance
from model.review.glance_build import glance
from tui.cli.forms import Form, add_form_arguments
from tui.cli.output import write_json
from tui.cli.sheet_file import form_of, write_sheet

_SVG = "svg"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_form_arguments(parser, {_SVG: "one picture in SVG, to print or to look at"})


def run(arguments: argparse.Namespace) -> int:
    """Print the tree or the picture, or write it, and give the exit code."""
    harness = read_harness(arguments.file)
    tree = glance(harness)
    if arguments.form == _SVG or (arguments.form is None and _is_svg(arguments.output)):
        from model.sheets.glance_svg import glance_svg

        return write_sheet(glance_svg(harness, tree), arguments)
    form = form_of(arguments.form, arguments.output)
    if form is Form.JSON and arguments.output is None:
        from model.sheets.glance_rows import glance_json

        write_json(glance_json(harness, tree))
        return 0
    return write_sheet(_text(form, harness, tree), arguments)


def _is_svg(output: Path | None) -> bool:
    return output is not None and output.suffix.casefold() == f".{_SVG}"


def _text(form: Form, harness: Harness, tree: Glance) -> str:
    match form:
        case Form.TEXT:
            from model.sheets.glance_tree import glance_text

            return glance_text(harness, tree)
        case Form.MARKDOWN:
            from model.sheets.glance_tree import glance_markdown

            return glance_markdown(harness, tree)
        case Form.HTML:
            from model.sheets.glance_svg import glance_html

            return glance_html(harness, tree)
        case Form.CSV:
            from model.sheets.glance_rows import glance_csv

            return glance_csv(harness, tree)
        case Form.JSON:
            from model.sheets.glance_rows import glance_json

            return json.dumps(glance_json(harness, tree), ensure_ascii=False, allow_nan=False)
    assert_never(form)
