"""Pictures of places, put into a sheet in HTML: read where somebody asks for it, and never from elsewhere.

A harness file may come from anybody, and what it calls a picture may be any path. Only a file in the folder of the
harness file, or below it, is opened, that is what its ending says; all others are named with the reason.
"""

from __future__ import annotations

import stat
from base64 import b64encode
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from model.harness.harness import Harness
from model.harness.part_picture import picture_of
from model.harness.places import place_of, place_words
from model.sheets.plan_paper import listed, text
from model.tracing.names import id_and_label
from model.words import clean

LARGEST_BYTES = 500_000
"""A larger picture is left out: a photograph of 1600 by 1200 points takes half of it."""
MOST_BYTES = 5_000_000
"""What all pictures of a sheet may take; a telephone still opens such a file at once."""

_KINDS = {
    ".png": ("image/png", (b"\x89PNG\r\n\x1a\n",)),
    ".jpg": ("image/jpeg", (b"\xff\xd8\xff",)),
    ".jpeg": ("image/jpeg", (b"\xff\xd8\xff",)),
    ".gif": ("image/gif", (b"GIF87a", b"GIF89a")),
    ".webp": ("image/webp", (b"RIFF",)),
    ".svg": ("image/svg+xml", (b"<svg", b"<?xml", b"<!--")),
}
"""Ending → what it is, and how such a file begins."""

_LIVE = (b"<script", b"<foreignobject", b"javascript:", b"<!doctype", b"<!entity")
"""What an SVG that only shows something has no need of."""

_FIGURE = "margin: 0 0 4mm; break-inside: avoid"
_IMAGE = "display: block; max-width: 100%; max-height: 90mm"


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture with the parts that it shows.

    Attributes
    ----------
    source
        The picture itself as a ``data:`` address.
    shows
        The parts and where they are, in words.
    """

    source: str
    shows: str


@dataclass(frozen=True, slots=True)
class Pictures:
    """The pictures of a sheet, and in sentences those that are not in it."""

    shown: tuple[Picture, ...] = ()
    left_out: tuple[str, ...] = ()


def pictures_of(harness: Harness, folder: Path, part_ids: Iterable[str]) -> Pictures:
    """Read the pictures of parts; of a part without one that of the part in whose housing it sits.

    Parameters
    ----------
    folder
        Of the harness file.
    part_ids
        In the order in which the pictures are to stand; those that are no parts are passed over.
    """
    shows: dict[str, list[str]] = {}
    for part_id in dict.fromkeys(part_ids):
        named = picture_of(harness, part_id)
        if named:
            words = f"{id_and_label(harness, part_id)}: {place_words(place_of(harness, part_id))}"
            shows.setdefault(named, []).append(words)
    shown: list[Picture] = []
    left_out: list[str] = []
    for named, parts in shows.items():
        content, kind, why = picture_bytes(folder, named)
        if not why and sum(len(one.source) for one in shown) + len(content) * 4 // 3 > MOST_BYTES:
            why = f"the others take {MOST_BYTES // 1_000_000} MB already"
        if why:
            left_out.append(f"{'; '.join(parts)}. {clean(named, 200)}: {why}.")
        else:
            shown.append(Picture(f"data:{kind};base64,{b64encode(content).decode('ascii')}", "; ".join(parts)))
    return Pictures(tuple(shown), tuple(left_out))


def picture_bytes(folder: Path, named: str) -> tuple[bytes, str, str]:
    """Read a picture by the path that a harness file gives.

    Returns
    -------
    (bytes, str, str)
        What is in it, what kind it is (``image/png``), and empty; or nothing, nothing and why it is left out.
    """
    kind, starts = _KINDS.get(PurePosixPath(named).suffix.casefold(), ("", ()))
    if not kind:
        return b"", "", f"a picture ends in {', '.join(_KINDS)}"
    if _leads_away(named):
        return b"", "", "a picture is named by its path from the folder of the harness file"
    try:
        path = (folder / named).resolve(strict=True)
        if not path.is_relative_to(folder.resolve(strict=True)):
            return b"", "", "it is outside the folder of the harness file"
        if not stat.S_ISREG(path.stat().st_mode):
            return b"", "", "it is no file"
        with path.open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or "its path cannot be followed"
        return b"", "", f"it cannot be read: {clean(reason)}"
    if len(content) > LARGEST_BYTES:
        return b"", "", f"it is larger than {LARGEST_BYTES // 1000} kB: make it smaller"
    if not content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(starts):
        return b"", "", f"it is no {kind.removeprefix('image/').removesuffix('+xml').upper()} picture"
    if kind == _KINDS[".svg"][0] and any(one in content.lower() for one in _LIVE):
        return b"", "", "it holds more than a drawing: a script, another document or entities"
    return content, kind, ""


def pictures_html(pictures: Pictures) -> list[str]:
    """Give pictures as the lines that stand at the end of a page: each with what it shows, which also stands for it."""
    lines = ["<h2>Pictures</h2>"] if pictures.shown else []
    for one in pictures.shown:
        image = f'<img style="{_IMAGE}" loading="lazy" alt="{text(one.shows)}" src="{one.source}">'
        lines.append(f'<figure style="{_FIGURE}">{image}<figcaption>{text(one.shows)}</figcaption></figure>')
    return [*lines, *listed("Pictures that are not in this sheet", pictures.left_out)]


def _leads_away(named: str) -> bool:
    """Tell whether a path is none from a folder on: an absolute one, one of a drive or a share, an address."""
    windows = PureWindowsPath(named)
    return PurePosixPath(named).is_absolute() or bool(windows.drive or windows.root) or "://" in named
