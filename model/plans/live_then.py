"""What is live on the first power while no fuse is in: where more flows than should, the fault is on that."""

from __future__ import annotations

from model.circuit.bench import Bench
from model.circuit.condition import OUT
from model.harness.metal import wire_points
from model.plans.plan import Measure, PlanRow
from model.tracing.names import either, point_name, wire_code
from model.words import clean

_LIVE_SHARE = 0.3
_NAMED_AT_MOST = 6


def has_no_fuse_in(bench: Bench, row: PlanRow) -> bool:
    """Tell whether a row is read through the lamp while every fuse is out."""
    out = {name for name, value in row.condition.settings if value == OUT}
    return row.measure is Measure.LAMP and all(fuse.id in out for fuse in bench.harness.fuses)


def live_wires(bench: Bench, row: PlanRow) -> tuple[str, ...]:
    """Name the wires that have volts against the body while a row is read, in the order of the file.

    Raises
    ------
    CircuitError
        Where the loom cannot be solved as it is.
    """
    settled = bench.survey(row.condition).settled
    least_volts = _LIVE_SHARE * bench.harness.build.nominal_volts

    def is_live(point: str) -> bool:
        node = settled.net.index.get(point)
        return node is not None and node not in settled.idle and abs(float(settled.volts[node])) > least_volts

    return tuple(wire.id for wire in bench.harness.wires if any(map(is_live, wire_points(bench.harness, wire))))


def live_words(bench: Bench, row: PlanRow) -> str:
    """Say what is live while a row without fuses is read, and what to do about what flows there."""
    names = live_wires(bench, row)
    parts = {wire.id: wire for wire in bench.harness.wires}
    named = [f"{clean(name)} {wire_code(bench.harness, parts[name])}" for name in names[:_NAMED_AT_MOST]]
    more = len(names) - _NAMED_AT_MOST
    on = either([*named, *([f"{more} more"] if more > 0 else [])], "and")
    post = point_name(bench.harness, row.red) if row.red else "the live post"
    return (
        f"Supply off, grounded clamp off. No fuse is in, so live is only what hangs on {post} unfused"
        f"{f': {on}' if on else ''}. Look along it and at what it ends on: rubbed through, a strand over, a tool"
        " left lying. Take one off after the other, and read again after each."
    )
