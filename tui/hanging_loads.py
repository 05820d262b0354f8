"""The loads that hang on a part, to choose from what does not work."""

from __future__ import annotations

from model.harness.harness import Harness
from model.tracing.behind import Side
from model.tracing.complaint_told import complained_name
from model.tracing.loads_of import LoadsOf, loads_of
from model.tracing.names import id_and_label

_HEADS = {
    Side.FEED: "it feeds",
    Side.GROUND: "it grounds",
    Side.BETWEEN: "it joins",
}


def load_choices(harness: Harness, part_id: str) -> list[tuple[str, str, str]]:
    """Return the loads that hang on a part, each under its head: the head, its name, the words; touches no widget."""
    return [
        (_head(harness, some), name, complained_name(harness, name))
        for some in loads_of(harness, part_id)
        for name in some.names
    ]


def _head(harness: Harness, some: LoadsOf) -> str:
    return f"by relay {id_and_label(harness, some.relay)}" if some.relay else _HEADS[some.side]
