"""The amendment that moves the work of a conductor to spare wires."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from model.errors import ArgumentError
from model.harness.amended_parts import (
    ENDS,
    listed,
    point_at,
    refuse_unknown_ends,
    taken_off,
    wire_named,
)
from model.harness.amendments import Amendment, AmendmentKind, OldEnd
from model.harness.applied_changes import Change, DropKey, SetKey
from model.harness.conductor_chains import Chain, chain_of, mates_of
from model.harness.harness import Harness
from model.harness.near_places import known_end_place, lie_next_to
from model.harness.places import end_place
from model.harness.records import Connector, Wire
from model.harness.supply import wire_size
from model.units import parse_size
from model.words import size_text


def moved_to_spare(
    harness: Harness, old_ids: Sequence[str], spare_ids: Sequence[str], *, left_on: Iterable[str] = ()
) -> Amendment:
    """Move the work of a conductor to spare ones.

    Parameters
    ----------
    old_ids
        The wires that have failed, in the order in which plugs join them; their outer ends are moved.
    spare_ids
        The spare wires that do the work now, in order. Between the first and the last their plugs join them.
    left_on
        Outer ends of the old conductor that stay on their terminals: ``W9.a``. The others come off.

    Raises
    ------
    ArgumentError
        Where a wire is not there, is no spare, ends out of reach of the terminal, or the wires do not follow one on
        another.
    """
    old = chain_of(harness, [wire_named(harness, one) for one in old_ids])
    spares = chain_of(harness, [_spare(harness, one) for one in spare_ids])
    spares = spares if _places_agree(harness, old, spares) else spares.turned()
    changes: list[Change] = []
    ends: list[OldEnd] = []
    kept = frozenset(left_on)
    refuse_unknown_ends(kept, (f"{wire.id}.{end}" for wire, end in old.outer))
    for (old_wire, old_end), (new_wire, new_end) in zip(old.outer, spares.outer, strict=True):
        point = point_at(old_wire, old_end)
        if point is None:
            raise ArgumentError(
                f"{old_wire.id}.{old_end} ends nowhere: there is no work to move.",
                do="Name a wire that ends on a part or in a plug.",
            )
        changes.append(SetKey("wires", new_wire.id, ENDS[new_end], point))
        changes.append(DropKey("wires", new_wire.id, f"{ENDS[new_end]}_location"))
        place = end_place(harness, old_wire, old_end).name
        is_off = f"{old_wire.id}.{old_end}" not in kept
        if is_off:
            changes += taken_off(harness, old_wire, old_end)
        ends.append(OldEnd(old_wire.id, f"{old_wire.id}.{old_end}" if is_off else point, place, is_off))
    _refuse_out_of_reach(harness, old, spares)
    changes += [SetKey("wires", wire.id, "spare", value=False) for wire in spares.wires]
    changes += _hazard_passed_on(old, spares)
    supersedes = {wire.id: spares.wires[min(place, len(spares.wires) - 1)].id for place, wire in enumerate(old.wires)}
    changes += [SetKey("wires", one, "superseded_by", other) for one, other in supersedes.items()]
    names = listed([wire.id for wire in old.wires]), listed([wire.id for wire in spares.wires])
    return Amendment(
        AmendmentKind.TO_SPARE,
        f"The work of {names[0]} is done by {names[1]} now.",
        tuple(changes),
        (*(wire.id for wire in (*old.wires, *spares.wires)), *_ended_on(old)),
        supersedes,
        tuple(ends),
        (*_repinned(harness, old, spares), *_thinner(harness, old, spares), *_elsewhere(harness, old, spares)),
    )


def whole_way(harness: Harness, old_id: str, spare_id: str) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """Give the conductor that a wire is a piece of through one plug, and the spares that do the work of all of it.

    Their pins stay in the cavities in which they sit.

    Returns
    -------
    tuple of tuple of str, or None
        The old wires and the spares, each two in order; None where the spare does not go on through that plug.
    """
    old, spare = wire_named(harness, old_id), _spare(harness, spare_id)
    for old_end, end in product(ENDS, ENDS):
        on_old, on_spare = (_goes_on(harness, point_at(*one)) for one in ((old, old_end), (spare, end)))
        if len(on_old) == len(on_spare) == 1 and on_spare[0].spare:
            pairs = (old_id, on_old[0].id), (spare_id, on_spare[0].id)
            try:
                moved_to_spare(harness, *pairs)
            except ArgumentError:
                continue
            return pairs
    return None


def _goes_on(harness: Harness, point: str | None) -> list[Wire]:
    """Give the wires in the other half of the cavity that a point is, none of any other point."""
    mates = mates_of(harness, point) if point else ()
    return [wire for wire in harness.wires if not {wire.from_point, wire.to_point}.isdisjoint(mates)]


def _repinned(harness: Harness, old: Chain, spares: Chain) -> Iterator[str]:
    """Say where a spare has to come out of the cavity, or off the terminal, that it is on, and what saves that."""
    for (old_wire, old_end), (spare, end) in zip(old.outer, spares.outer, strict=True):
        now, then = point_at(spare, end), point_at(old_wire, old_end)
        if now is None or then is None or now == then:
            continue
        off, on = _seat(harness, now, "out of", "off"), _seat(harness, then, "into", "onto")
        yield f"Take {spare.id} {off} and put it {on}: where it is by the file it does nothing for {old_wire.id}."
        whole = whole_way(harness, old_wire.id, spare.id) if len(old.wires) == len(spares.wires) == 1 else None
        if whole is not None:
            yield f"Or move {listed(whole[0])} to {listed(whole[1])}: then every pin stays where it is in the plug."


def _seat(harness: Harness, point: str, cavity_word: str, terminal_word: str) -> str:
    """Name a point with the word for it: ``out of cavity 6 of X3 front``, ``off F23.out``."""
    part_id, _, rest = point.partition(".")
    half, dot, cavity = rest.rpartition(".")
    if dot and isinstance(harness.parts.get(part_id), Connector):
        return f"{cavity_word} cavity {cavity} of {part_id} {half}"
    return f"{terminal_word} {point}"


def _hazard_passed_on(old: Chain, spares: Chain) -> Iterator[Change]:
    """Give the spares the hazard that the file gives a wire whose work they do."""
    hazard = next((wire.hazard for wire in old.wires if wire.hazard is not None), None)
    if hazard is not None:
        yield from (SetKey("wires", wire.id, "hazard", str(hazard)) for wire in spares.wires if wire.hazard is None)


def _thinner(harness: Harness, old: Chain, spares: Chain) -> Iterator[str]:
    """Say which spares are thinner than the thinnest wire whose work they do."""
    least = min(old.wires, key=lambda wire: _area_mm2(harness, wire))
    for spare in spares.wires:
        if _area_mm2(harness, spare) < _area_mm2(harness, least):
            sizes = [size_text(_area_mm2(harness, wire)) for wire in (spare, least)]
            yield (
                f"{spare.id} has {sizes[0]} mm², {least.id} had {sizes[1]}: the fuse before it must be no larger than "
                f"the thinner one bears."
            )


def _refuse_out_of_reach(harness: Harness, old: Chain, spares: Chain) -> None:
    """Refuse spares that end, by the file, neither where the terminal is nor next to it."""
    for old_wire, spare, wanted, given in _ends_elsewhere(harness, old, spares):
        if not lie_next_to(harness, wanted, given):
            raise ArgumentError(
                f"{spare.id} ends at {given} by the file, {old_wire.id} at {wanted}: it does not reach.",
                do=f"Run a new wire for {old_wire.id}; or where {spare.id} was laid anew, first put in as found "
                f"different where it ends now, its length and its trunks.",
            )


def _elsewhere(harness: Harness, old: Chain, spares: Chain) -> Iterator[str]:
    """Say which spares end next to the place of the terminal that they are to reach, not in it."""
    for _, spare, wanted, given in _ends_elsewhere(harness, old, spares):
        yield f"{spare.id} ends at {given} by the file, the terminal is at {wanted}: it has to reach that far."


def _ends_elsewhere(harness: Harness, old: Chain, spares: Chain) -> Iterator[tuple[Wire, Wire, str, str]]:
    """Give of each outer end that lies in another place old wire and spare, and the places of both, where known."""
    for (old_wire, old_end), (spare, end) in zip(old.outer, spares.outer, strict=True):
        wanted, given = known_end_place(harness, old_wire, old_end), known_end_place(harness, spare, end)
        if wanted and given and wanted != given:
            yield old_wire, spare, wanted, given


def _area_mm2(harness: Harness, wire: Wire) -> float:
    return parse_size(wire_size(harness, wire)).area_mm2


def _places_agree(harness: Harness, old: Chain, spares: Chain) -> bool:
    """Tell whether a chain of spares lies as the old one does, by the places of their outer ends."""
    mine, theirs = ([end_place(harness, wire, end).name for wire, end in chain.outer] for chain in (old, spares))
    straight = sum(one == other for one, other in zip(mine, theirs, strict=True) if one)
    crossed = sum(one == other for one, other in zip(mine, reversed(theirs), strict=True) if one)
    return straight >= crossed


def _ended_on(chain: Chain) -> tuple[str, ...]:
    points = (point_at(wire, end) for wire, end in chain.outer)
    return tuple(dict.fromkeys(point.partition(".")[0] for point in points if point))


def _spare(harness: Harness, wire_id: str) -> Wire:
    wire = wire_named(harness, wire_id)
    if not wire.spare:
        raise ArgumentError(
            f"{wire_id} is no spare: it does work of its own.", do="The file marks spares with spare = true."
        )
    return wire
