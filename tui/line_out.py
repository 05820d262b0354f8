"""Sentences on an output stream: wrapped at words where somebody reads them, one a line where a program does."""

from __future__ import annotations

import textwrap
from shutil import get_terminal_size
from typing import TextIO

_LEAST_COLUMNS = 20


def wrapped(sentence: str, out: TextIO) -> str:
    """Wrap a sentence at words to the width of the terminal; as it is where the stream leads to none."""
    if not out.isatty():
        return sentence
    columns = max(get_terminal_size().columns, _LEAST_COLUMNS)
    return textwrap.fill(sentence, columns, break_long_words=False, break_on_hyphens=False)
