"""What a harness file calls the picture of a part: a path, which nothing here opens."""

from __future__ import annotations

from model.harness.harness import Harness


def picture_of(harness: Harness, part_id: str) -> str:
    """Return the path of the picture of a part, or of the nearest housing that it sits in; empty without one."""
    seen: set[str] = set()
    part = harness.parts.get(part_id)
    while part is not None and part.id not in seen:
        if part.picture:
            return part.picture
        seen.add(part.id)
        part = harness.parts.get(part.inside or "")
    return ""
