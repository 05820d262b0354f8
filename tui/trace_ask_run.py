"""What the questions before a trace offer to choose from; found in a thread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.circuit.condition import Condition
from model.harness.harness import all_elements
from model.tracing.companions import companions
from model.tracing.graph import LinkKind
from model.tracing.load_rows import load_needs
from tui.trace_asked import Choices

if TYPE_CHECKING:
    from model.tracing.walk import Walk
    from tui.standing import Standing


def find_choices(standing: Standing, loads: tuple[str, ...]) -> Choices:
    """Find the settings in which it may have been seen, the fuses of its feed and the loads that share something."""
    walks, harness = standing.walks, standing.harness

    def needs_of(walk: Walk) -> str:
        needs = load_needs(walks.walker, walk)
        return needs.words if needs.reached else ""

    elements = {element.name: element for element in all_elements(harness)}
    own = [walks.walk(elements[name]) for name in loads if name in elements]
    found = companions(harness, walks.walk, needs_of, loads)
    fuses = tuple(dict.fromkeys(fuse for walk in own for fuse in _fuses(walk)))
    return Choices(_conditions(standing), fuses, found, own[0].working.condition if len(own) == 1 else None)


def _conditions(standing: Standing) -> tuple[Condition | None, ...]:
    """Give the settings to choose from: where it should work, as it is set now, and each key state all at rest."""
    now = standing.condition.healthy()
    at_rest = [Condition(key) for key in standing.harness.key_names]
    return (None, *dict.fromkeys([Condition(now.key, now.settings), *at_rest]))


def _fuses(walk: Walk) -> list[str]:
    if walk.feed is None:
        return []
    links = [step.link for step in walk.feed.steps if step.link is not None]
    return [link.part_id for link in reversed(links) if link.kind is LinkKind.FUSE]
