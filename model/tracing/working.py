"""When a load should work: the key state and the positions of what has to be moved for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, combinations, islice, product

from model.circuit.bench import Bench
from model.circuit.condition import APART, MATED, ON, Condition, resistor_positions, rest_position
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind, Module, ResistorPack, Switch
from model.harness.records import Connector
from model.tracing.by_hand import metal_by_hand
from model.tracing.graph import LinkKind
from model.tracing.rated import works_in_of, works_with_of
from model.tracing.reach import reach_of

WORKS_AT_SHARE = 0.80
_MOVED_AT_MOST = 4
_TRIED_AT_MOST = 20_000
SOLVED_AT_MOST = 300

_Settings = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Working:
    """The condition in which a load should work.

    Attributes
    ----------
    given
        True where the file says it whole; else something in it was searched for.
    reached
        True where the healthy circuit gives the load 80 % of its rated volts in it.
    switches
        The switches that can reach the load's feed, ground or control paths, the key switch aside.
    """

    condition: Condition
    given: bool
    reached: bool
    switches: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the file says of when an element should work.

    Attributes
    ----------
    keys
        Key states, the earliest first; all of them where it says nothing.
    choices
        Settings, any of which serves; one without any where it says nothing.
    is_whole
        True where it names both.
    """

    keys: tuple[str, ...]
    choices: tuple[_Settings, ...]
    is_whole: bool


def working_condition(bench: Bench, element: Element, solved_at_most: int = SOLVED_AT_MOST) -> Working:
    """Give the condition in which an element of a load should work.

    Parameters
    ----------
    bench
        Where the conditions that are tried are solved.
    solved_at_most
        How many circuits are solved before the search is given up.

    Notes
    -----
    What the file says stands. What it leaves open is searched: the fewest things moved from rest, then the earliest
    key state, then the first of the choices that the file gives. A hand moves switches and mates plugs that rest apart;
    switches that follow the key, drivers, dimmers and senders are set only where no hand alone serves. No more than 4
    things are moved and 20,000 settings tried on the metal. Where nothing feeds the load, what the file says is given
    with everything else at rest, not reached.
    """
    asked = _asked(bench.harness, element)
    moved = _moved_names(bench.harness, element)
    switches = tuple(name for name in moved if isinstance(bench.harness.parts.get(name), Switch))
    for condition in islice(_promising(bench.harness, element, asked, moved), solved_at_most):
        if _feeds(bench, element, condition):
            is_given = asked.is_whole and condition in _starts(element, asked)
            return Working(condition, is_given, reached=True, switches=switches)
    return Working(_starts(element, asked)[0], asked.is_whole, reached=False, switches=switches)


def _promising(harness: Harness, element: Element, asked: _Asked, moved: tuple[str, ...]) -> Iterator[Condition]:
    """Give the conditions in which metal could feed an element, in the order in which they are to be tried."""
    metal = metal_by_hand(harness)
    if not metal.may_feed(element, None):
        return
    hands = [name for name in moved if is_moved_by_hand(harness, name)]
    others = frozenset(moved) - frozenset(hands)
    by_hand = _conditions(harness, _starts(element, asked), hands, frozenset(hands))
    at_last = _conditions(harness, _starts(element, asked), moved, others)
    tried = islice(chain(_starts(element, asked), by_hand, at_last), _TRIED_AT_MOST)
    yield from (condition for condition in tried if metal.may_feed(element, condition))


def _conditions(
    harness: Harness, starts: list[Condition], names: Sequence[str], needed: frozenset[str]
) -> Iterator[Condition]:
    """Give every condition with a few of the named things moved, one of the needed among them, the fewest first."""
    for count in range(1, min(len(names), _MOVED_AT_MOST) + 1):
        for start in starts:
            free = [name for name in names if name not in start.by_name]
            for chosen in combinations(free, count):
                if needed.isdisjoint(chosen):
                    continue
                for positions in product(*(moved_positions(harness, name) for name in chosen)):
                    yield replace(start, settings=(*start.settings, *zip(chosen, positions, strict=True)))


def _feeds(bench: Bench, element: Element, condition: Condition) -> bool:
    try:
        found = bench.survey(condition)
    except CircuitError:
        return False
    return found.loads[element.name].volts >= WORKS_AT_SHARE * element.at_volts


def _asked(harness: Harness, element: Element) -> _Asked:
    works_in, works_with = works_in_of(harness, element), works_with_of(harness, element)
    tables = works_with if isinstance(works_with, tuple) else (works_with or {},)
    choices = tuple(tuple(table.items()) for table in tables) or ((),)
    keys = tuple(name for name in harness.key_names if works_in is None or name in works_in)
    return _Asked(keys or harness.key_names, choices, bool(works_in) and bool(works_with))


def _starts(element: Element, asked: _Asked) -> list[Condition]:
    """List the conditions that the file asks for as they stand; what is plugged into a socket is in."""
    plugged = ((element.part_id, ON),) if element.kind is LoadKind.SOCKET else ()
    return [Condition(key, (*settings, *plugged)) for key, settings in product(asked.keys, asked.choices)]


def _moved_names(harness: Harness, element: Element) -> tuple[str, ...]:
    """Name what can be moved on the ways of an element, in the order of the file's switches, the rest after them."""
    names: dict[str, None] = {}
    for link in reach_of(harness).links_that_matter(element):
        if link.kind is LinkKind.DRIVER:
            names[link.site.replace(":", ".")] = None
        elif link.kind in (LinkKind.SWITCH, LinkKind.CAVITY, LinkKind.RESISTOR):
            names[link.part_id] = None
    order = {switch.id: place for place, switch in enumerate(harness.switches)}
    found = [name for name in names if moved_positions(harness, name)]
    return tuple(sorted(found, key=lambda name: order.get(name, len(order))))


def moved_positions(harness: Harness, name: str) -> tuple[str, ...]:
    """Name the positions that a switch, plug, driver or dimmer can be moved to from rest."""
    match harness.parts[name.partition(".")[0]]:
        case Switch(key=True):
            return ()
        case Switch() as switch:
            return tuple(position for position in switch.positions if position != rest_position(switch))
        case Connector() as connector if connector.rest == APART:
            return (MATED,)
        case Module():
            return (ON,)
        case ResistorPack() as pack:
            return resistor_positions(pack)[1:]
    return ()


def is_moved_by_hand(harness: Harness, name: str) -> bool:
    """Tell whether a hand moves a switch or plug: a switch that follows the key it does not."""
    part = harness.parts[name.partition(".")[0]]
    return isinstance(part, Connector) or (isinstance(part, Switch) and not part.follows)
