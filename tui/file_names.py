"""Completion of a file name that is being typed."""

import os
from collections.abc import Callable
from pathlib import Path

LISTED_MOST = 50
_SUFFIX = ".toml"


def completions(typed: str, here: Path) -> list[str]:
    """Return the names that begin as typed: directories with a slash behind, then harness files.

    Names that begin with a point are given only where one is typed. A directory that cannot be read has no names.

    Parameters
    ----------
    typed : str
        As it stands in the entry, ``~`` for the home directory.
    here : Path
        The directory that a relative name starts from.

    Returns
    -------
    list of str
        Each as it would stand in the entry, at most 50.
    """
    head, _, begun = typed.rpartition("/")
    parent = f"{head}/" if "/" in typed else ""
    directories: list[str] = []
    files: list[str] = []
    try:
        with os.scandir(here / resolved(parent or ".")) as entries:
            for entry in entries:
                if not entry.name.startswith(begun) or (entry.name.startswith(".") and not begun):
                    continue
                if _is(entry.is_dir):
                    directories.append(f"{parent}{entry.name}/")
                elif entry.name.endswith(_SUFFIX) and _is(entry.is_file):
                    files.append(f"{parent}{entry.name}")
    except (OSError, ValueError):
        return []
    return [*sorted(directories), *sorted(files)][:LISTED_MOST]


def completed(typed: str, names: list[str]) -> str:
    """Return what is typed, longer by what all the names have in common."""
    shared = names[0] if names else typed
    for name in names:
        while not name.startswith(shared):
            shared = shared[:-1]
    return shared


def resolved(typed: str) -> Path:
    """Return the path that is meant by what was typed; a ``~`` without a home stays as it is."""
    try:
        return Path(typed).expanduser()
    except RuntimeError:
        return Path(typed)


def _is(asked: Callable[[], bool]) -> bool:
    """Return the answer of a directory entry, false where the system refuses one."""
    try:
        return asked()
    except OSError:
        return False
