"""A file of a person read as bytes, with words for whatever stands in the way."""

from __future__ import annotations

from pathlib import Path

from model.errors import FusewalkError
from model.words import clean


def file_bytes(path: Path, most_bytes: int, *, in_it: str, check: str) -> bytes:
    """Read a file; of a larger one than asked for one byte more than that, so that it can be told.

    Parameters
    ----------
    in_it
        What to give in place of a directory, as a sentence.
    check
        What to look at where the file cannot be read, as a sentence.

    Raises
    ------
    FusewalkError
        Where it cannot be read.
    """
    place = clean(str(path), 500)
    try:
        if path.is_dir():
            raise FusewalkError("this is a directory.", place, in_it)
        with path.open("rb") as stream:
            return stream.read(most_bytes + 1)
    except FileNotFoundError:
        raise FusewalkError("there is no such file.", place, "Check its name and directory.") from None
    except (OSError, ValueError) as error:
        reason = clean(getattr(error, "strerror", None) or str(error))
        raise FusewalkError(f"the file cannot be read: {reason}.", place, check) from None
