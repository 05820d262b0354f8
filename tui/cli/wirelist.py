"""``fusewalk wirelist``: the wires or the parts of a harness as a list that ``from-list`` reads again."""

from __future__ import annotations

import argparse
import json
import os
import sys
from pathlib import Path

from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.harness.wire_list import csv_of, wire_list
from model.sheets.list_forms import as_html, as_json, as_markdown, as_text
from model.words import clean
from tui.cli.forms import Form, add_form_arguments
from tui.cli.output import write_json

FORMS: dict[str, str] = {
    Form.CSV: "comma-separated values, as from-list reads them; what -o writes to a file ending in .csv"
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    parser.add_argument(
        "--parts",
        action="store_true",
        help="the parts, key states and places in place of the wires, all that they have",
    )
    add_form_arguments(parser, FORMS)


def run(arguments: argparse.Namespace) -> int:
    """Print the list, or write it to a file, and give the exit code."""
    harness = read_harness(arguments.file)
    what = "parts list" if arguments.parts else "wire list"
    if arguments.parts:
        from model.harness.parts_list import parts_list

        headings, rows = parts_list(harness)
    else:
        headings, rows = wire_list(harness)
    if arguments.output is None:
        if arguments.form == "json":
            write_json(as_json(what, harness.source, headings, rows))
            return 0
        text = _text(arguments.form or "text", what, harness, headings, rows)
        # where the stream makes CR LF of a line end by itself, those of CSV would get a second CR
        sys.stdout.write(text if os.linesep == "\n" else text.replace("\r\n", "\n"))
        return 0
    # it knows the record, which takes a fifth of the start: only what is written to a file pays for it
    from tui.cli.sheet_file import form_of, write_sheet

    form = form_of(arguments.form, arguments.output)
    return write_sheet(_text(form, what, harness, headings, rows), arguments)


def _text(form: str, what: str, harness: Harness, headings: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    title = f"{what} of {clean(harness.build.name, 80)}"
    match form:
        case "csv":
            return csv_of(headings, rows)
        case "markdown":
            return as_markdown(title, headings, rows) + "\n"
        case "html":
            return as_html(title, headings, rows)
        case "json":
            return json.dumps(as_json(what, harness.source, headings, rows), ensure_ascii=False) + "\n"
    return as_text(title, headings, rows) + "\n"
