"""Reading a harness file: the whole of it, with every breach reported at once."""

from __future__ import annotations

import gc
import tomllib
from collections.abc import Callable
from itertools import islice
from pathlib import Path

from model.errors import Breach, HarnessFileError
from model.harness.disarm import disarm
from model.harness.draft import Complaint, Draft
from model.harness.draft_reading import read_draft
from model.harness.file_bytes import file_bytes
from model.harness.harness import ROW_TYPES, Harness
from model.harness.rules import broken_rules
from model.harness.toml_bounds import LARGEST_BYTES, endless_number, refuse_outsized, too_deep, too_large
from model.harness.toml_lines import TomlPath, toml_lines
from model.harness.toml_syntax import syntax_breach
from model.words import clean

MOST_BREACHES = 10_000
"""So many are told at once; who has more begins with these."""


def read_harness(path: Path) -> Harness:
    """Read a harness file.

    Raises
    ------
    HarnessFileError
        With every breach of the format, by line.
    FusewalkError
        Where the file cannot be read at all.
    """
    return harness_of_bytes(harness_bytes(path), path.name)


def harness_of_bytes(content: bytes, name: str) -> Harness:
    """Read a harness from the bytes of a file.

    Parameters
    ----------
    name
        What the file is called in the report.

    Raises
    ------
    HarnessFileError
        With every breach of the format, by line.
    FusewalkError
        Where it is too deeply nested to be read.
    """
    shown = clean(name)
    return read_harness_text(_decoded(content, shown), shown)


def harness_bytes(path: Path) -> bytes:
    """Read the bytes of a harness file.

    Raises
    ------
    FusewalkError
        Where it cannot be read, or is too large.
    """
    content = file_bytes(
        path, LARGEST_BYTES, in_it="Give the harness file in it.", check="Check its name and who may read it."
    )
    if len(content) > LARGEST_BYTES:
        raise too_large(clean(path.name))
    return content


def read_harness_text(text: str, name: str) -> Harness:
    """Read a harness from the text of a file.

    Parameters
    ----------
    text
        The whole file.
    name
        What the file is called in the report.

    Raises
    ------
    HarnessFileError
        With every breach of the format, by line.
    FusewalkError
        Where the text is too large or too deeply nested to be read.
    """
    text = text.removeprefix("\ufeff")
    refuse_outsized(text, name)
    return _in_bounds(lambda: _read(_parsed(text, name), text, name), name)


def read_harness_document(document: dict[str, object], text: str, name: str) -> Harness:
    """Read a harness from a document whose text was spelled from it, without parsing that.

    Parameters
    ----------
    document
        What `tomllib` would give for the text; it is changed.
    name
        What the file is called in the report.

    Raises
    ------
    HarnessFileError
        With every breach of the format, by line.
    FusewalkError
        Where the text is too large, or the document too deeply nested to be read.
    """
    refuse_outsized(text, name)
    return _in_bounds(lambda: _read(document, text, name), name)


def _in_bounds(reading: Callable[[], Harness], name: str) -> Harness:
    """Read without collecting garbage, of which there is none before the end; tell what is nested too deeply."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        return reading()
    except RecursionError:
        raise too_deep(name) from None
    finally:
        if collecting:
            gc.enable()


def _decoded(content: bytes, name: str) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        found = f"byte 0x{content[error.start]:02X}, which is not UTF-8"
        raise HarnessFileError(name, (Breach(line, "", "", "", found, "save the file as UTF-8 text"),)) from None


def _parsed(text: str, name: str) -> dict[str, object]:
    try:
        if endless_number(text) is not None:
            raise ValueError("a number of too many digits")
        return tomllib.loads(text)
    except ValueError as error:
        raise HarnessFileError(name, (syntax_breach(text, error),)) from None


def _read(document: dict[str, object], text: str, name: str) -> Harness:
    clashes = disarm(document)
    draft, complaints = read_draft(document, MOST_BREACHES)
    complaints.extend(_clash_complaint(path) for path in clashes)
    if len(complaints) <= MOST_BREACHES:
        complaints.extend(islice(broken_rules(draft), MOST_BREACHES + 1 - len(complaints)))
    if not complaints:
        return _harness(draft, name)
    raise HarnessFileError(name, _breaches(complaints, text))


def _breaches(complaints: list[Complaint], text: str) -> tuple[Breach, ...]:
    """Give complaints as breaches in the order of their lines, those of a hopeless file cut short."""
    lines = toml_lines(text)
    breaches = sorted((one.on_line(lines) for one in complaints[:MOST_BREACHES]), key=lambda breach: breach.line)
    if len(complaints) > MOST_BREACHES:
        found = f"more than {MOST_BREACHES} things to put right"
        breaches.append(Breach(breaches[-1].line, "", "", "", found, "the rest is told when these are"))
    return tuple(breaches)


def _clash_complaint(path: TomlPath) -> Complaint:
    table = str(path[0]) if path else ""
    return Complaint(path, table, "", "", "two keys that read alike", "each key of a table stands once")


def _harness(draft: Draft, name: str) -> Harness:
    tables = {table: tuple(row.record for row in draft.rows[table]) for table in ROW_TYPES}
    return Harness(build=draft.build.record, defaults=draft.defaults.record, source=name, **tables)  # type: ignore[arg-type]
