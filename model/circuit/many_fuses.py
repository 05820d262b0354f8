"""Fuses of many variants opened one at a time, and what may end otherwise."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_base import Base
from model.circuit.many_layout import Rows
from model.circuit.many_rest import Ends, bring_to_rest, empty_ends
from model.circuit.many_solve import Ports
from model.circuit.settle import FUSE_OPENS_AT, UNCERTAIN_HOLD_SHARE, UNCERTAIN_PULL_SHARE
from model.circuit.uncertain import CASES_AT_MOST, FUSE_MAY_HOLD_TO, FUSE_MAY_OPEN_AT

_RATIO_DIGITS = 9


@dataclass
class Found:
    """Variants at rest, and the further cases of those whose end is uncertain behind them.

    Attributes
    ----------
    variant, share
        Shape (cases,).
    """

    rows: Rows
    ends: Ends
    variant: IntArray
    share: FloatArray


def settle_rows(base: Base, rows: Rows, ends: Ends) -> None:
    """Bring rows to rest and open their fuses one at a time, the largest ratio of current to rating first."""
    active = np.arange(len(rows))
    while len(active):
        bring_to_rest(base, rows, ends, active)
        amps = np.abs(ends.volts[active][:, base.watch.fuses] * rows.fuse_siemens[active])
        ratio = amps / rows.fuse_amps[active]
        ends.ratio[active] = np.where(ends.blown[active], ends.ratio[active], ratio)
        over = (ratio > FUSE_OPENS_AT) & ~ends.odd[active][:, None]
        opens = np.flatnonzero(over.any(axis=1))
        if not len(opens):
            return
        worst = _worst(np.where(over, ratio, 0.0)[opens], rows.fuse_amps[active[opens]])
        active = active[opens]
        rows.fuse_siemens[active, worst] = 0.0
        ends.blown[active, worst] = True
        first = ends.first_blown[active]
        ends.first_blown[active] = np.where(first < 0, worst, first)


def _worst(ratio: FloatArray, ratings: FloatArray) -> IntArray:
    """Pick the fuse of each row that opens: the largest ratio, of equal ones the smaller rating."""
    rounded = np.round(ratio, _RATIO_DIGITS)
    largest = rounded == rounded.max(axis=1, initial=0.0)[:, None]
    return np.asarray(np.argmin(np.where(largest, ratings, np.inf), axis=1), dtype=np.int64)


def settle_variants(base: Base, rows: Rows, is_sound: BoolArray) -> Found:
    """Bring all variants to rest, and those that may end otherwise once more for each such end.

    Parameters
    ----------
    is_sound
        Shape (rows,), true of those without a fault, which are not taken twice. The last row is the sound circuit.
    """
    count = len(rows)
    given = rows.taken(np.arange(count))
    ends = empty_ends(base, count)
    settle_rows(base, rows, ends)
    parent, kind, thing = _otherwise(base, rows, ends, is_sound)
    more = given.taken(parent)
    more_ends = empty_ends(base, len(parent))
    each = np.arange(len(parent))
    for on, name in enumerate(("rests", "pulls")):
        which = each[kind == name]
        more.pinned[which, thing[which]] = on
    which = each[kind == "holds"]
    more.fuse_amps[which, thing[which]] = np.inf
    which = each[kind == "blows"]
    more.fuse_siemens[which, thing[which]] = 0.0
    more_ends.blown[which, thing[which]] = True
    settle_rows(base, more, more_ends)
    variant = np.concatenate((np.arange(count), parent))
    share = 1.0 / np.bincount(variant, minlength=count)[variant]
    return Found(_joined_rows(rows, more, count), _joined_ends(ends, more_ends), variant, share)


def _otherwise(base: Base, rows: Rows, ends: Ends, is_sound: BoolArray) -> tuple[IntArray, np.ndarray, IntArray]:
    """List which row may end otherwise by which relay or fuse: its row, how, and which mover or fuse."""
    nominal_volts = base.circuit.net.harness.build.nominal_volts
    on, most = ends.states, ends.most
    nearly = ~on & (most >= UNCERTAIN_PULL_SHARE * base.on_volts) & (most < base.on_volts)
    barely = on & (most < UNCERTAIN_HOLD_SHARE * nominal_volts)
    ratio = np.where(ends.blown, 0.0, ends.ratio)
    whole = (ratio >= FUSE_MAY_OPEN_AT) & (ratio <= FUSE_MAY_HOLD_TO)
    first = np.zeros_like(whole)
    blew = np.flatnonzero(ends.first_blown >= 0)
    first[blew, ends.first_blown[blew]] = ends.ratio[blew, ends.first_blown[blew]] <= FUSE_MAY_HOLD_TO
    lists: list[tuple[int, str, int]] = []
    for kind, table in (("pulls", nearly & base.is_relay), ("rests", barely & base.is_relay), ("blows", whole)):
        lists += _listed(table, kind, ends.odd | is_sound)
    lists += _listed(first, "holds", ends.odd | is_sound)
    lists.sort(key=lambda one: one[0])
    taken: list[tuple[int, str, int]] = []
    nth: dict[int, int] = {}
    for one in lists:
        nth[one[0]] = nth.get(one[0], 0) + 1
        if nth[one[0]] < CASES_AT_MOST:
            taken.append(one)
    return (
        np.array([one[0] for one in taken], dtype=np.int64),
        np.array([one[1] for one in taken], dtype=np.str_),
        np.array([one[2] for one in taken], dtype=np.int64),
    )


def _listed(table: BoolArray, kind: str, skipped: BoolArray) -> list[tuple[int, str, int]]:
    """List what is uncertain in the rows that may have several cases, but for what is so in the sound circuit."""
    row, thing = np.nonzero(table & ~table[-1] & ~skipped[:, None])
    return [(r, kind, t) for r, t in zip(row.tolist(), thing.tolist(), strict=True)]


def _joined_rows(rows: Rows, more: Rows, count: int) -> Rows:
    parts = [np.concatenate((getattr(rows, one.name), getattr(more, one.name))) for one in fields(Rows)[1:]]
    return Rows(np.concatenate((rows.fixed_row, more.fixed_row + count)), *parts)


def _joined_ends(ends: Ends, more: Ends) -> Ends:
    names = [one.name for one in fields(Ends) if one.name != "ports"]
    joined = {name: np.concatenate((getattr(ends, name), getattr(more, name))) for name in names}
    ports = [np.concatenate((getattr(ends.ports, one.name), getattr(more.ports, one.name))) for one in fields(Ports)]
    return Ends(ports=Ports(*ports), **joined)
