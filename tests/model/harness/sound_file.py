"""A small harness with something in every table and nothing wrong, for tests to damage."""

import tomllib
from pathlib import Path

from tests.model.harness.two_spellings import Document, TomlPath

SOUND = Path(__file__).with_name("sound.toml").read_text(encoding="utf-8")


def sound_document() -> Document:
    """Give the sound harness anew, to be damaged."""
    return tomllib.loads(SOUND)


def row_path(document: Document, name: str) -> TomlPath:
    """Give the path of the row with this id or name, or of a table by its name."""
    if name in document:
        return (name,)
    for table, rows in document.items():
        for number, row in enumerate(rows if isinstance(rows, list) else ()):
            if name in (row.get("id"), row.get("name")):
                return (table, number)
    raise KeyError(name)
