"""What the program remembers between runs: the look, the files opened last, and that the first steps were shown.

A file that is missing or damaged counts as empty, and one that cannot be written is let go:
nobody's work depends on it.
"""

import contextlib
import os
import re
from pathlib import Path

from tui.places import config_directory, state_directory, write_whole

RECENT_MOST = 12
_READ_AT_MOST = 100_000
_LOOK = re.compile(r"""^[ \t]*look[ \t]*=[ \t]*["'](dark|light)["']""", re.MULTILINE)
"""The line of the settings that says how the program looks; whatever else stands there may be damaged."""


def look() -> str:
    """Return the look chosen last, ``dark`` or ``light``; ``dark`` where nothing is remembered."""
    chosen = _LOOK.search(_read(_settings_file()))
    return chosen[1] if chosen else "dark"


def remember_look(chosen: str) -> None:
    """Keep the look for the next run."""
    _write(_settings_file(), f'# How Fusewalk looks: "dark" or "light".\nlook = "{chosen}"\n')


def recent_files() -> list[Path]:
    """Return the harness files opened last that are still there, the latest first."""
    lines = _read(_recent_file()).splitlines()
    found: list[Path] = []
    for line in lines:
        if line.startswith("/") and "\0" not in line and Path(line) not in found and _is_file(Path(line)):
            found.append(Path(line))
    return found[:RECENT_MOST]


def remember_file(path: Path) -> None:
    """Put a harness file at the head of those opened last."""
    absolute = str(path.absolute())
    if len(absolute.splitlines()) != 1:
        return
    others = [line for line in _read(_recent_file()).splitlines() if line.startswith("/") and line != absolute]
    _write(_recent_file(), "\n".join([absolute, *others][: 2 * RECENT_MOST]) + "\n")


def is_first_start() -> bool:
    """Return whether nothing is remembered: no file opened, no look chosen, the first steps never shown."""
    return not any(os.path.lexists(path) for path in (_recent_file(), _settings_file(), _first_steps_file()))


def remember_first_steps() -> None:
    """Keep that the first steps have been shown."""
    _write(_first_steps_file(), "Without this file, recent and settings.toml the first steps are shown again.\n")


def _first_steps_file() -> Path:
    """Return the file that stands where the first steps have been shown."""
    return state_directory() / "first-steps"


def _settings_file() -> Path:
    """Return the file of the settings that a person may edit."""
    return config_directory() / "settings.toml"


def _recent_file() -> Path:
    """Return the file that holds one path a line."""
    return state_directory() / "recent"


def _is_file(path: Path) -> bool:
    """Return whether a path can be opened as a file, false where even asking is refused."""
    try:
        return path.is_file()
    except OSError:
        return False


def _read(path: Path) -> str:
    """Return the text of one of our own files, empty where it cannot be read."""
    if not _is_file(path):
        return ""
    try:
        with path.open("rb") as stream:
            return stream.read(_READ_AT_MOST).decode("utf-8", errors="surrogateescape")
    except OSError:
        return ""


def _write(path: Path, text: str) -> None:
    """Write one of our own files, or let it go."""
    with contextlib.suppress(OSError):
        write_whole(path, text)
