"""Four rigs made to hold every kind of part and every corner, against ngspice."""

import random
from pathlib import Path

import pytest

from model.circuit.condition import make_condition
from model.circuit.settle import settle
from model.harness.toml_file import read_harness
from tests.against_ngspice.compare import Asked, all_differences
from tests.against_ngspice.conditions import combinations, one_at_a_time, single_faults, spread
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_settle import load

BUILDS = Path(__file__).parent / "builds"
TWELVE, SERIES, POSITIVE, BODIES = (BUILDS / f"rig_{name}.toml" for name in ("twelve", "series", "positive", "bodies"))
RIGS = (TWELVE, SERIES, POSITIVE, BODIES)
TOLERANCE_VOLTS = 0.001
SEED = 60228


def named(path: Path) -> str:
    """Name a test after the file it is about."""
    return path.stem


def alike(path: Path, ngspice: Ngspice, every: list[Asked]) -> list[str]:
    """Say in what a rig differs between model and ngspice."""
    return all_differences(read_harness(path), load(path, ngspice), every, TOLERANCE_VOLTS)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", RIGS, ids=named)
def test_rig_settles_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Every position once, the key states in turn, and seeded combinations agree within 1 mV."""
    conditions = spread(load(path, ngspice).harness, 40, SEED)
    assert alike(path, ngspice, [Asked(key, settings) for key, settings in conditions]) == []


@pytest.mark.slow
@pytest.mark.parametrize("path", RIGS, ids=named)
def test_rig_settles_as_in_ngspice_in_every_position(path: Path, ngspice: Ngspice) -> None:
    """Every position in every key state, and more combinations, agree within 1 mV."""
    harness = load(path, ngspice).harness
    conditions = one_at_a_time(harness) + combinations(harness, 150, SEED + 1)
    assert alike(path, ngspice, [Asked(key, settings) for key, settings in conditions]) == []


@pytest.mark.slow
@pytest.mark.parametrize("path", RIGS, ids=named)
def test_faulty_rig_settles_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Sixty seeded single faults of all kinds agree within 1 mV."""
    assert alike(path, ngspice, faulty(path, ngspice, 60)) == []


@pytest.mark.thorough
@pytest.mark.parametrize("path", RIGS, ids=named)
def test_every_faulty_rig_settles_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Every single fault in every key state agrees within 1 mV."""
    assert alike(path, ngspice, faulty(path, ngspice, None)) == []


def faulty(path: Path, ngspice: Ngspice, count: int | None) -> list[Asked]:
    """Return single faults of a rig in its key states: all of them, or a sample that is the same in every run."""
    harness = load(path, ngspice).harness
    faults = [(site, kind) for site, kind in single_faults(harness) if harness.has_body or kind != "to body"]
    every = [Asked(key, {}, {site: kind}) for site, kind in faults for key in harness.key_states]
    return every if count is None else random.Random(SEED).sample(every, count)


BODY_FAULTS = [
    Asked("idle", {}, {"W10": "to body"}),
    Asked("live", {"S2": "on"}, {"W19": "to body"}),
    Asked("live", {}, {"W6": "to body"}),
]


def test_wire_lies_against_the_body_of_its_ground_side(ngspice: Ngspice) -> None:
    """A wire that ends on a ground point touches the body of that point, also where there is no CHASSIS."""
    assert alike(BODIES, ngspice, BODY_FAULTS) == []


PARTNERED = [
    {"W21": "touches:BB2"},
    {"W21": "touches:W49"},
    {"W38": "touches:J1"},
    {"W19": "elsewhere:X1.dash.2"},
    {"W34.a": "elsewhere:F7.out"},
    {"X1.1/2": "swapped"},
    {"X1.1/X2.1": "swapped"},
    {"W23": 2.5},
    {"X1.2": 1.5},
    {"E1:dip": 0.5},
    {"G1.+": "high"},
    {"G1.-": "open"},
    {"G3.-": "high"},
]


@pytest.mark.slow
@pytest.mark.parametrize("faults", PARTNERED, ids=str)
def test_fault_with_a_partner_settles_as_in_ngspice(faults: dict[str, str | float], ngspice: Ngspice) -> None:
    """Touching wires, exchanged cavities, ends elsewhere, ohms in place and bad posts agree within 1 mV."""
    every = [Asked(key, {"S2": "both", "S6": "on", "X2": "mated"}, faults) for key in ("out", "go", "runs")]
    assert alike(TWELVE, ngspice, every) == []


def test_relay_wired_to_itself_buzzes_in_both(ngspice: Ngspice) -> None:
    """K3 breaks its own feed; the points that differ are the same ones on both sides."""
    asked = Asked("go", {"S5": "on"})
    settled = asked.of_ngspice(load(TWELVE, ngspice))
    assert settled.buzzing is True
    assert {"K3.86", "K3.87a"} <= settled.unsettled
    assert "GND5" not in settled.unsettled
    assert alike(TWELVE, ngspice, [asked]) == []


def test_relay_holds_itself_in_both(ngspice: Ngspice) -> None:
    """K2 stays pulled in when its push is let go, and does not pull in without it."""
    bench, harness = load(TWELVE, ngspice), read_harness(TWELVE)
    pushed = settle(harness, make_condition(harness, "out", ("S3=on",)))
    let_go = settle(harness, make_condition(harness, "out"), before=pushed)
    held = bench.settle("out", relays_before={"K2": True})
    assert bench.settle("out").relays["K2"] is False
    assert held.relays == let_go.relays
    assert let_go.relays["K2"] is True
    unlike = {p for p, volts in held.points.items() if abs(float(let_go.volts_at(p) or 0.0) - volts) > TOLERANCE_VOLTS}
    assert unlike == set()


@pytest.mark.parametrize(
    ("asked", "blown"),
    [
        (Asked("out", {"S2": "both"}, {"E1:dip": "short"}), ["F3"]),
        (Asked("go", {}, {"M1:load": "short"}), ["F4"]),
        (Asked("go", {}, {"W10": "to body"}), ["F2"]),
        (Asked("out", {"E6": "on"}, {"E6:load": "short"}), ["F5"]),
        (Asked("out", {}, {"W2": "to body"}), ["F1"]),
        (Asked("out", {"S3": "on"}, {"E8:load": "short"}), ["F5"]),
    ],
)
def test_the_same_fuse_opens_in_both(asked: Asked, blown: list[str], ngspice: Ngspice) -> None:
    """Of fuses behind one another the one furthest over its rating opens, and no other."""
    assert asked.of_ngspice(load(TWELVE, ngspice)).blown == blown
    assert alike(TWELVE, ngspice, [asked]) == []


@pytest.mark.parametrize("feed_ohms", [0.02, 0.06, 0.08, 0.10, 0.12, 0.14, 0.20, 1.0])
def test_inverter_at_its_limits_agrees(feed_ohms: float, ngspice: Ngspice) -> None:
    """From a good feed over one under the cut-out to one that cannot carry it: works, buzzes, is off."""
    assert alike(TWELVE, ngspice, [Asked("out", {}, {"W67": feed_ohms})]) == []


def test_inverter_limits_are_all_met(ngspice: Ngspice) -> None:
    """The span of the test above holds all three outcomes: 12.55 V and 250 W, carried up to 0.157 Ω.

    E² / 4P = 12.55² / 1000 = 0.1575 Ω in all; the upper root falls to the cut-out of 10.2 V at
    (12.55 - 10.2) x 10.2 / 250 = 0.0959 Ω.
    """
    bench = load(TWELVE, ngspice)
    settled = [bench.settle("out", faults={"W67": ohms}) for ohms in (0.02, 0.10, 1.0)]
    assert [each.buzzing for each in settled] == [False, True, False]
    assert settled[0].loads["E5:load"][1] > 20
    assert settled[2].loads["E5:load"][1] == 0


@pytest.mark.parametrize(
    ("path", "key", "posts_volts"), [(TWELVE, "go", 11.6), (SERIES, "on", 12.1), (POSITIVE, "on", 5.9)]
)
def test_posts_are_sought_as_in_ngspice(path: Path, key: str, posts_volts: float, ngspice: Ngspice) -> None:
    """The emf of the first battery, alone or the lowest of a chain, is found for the volts read."""
    assert alike(path, ngspice, [Asked(key, posts_volts=posts_volts)]) == []
