"""A walk stays quick on a large loom: its cost grows with the number of wires, not with the square of it."""

from __future__ import annotations

import time

import pytest

from model.circuit.bench import Bench
from model.harness.harness import all_elements
from model.harness.toml_file import read_harness_text
from model.sheets.walk_sheet import walk_text
from model.tracing.rows import tell_walk
from model.tracing.walk import Walker
from tests.benchmarks.looms import loom_text


def walk_seconds(wire_count: int) -> float:
    """Give the processor's time for the first walk of a loom, from finding when the load works to its sheet."""
    harness = read_harness_text(loom_text(wire_count), "loom.toml")
    elements = all_elements(harness)
    element = elements[len(elements) // 2]
    start = time.process_time()
    bench = Bench(harness)
    walk_text(harness, tell_walk(bench, Walker(bench).walk(element)))
    return time.process_time() - start


@pytest.mark.slow
def test_ten_times_the_wires_take_about_ten_times_as_long() -> None:
    """1,000 wires in half a second, 10,000 in three; a busy machine may double both. The square would be a hundred."""
    walk_seconds(1000)
    small, large = min(walk_seconds(1000) for _ in range(3)), walk_seconds(10_000)
    assert large / small < 25
    assert small < 1.0
    assert large < 6.0
