"""Which bridges would hurt the sound loom, and which lamps in place of a fuse would feed a control unit."""

from __future__ import annotations

from model.circuit.bench import Bench
from model.circuit.build_parts import build_netlist
from model.circuit.condition import is_out
from model.circuit.settle import Settled, settle_netlist
from model.harness.hazards import hazards_of_point
from model.harness.parts import Fuse
from model.harness.points import resolve_point
from model.tracing.checks import Check
from model.tracing.graph import LinkKind, links_of
from model.tracing.nets import nets_of
from model.tracing.reached import ClosedMetal

JUMPER_OHMS = 0.01


def bridge_refusal(bench: Bench, check: Check) -> str:
    """Give the reason why a fused jumper must not lie between two points; empty where nothing forbids it.

    Raises
    ------
    CircuitError
        Where the circuit cannot be as the condition says.

    Notes
    -----
    The sound circuit is solved with a jumper of 0.01 Ω: no fuse, the jumper's own among them, may carry more than its
    rating. What the solved circuit cannot show is told by the metal: two points of different feeds, or of a feed and
    the ground, are never joined, whatever the switches do at the time.
    """
    red, black = (resolve_point(bench.harness, point) for point in check.points)
    nets = nets_of(bench.harness)
    if check.fuse_amps <= 0:
        return "A bridge has a fuse of its own."
    if not nets.share_feed(red, black):
        return f"{red} and {black} hang on different fuses, or on a feed and the ground: they are not joined."
    shared = nets.feeds.get(red, frozenset()) & nets.feeds.get(black, frozenset())
    for fuse in bench.harness.fuses:
        if fuse.id in shared and fuse.amps is not None and check.fuse_amps > fuse.amps:
            return f"{fuse.id} before it is {fuse.amps:g} A: the bridge takes no larger fuse."
    settled, jumper_amps = _with_jumper(bench, check, red, black)
    overloaded = _overloaded(settled)
    if overloaded:
        return f"In the sound loom it would load {overloaded} above its rating."
    if jumper_amps > check.fuse_amps:
        return f"In the sound loom {jumper_amps:.1f} A would go through it, and its fuse is {check.fuse_amps:g} A."
    if settled.buzzing:
        return f"With it {', '.join(settled.buzzing)} would chatter."
    if settled.states != bench.survey(check.condition).settled.states:
        return _fed(settled, check, [red, black])
    return ""


def lamp_in_place(bench: Bench, check: Check) -> str:
    """Give the reason why a lamp must not take a fuse's place; empty where nothing forbids it.

    Raises
    ------
    CircuitError
        Where the circuit cannot be as the condition says.
    """
    fuse = bench.harness.parts.get(check.part)
    if not isinstance(fuse, Fuse):
        return f"{check.part} is no fuse."
    if not is_out(check.condition, fuse.id):
        return f"{fuse.id} is still in: the lamp goes in its place."
    ends = next((link.one, link.other) for link in links_of(bench.harness) if _is_fuse(link.kind, link.part_id, fuse))
    probes = {resolve_point(bench.harness, point) for point in check.points}
    if probes and probes != set(ends):
        return f"A lamp in place of {fuse.id} goes between {ends[0]} and {ends[1]}."
    net = build_netlist(bench.harness, check.condition)
    nominal_volts = bench.harness.build.nominal_volts
    one, other = (net.index[end] for end in ends)
    net.add_lamp((one, other), nominal_volts**2 / max(check.watts, 1.0), nominal_volts, "")
    settled = settle_netlist(net, check.condition, first_emf=bench.first_emf)
    metal = ClosedMetal(settled, check.condition, is_powered=True)
    behind = [end for end in ends if not metal.supplied(end)]
    return _fed(settled, check, behind or list(ends))


def _is_fuse(kind: LinkKind, part_id: str, fuse: Fuse) -> bool:
    return kind is LinkKind.FUSE and part_id == fuse.id


def _with_jumper(bench: Bench, check: Check, red: str, black: str) -> tuple[Settled, float]:
    """Settle the sound circuit with the jumper in it, and give the current through it in amperes."""
    net = build_netlist(bench.harness, check.condition.healthy())
    branch = net.add(net.index[red], net.index[black], JUMPER_OHMS)
    settled = settle_netlist(net, check.condition.healthy(), first_emf=bench.first_emf)
    return settled, abs(float(settled.amps[branch]))


def _overloaded(settled: Settled) -> str:
    """Name a fuse that blew or carries more than its rating; empty where none does."""
    for link in settled.net.fuses:
        if link.part_id in settled.blown:
            return link.part_id
        if link.amps is not None and abs(float(settled.amps[link.branch])) > link.amps:
            return link.part_id
    return ""


def _fed(settled: Settled, check: Check, points: list[str]) -> str:
    metal = ClosedMetal(settled, check.condition, is_powered=True)
    found = metal.delicate_at(points)
    if not found:
        return ""
    hazards = hazards_of_point(settled.net.harness, found)
    what = f"marked {hazards[0]}" if hazards else "a terminal of a control unit that is plugged in"
    return f"{found} hangs behind it, {what}."
