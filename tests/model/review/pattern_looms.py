"""Looms for the tests of new circuits, what each pattern is asked, and the file with a circuit put in."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from model.circuit.bench import Bench
from model.harness.amendments import amended_text
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.review.patterns import Pattern, ProposedCircuit, as_amendment, propose

DEMOS = Path(__file__).parents[3] / "demo_builds"
BARE = """format = 1
build = { name = "Bare", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" } ]
batteries = [ { id = "G1" } ]
"""
POSITIVE = BARE.replace("nominal_volts = 12", 'nominal_volts = 6, ground_side = "positive"')
TWO_WIRE = BARE.replace("nominal_volts = 12", "nominal_volts = 24, chassis = false")
ONE_STATE = BARE.replace(', { name = "on" }', "")
LOOMS = ("bare", "positive", "two_wire", "field_tractor", "harbour_launch", "trail_buggy")

ASKED: dict[Pattern, dict[str, str]] = {
    Pattern.SWITCHED: {"kind": "lamp", "watts": "10", "when": "ignition"},
    Pattern.RELAY: {"kind": "motor", "amps": "6", "when": "ignition"},
    Pattern.RELAY_GROUND: {"kind": "horn", "amps": "5", "when": "ignition"},
    Pattern.SPEEDS: {"amps": "1.2", "when": "ignition"},
    Pattern.MODULE: {"amps": "0.8", "switched_amps": "1", "when": "ignition"},
    Pattern.PERMANENT: {"kind": "electronics", "amps": "0.01"},
    Pattern.SOCKET: {"watts": "6", "when": "ignition"},
}
"""What each pattern is asked: little enough for the key feed of every loom."""


@cache
def text_of(name: str) -> str:
    """Give the text of a loom."""
    two_wire_12 = TWO_WIRE.replace("nominal_volts = 24", "nominal_volts = 12")
    texts = {
        "two_wire_12": two_wire_12,
        "bare": BARE,
        "positive": POSITIVE,
        "two_wire": TWO_WIRE,
        "one_state": ONE_STATE,
    }
    return texts[name] if name in texts else (DEMOS / f"{name}.toml").read_text(encoding="utf-8")


@cache
def bench_of(name: str) -> Bench:
    """Give the bench of a loom."""
    return Bench(read_harness_text(text_of(name), f"{name}.toml"))


def place_of_loom(name: str) -> str:
    """Name a place of a loom to put a load at; a new one where it has none."""
    locations = bench_of(name).harness.locations
    return locations[0].name if locations else "dash"


@cache
def proposed(name: str, pattern: Pattern) -> ProposedCircuit:
    """Propose a circuit in a loom with what each pattern is asked."""
    return with_answers(name, pattern)


def with_answers(name: str, pattern: Pattern, more: Mapping[str, str] | None = None) -> ProposedCircuit:
    """Propose a circuit in a loom with what each pattern is asked, and more; an empty answer takes one back."""
    return propose(bench_of(name), pattern, {**ASKED[pattern], "at": place_of_loom(name), **(more or {})})


def value_of(circuit: ProposedCircuit, key: str) -> object:
    """Give what is proposed under a key, or was given in its place."""
    return next(one.value for one in circuit.proposals if one.key == key)


def put_in(name: str, circuit: ProposedCircuit) -> Harness:
    """Read the file of a loom with a circuit put in: it raises where that breaks a rule of the format."""
    changes = as_amendment(circuit).changes
    return read_harness_text(amended_text(text_of(name), changes, 99, "2026-01-01"), f"{name}.toml")


def rows(circuit: ProposedCircuit, table: str) -> list[dict[str, object]]:
    """Give the new rows of a table."""
    return [dict(one.row) for one in circuit.rows if one.table == table]
