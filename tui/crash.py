"""The note that is kept where the program fails by a fault of its own."""

import os
import platform
import time
import traceback
from collections.abc import Iterable

from tui.places import state_directory, write_new

_OBEYED = {code: f"\\x{code:02x}" for code in (*range(0x20), *range(0x7F, 0xA0)) if chr(code) != "\n"}
"""What a terminal obeys, written out: a message may hold text of a file, and a note is looked at with ``cat``."""


def crash_note(error: BaseException, actions: Iterable[str], size: tuple[int, int]) -> str:
    """Return the text of a note: versions, terminal, the last actions, where it failed, no values of variables.

    Parameters
    ----------
    error : BaseException
        What was raised.
    actions : iterable of str
        The last actions run, oldest first.
    size : (int, int)
        Columns and rows of the screen.
    """
    terminal = " ".join(f"{name}={os.environ.get(name, '')}" for name in ("TERM", "COLORTERM", "NO_COLOR", "LANG"))
    note = "\n".join(
        [
            f"Fusewalk {_version('fusewalk')}, textual {_version('textual')}, Python {platform.python_version()}",
            f"{platform.system()} {platform.release()}",
            f"{size[0]} columns, {size[1]} rows, {terminal}",
            f"Last actions: {', '.join(actions) or 'none'}",
            "",
            *(part.rstrip() for part in traceback.format_exception(error, chain=True)),
            "",
        ]
    )
    return note.translate(_OBEYED)


def keep_note(error: BaseException, actions: Iterable[str], size: tuple[int, int]) -> str:
    """Write a crash note that its owner alone can read, and return a sentence that says where it is."""
    name = f"crash-{time.strftime('%Y%m%d-%H%M%S')}.txt"
    try:
        path = write_new([state_directory()], name, crash_note(error, actions, size), mode=0o600)
    except OSError as refusal:
        return f"No note of it could be written: {refusal.strerror}."
    return f"A note is in {path}"


def _version(package: str) -> str:
    """Return the version of an installed package."""
    # imported here: nobody should wait for it before the first paint
    import importlib.metadata

    try:
        return importlib.metadata.version(package)
    except importlib.metadata.PackageNotFoundError:
        return "not installed"
