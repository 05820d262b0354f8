"""The cold loom: what a meter on ohms shows in a condition, beside the same read the slow way."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from model.circuit.condition import APART, IN, MATED, OFF, ON, OUT, Condition
from model.circuit.meter import read_ohms
from model.harness.harness import Harness
from model.harness.points import all_points
from model.harness.toml_file import read_harness
from model.plans.cold_circuit import ColdLoom
from tests.model.circuit.rig import CHAIN, harness

DEMO_BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
PAIRS, CONDITIONS = 8, 6


def slowly(loom: Harness, condition: Condition, red: str, black: str) -> float:
    """Read ohms with every control unit unplugged; infinite where open."""
    for module in loom.modules:
        condition = condition.with_setting(module.id, OUT)
    ohms = read_ohms(loom, condition, red, black)
    return math.inf if ohms is None else ohms


def some_condition(loom: Harness, chance: random.Random) -> Condition:
    """Take a few plugs apart, wire ends off and fuses out, and turn a few switches."""
    settings = [(plug.id, chance.choice((APART, OUT, MATED, IN))) for plug in loom.connectors if chance.random() < 0.4]
    settings += [(f"{wire.id}.{chance.choice('ab')}", OFF) for wire in loom.wires if chance.random() < 0.05]
    settings += [(fuse.id, OUT) for fuse in loom.fuses if chance.random() < 0.3]
    turned = [switch for switch in loom.switches if not switch.key and chance.random() < 0.5]
    settings += [(switch.id, chance.choice(tuple(switch.positions))) for switch in turned]
    return Condition(chance.choice(loom.key_names), tuple(settings))


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=lambda path: path.stem)
def test_a_condition_reads_as_the_slow_way(path: Path) -> None:
    """Plugs apart, wire ends off, fuses out, switches set: pairs of points agree within 0.1 % and 0.1 mΩ, or both open.

    Half of the pairs are ends of one plug's cavity or of one wire, so that what was taken apart shows.
    """
    loom, chance = read_harness(path), random.Random(7)
    cold, points = ColdLoom(loom), tuple(all_points(loom))
    near = [(wire.from_point, wire.to_point) for wire in loom.wires if wire.from_point and wire.to_point]
    changed = 0
    for _ in range(CONDITIONS):
        condition = some_condition(loom, chance)
        pairs = [(chance.choice(points), chance.choice(points)) for _ in range(PAIRS)] + chance.sample(near, PAIRS)
        for red, black in pairs:
            one, other = cold.node(red), cold.node(black)
            read = cold.circuit(condition).ohms(one, other)
            assert read == pytest.approx(slowly(loom, condition, red, black), rel=1e-3, abs=1e-4), (red, black)
            changed += read != cold.circuit(Condition(condition.key)).ohms(one, other)
    assert changed > PAIRS


def test_a_plug_apart_and_a_wire_end_off_are_open() -> None:
    """CHAIN: F1.out to E1.+ is W2, S1, W3, X1 and W4 of 0.1 Ω each; X1 apart, or W3 off either end, it is open."""
    loom = harness(CHAIN)
    cold = ColdLoom(loom)
    ends = cold.node("F1.out"), cold.node("E1.+")
    closed = Condition("off", (("S1", "on"),))
    assert cold.circuit(closed).ohms(*ends) == pytest.approx(0.5)
    for setting in (("X1", APART), ("X1", OUT), ("W3.a", OFF), ("W3.b", OFF), ("W3", OUT)):
        assert math.isinf(cold.circuit(closed.with_setting(*setting)).ohms(*ends)), setting


def test_a_plug_that_rests_apart_joins_once_it_is_mated() -> None:
    """CHAIN with X1 apart at rest: open, and 0.5 Ω once it is mated."""
    loom = harness(CHAIN.replace('"X1", cavities = 2', '"X1", cavities = 2, rest = "apart"'))
    cold = ColdLoom(loom)
    ends = cold.node("F1.out"), cold.node("E1.+")
    closed = Condition("off", (("S1", "on"),))
    assert math.isinf(cold.circuit(closed).ohms(*ends))
    assert cold.circuit(closed.with_setting("X1", MATED)).ohms(*ends) == pytest.approx(0.5)


def test_what_is_known_at_rest_alone_is_refused() -> None:
    """A socket with something plugged in would read wrong in silence: it is refused."""
    loom = harness('loads = [ { id = "E1", kind = "socket", watts = 60 } ]')
    with pytest.raises(ValueError, match="at rest alone"):
        ColdLoom(loom).circuit(Condition("off", (("E1", ON),)))


def test_a_wire_hangs_on_the_end_that_is_not_off() -> None:
    """CHAIN: with W3 off at its end a, its middle is half of its 0.1 Ω from X1, its end b, and open from S1."""
    loom = harness(CHAIN)
    cold = ColdLoom(loom)
    circuit = cold.circuit(Condition("off", (("W3.a", OFF),)))
    assert circuit.ohms(cold.middle("W3"), cold.node("X1.plug.1")) == pytest.approx(0.05)
    assert math.isinf(circuit.ohms(cold.middle("W3"), cold.node("S1.2")))
