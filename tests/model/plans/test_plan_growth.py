"""Making a plan does not work through the whole loom anew for each of its rows: what is done is counted, not timed."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from model import cautions
from model.circuit.few_nodes import Driven, FewNodes
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.plans.continuity import continuity_plan
from model.plans.exchanged import exchanges
from model.plans.plan import LoomState
from model.tracing.reached import ClosedMetal
from tests.benchmarks.looms import loom_text

LARGE, SMALL = 600, 150


@cache
def loom(wires: int) -> Harness:
    """Generate a loom."""
    return read_harness_text(loom_text(wires), f"{wires} wires")


def counted(monkeypatch: pytest.MonkeyPatch, of: type, name: str) -> Counter[str]:
    """Count the calls of a method."""
    calls: Counter[str] = Counter()
    plain = getattr(of, name)

    def counting(*args: object, **named: object) -> object:
        calls[name] += 1
        return plain(*args, **named)

    monkeypatch.setattr(of, name, counting)
    return calls


def test_few_exchanges_are_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """With all mated a network is prepared for what stands apart, and for hardly one exchange in ten."""
    calls = counted(monkeypatch, FewNodes, "__init__")
    rows = continuity_plan(loom(LARGE), LoomState.MATED).rows
    apart = len({row.condition for row in rows})
    assert calls["__init__"] <= 1 + apart + len(exchanges(loom(LARGE))) / 10


def test_rows_look_up_no_more_volts_in_a_larger_loom(monkeypatch: pytest.MonkeyPatch) -> None:
    """With four times the wires a row asks for hardly more volts, though far more stands apart when it is read."""
    calls = counted(monkeypatch, Driven, "between")
    a_row = []
    for wires in (SMALL, LARGE):
        calls.clear()
        rows = continuity_plan(loom(wires), LoomState.MATED).rows
        a_row.append(calls["between"] / len(rows))
    assert a_row[1] < 1.5 * a_row[0]


def test_what_is_set_is_looked_through_once_for_a_condition(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether a control unit is unplugged is asked for each thing that is set in each condition, not in each row."""
    asked = 0
    plain = cautions.unplugs_module

    def counting(harness: Harness, name: str, value: str) -> bool:
        nonlocal asked
        asked += 1
        return plain(harness, name, value)

    monkeypatch.setattr(cautions, "unplugs_module", counting)
    rows = continuity_plan(loom(LARGE), LoomState.MATED).rows
    supplies = len(loom(LARGE).batteries) + len(loom(LARGE).chargers)
    assert 0 < asked <= sum(len(settings) + supplies for settings in {row.condition.settings for row in rows})


def test_what_hangs_together_is_followed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Closed metal is followed for control units once for all that hangs together, not for each row."""
    calls = counted(monkeypatch, ClosedMetal, "from_points")
    rows = continuity_plan(loom(LARGE), LoomState.MATED).rows
    assert 0 < calls["from_points"] < len(rows) / 2
