"""Making a plan does not work through the whole loom anew for each of its rows: what is done is counted, not timed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest

from model.circuit.few_nodes import Driven, FewNodes
from model.circuit.series_lamp import read_series_lamp
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.plans.cold_settings import taken_away
from model.plans.continuity import continuity_plan
from model.plans.exchanged import exchanges
from model.plans.first_power import first_power_plan
from model.plans.insulation import insulation_plan
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


def test_rows_of_one_stand_share_one_condition() -> None:
    """What is set, and the cautions that it asks for, is made once for all rows between which nothing is moved."""
    rows = continuity_plan(loom(LARGE), LoomState.MATED).rows
    assert len({id(row.condition) for row in rows}) == len({row.condition for row in rows}) < len(rows) / 10


def test_what_hangs_together_is_followed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Closed metal is followed for control units once for all that hangs together, not for each row."""
    calls = counted(monkeypatch, ClosedMetal, "from_points")
    rows = continuity_plan(loom(LARGE), LoomState.MATED).rows
    assert 0 < calls["from_points"] < len(rows) / 2


def test_what_a_setting_takes_away_is_found_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """An insulation plan has as many conditions as rows, with most fuses out in each: no fuse is looked up twice."""
    asked: Counter[tuple[str, str]] = Counter()

    def counting(harness: Harness, branches_of: Mapping[str, list[int]], name: str, value: str) -> list[int]:
        asked[name, value] += 1
        return taken_away(harness, branches_of, name, value)

    monkeypatch.setattr("model.plans.cold_circuit.taken_away", counting)
    insulation_plan(loom(LARGE))
    assert len(asked) > len(loom(LARGE).fuses)
    assert set(asked.values()) == {1}


def test_insulation_is_read_without_the_volts_of_every_node(monkeypatch: pytest.MonkeyPatch) -> None:
    """Volts are looked up for what a reading concerns, never for the whole loom."""
    calls = counted(monkeypatch, FewNodes, "all_volts")
    looked_up = counted(monkeypatch, Driven, "between")
    insulation_plan(loom(LARGE))
    assert looked_up["between"] > 0
    assert calls["all_volts"] == 0


LAMPS = tuple(f"E{number}" for number in range(1, 13))
BALLAST = """
format = 1
build = { name = "Ballast", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
busbars = [ { id = "BB1" } ]
grounds = [ { id = "GND1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" } ]
resistors = [ { id = "R1", elements = [ { name = "ballast", from = 1, to = 2, ohms = 0.05 } ] } ]
"""


def ballast() -> Harness:
    """Give a ballast of 0.05 Ω that no fuse guards, eleven lamps beside it, and one behind a fuse."""
    ends = [("G1.+", "BB1"), ("G1.-", "GND1"), ("BB1", "R1.1"), ("R1.2", "GND1"), ("F1.out", "E12.+")]
    ends += [("BB1", f"{lamp}.+") for lamp in LAMPS[:-1]] + [(f"{lamp}.-", "GND1") for lamp in LAMPS]
    loads = "".join(f'[[loads]]\nid = "{lamp}"\nkind = "lamp"\nwatts = 2\n' for lamp in LAMPS)
    wires = "".join(
        f'[[wires]]\nid = "W{number}"\nfrom = "{one}"\nto = "{other}"\nsize = 1.5\nlength = 1\n'
        for number, (one, other) in enumerate(ends)
    )
    return read_harness_text(BALLAST + loads + wires, "ballast")


def test_where_no_load_hides_a_short_none_is_unplugged_by_turns(monkeypatch: pytest.MonkeyPatch) -> None:
    """The lamp is bright by the ballast: with all twelve lamps out it stays so, and no fewer are tried."""
    asked = 0

    def counting(*args: Any, **named: Any) -> object:  # noqa: ANN401
        nonlocal asked
        asked += 1
        return read_series_lamp(*args, **named)

    monkeypatch.setattr("model.plans.first_power_scene.read_series_lamp", counting)
    rows = first_power_plan(ballast()).rows
    assert "a short looks the same" in rows[-1].blind
    assert asked < len(LAMPS)
