"""The rating that a fuse without one is taken to have: by the wires that it guards, else by what hangs on it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from model.errors import FusewalkError
from model.harness.fuse_tables import rating_borne, standard_ratings, wire_bears_amps
from model.harness.joined import stand_ins
from model.harness.wire_list_book import FoundPart, PartsBook, Row
from model.units import parse_size

LEAST_AMPS = 10.0
"""Assumed at least where no wire behind a fuse has a size: the middle of the blade fuses in use."""

LASTING_SHARE = 0.8
"""Of its rating a fuse is loaded for long (common practice)."""

_FUSES_FOLLOWED = 60
"""Behind more no fuse stands: it is no vehicle's, or the largest that is made is too small anyway."""

_COILS = frozenset({"85", "86", "50", "50a", "50b"})
_PASSING = frozenset({"connectors", "switches", "relays", "diodes", "splices", "busbars"})

Join = tuple[str, str, Row]


@dataclass
class _Piece:
    """What hangs together with no fuse or load between, whatever is switched.

    Attributes
    ----------
    least_mm2
        The area of the thinnest wire of known size; infinite where none is known.
    ends
        Parts at which it ends: fuses that it feeds, loads, grounds, posts.
    bars
        Busbars that belong to it.
    """

    least_mm2: float = math.inf
    ends: dict[str, None] = field(default_factory=dict)
    bars: dict[str, None] = field(default_factory=dict)


_NOTHING = _Piece()


@dataclass(frozen=True)
class _Net:
    """The list as pieces.

    Attributes
    ----------
    behind
        Fuse → the piece on its out.
    on_bar
        Busbar → the fuses that sit on it.
    """

    parts: Mapping[str, FoundPart]
    volts: float
    behind: Mapping[str, _Piece]
    on_bar: Mapping[str, list[str]]


def rate_fuses(book: PartsBook, wires: Iterable[Row], nominal_volts: float) -> None:
    """Put a rating in place of that which was filled in for want of any; it stays marked as assumed.

    Notes
    -----
    The largest that the thinnest wire bears of those behind the fuse whose size is known, up to the next fuses. Where
    none has one, what carries the loads behind it for long and is not under any fuse behind it.
    """
    unrated = [part for part in book.parts.values() if part.kind.table == "fuses" and "amps" in part.assumed]
    if not unrated:
        return
    net = _net(book, wires, nominal_volts)
    by_wires = {part.id: _by_wires(net, part.id) for part in unrated}
    for part in unrated:
        part.row["amps"] = by_wires[part.id] or _by_loads(net, part.id, by_wires)


def _by_wires(net: _Net, fuse_id: str) -> float:
    """Give the rating that the thinnest wire behind a fuse bears; 0 where the size of none is known."""
    area_mm2 = net.behind.get(fuse_id, _NOTHING).least_mm2
    return 0.0 if math.isinf(area_mm2) else rating_borne(wire_bears_amps(area_mm2))


def _by_loads(net: _Net, fuse_id: str, by_wires: Mapping[str, float]) -> float:
    """Give the rating that carries the loads behind a fuse, and is not under those of the fuses there."""
    behind = [net.parts[name] for name in _all_behind(net, fuse_id)]
    others = [by_wires.get(one.id, one.row.get("amps")) for one in behind if one.kind.table == "fuses"]
    wanted_amps = sum(_load_amps(one, net.volts) for one in behind) / LASTING_SHARE
    least_amps = max(LEAST_AMPS, wanted_amps, *(float(one) for one in others if isinstance(one, int | float)))
    return next((amps for amps in standard_ratings() if amps >= least_amps), standard_ratings()[-1])


def _all_behind(net: _Net, fuse_id: str) -> tuple[str, ...]:
    """Name the parts behind a fuse, those behind the fuses there too."""
    found: dict[str, None] = {}
    followed = [fuse_id]
    for one in followed:  # grows as fuses are found
        piece = net.behind.get(one, _NOTHING)
        fed = [*piece.ends, *(name for bar in piece.bars for name in net.on_bar.get(bar, ()))]
        new = [name for name in fed if name in net.parts and name not in found and name != fuse_id]
        found.update(dict.fromkeys(new))
        fuses = [name for name in new if net.parts[name].kind.table == "fuses"]
        followed += fuses[: max(_FUSES_FOLLOWED - len(followed), 0)]
    return tuple(found)


def _net(book: PartsBook, wires: Iterable[Row], nominal_volts: float) -> _Net:
    joints = [part.row for part in book.parts.values() if part.kind.table == "joints"]
    joins = [
        (str(row["from"]), str(row["to"]), row)
        for row in (*wires, *joints)
        if isinstance(row.get("from"), str) and isinstance(row.get("to"), str)
    ]
    of_point = _pieces(book, joins)
    on_bar: dict[str, list[str]] = {}
    behind: dict[str, _Piece] = {}
    for part in book.parts.values():
        if part.kind.table == "fuses":
            on_bar.setdefault(str(part.row.get("bus")), []).append(part.id)
            behind[part.id] = of_point.get(f"{part.id}.out", _NOTHING)
    return _Net(book.parts, nominal_volts, behind, on_bar)


def _pieces(book: PartsBook, joins: Sequence[Join]) -> dict[str, _Piece]:
    """Give the piece of each point that current goes on from."""
    passing = dict.fromkeys(point for one, other, _ in joins for point in (one, other) if _passes(book, point))
    root = _roots(book, passing, joins)
    pieces = {point: _Piece() for point in dict.fromkeys(root.values())}
    for one, other, row in joins:
        for point, far in ((one, other), (other, one)):
            if point in root:
                piece = pieces[root[point]]
                piece.least_mm2 = min(piece.least_mm2, _area_mm2(row))
                if far not in root:
                    piece.ends[_part_of(far)] = None
    for point in passing:
        if book.parts[_part_of(point)].kind.table == "busbars":
            pieces[root[point]].bars[_part_of(point)] = None
    return {point: pieces[root[point]] for point in passing}


def _roots(book: PartsBook, passing: Mapping[str, None], joins: Iterable[Join]) -> dict[str, str]:
    """Map each point that current goes on from onto one that stands for its piece."""
    inside: dict[str, str] = {}
    pairs: list[tuple[str, str]] = []
    for point in passing:
        part_id = _part_of(point)
        is_plug = book.parts[part_id].kind.table == "connectors"
        joined = f"{part_id}.{point.rpartition('.')[2]}" if is_plug else part_id
        pairs.append((inside.setdefault(joined, point), point))
    pairs += [(one, other) for one, other, _ in joins if one in passing and other in passing]
    return stand_ins(pairs, passing)


def _part_of(point: str) -> str:
    return point.partition(".")[0]


def _passes(book: PartsBook, point: str) -> bool:
    """Tell whether current that comes to a point goes on from there: at a plug, a contact, a bar, behind a fuse."""
    part = book.parts.get(_part_of(point))
    if part is None:
        return False
    terminal = point.rpartition(".")[2]
    if part.kind.table == "fuses":
        return terminal == "out"
    return part.kind.table in _PASSING and not (part.kind.table == "relays" and terminal in _COILS)


def _area_mm2(row: Row) -> float:
    """Give the area of a wire; infinite where its size is not known or cannot be read."""
    size = row.get("size")
    try:
        return parse_size(size).area_mm2 if isinstance(size, str | int | float) else math.inf
    except (FusewalkError, ValueError):
        return math.inf


def _load_amps(part: FoundPart, volts: float) -> float:
    """Give what a load or control unit takes by its row, all its elements and feeds at once; 0 of any other part."""
    if part.kind.table not in ("loads", "modules"):
        return 0.0
    inner = [one for key in ("elements", "feeds") for one in _rows(part.row.get(key))]
    return sum(_amps(row, volts) for row in (part.row, *inner))


def _rows(listed: object) -> list[Row]:
    return [one for one in listed if isinstance(one, dict)] if isinstance(listed, list) else []


def _amps(row: Row, volts: float) -> float:
    amps, watts = row.get("amps"), row.get("watts")
    if isinstance(amps, int | float):
        return float(amps)
    return float(watts) / volts if isinstance(watts, int | float) else 0.0
