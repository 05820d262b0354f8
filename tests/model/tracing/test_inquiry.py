"""What is solved ahead while a check is made."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing import inquiry as module
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import CheckKind, Word, seen
from model.tracing.complaint import Complaint
from model.tracing.inquiry import END_CIRCUITS, FIRST_CIRCUITS, LEADS_SHARE, MORE_CIRCUITS, open_inquiry

DEMOS = Path(__file__).parents[3] / "demo_builds"


def test_more_is_solved_ahead_where_a_trace_nears_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four circuits more than are looked at by now, and where one hypothesis leads eight more."""
    inquiry = open_inquiry(Bench(read_harness(DEMOS / "trail_buggy.toml")), Complaint(("E1:dip",)))
    ahead: list[int] = []
    monkeypatch.setattr(module, "_options", lambda _foresight, _known, _checks, places: ahead.append(len(places)))
    look = next(one for one in inquiry.checks if one.kind is CheckKind.LOOK and one.part.startswith("F"))
    open_belief = Belief(inquiry.foresight, [], {})
    near_its_end = Belief(inquiry.foresight, [Evidence(look, seen(Word.BAD))] * 4, {})
    assert open_belief.hypotheses().max() < LEADS_SHARE <= near_its_end.hypotheses().max()
    inquiry.prepare(open_belief, 0)
    inquiry.prepare(near_its_end, 0)
    counts = [FIRST_CIRCUITS + MORE_CIRCUITS, FIRST_CIRCUITS + MORE_CIRCUITS + END_CIRCUITS]
    assert ahead == [sum(len(circuit) for circuit in inquiry.circuits[:count]) for count in counts]
    assert len(inquiry.circuits) >= counts[-1]
