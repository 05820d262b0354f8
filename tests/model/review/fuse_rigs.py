"""Small harnesses for the tests of fuses and feeds, with wires so short that hand calculation holds."""

from __future__ import annotations

from functools import cache

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.review.fuse_use import FuseUse, fuse_review
from model.review.key_feeds import LoadFeeds, key_feeds
from tests.model.tracing.rigs import demo, rig

STIFF = '{ id = "G1", emf = 12, ohms = 0.000001 }'
"""A battery that has 12 V at its posts whatever it gives."""

KEYS = '{ name = "off" }, { name = "accessory" }, { name = "ignition" }, { name = "crank" }'
KEY_SWITCH = (
    '{ id = "S0", key = true, terminals = [30, 75, 15, 50], positions = { off = [], accessory = [[30, 75]], '
    "ignition = [[30, 75, 15]], crank = [[30, 15, 50]] } }"
)


def short_wires(*ends: str, size: float = 6, length_m: float = 0.01) -> str:
    """Write wires W1, W2, … from pairs of points such as ``G1.+ F1.in``."""
    rows = (
        f'{{ id = "W{n}", from = "{pair.split()[0]}", to = "{pair.split()[1]}", size = {size}, length = {length_m} }}'
        for n, pair in enumerate(ends, 1)
    )
    return f"wires = [ {', '.join(rows)} ]\n"


def stiff_rig(rows: str, *, build: str = "nominal_volts = 12", states: str = '{ name = "off" }') -> Harness:
    """Read a harness with a battery that has 12 V whatever it gives."""
    return rig(rows, build=build, states=states, batteries=STIFF)


def uses_of(harness: Harness) -> dict[str, FuseUse]:
    """Review the fuses of a harness, by their ids."""
    return {use.fuse.id: use for use in fuse_review(Bench(harness))}


def feeds_of(harness: Harness) -> dict[str, LoadFeeds]:
    """Review the feeds of a harness, by the names of the elements."""
    return {load.element.name: load for load in key_feeds(Bench(harness))}


@cache
def demo_uses(name: str) -> tuple[FuseUse, ...]:
    """Review the fuses of a demo build, once for all tests."""
    return fuse_review(Bench(demo(name)))


BEHIND = (
    'busbars = [ { id = "BB1" }, { id = "BB2" } ]\n'
    'fuses = [ { id = "F1", amps = 50, style = "link", bus = "BB1" }, { id = "F2", amps = 10, bus = "BB2" }, '
    '{ id = "F3", amps = 5, bus = "BB2" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21, at = 12 } ]\n'
    + short_wires("G1.+ BB1", "F1.out BB2", "F2.out E1.+", "E1.- G1.-")
)
"""A link that feeds a bar of two fuses: a lamp of 21 W behind the one, nothing behind the other."""

TWO_FEEDS = (
    'busbars = [ { id = "BB1" } ]\nsplices = [ { id = "J1" } ]\n'
    'fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21, at = 12 }, { id = "E2", kind = "lamp", watts = 21, at = 12 } ]\n'
    + short_wires("G1.+ BB1", "F1.out J1", "F2.out J1", "J1 E1.+", "F1.out E2.+", "E1.- G1.-", "E2.- G1.-")
)
"""Two fuses that feed the same metal: neither kills anything alone."""

RELAYED = (
    'busbars = [ { id = "BB1" } ]\n'
    'fuses = [ { id = "F1", amps = 5, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" } ]\n'
    'relays = [ { id = "K1", contacts = "changeover" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21, at = 12 }, { id = "E2", kind = "lamp", watts = 5, at = 12 } ]\n'
    + short_wires(
        "G1.+ BB1",
        "F1.out K1.86",
        "K1.85 G1.-",
        "F2.out K1.30",
        "K1.87 E1.+",
        "K1.87a E2.+",
        "E1.- G1.-",
        "E2.- G1.-",
    )
)
"""F1 holds relay K1, whose contact gives E1 the feed of F2; fallen off it gives it to E2."""
