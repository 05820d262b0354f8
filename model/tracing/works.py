"""Which suspects are mended by the same work, so that nothing need tell them apart."""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.faults import part_of_site
from model.harness.harness import Harness
from model.harness.records import Wire
from model.tracing.belief import Belief, Evidence, groups_of
from model.tracing.checks import CheckKind, Word
from model.tracing.suspects import Hypothesis


def works_of(belief: Belief) -> tuple[IntArray, tuple[str, ...]]:
    """Give the number of each hypothesis's work, shape (hypotheses,), and the name of each work.

    Notes
    -----
    A work is a repair, but for wires: whatever is wrong with one, its repair begins by following it and looking at both
    its ends, which shows what it is. All faults of one wire are one work, named as the wire is. Where another relay in
    its place has cured the complaint, relay and socket are one work.
    """
    field = belief.field
    harness = belief.foresight.bench.harness
    rows, repairs = groups_of(field)
    cured = cured_by_swap(belief)
    named = {one.repair: _work_of(harness, one, cured) for one in field.hypotheses}
    each = [named[repair] for repair in repairs]
    names = tuple(dict.fromkeys(each))
    number = {name: place for place, name in enumerate(names)}
    of_repairs = np.array([number[name] for name in each], dtype=np.int64)
    found = np.zeros(len(field.hypotheses), dtype=np.int64)
    found[field.owner] = of_repairs[rows]
    return found, names


def cured_by_swap(belief: Belief) -> frozenset[str]:
    """Name the relays in whose place another one has cured the complaint."""
    return frozenset(one.check.part for one in belief.answers if is_cure(one))


def is_cure(one: Evidence) -> bool:
    """Tell whether an answer is that the complaint is gone with another relay in: no slip of a probe."""
    return one.check.kind is CheckKind.SWAP and one.outcome.word is Word.CURED


def _work_of(harness: Harness, hypothesis: Hypothesis, cured: frozenset[str]) -> str:
    part_id = part_of_site(hypothesis.site)
    if hypothesis.is_pair:
        return hypothesis.repair
    if part_id in cured:
        return f"relay {part_id}"
    return part_id if isinstance(harness.parts.get(part_id), Wire) else hypothesis.repair
