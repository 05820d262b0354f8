"""What was changed about a part, from the record, for its card."""

from __future__ import annotations

from collections.abc import Sequence

from model.amending import standing_amendments
from model.record_entries import AnyEntry
from model.words import clean

_LONGEST = 400


def history_of(entries: Sequence[AnyEntry], part_id: str) -> tuple[str, ...]:
    """Tell each amendment that touched a part and was not taken back, the first first."""
    return tuple(
        clean(f"revision {one.revision}, {one.when:%Y-%m-%d}: {one.sentence}{_why(one.reason)}", _LONGEST)
        for one in standing_amendments(entries)
        if part_id in one.parts
    )


def _why(reason: str) -> str:
    return f" {reason[:1].upper()}{reason[1:].rstrip('.')}." if reason else ""
