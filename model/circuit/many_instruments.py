"""A meter or a lamp between two points where it is more than a load on a source: it wakes what carries one way."""

from __future__ import annotations

from copy import copy
from dataclasses import replace

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_base import Base
from model.circuit.many_layout import Rows
from model.circuit.many_ports import relax_rows
from model.circuit.many_solve import entries_of, solve_entries
from model.circuit.many_stage import TIE_OHMS
from model.circuit.many_told import Told
from model.circuit.netlist import METER_OHMS
from model.circuit.relax import COLD_SHARE, LAMP_EXPONENT

_HALVINGS = 40
_LAMP_STEPS = 12
_LEAST_OHMS = 1e-9
_LEAST_SIEMENS = 1e-12
_STIFF_VOLTS = 0.02
_LIT_AT_FIRST = 0.3
_FLOATING_SHARE = 3.0 * METER_OHMS / TIE_OHMS


def meter_volts_about(told: Told, ends: tuple[int, int]) -> FloatArray:
    """Give what a meter of 10 MΩ reads between two kept nodes were it to wake nothing, shape (cases,)."""
    pair = told.pair(*ends)
    return np.where(pair.floats, 0.0, pair.volts / (1.0 + pair.ohms / METER_OHMS))


def lamp_volts_about(told: Told, ends: tuple[int, int], watts: float, nominal_volts: float) -> FloatArray:
    """Give the volts across a lamp between two kept nodes by the volts and ohms there without it, shape (cases,)."""
    pair = told.pair(*ends)
    return np.where(pair.floats, 0.0, _lamp_behind(np.abs(pair.volts), pair.ohms, watts, nominal_volts))


def meter_volts(told: Told, rows: Rows, states: BoolArray, ends: tuple[int, int]) -> FloatArray:
    """Give what a meter of 10 MΩ reads between two kept nodes, shape (cases,)."""
    pair = told.pair(*ends)
    read = np.where(pair.floats, 0.0, pair.volts / (1.0 + pair.ohms / METER_OHMS))
    wakes = np.flatnonzero(pair.wakes)
    if len(wakes):
        siemens = np.full(len(wakes), 1.0 / METER_OHMS)
        volts, _ = _with_branch(told, rows.taken(wakes), states[wakes], ends, siemens)
        still_floats = np.abs(volts) < _FLOATING_SHARE * np.abs(pair.volts[wakes])
        read[wakes] = np.where(still_floats, 0.0, volts)
    return np.asarray(read, dtype=np.float64)


def lamp_volts(
    told: Told, rows: Rows, states: BoolArray, ends: tuple[int, int], watts: float, nominal_volts: float
) -> FloatArray:
    """Give the volts across a lamp of some watts at nominal volts between two kept nodes, shape (cases,).

    Notes
    -----
    Where the lamp drags its source down the circuit is brought to rest with the lamp's ohms in it, and the lamp told
    anew from the source that this shows, until the two agree.
    """
    pair = told.pair(*ends)
    open_volts = np.abs(pair.volts)
    across = np.where(pair.floats, 0.0, _lamp_behind(open_volts, pair.ohms, watts, nominal_volts))
    amps = across * _lamp_siemens(across, watts, nominal_volts) * np.sign(pair.volts)
    turned = told.turns(*ends, amps) | pair.wakes
    some = np.flatnonzero((~pair.floats & (open_volts - across > _STIFF_VOLTS)) | turned)
    if not len(some):
        return across
    taken, now = rows.taken(some), states[some]
    volts = np.maximum(across[some], np.where(pair.wakes[some], _LIT_AT_FIRST * nominal_volts, 0.0))
    for _ in range(_LAMP_STEPS):
        siemens = _lamp_siemens(volts, watts, nominal_volts)
        seen, ohms = _with_branch(told, taken, now, ends, siemens)
        source_ohms = 1.0 / np.maximum(1.0 / np.maximum(ohms, _LEAST_OHMS) - siemens, _LEAST_SIEMENS)
        stiff = _lamp_behind(np.abs(seen) * (1.0 + siemens * source_ohms), source_ohms, watts, nominal_volts)
        before, volts = volts, np.where(turned[some], np.abs(seen), stiff)
        if np.abs(volts - before).max() < _STIFF_VOLTS / 10.0:
            break
    across[some] = volts
    return across


def _lamp_siemens(volts: FloatArray, watts: float, nominal_volts: float) -> FloatArray:
    knee_volts = nominal_volts * COLD_SHARE ** (1.0 / (1.0 - LAMP_EXPONENT))
    share = (np.maximum(volts, knee_volts) / nominal_volts) ** (LAMP_EXPONENT - 1.0)
    return np.asarray(watts / nominal_volts**2 * share, dtype=np.float64)


def _lamp_behind(source_volts: FloatArray, source_ohms: FloatArray, watts: float, nominal_volts: float) -> FloatArray:
    """Give the volts across a filament behind a source, by halving: its current rises with its volts."""
    low, high = np.zeros_like(source_volts), source_volts.copy()
    for _ in range(_HALVINGS):
        volts = (low + high) / 2.0
        too_high = volts * (1.0 + source_ohms * _lamp_siemens(volts, watts, nominal_volts)) > source_volts
        low, high = np.where(too_high, low, volts), np.where(too_high, volts, high)
    return np.asarray((low + high) / 2.0, dtype=np.float64)


def _with_branch(
    told: Told, rows: Rows, states: BoolArray, ends: tuple[int, int], siemens: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Bring some cases to rest with a resistance between two kept nodes, their movers held.

    Returns
    -------
    tuple
        Volts across it and the ohms there with it in, shape (rows,) each.
    """
    base = _with_slot(told.base, ends)
    slot = len(told.stage.siemens)
    count = len(rows)
    order = np.argsort(np.concatenate((rows.fixed_row, np.arange(count))), kind="stable")
    more = replace(
        rows,
        fixed_row=np.concatenate((rows.fixed_row, np.arange(count)))[order],
        fixed_slot=np.concatenate((rows.fixed_slot, np.full(count, slot, dtype=np.int64)))[order],
        fixed_siemens=np.concatenate((rows.fixed_siemens, siemens))[order],
    )
    rest = relax_rows(base, -1, more, states, keeps_idle=True)
    entries = entries_of(base.stages[-1], base.layout, more, states, rest.ports)
    solved = solve_entries(base.stages[-1], entries)
    at = entries.slot == slot
    volts = np.zeros(count)
    volts[entries.row[at]] = solved.excess_amps[at] / siemens[entries.row[at]]
    return volts, Told(base, np.arange(count), solved).behind(*ends)[0]


def _with_slot(base: Base, ends: tuple[int, int]) -> Base:
    """Give the base with one slot more, between two kept nodes."""
    stage = copy(base.stages[-1])
    red, black = ends
    column = stage.node_column(red) - stage.node_column(black)
    stage.columns = np.column_stack((stage.columns, column))
    stage.one, stage.other = _more(stage.one, red), _more(stage.other, black)
    stage.siemens, stage.push_amps = np.append(stage.siemens, 0.0), np.append(stage.push_amps, 0.0)
    stage.loops = _more(stage.loops, -1)
    stage.only_way = np.append(stage.only_way, False)
    stage.leak = np.append(stage.leak, 1.0)
    stage.own_ohms = np.append(stage.own_ohms, column[red] - column[black])
    stage.across_volts = np.append(stage.across_volts, stage.node_volts[red] - stage.node_volts[black])
    stage.emf_volts = np.append(stage.emf_volts, 0.0)
    return Base(base.piece, base.layout, [stage])


def _more(numbers: IntArray, last: int) -> IntArray:
    return np.append(numbers, np.int64(last))
