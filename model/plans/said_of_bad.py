"""What may be behind a reading that is bad, in words: said where the row is answered."""

from __future__ import annotations

from model.harness.harness import Harness
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Plan, PlanKind, PlanRow
from model.tracing.names import site_place
from model.words import plural

NAMED_AT_MOST = 3
"""So many suspects are named; judgement."""

_WIRES_AT_MOST = 6


def suspects_words(harness: Harness, plan: Plan, row: PlanRow, taken: Taken) -> tuple[str, ...]:
    """Name the faults that fit a bad reading of an insulation row, or say what to do next about one of a draw.

    Parameters
    ----------
    taken
        The answer; one that is not bad has no suspects, nor of insulation has one without a value.

    Returns
    -------
    tuple of str
        Full sentences: of insulation three faults at most, the nearest first with where each is, and how many fit
        besides; of a draw what to take apart. Empty of every other plan.
    """
    if plan.kind is not PlanKind.DRAW and (plan.kind is not PlanKind.INSULATION or taken.value is None):
        return ()
    if judge(row, taken).standing is not Standing.BAD:
        return ()
    if plan.kind is PlanKind.DRAW or taken.value is None:
        from model.plans.draw_next import said_of_row

        return said_of_row(harness, plan, row)
    # only a bad reading pays for the solving
    from model.plans.insulation_suspects import suspects_of

    suspects = suspects_of(harness, row, taken.value)
    if not suspects:
        return (_poor_touch(row),)
    named = [f"{suspect.words.rstrip('.')}; {site_place(harness, suspect.site)}." for suspect in suspects]
    more = len(suspects) - NAMED_AT_MOST
    return (*named[:NAMED_AT_MOST], *([f"{plural(more, 'more fault')} would read about the same."] if more > 0 else []))


def _poor_touch(row: PlanRow) -> str:
    """Say what is left where no dead short reads as was read: a touch with ohms of its own."""
    wires = " ".join(row.covers[:_WIRES_AT_MOST]) + (" …" if len(row.covers) > _WIRES_AT_MOST else "")
    touch = f"a poor touch of {wires} to the body" if wires else "a poor touch to the body"
    return f"No dead short reads so: {touch}, damp or dirt, a part that is not as in the file, or several at once."
