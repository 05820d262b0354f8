"""What the wires behind a fuse bear: a fuse guards the thinnest of them."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.derived import once_per_harness
from model.harness.fuse_tables import wire_bears_amps
from model.harness.harness import Harness
from model.harness.metal import same_metal, wire_points
from model.harness.records import Wire
from model.harness.supply import wire_size
from model.tracing.graph import hot_posts
from model.tracing.nets import ground_metal, nets_of
from model.units import parse_size


@dataclass(frozen=True, slots=True)
class Thinnest:
    """The wire behind a fuse that bears least, and the amperes that it bears."""

    wire_id: str
    amps: float


def guards_of(harness: Harness, wire: Wire) -> frozenset[str]:
    """Name the fuses, and hot posts, that a wire hangs on, without another fuse, load or ground between.

    A wire on the metal of a hot post hangs on that alone: whatever a fuse beyond it lets through, the post feeds it.
    """
    feeds = nets_of(harness).feeds
    one, other = wire_points(harness, wire)
    bare = _bare_metal(harness).get(same_metal(harness, one))
    return bare or feeds.get(one, frozenset()) & feeds.get(other, frozenset())


@once_per_harness
def _bare_metal(harness: Harness) -> dict[str, frozenset[str]]:
    """Give each piece of metal with hot posts on it, and these; not the ground side."""
    found: dict[str, frozenset[str]] = {}
    for post in hot_posts(harness):
        metal = same_metal(harness, post)
        if metal not in ground_metal(harness):
            found[metal] = found.get(metal, frozenset()) | {post}
    return found


@once_per_harness
def thinnest_behind(harness: Harness) -> dict[str, Thinnest]:
    """Give of each fuse the wire that bears least of those that hang on it without another fuse between."""
    found: dict[str, Thinnest] = {}
    for wire in harness.wires:
        bears_amps = wire_bears_amps(parse_size(wire_size(harness, wire)).area_mm2)
        for fuse_id in guards_of(harness, wire):
            if fuse_id not in found or bears_amps < found[fuse_id].amps:
                found[fuse_id] = Thinnest(wire.id, bears_amps)
    return found
