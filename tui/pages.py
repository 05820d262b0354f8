"""What a screen shows, as text that can leave it."""

import contextlib
from dataclasses import dataclass
from pathlib import Path

from model.errors import FusewalkError
from tui.places import file_name, state_directory, write_new


@dataclass(frozen=True, slots=True)
class Page:
    """Text taken from a screen.

    Attributes
    ----------
    name
        What it is, in words that make a file name: ``walk fuel pump``.
    text
        The lines.
    suffix
        Of the file that it is written to.
    """

    name: str
    text: str
    suffix: str = ".txt"


def write_page(page: Page, harness: Path | None) -> Path:
    """Write a page to a new file and return where it is.

    It goes beside the harness file; where that cannot be, into the current directory, then into our own.

    Raises
    ------
    FusewalkError
        Where none of them takes it.
    """
    directories = [harness.parent] if harness else []
    with contextlib.suppress(FileNotFoundError):
        directories.append(Path.cwd())
    try:
        return write_new([*directories, state_directory()], file_name(page.name, page.suffix), page.text)
    except OSError as error:
        raise FusewalkError(
            "The page cannot be written.", str(error), "Press c to send it to the terminal instead."
        ) from error
