"""A file that is not there, with the name that was most likely meant."""

from __future__ import annotations

from itertools import islice
from pathlib import Path

from model.errors import FusewalkError
from model.words import clean, nearest

_LOOKED_AT = 500
"""So many names of a directory are looked at for one that is near."""


def no_such_file(path: Path) -> FusewalkError:
    """Give the error of a file that is not there: with the nearest name beside it, or that its directory is missing."""
    directory = path.parent
    do = "Check its name and directory."
    try:
        if not directory.is_dir():
            do = f"There is no directory {clean(str(directory), 300)} either: check its name."
        else:
            near = nearest(path.name, (one.name for one in islice(directory.iterdir(), _LOOKED_AT)))
            do = f"Did you mean {clean(str(path.with_name(near)), 300)}?" if near else do
    except (OSError, ValueError):
        pass
    return FusewalkError("there is no such file.", clean(str(path), 500), do)
