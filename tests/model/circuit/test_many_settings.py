"""Conditions of one key state settled together as variants of it, against each settled by itself."""

from functools import cache
from itertools import islice
from pathlib import Path

import numpy as np
import pytest

from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import OFF, OUT, Condition
from model.circuit.faults import Fault, FaultKind, fault_kinds
from model.circuit.many_faults import FaultBench
from model.circuit.many_settings import are_switches, ends_for_certain
from model.circuit.settle import settle
from model.harness.harness import Harness, all_elements
from model.harness.points import switch_contacts
from model.harness.toml_file import read_harness, read_harness_text
from tests.benchmarks.looms import loom_text

_BUGGY = Path(__file__).parents[3] / "demo_builds" / "trail_buggy.toml"


@cache
def _buggy() -> Harness:
    return read_harness(_BUGGY)


def _turned(harness: Harness) -> list[tuple[str, str]]:
    return [(switch.id, position) for switch in harness.switches if not switch.key for position in switch.positions]


def _variants(harness: Harness) -> list[Variant]:
    """Give each switch in each position, sound and with one of its contacts or a wire open."""
    wires = [Fault(wire.id, FaultKind.OPEN) for wire in harness.wires]
    found = []
    for place, pair in enumerate(_turned(harness)):
        switch = next(one for one in harness.switches if one.id == pair[0])
        one, other = switch_contacts(switch)[0]
        site = f"{switch.id}:{one}-{other}"
        assert FaultKind.OPEN in fault_kinds(harness, site)
        faults = ((), (Fault(site, FaultKind.OPEN),), (wires[7 * place % len(wires)],))
        found += [Variant(some, settings=(pair,)) for some in faults]
    return found


def _agree(harness: Harness, key: str, variants: list[Variant]) -> int:
    """Hold every variant with one end against its condition settled by itself; give how many were held."""
    cases = FaultBench(Bench(harness), variants, ()).cases(Condition(key))
    elements = all_elements(harness)
    volts = np.array([cases.element(one.name)[0] for one in elements])
    held = 0
    for number, variant in enumerate(variants):
        own = np.flatnonzero(cases.variant == number)
        alone = settle(harness, Condition(key, variant.settings, variant.faults))
        if len(own) != 1 or alone.buzzing:
            continue
        wanted = [alone.volts_across(one.from_point, one.to_point) for one in elements]
        np.testing.assert_allclose(volts[:, own[0]], wanted, atol=1e-6, err_msg=str(variant))
        held += 1
    return held


@pytest.mark.first_few(1)
@pytest.mark.parametrize("place", [0, 1, 2])
def test_switches_turned_as_variants_give_the_volts_of_their_own_condition(place: int) -> None:
    """Each load of the buggy has the volts that it has where the switch is set before the circuit is built."""
    harness = _buggy()
    variants = _variants(harness)
    assert _agree(harness, harness.key_names[place], variants) > 0.8 * len(variants)


def test_switches_turned_in_a_loom_of_many_panels_give_the_volts_of_their_own_condition() -> None:
    """So it is too in a loom that is large enough to be settled in pieces."""
    harness = read_harness_text(loom_text(500), "loom.toml")
    variants = list(islice(_variants(harness), 40))
    assert _agree(harness, harness.key_names[1], variants) > 0.8 * len(variants)


def test_only_positions_of_switches_are_changes_of_contacts() -> None:
    """A fuse that is pulled, a switch that is out, a wire's end and the key switch are no settings of that kind."""
    harness = _buggy()
    turned = _turned(harness)[0]
    assert are_switches(harness, (turned,))
    assert are_switches(harness, ())
    for pair in ((harness.fuses[0].id, OUT), (turned[0], OUT), (f"{harness.wires[0].id}.a", OFF)):
        assert not are_switches(harness, (turned, pair))


def test_a_circuit_that_blows_a_fuse_has_no_certain_end() -> None:
    """At rest the buggy has one end; with a wire against the body that blows its fuse it counts as uncertain."""
    harness = _buggy()
    rest = Condition(harness.key_names[0])
    assert ends_for_certain(settle(harness, rest))
    for wire in harness.wires:
        if FaultKind.TO_BODY in fault_kinds(harness, wire.id):
            settled = settle(harness, Condition(rest.key, (), (Fault(wire.id, FaultKind.TO_BODY),)))
            if settled.blown:
                assert not ends_for_certain(settled)
                return
    pytest.fail("no wire of the buggy blows a fuse where it touches the body")
