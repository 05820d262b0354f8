"""Which suspects are mended by the same work, so that nothing need tell them apart."""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.faults import part_of_site
from model.harness.harness import Harness
from model.harness.records import Wire
from model.tracing.belief import Belief, groups_of
from model.tracing.suspects import Hypothesis


def works_of(belief: Belief) -> tuple[IntArray, tuple[str, ...]]:
    """Give the number of each hypothesis's work, shape (hypotheses,), and the name of each work.

    Notes
    -----
    A work is a repair, but for wires: whatever is wrong with one, its repair begins by following it and looking at both
    its ends, which shows what it is. All faults of one wire are one work, named as the wire is.
    """
    field = belief.field
    harness = belief.foresight.bench.harness
    rows, repairs = groups_of(field)
    named = {one.repair: _work_of(harness, one) for one in field.hypotheses}
    each = [named[repair] for repair in repairs]
    names = tuple(dict.fromkeys(each))
    number = {name: place for place, name in enumerate(names)}
    of_repairs = np.array([number[name] for name in each], dtype=np.int64)
    found = np.zeros(len(field.hypotheses), dtype=np.int64)
    found[field.owner] = of_repairs[rows]
    return found, names


def _work_of(harness: Harness, hypothesis: Hypothesis) -> str:
    part_id = part_of_site(hypothesis.site)
    is_wire = not hypothesis.is_pair and isinstance(harness.parts.get(part_id), Wire)
    return part_id if is_wire else hypothesis.repair
