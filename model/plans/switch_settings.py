"""Which switches have to be set for metal to join one node of a cold loom to another."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable

from model.circuit.condition import Condition, switch_position
from model.harness.harness import Harness
from model.plans.cold_circuit import ColdLoom
from model.plans.cold_settings import Contact

Settings = tuple[tuple[str, str], ...]


def settings_to(
    loom: ColdLoom, start: int, condition: Condition, stops: frozenset[int], *, through: Callable[[int], bool]
) -> dict[int, Settings]:
    """Give the fewest settings of switches that join each node to a start; nodes that none joins are left out.

    Parameters
    ----------
    condition
        Where everything else stands; of a key switch its position is set under the switch's id.
    stops
        Nodes that are reached but not passed.
    through
        Which branches may be passed beside the contacts of switches.
    """
    contact_of = loom.contact_at
    carries = loom.circuit(condition).carries
    found: dict[int, Settings] = {start: ()}
    waiting: deque[tuple[int, Settings]] = deque([(start, ())])
    while waiting:
        node, settings = waiting.popleft()
        if found.get(node) != settings or (node in stops and node != start):
            continue
        for branch, far in loom.beside[node]:
            contact = contact_of.get(branch)
            if contact is None:
                choices: Iterable[Settings] = [settings] if carries[branch] and through(branch) else []
            else:
                choices = _closing(loom.harness, contact, condition, settings)
            for choice in choices:
                if far in found and len(found[far]) <= len(choice):
                    continue
                found[far] = choice
                if len(choice) == len(settings):
                    waiting.appendleft((far, choice))
                else:
                    waiting.append((far, choice))
    return found


def _closing(harness: Harness, contact: Contact, condition: Condition, settings: Settings) -> list[Settings]:
    """Give the settings with which a contact is closed: as it stands, or in one of its positions."""
    name = contact.switch.id
    stands = dict(settings).get(name)
    if stands is not None:
        return [settings] if stands in contact.positions else []
    if switch_position(harness, contact.switch, condition) in contact.positions:
        return [settings]
    return [(*settings, (name, position)) for position in contact.positions]
