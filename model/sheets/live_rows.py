"""Live points in rows: those of one piece of metal, in one place, by one way, stand together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.harness.places import Place, point_place
from model.review.live_points import CONTACTS, LivePoint
from model.review.live_words import why_words
from model.words import clean, volts_text

NEVER = "no probe"
"""Stands in place of the volts where no probe goes."""

_LABEL_CHARACTERS = 30


@dataclass(frozen=True, slots=True)
class LiveRow:
    """Live points that stand in one row, the nearest to the source first."""

    place: Place
    points: tuple[LivePoint, ...]

    @property
    def fused_by(self) -> str | None:
        """The last fuse before them."""
        return self.points[0].fused_by

    def names(self, harness: Harness) -> str:
        """Name the points, each part's label behind the last of its own: ``X3.front.4, X3.rear.4 (Sill plug)``.

        A fuse is named with its label where it is said why they are live.
        """
        return named_points(harness, [one.point for one in self.points])

    def volts(self) -> str:
        """Give their volts, from the most to the least where a meter would tell them apart."""
        if not all(one.may_be_probed for one in self.points):
            return NEVER
        figures = sorted({round(one.volts, 2) for one in self.points}, key=abs)
        shown = [volts_text(one) for one in figures]
        return shown[0] if len(shown) == 1 else f"{shown[-1]} to {shown[0]}"

    def why(self, harness: Harness) -> str:
        """Say why they are live."""
        return why_words(harness, self.points[0])


def live_rows(harness: Harness, points: Iterable[LivePoint]) -> tuple[LiveRow, ...]:
    """Put live points in rows, in the order in which the first of each stands."""
    found: dict[object, list[LivePoint]] = {}
    for one in points:
        ways = tuple(step.site for step in one.own_path if step.kind in CONTACTS or step.kind.is_through)
        place = point_place(harness, one.point).name
        key = (one.kind, one.source if not one.path else "", one.fused_by, one.fuses, one.metal, ways)
        found.setdefault((*key, place, one.may_be_probed), []).append(one)
    return tuple(LiveRow(point_place(harness, group[0].point), tuple(group)) for group in found.values())


def named_points(harness: Harness, points: list[str]) -> str:
    """Name points one after the other, each part's label behind the last of its own; of a fuse the id alone."""
    return ", ".join(_names(harness, points))


def _names(harness: Harness, points: list[str]) -> Iterator[str]:
    owners = [point.partition(".")[0] for point in points]
    for place, (point, owner) in enumerate(zip(points, owners, strict=True)):
        part = harness.parts.get(owner)
        is_last = owner not in owners[place + 1 :]
        is_named = part is not None and is_last and not isinstance(part, Fuse)
        label = clean(part.label, _LABEL_CHARACTERS).strip() if part is not None and is_named else ""
        yield f"{clean(point)} ({label})" if label else clean(point)
