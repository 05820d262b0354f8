"""The titles of rows in few cells: where many begin alike, the words that differ are kept."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from tui.text import CUT, fit, fit_end, width

_ALIKE_SHARE = 2 / 3
"""Titles that are the same over this much of their cells look alike at a glance."""

_HEAD_SHARE = 1 / 3
_NAME_END = ": "

Named = tuple[str, str]
"""The group of a row and its title."""


@lru_cache(maxsize=8)
def short_titles(rows: tuple[Named, ...], cells: int) -> dict[Named, str]:
    """Cut titles to so many cells; of those of a group that look alike the words that differ stay."""
    alike: dict[Named, list[str]] = {}
    for group, title in dict.fromkeys(rows):
        alike.setdefault((group, fit(title, int(cells * _ALIKE_SHARE))), []).append(title)
    found: dict[Named, str] = {}
    for (group, _), titles in alike.items():
        for title, short in zip(titles, _told_apart(titles, cells), strict=True):
            found[group, title] = short
    return found


def _told_apart(titles: Sequence[str], cells: int) -> list[str]:
    """Cut titles in the way by which the most of them differ."""
    if len(titles) == 1:
        return [fit(titles[0], cells)]
    named = [_cut_name(title, cells) for title in titles]
    common = _cut_common(titles, cells)
    ways = (named, common) if all(_NAME_END in title for title in titles) else (common, named)
    return max((*ways, [fit(title, cells) for title in titles]), key=lambda one: len(set(one)))


def _cut_common(titles: Sequence[str], cells: int) -> list[str]:
    """Cut the words with which all begin, so that the words that differ stand as early as they can."""
    common = titles[0]
    while common and not all(title.startswith(f"{common} ") for title in titles):
        common = common.rpartition(" ")[0]
    if not common:
        return [fit(title, cells) for title in titles]
    head = int(cells * _HEAD_SHARE)
    return [_from_where_it_differs(title, common, head, cells) for title in titles]


def _from_where_it_differs(title: str, common: str, head: int, cells: int) -> str:
    if width(title) <= cells:
        return fit(title, cells)
    rest = title[len(common) :].strip()
    begin = fit(common, max(head, cells - width(rest) - 1)).removesuffix(CUT).rstrip()
    return fit(f"{begin}{CUT}{rest}", cells)


def _cut_name(title: str, cells: int) -> str:
    """Cut the name before a colon in its middle, so that what is read of it has half the cells."""
    name, colon, what = title.partition(_NAME_END)
    if not colon or width(title) <= cells:
        return fit(title, cells)
    room = cells - len(_NAME_END)
    what_cells = max(min(width(what), room - room // 2), room - width(name))
    return f"{cut_middle(name, room - what_cells)}{_NAME_END}{fit(what, what_cells)}"


def cut_middle(text: str, cells: int) -> str:
    """Return a cleaned text of at most so many cells that keeps its begin and its end."""
    if width(text) <= cells:
        return fit(text, cells)
    end = cells // 2
    return f"{fit(text, cells - end + 1).removesuffix(CUT)}{fit_end(text, end)}"
