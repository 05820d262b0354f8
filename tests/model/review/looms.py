"""Small looms for the tests of findings: a text in the format, read and reviewed."""

from __future__ import annotations

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.review.finding import Finding, FindingRule
from model.review.findings import find_all

HEAD = """
format = 1
build = { name = "Bench", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" }, { name = "running", charging = true } ]
batteries = [ { id = "G1", location = "box" } ]
locations = [ { name = "box" }, { name = "dash" }, { name = "tail" } ]
"""
POSITIVE_HEAD = HEAD.replace("nominal_volts = 12", 'nominal_volts = 12, ground_side = "positive"')
NO_BODY_HEAD = HEAD.replace("nominal_volts = 12", "nominal_volts = 12, chassis = false")


def loom(text: str) -> Harness:
    """Read a harness from its text."""
    return read_harness_text(text, "bench.toml")


def findings(text: str, rule: FindingRule | None = None) -> tuple[Finding, ...]:
    """Give the findings of a harness text, of one rule where one is named."""
    return tuple(one for one in find_all(Bench(loom(text))) if rule is None or one.rule is rule)


def wires(*ends: str, more: str = "") -> str:
    """Give a table of wires, W1 on, from ends written ``G1.+ F1.in``.

    Parameters
    ----------
    more
        Keys and values that each wire has beside its ends.
    """
    rows = []
    for number, pair in enumerate(ends, start=1):
        one, other = pair.split()
        rows.append(f'  {{ id = "W{number}", from = "{one}", to = "{other}"{", " + more if more else ""} }},')
    return "\n".join(["wires = [", *rows, "]"])
