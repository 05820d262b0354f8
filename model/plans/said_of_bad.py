"""What may be behind a reading that is bad, in words: said where the row is answered."""

from __future__ import annotations

from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.plans.judging import Standing, Taken, judge
from model.plans.limits import high_of, limit_of, low_of
from model.plans.plan import Plan, PlanKind, PlanRow
from model.tracing.names import site_place
from model.words import ohms_text, plural

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
        return (_by_its_size(harness, row, taken.value),)
    named = [f"{suspect.words.rstrip('.')}; {site_place(harness, suspect.site)}." for suspect in suspects]
    more = len(suspects) - NAMED_AT_MOST
    return (*named[:NAMED_AT_MOST], *([f"{plural(more, 'more fault')} would read about the same."] if more > 0 else []))


def _by_its_size(harness: Harness, row: PlanRow, ohms: float) -> str:
    """Say what ohms between a feed and ground tell by their size alone, where no single fault of the file reads so."""
    dead_ohms, damp_ohms = high_of("dead short"), low_of("damp or dirt")
    source, metal = limit_of("dead short").source_kind, _metal_words(harness, row)
    if ohms < dead_ohms:
        return (
            f"Under {ohms_text(dead_ohms)} is as good as a dead short ({source}): {metal} touching ground, or a part "
            "plugged in that the file does not have. No power on it before that is found."
        )
    if ohms < damp_ohms:
        return (
            f"From {ohms_text(dead_ohms)} up to {ohms_text(damp_ohms)} it is no dead short ({source}): a load or a "
            f"control unit beside it that the file does not have, or a poor touch of {metal} to ground."
        )
    return (
        f"From {ohms_text(damp_ohms)} on it is damp or dirt ({source}), in a plug, at the fuse or along {metal}; or a "
        "control unit left plugged in."
    )


def _metal_words(harness: Harness, row: PlanRow) -> str:
    """Name the metal that a row proves against ground: its wires, or what is behind the fuse that was fitted."""
    if row.covers and isinstance(harness.parts.get(row.covers[-1]), Fuse):
        return f"a wire behind {row.covers[-1]}"
    wires = " ".join(row.covers[:_WIRES_AT_MOST]) + (" …" if len(row.covers) > _WIRES_AT_MOST else "")
    return wires or "its metal"
