"""How long one condition of a loom takes to solve, by the number of its wires, beside ngspice on the same circuit.

Ours is the whole of it from the records of the harness: netlist, relays, fuses, lamps and leds brought to rest. ngspice
gets the circuit as it came to rest, every lamp a resistance, every led and battery a source behind one, and solves it
once, as a process of its own. The volts of both must agree.

    python -m tests.benchmarks.solve_condition
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from model.circuit.condition import make_condition
from model.circuit.settle import Settled, settle
from model.harness.toml_file import read_harness_text
from tests.benchmarks.looms import loom_text

WIRE_COUNTS = (100, 300, 1_000, 3_000, 10_000)
REPEATS = 5
AGREE_VOLTS = 1e-6


def main() -> None:
    """Print one line for each size of loom."""
    sys.stdout.write(f"{'wires':>6} {'branches':>8} {'ours ms':>8} {'µs/branch':>9} {'ngspice ms':>10} {'ratio':>6}\n")
    for wire_count in WIRE_COUNTS:
        harness = read_harness_text(loom_text(wire_count), f"loom of {wire_count}")
        condition = make_condition(harness, "running")
        settled = settle(harness, condition)
        ours_ms = median_ms(partial(settle, harness, condition))
        with tempfile.TemporaryDirectory() as directory:
            deck = Path(directory) / "loom.cir"
            check_agreement(settled, deck)
            deck.write_text(spice_deck(settled, "op"), encoding="utf-8")
            spice_ms = median_ms(partial(run_ngspice, deck))
        branches = len(settled.net.one)
        sys.stdout.write(
            f"{wire_count:>6} {branches:>8} {ours_ms:>8.2f} {1000 * ours_ms / branches:>9.2f} {spice_ms:>10.1f} "
            f"{ours_ms / spice_ms:>6.2f}\n"
        )


def median_ms(run: Callable[[], object]) -> float:
    """Give the median time in milliseconds of some runs."""
    taken: list[float] = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        run()
        taken.append(1000 * (time.perf_counter() - start))
    return statistics.median(taken)


def spice_deck(settled: Settled, *commands: str) -> str:
    """Write the circuit at rest for ngspice: a resistance for each branch that carries, a source where it has one."""
    net, volts, amps = settled.net, settled.volts, settled.relaxed.amps
    threshold_volts = {line.branch: line.threshold_volts for line in net.lines}
    bent = {lamp.branch for lamp in net.lamps}.union(*(mover.closes for mover in net.movers if mover.watts))
    lines = ["* a loom at rest"]
    for branch, (one, other, ohms) in enumerate(zip(net.one, net.other, net.ohms, strict=True)):
        if not settled.relaxed.joins[branch] or {one, other} & settled.floating:
            continue
        through_amps = float(amps[branch])
        names = [f"n{node}" if node != net.reference else "0" for node in (one, other)]
        source_volts = threshold_volts.get(branch, -net.emf_volts[branch])
        if source_volts and through_amps:
            lines += [f"V{branch} {names[0]} m{branch} {source_volts!r}", f"R{branch} m{branch} {names[1]} {ohms!r}"]
        elif through_amps or not source_volts:
            is_bent = branch in bent and through_amps != 0.0
            rest_ohms = float(volts[one] - volts[other]) / through_amps if is_bent else ohms
            lines.append(f"R{branch} {' '.join(names)} {rest_ohms!r}")
    return "\n".join([*lines, ".control", *commands, "quit", ".endc", ".end", ""])


def run_ngspice(deck: Path) -> str:
    """Run ngspice on a deck and give what it printed."""
    found = subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, text=True, check=False, cwd=deck.parent)
    return found.stdout + found.stderr


def check_agreement(settled: Settled, deck: Path) -> None:
    """Compare the volts of every node that does not float.

    Raises
    ------
    AssertionError
        Where ngspice differs by more than a microvolt, or gives none.
    """
    raw = deck.with_suffix(".raw")
    deck.write_text(spice_deck(settled, "set filetype=ascii", "op", f"write {raw.name}"), encoding="utf-8")
    printed = run_ngspice(deck)
    assert raw.exists(), printed
    head, _, values = raw.read_text(encoding="utf-8").partition("Values:")
    names = [line.split()[1] for line in head.partition("\nVariables:")[2].splitlines() if line.strip()]
    figures = [float(word) for word in values.split()[1:]]
    for name, volts in zip(names, figures, strict=True):
        node = name.removeprefix("v(n").removesuffix(")")
        if node.isdigit():
            differs_volts = abs(volts - float(settled.volts[int(node)]))
            assert differs_volts < AGREE_VOLTS, (settled.net.names[int(node)], volts)


if __name__ == "__main__":
    main()
