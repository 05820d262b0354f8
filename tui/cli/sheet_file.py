"""A sheet printed, or written to a file: whole or not at all, and never over something else."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
from contextlib import suppress
from pathlib import Path

from model.errors import ArgumentError, FusewalkError
from model.words import clean
from tui.cli.forms import Form

_NAME_ANOTHER = "See that its directory is there and may be written, or name another file."

_ENDINGS = {
    ".md": Form.MARKDOWN,
    ".markdown": Form.MARKDOWN,
    ".html": Form.HTML,
    ".htm": Form.HTML,
    ".csv": Form.CSV,
    ".json": Form.JSON,
}
_OUR_STARTS = (
    b"Fusewalk plan, ",
    b"Fusewalk record, ",
    b"Fusewalk sheet, ",
    b"<!-- Fusewalk ",
    b'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta name="generator" content="Fusewalk">',
    b'{"format": "fusewalk ',
    b"# Trace on paper: ",
    b'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta http-equiv="Content-Security-Policy" '
    b"content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n<title>Trace on paper: ",
)
"""How sheets begin that may be written over: nobody types into those. Comma-separated values are not among them."""


def form_of(asked: str | None, output: Path | None) -> Form:
    """Give the form that was asked for, else the one that the ending of the file says, else text."""
    if asked is not None:
        return Form(asked)
    return Form.TEXT if output is None else _ENDINGS.get(output.suffix.casefold(), Form.TEXT)


def write_sheet(text: str, arguments: argparse.Namespace) -> int:
    """Print a sheet, or write it where the arguments say and tell where that is; give the exit code.

    Raises
    ------
    ArgumentError
        Where it would be written over the harness file, its record, or a file that is none of Fusewalk's sheets.
    FusewalkError
        Where it cannot be written.
    """
    ended = text if text.endswith("\n") else f"{text}\n"
    output: Path | None = arguments.output
    if output is None:
        # where the stream makes CR LF of a line end by itself, those of comma-separated values would get a second CR
        sys.stdout.write(ended if os.linesep == "\n" else ended.replace("\r\n", "\n"))
        return 0
    try:
        target = output.resolve()
        _refuse(target, arguments)
        _write(target, ended.encode("utf-8", errors="replace"))
    except (OSError, RuntimeError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FusewalkError(
            f"{clean(str(output), 500)} cannot be written: {clean(reason)}.", do=_NAME_ANOTHER
        ) from error
    print(f"Written to {clean(str(output.absolute()), 1000)}")
    return 0


def _refuse(target: Path, arguments: argparse.Namespace) -> None:
    """Refuse what must not be written over."""
    if not target.exists():
        return
    if target.samefile(arguments.file):
        raise ArgumentError("That is the harness file itself.", do="Write the sheet to another file.")
    from model.record import record_path

    record = record_path(arguments.file)
    if record.exists() and target.samefile(record):
        raise ArgumentError("That is the record of the loom.", do="Write the sheet to another file.")
    if target.is_dir():
        raise ArgumentError(f"{clean(str(target), 500)} is a folder.", do="Name a file in it.")
    if target.is_file() and not arguments.force and not _is_ours(target):
        raise ArgumentError(
            f"{clean(str(target), 500)} is there already and is no sheet that may be written over.",
            do="Write to another file, or add --force.",
        )


def _is_ours(target: Path) -> bool:
    with target.open("rb") as stream:
        start = stream.read(max(map(len, _OUR_STARTS)))
    return not start or start.startswith(_OUR_STARTS)


def _write(target: Path, content: bytes) -> None:
    """Write beside the file and put that in its place, so that it is there whole or as it was."""
    if target.exists() and not target.is_file():
        with target.open("wb") as stream:  # a pipe or a device
            stream.write(content)
        return
    beside = target.with_name(f".{target.name[:200]}.{os.getpid()}.part")
    try:
        with beside.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
