"""A place that cannot be reached: what is asked next lies elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.asking import Question, Skip
from model.tracing.complaint import Complaint
from model.tracing.out_of_reach import place_to_reach
from model.tracing.trace import Trace


@pytest.mark.slow
def test_no_place_is_asked_for_again() -> None:
    """Each check that cannot be reached in a listed place takes the place with it: four skips name four places."""
    buggy = read_harness(Path(__file__).parents[3] / "demo_builds" / "trail_buggy.toml")
    trace = Trace(Bench(buggy), Complaint(("M2:load",)))
    places = []
    for _ in range(4):
        asked = trace.next()
        assert isinstance(asked, Question)
        places.append(place_to_reach(buggy, asked.check))
        trace.reply(Skip())
    named = [place for place in places if place]
    assert len(named) >= 2
    assert len(set(named)) == len(named)
