"""What a pulled fuse leaves live: points on its load side that have volts from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import OUT
from model.circuit.netlist import MoverKind
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.parts import Battery, Charger
from model.harness.points import resolve_point
from model.review.live_paths import LivePaths
from model.review.live_points import LivePoint, live_among
from model.review.live_steps import StepKind
from model.tracing.graph import charger_posts

_SUPPLY = -1
_NO_BRANCH = -1


@dataclass(frozen=True, slots=True)
class StaysLive:
    """A fuse that does not make everything behind it dead.

    Attributes
    ----------
    load_side
        Its end that is farther from the batteries.
    points
        What stays live behind it while it is out, the ground side aside, with the way by which volts come then; empty
        where a charger is left by itself.
    chargers
        Chargers that run and that only this fuse joins to a battery: their volts are not worked out then.
    loose
        Points on the metal of these.
    """

    fuse_id: str
    load_side: str
    points: tuple[LivePoint, ...]
    chargers: tuple[Charger, ...] = ()
    loose: tuple[str, ...] = ()


def stays_live(bench: Bench, survey: Survey) -> tuple[StaysLive, ...]:
    """Name the fuses that leave something live on their load side when they are pulled, in the order of the file.

    Parameters
    ----------
    survey
        Of the bench's harness; each fuse is pulled in its condition.

    Notes
    -----
    Solved are only fuses past which something may lead: metal, a load that conducts, or a relay that lets go and has a
    contact closed at rest; and those that carry from their load side to the other. What current in the ground side
    lifts by some tenths of a volt is passed over, and so is a fuse without which the circuit finds no rest.
    """
    paths = LivePaths(survey.settled)
    asked = _led_past(paths) | _fed_backwards(paths) | _hold_relays(paths)
    behind = _hang_on(paths) if asked else {}
    fuses = [fuse.id for fuse in bench.harness.fuses if fuse.id in asked]
    found = (_pulled(bench, paths, fuse_id, behind.get(fuse_id, set())) for fuse_id in fuses)
    return tuple(one for one in found if one is not None)


def _hang_on(paths: LivePaths) -> dict[str, set[str]]:
    """Index the live points by the fuses that stand between them and the nearest battery, whatever a charger gives."""
    batteries = [node for node in paths.posts if _is_battery(paths, node)]
    found: dict[str, set[str]] = {}
    fuses_of: dict[int, tuple[str, ...]] = {_SUPPLY: ()}
    for node, reached in paths.spread(batteries or paths.posts, may_rise=True).items():
        fuses = fuses_of[reached.before]
        if reached.branch >= 0 and paths.kinds[reached.branch] is StepKind.FUSE:
            fuses = (*fuses, paths.net.sites[reached.branch])
        fuses_of[node] = fuses
        for fuse_id in fuses:
            found.setdefault(fuse_id, set()).add(paths.net.names[node])
    return found


def _pulled(bench: Bench, paths: LivePaths, fuse_id: str, behind: set[str]) -> StaysLive | None:
    load_side = _load_side(paths, fuse_id)
    try:
        pulled = bench.survey(paths.settled.condition.with_setting(fuse_id, OUT))
    except CircuitError:
        return None
    without = LivePaths(pulled.settled)
    index, metal = without.net.index, without.unfused_metal
    beside = metal[index[load_side]]
    nodes = [node for node in pulled.settled.point_nodes if metal[node] == beside or without.net.names[node] in behind]
    points = live_among(without, (node for node in nodes if not without.is_on_ground(node)))
    if points:
        return StaysLive(fuse_id, load_side, points)
    return _left_to_chargers(paths, without, fuse_id)


def _left_to_chargers(paths: LivePaths, without: LivePaths, fuse_id: str) -> StaysLive | None:
    """Give what a pulled fuse leaves to chargers alone that gave current before; None where there are none."""
    index, harness = without.net.index, without.harness
    ends = (resolve_point(harness, f"{fuse_id}.in"), f"{fuse_id}.out")
    for end in ends:
        metal = without.metal[index[end]]
        chargers = tuple(
            charger
            for charger, post in zip(harness.chargers, charger_posts(harness, hot=True), strict=True)
            if without.metal[index[post]] == metal and _ran(paths, index[post]) and not without.is_live[index[post]]
        )
        if chargers and metal != without.metal[without.net.reference]:
            nodes = [node for node in without.settled.point_nodes if without.metal[node] == metal]
            return StaysLive(fuse_id, end, (), chargers, tuple(without.net.names[node] for node in nodes))
    return None


def _ran(paths: LivePaths, node: int) -> bool:
    return bool(paths.sources.get(node, False) and paths.is_live[node])


def _load_side(paths: LivePaths, fuse_id: str) -> str:
    """Name the end of a fuse whose metal has no battery post; where that does not decide, its ``out``."""
    ends = resolve_point(paths.harness, f"{fuse_id}.in"), f"{fuse_id}.out"
    batteries = {paths.unfused_metal[node] for node in paths.posts if _is_battery(paths, node)}
    on_battery = [paths.unfused_metal[paths.net.index[end]] in batteries for end in ends]
    return ends[0] if on_battery == [False, True] else ends[1]


def _is_battery(paths: LivePaths, node: int) -> bool:
    return isinstance(paths.harness.parts[paths.net.names[node].partition(".")[0]], Battery)


def _led_past(paths: LivePaths) -> set[str]:
    """Name the fuses that something leads past, from whatever feeds to their other end."""
    neighbours = {
        node: [(other, branch) for other, branch in beside if not paths.is_on_ground(other)]
        for node, beside in paths.neighbours.items()
        if not paths.is_on_ground(node)
    }
    for node, is_feed in paths.sources.items():
        if is_feed and paths.is_live[node]:
            neighbours.setdefault(node, []).append((_SUPPLY, _NO_BRANCH - 1 - node))
            neighbours.setdefault(_SUPPLY, []).append((node, _NO_BRANCH - 1 - node))
    sole = set(_sole_branches(neighbours))
    reached = {branch for beside in neighbours.values() for _, branch in beside if branch >= 0}
    return {paths.net.sites[b] for b in reached if paths.kinds[b] is StepKind.FUSE and b not in sole}


def _sole_branches(neighbours: dict[int, list[tuple[int, int]]]) -> Iterator[int]:
    """Give the branches of a graph that nothing leads past.

    Notes
    -----
    By numbering nodes as a depth-first walk meets them (R. E. Tarjan, "A note on finding the bridges of a graph",
    Information Processing Letters 2 (1974) 160-161).
    """
    number: dict[int, int] = {}
    lowest: dict[int, int] = {}
    for start in neighbours:
        if start in number:
            continue
        number[start] = lowest[start] = len(number)
        stack = [(start, _NO_BRANCH, iter(neighbours[start]))]
        while stack:
            node, came_by, rest = stack[-1]
            following = next(rest, None)
            if following is None:
                stack.pop()
                if stack:
                    before = stack[-1][0]
                    lowest[before] = min(lowest[before], lowest[node])
                    if lowest[node] > number[before]:
                        yield came_by
                continue
            other, branch = following
            if branch == came_by:
                continue
            if other in number:
                lowest[node] = min(lowest[node], number[other])
            else:
                number[other] = lowest[other] = len(number)
                stack.append((other, branch, iter(neighbours[other])))


def _fed_backwards(paths: LivePaths) -> set[str]:
    """Name the fuses through which volts come to the end that is nearer the batteries."""
    index, sites = paths.net.index, paths.net.sites
    ways = {node: one.branch for node, one in paths.reached.items() if one.branch >= 0}
    entered = ((node, sites[branch]) for node, branch in ways.items() if paths.kinds[branch] is StepKind.FUSE)
    return {fuse_id for node, fuse_id in entered if index[_load_side(paths, fuse_id)] != node}


def _hold_relays(paths: LivePaths) -> set[str]:
    """Name the fuses that hold a relay with a contact closed at rest, or a module while there is such a relay."""
    on = [mover for mover, state in zip(paths.net.movers, paths.settled.states, strict=True) if state]
    if not any(mover.kind is MoverKind.RELAY and mover.opens for mover in on):
        return set()
    nodes = {node for mover in on for sense in mover.senses for node in (sense.from_node, sense.to_node)}
    steps = (step for node in nodes for step in paths.path_to(node))
    return {step.site for step in steps if step.kind is StepKind.FUSE}
