"""Bad rows of the plans before one: said where the next would put power on."""

from __future__ import annotations

from collections.abc import Mapping

from model.plans.judging import Standing
from model.plans.kept import counts
from model.plans.plan import LoomState, Plan, PlanKind
from model.record_entries import Measured, TakenBack
from model.words import plural
from tui.plan_keeper import PlanKeeper
from tui.plan_making import PlansMade

POWERED = frozenset({PlanKind.FIRST_POWER, PlanKind.LOADS, PlanKind.CRANK_AND_CHARGE})
"""Plans that are measured with power on."""

_KINDS = list(PlanKind)


def earlier_bad(made: PlansMade, keeper: PlanKeeper, kind: PlanKind) -> dict[PlanKind, int]:
    """Count the bad rows of each plan that comes before one; it judges every row and belongs in a thread.

    Returns
    -------
    dict of PlanKind to int
        Plans without a bad row are left out; those of continuity are of every state of the loom.
    """
    found = {one: _bad_rows(made, keeper, one) for one in _KINDS[: _KINDS.index(kind)]}
    return {one: count for one, count in found.items() if count}


def _bad_rows(made: PlansMade, keeper: PlanKeeper, kind: PlanKind) -> int:
    states = list(LoomState) if kind is PlanKind.CONTINUITY else [None]
    return sum(_bad_in(made, keeper, kind, state) for state in states)


def _bad_in(made: PlansMade, keeper: PlanKeeper, kind: PlanKind, state: LoomState | None) -> int:
    """Count by the limits of the plan; of one that has not been made by the verdicts of their day."""
    plan = made.kept(kind, state or LoomState.APART)
    if isinstance(plan, Plan):
        return counts(plan, keeper.answers(plan))[Standing.BAD]
    last: dict[str, str] = {}
    for entry in keeper.entries:
        if isinstance(entry, Measured | TakenBack) and (entry.plan, entry.state) == (str(kind), str(state or "")):
            last[entry.row] = entry.verdict if isinstance(entry, Measured) else ""
    return sum(verdict == Standing.BAD for verdict in last.values())


def earlier_words(bad: Mapping[PlanKind, int]) -> str:
    """Say which plans have bad rows and what must wait for them; empty where none has."""
    if not bad:
        return ""
    first, *rest = bad.items()
    said = [f"{first[0]} has {plural(first[1], 'bad row')}", *(f"{kind} {count}" for kind, count in rest)]
    it_is = "it is" if sum(bad.values()) == 1 else "they are"
    waits = "do not crank" if set(bad) == {PlanKind.LOADS} else "put no power on"
    return f"{', '.join(said)}: {waits} before {it_is} mended."


def own_words(kind: PlanKind, count: int) -> str:
    """Say in first power that nothing more is fitted while one of its rows is bad; empty of every other plan."""
    if kind is not PlanKind.FIRST_POWER or not count:
        return ""
    it_is = "it is" if count == 1 else "they are"
    return f"{plural(count, 'row')} here {'is' if count == 1 else 'are'} bad: fit nothing more before {it_is} mended."
