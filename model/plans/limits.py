"""The limits that plans judge by: looked up by name, each with its unit and where it is from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from model.plans.plan import Limit
from model.tables import Row, SourceKind, cell_figure, table_rows

COMPUTED = "computed"
"""The source of a limit that no table has: worked out from the file."""

_KEPT = (
    "ground path, battery to frame",
    "battery post to clamp",
    "small-wire connection",
    "high-current connection",
    "switch or solenoid contact",
    "connection",
    "switch",
    "relay contact",
    "any cranking path",
)
"""Rows of the table of drops that stay as they are at other nominal volts: joints, contacts, what goes with amperes."""


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit as a table has it.

    Attributes
    ----------
    quantity
        What is measured, and between what.
    nominal_volts
        Of the vehicles that it was given for; None where it holds for all.
    low, high
        Least and most in `unit`; None where that side has no limit.
    grows
        True where it goes with the nominal volts: those of sources and leads do, those of joints and contacts do not.
    """

    name: str
    quantity: str
    nominal_volts: float | None
    condition: str
    low: float | None
    high: float | None
    unit: str
    source: str
    source_kind: SourceKind
    grows: bool


@cache
def _rows() -> tuple[LimitRow, ...]:
    own = tuple(_of_proof(row) for row in table_rows("proof_limits"))
    return own + tuple(_of_drop(row) for row in table_rows("drop_limits"))


def _of_proof(row: Row) -> LimitRow:
    return LimitRow(
        row["name"], row["quantity"], cell_figure(row["nominal_volts"]), row["condition"], cell_figure(row["low"]),
        cell_figure(row["high"]), row["unit"], row["source"], SourceKind(row["source_kind"]), row["grows"] == "yes",
    )  # fmt: skip


def _of_drop(row: Row) -> LimitRow:
    return LimitRow(
        row["part"], row["part"], cell_figure(row["nominal_volts"]), row["condition"], None, cell_figure(row["limit"]),
        row["unit"], row["source"], SourceKind(row["source_kind"]), row["part"] not in _KEPT,
    )  # fmt: skip


def limit_rows(name: str) -> tuple[LimitRow, ...]:
    """Give every row of a name: of the limits of plans, then of the drops under load.

    Parameters
    ----------
    name
        ``name`` of ``proof_limits``, or ``part`` of ``drop_limits``.
    """
    return tuple(row for row in _rows() if row.name == name)


def limit_of(name: str, nominal_volts: float = 12.0) -> LimitRow:
    """Look a limit up for a vehicle of some nominal volts.

    The row for just these volts goes first, then one for all, then the first for others. That one is taken in
    proportion where it grows with the volts, else kept: what is printed for other volts is a judgement either way.

    Raises
    ------
    KeyError
        Where no table has the name.
    """
    rows = limit_rows(name)
    for wanted in (nominal_volts, None):
        found = next((row for row in rows if row.nominal_volts == wanted), None)
        if found is not None:
            return found
    if not rows:
        raise KeyError(name)
    return scaled(rows[0], nominal_volts)


def scaled(row: LimitRow, nominal_volts: float) -> LimitRow:
    """Take a limit to other nominal volts: that of a source or lead goes with them, that of a joint is kept.

    A published one is a judgement then, and its source says for which volts it was given.
    """
    given = row.nominal_volts
    if given is None or given == nominal_volts:
        return row
    if not row.grows and row.source_kind is not SourceKind.PUBLISHED:
        return row
    share = nominal_volts / given if row.grows else 1.0
    low = None if row.low is None else row.low * share
    high = None if row.high is None else row.high * share
    how = "taken in proportion" if row.grows else "kept"
    source = f"{row.source}, given for {given:g} V and {how} for {nominal_volts:g} V"
    return replace(
        row, nominal_volts=nominal_volts, low=low, high=high, source=source, source_kind=SourceKind.JUDGEMENT
    )


def as_limit(row: LimitRow, computed_from: str = "", *, factor: float = 1.0) -> Limit:
    """Give a row of the table as the limit of a row of a plan.

    Parameters
    ----------
    factor
        What the table's figure is multiplied by to come into the unit of the row: 1000 x 5 A from ohms to millivolts.
    """
    low = None if row.low is None else row.low * factor
    high = None if row.high is None else row.high * factor
    return Limit(low, high, row.source, row.source_kind, computed_from)


def high_of(name: str, nominal_volts: float = 12.0) -> float:
    """Give the most that a limit permits, in the unit of its row.

    Raises
    ------
    KeyError
        Where no table has the name, or it has no such side.
    """
    return _side(name, limit_of(name, nominal_volts).high)


def low_of(name: str, nominal_volts: float = 12.0) -> float:
    """Give the least that a limit permits, in the unit of its row.

    Raises
    ------
    KeyError
        Where no table has the name, or it has no such side.
    """
    return _side(name, limit_of(name, nominal_volts).low)


def _side(name: str, figure: float | None) -> float:
    if figure is None:
        raise KeyError(name)
    return figure


def meter_error_ohms(ohms: float) -> float:
    """Give what a meter on ohms may be off by at a reading: 0.2 Ω and 0.8 % of it."""
    return high_of("ohmmeter digits") + high_of("ohmmeter share") / 100.0 * ohms
