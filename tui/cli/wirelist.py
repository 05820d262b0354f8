"""``fusewalk wirelist``: the wires or the parts of a harness as a list that ``from-list`` reads again."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import assert_never

from model.harness.toml_file import read_harness
from model.harness.wire_list import csv_of, wire_list
from model.words import clean
from tui.cli.output import write_json
from tui.cli.sheet_file import FORMS, Form, form_of, write_sheet


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument(
        "--parts",
        action="store_true",
        help="the parts, key states and places in place of the wires, all that they have",
    )
    form = parser.add_mutually_exclusive_group()
    for name, words in FORMS.items():
        form.add_argument(f"--{name}", action="store_const", const=name, dest="form", help=words)
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        type=Path,
        help="write it there; its ending says in what form where none is given",
    )
    parser.add_argument("--force", action="store_true", help="write over a file that is there already")


def run(arguments: argparse.Namespace) -> int:
    """Print the list, or write it to a file, and give the exit code."""
    harness = read_harness(arguments.file)
    what = "parts list" if arguments.parts else "wire list"
    if arguments.parts:
        from model.harness.parts_list import parts_list

        headings, rows = parts_list(harness)
    else:
        headings, rows = wire_list(harness)
    form = form_of(arguments.form, arguments.output)
    title = f"{what} of {clean(harness.build.name, 80)}"
    if form is Form.CSV:
        return write_sheet(csv_of(headings, rows), arguments)
    from model.harness import wire_list_forms as forms

    match form:
        case Form.TEXT:
            return write_sheet(forms.as_text(title, headings, rows), arguments)
        case Form.MARKDOWN:
            return write_sheet(forms.as_markdown(title, headings, rows), arguments)
        case Form.HTML:
            return write_sheet(forms.as_html(title, headings, rows), arguments)
        case Form.JSON:
            found = forms.as_json(what, harness.source, headings, rows)
            if arguments.output is None:
                write_json(found)
                return 0
            return write_sheet(json.dumps(found, ensure_ascii=False), arguments)
    assert_never(form)
