"""What is set aside and what is suspect along a walk."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

import numpy as np

from model.circuit.faults import part_of_site
from model.tracing.belief import Belief

_SUSPECT_SHARE = 0.01
_ASIDE_SHARE = 0.005
_FELL_TO = 0.25


class Mark(StrEnum):
    """How a part of the walk stands."""

    SET_ASIDE = "set aside"
    SUSPECT = "suspect"


def marks_of(belief: Belief) -> Mapping[str, Mark]:
    """Mark the sites of all hypotheses, and their parts: suspect, or set aside by the answers so far.

    Nothing is marked set aside before an answer has spoken for it.
    """
    field = belief.field
    now = belief.hypotheses()
    first = field.by_hypothesis(field.weights)
    shares: dict[str, tuple[float, float]] = {}
    for place, one in enumerate(field.hypotheses):
        for name in dict.fromkeys((one.site, part_of_site(one.site))):
            before, after = shares.get(name, (0.0, 0.0))
            shares[name] = before + float(first[place]), after + float(now[place])
    marks: dict[str, Mark] = {}
    for name, (before, after) in shares.items():
        if after >= _SUSPECT_SHARE:
            marks[name] = Mark.SUSPECT
        elif after < _ASIDE_SHARE and after < _FELL_TO * before:
            marks[name] = Mark.SET_ASIDE
    marks.pop("", None)
    return marks


def suspects_left(shares: np.ndarray, least: float = _ASIDE_SHARE) -> int:
    """Count the hypotheses that are still in play."""
    return int((shares >= least).sum())
