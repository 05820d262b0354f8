"""Standard output of the commands: JSON, and streams that know fewer characters than the answer has."""

from __future__ import annotations

import codecs
import json
import os
import sys
from io import StringIO, TextIOWrapper
from typing import Any

_TWINS = "fusewalk.twins"


def write_json(found: dict[str, Any]) -> None:
    """Print one JSON object; characters that the stream does not know as escapes of JSON."""
    encoding = codecs.lookup(sys.stdout.encoding or "ascii").name
    print(json.dumps(found, ensure_ascii=encoding != "utf-8"))


def ready_streams() -> None:
    """Make standard output and error fit for any text: a sign that a stream does not know is shown by its ASCII twin.

    A stream that was closed before the start takes everything and shows nothing.
    """
    from tui.glyphs import ascii_text

    def twins(error: UnicodeError) -> tuple[str, int]:
        if not isinstance(error, UnicodeEncodeError):
            raise error
        return ascii_text(error.object[error.start : error.end]), error.end

    codecs.register_error(_TWINS, twins)
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, StringIO())
        elif isinstance(stream, TextIOWrapper) and stream.errors == "strict":
            stream.reconfigure(errors=_TWINS)


def drop_output() -> None:
    """Let go of a standard output that takes nothing more, so that nothing is written to it at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
