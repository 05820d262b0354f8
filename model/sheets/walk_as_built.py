"""The volts that plans have read at the points of a walk, beside those computed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from model.harness.harness import Harness
from model.harness.points import resolve_point
from model.harness.supply import grounded_posts, reference_point
from model.plans.kept import as_built_volts
from model.record_fields import Entry
from model.tracing.rows import ToldWalk


@dataclass(frozen=True)
class AsBuilt:
    """What has been read on a walk while the loom was proven.

    Attributes
    ----------
    volts
        By point, against the grounded post or the reference.
    across_volts
        Across the load itself; None where that was not read.
    """

    volts: Mapping[str, float] = field(default_factory=dict)
    across_volts: float | None = None

    def __bool__(self) -> bool:
        return bool(self.volts) or self.across_volts is not None


NOT_READ = AsBuilt()


def walk_as_built(harness: Harness, told: ToldWalk, entries: Iterable[Entry]) -> AsBuilt:
    """Give the volts last read on a walk, in the key state and with just the settings that it is told for.

    Parameters
    ----------
    entries
        Of the record of the loom.
    """
    points = {row.point for section in told.sections for row in section.rows if not row.refusal}
    blacks = {told.walk.black, reference_point(harness), *grounded_posts(harness)}
    load = told.load
    volts: dict[str, float] = {}
    across_volts: float | None = None
    for (red, black), read in as_built_volts(entries, told.condition.key, told.condition.by_name).items():
        ends = (resolve_point(harness, red), resolve_point(harness, black))
        if ends == (load.red, load.black):
            across_volts = read
        if ends[0] in points and ends[1] in blacks:
            volts[ends[0]] = read
    return AsBuilt(volts, across_volts)
