"""In which key states a load is asked after, and what it does there."""

from __future__ import annotations

from dataclasses import dataclass

from model.cautions import crank_keys
from model.circuit.condition import Condition
from model.circuit.survey import ASKED_SHARE, LoadState
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind
from model.plans.load_scene import LoadScene
from model.tracing.rated import is_critical
from model.tracing.reach import reach_of
from model.tracing.working import WORKS_AT_SHARE


@dataclass(frozen=True, slots=True)
class WorksRow:
    """What an element of a load does in a key state, with the switches as it works with them.

    Attributes
    ----------
    name
        Of the element, ``E1:dip``.
    condition
        The key state, with the settings of the condition in which it works.
    state
        ``works``, ``weak`` under 80 % of its rated volts, ``off`` under 25 %.
    volts
        Across it.
    """

    name: str
    condition: Condition
    state: LoadState
    volts: float


def works_in(scene: LoadScene, element: Element, condition: Condition) -> WorksRow | None:
    """Give what an element does in a condition; None where the circuit cannot be so, or never rests there."""
    survey = scene.survey(condition)
    if survey is None or survey.settled.buzzing:
        return None
    volts = survey.loads[element.name].volts
    share = volts / element.at_volts
    state = LoadState.WORKS if share >= WORKS_AT_SHARE else LoadState.WEAK
    return WorksRow(element.name, condition, LoadState.OFF if share < ASKED_SHARE else state, volts)


def asked_keys(scene: LoadScene, element: Element, condition: Condition) -> tuple[WorksRow, ...]:
    """Give the key states beside that of its working condition in which an element is asked after.

    A state in which it stays off is passed over where it stays off in another one that closes all the same contacts
    and drivers and more: whatever feeds it wrongly in the one feeds it in the other too. Likewise one in which it
    works as it does with fewer of them; a lamp is asked after with the engine running all the same. Cranking counts
    only for what the file calls critical, and the engine runs for a load that is off only where it works while
    the engine stands.
    """
    harness = scene.harness
    others = [condition.at_key(key) for key in harness.key_names if key != condition.key]
    asked = [one for one in others if one.key not in crank_keys(harness) or is_critical(harness, element)]
    rows = [row for row in (works_in(scene, element, one) for one in asked) if row is not None]
    reach = frozenset(link.site for link in reach_of(harness).links_that_matter(element))
    closed = {row.condition.key: scene.closed(row.condition) for row in rows}
    near = {key: sites & reach for key, sites in closed.items()}
    standing = [row for row in rows if row.state is LoadState.OFF and not _is_charging(harness, row)]
    kept = [row for row in standing if not _is_covered(row, standing, closed)]
    here = scene.closed(condition) & reach
    for row in rows:
        if row in standing:
            continue
        is_new = not here <= near[row.condition.key] or row.state is LoadState.WEAK
        if row.state is LoadState.OFF:
            is_new = not _is_covered(row, standing, near)
        elif element.kind is LoadKind.LAMP and _is_charging(harness, row):
            is_new = True
        if is_new:
            kept.append(row)
    order = {key: place for place, key in enumerate(harness.key_names)}
    return tuple(sorted(kept, key=lambda row: order[row.condition.key]))


def _is_covered(row: WorksRow, others: list[WorksRow], closed: dict[str, frozenset[str]]) -> bool:
    """Tell whether another row stays off with all that is closed here and more, or one before it with the same."""
    own = closed[row.condition.key]
    before = others[: others.index(row)] if row in others else others
    return any(own < closed[other.condition.key] for other in others) or any(
        own == closed[other.condition.key] for other in before
    )


def _is_charging(harness: Harness, row: WorksRow) -> bool:
    return any(state.charging for state in harness.key_states if state.name == row.condition.key)
