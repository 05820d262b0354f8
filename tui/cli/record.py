"""``fusewalk record``: everything measured on a loom, by plan and by date."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import assert_never

from model.harness.toml_file import read_harness
from model.record import read_record, record_path
from model.record_lock import Holder, take_lock
from model.sheets.record_sheet import RecordSheet, record_sheet
from tui.cli.forms import Form, add_form_arguments
from tui.cli.output import write_json
from tui.cli.sheet_file import form_of, write_sheet


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file; its record lies beside it")
    add_form_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the record or write it to a file, and give the exit code.

    Raises
    ------
    HarnessFileError, RecordError
        Where the harness file or its record cannot be read.
    """
    harness = read_harness(arguments.file)
    sheet = record_sheet(harness, read_record(arguments.file), holder_words(arguments.file))
    form = form_of(arguments.form, arguments.output)
    if form is Form.JSON and arguments.output is None:
        from model.sheets.record_rows import record_json

        write_json(record_json(sheet))
        return 0
    return write_sheet(_text(form, sheet), arguments)


def holder_words(path: Path) -> str:
    """Say which program writes the record of a harness file; empty where none does, or nobody can tell.

    The lock is looked at only where its file stands: it is taken away with the lock, so that looking disturbs nobody.
    """
    record = record_path(path)
    lock_path = record.with_name(f".{record.name.removesuffix('.toml')}.lock")
    if not lock_path.exists():
        return ""
    try:
        held = take_lock(lock_path, Holder())
    except OSError:
        return ""
    if isinstance(held, Holder):
        return held.words()
    held.release()
    return ""


def _text(form: Form, sheet: RecordSheet) -> str:
    from model.sheets import record_paper, record_rows

    match form:
        case Form.TEXT:
            return record_paper.record_text(sheet)
        case Form.MARKDOWN:
            return record_paper.record_markdown(sheet)
        case Form.HTML:
            return record_paper.record_html(sheet)
        case Form.CSV:
            return record_rows.record_csv(sheet)
        case Form.JSON:
            return json.dumps(record_rows.record_json(sheet), ensure_ascii=False, allow_nan=False)
    assert_never(form)
