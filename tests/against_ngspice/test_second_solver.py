"""The second solver itself, against values worked out by hand: a comparison is worth no more than both its sides."""

import ast
import math
from pathlib import Path

import pytest

from tests.against_ngspice.ngspice_run import Ngspice, NgspiceError
from tests.against_ngspice.spice_instruments import Standing
from tests.against_ngspice.spice_instruments import volts as read_volts
from tests.against_ngspice.spice_settle import Bench, load

HEAD = """
format = 1
build = { name = "By hand", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1", emf = 12.7, ohms = 0.01 } ]
"""


def bench_of(tables: str, tmp_path: Path, ngspice: Ngspice) -> Bench:
    """Put a harness on the bench whose head is the one above."""
    path = tmp_path / "by_hand.toml"
    path.write_text(HEAD + tables, encoding="utf-8")
    return load(path, ngspice)


LAMP = """
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
wires = [ { id = "W1", from = "G1.+", to = "E1.+", length = 2 }, { id = "W2", from = "E1.-", to = "G1.-", length = 2 } ]
"""


def test_lamp_current_follows_the_power_law(tmp_path: Path, ngspice: Ngspice) -> None:
    """A 21 W lamp behind 0.01 Ω and two wires of 0.04 Ω takes 1.75 A x (V/12)^0.55.

    Wire: IEC 60228 class 5, 1 mm²: 19.5 mΩ/m x 2 m + two crimps of 0.5 mΩ = 0.040 Ω each, so that
    V = 12.7 - 0.09 I; by repeated substitution I = 1.79277, V = 12.53865.
    """
    settled = bench_of(LAMP, tmp_path, ngspice).settle("off")
    volts, amps = settled.loads["E1:load"]
    assert amps == pytest.approx(1.75 * (volts / 12) ** 0.55, rel=1e-9)
    assert volts == pytest.approx(12.7 - 0.09 * amps, abs=1e-9)
    assert volts == pytest.approx(12.53865, abs=1e-5)


def test_cold_lamp_has_a_twelfth_of_its_rated_ohms(tmp_path: Path, ngspice: Ngspice) -> None:
    """Behind 10 kΩ the lamp of 6.857 Ω is cold: 0.5714 Ω carry 12.7 V / 10000.66 Ω, all but 1.27 mA."""
    settled = bench_of(LAMP, tmp_path, ngspice).settle("off", faults={"W1": 10_000.0})
    volts, amps = settled.loads["E1:load"]
    assert volts / amps == pytest.approx(144 / 21 / 12, rel=1e-6)
    assert amps == pytest.approx(12.7 / (10_000 + 0.05 + 144 / 21 / 12), rel=1e-6)


@pytest.mark.parametrize(
    ("fault", "on", "off"),
    [({}, "E1.-", ""), ({"W1": "open"}, "", "E1.+"), ({"W2": "open"}, "E1.+", "")],
)
def test_point_floats_without_closed_way(
    fault: dict[str, str], on: str, off: str, tmp_path: Path, ngspice: Ngspice
) -> None:
    """An open ground leaves the lamp at battery volts, an open feed leaves it at the ground."""
    settled = bench_of(LAMP, tmp_path, ngspice).settle("off", faults=fault)
    reached = settled.points["G1.+"] if fault == {"W2": "open"} else 0.0
    assert settled.floating == {"CHASSIS"}
    if on:
        assert settled.points[on] == pytest.approx(reached, abs=0.08)
    if off:
        assert settled.points[off] == pytest.approx(0.0, abs=1e-6)


INVERTER = """
loads = [ { id = "E1", kind = "inverter", watts = 120 } ]
joints = [
  { id = "N1", from = "G1.+", to = "E1.+", ohms = OHMS },
  { id = "N2", from = "G1.-", to = "E1.-", ohms = 0.01 },
]
"""


@pytest.mark.parametrize(("joint_ohms", "works"), [(0.08, True), (0.17, True), (0.32, False)])
def test_inverter_takes_the_upper_of_two_solutions(
    joint_ohms: float, works: bool, tmp_path: Path, ngspice: Ngspice
) -> None:
    """V² - E V + P R = 0 has its upper root at E/2 + sqrt(E²/4 - P R).

    E = 12.7, P = 120: R = 0.10 gives 11.674, R = 0.19 gives 10.519 V, over the cut-out of 10.2.
    R = 0.34 has no root (E²/4 = 40.32 < 40.8): the supply cannot carry it, it is off and stays off.
    """
    tables = INVERTER.replace("OHMS", str(joint_ohms))
    settled = bench_of(tables, tmp_path, ngspice).settle("off")
    ohms = joint_ohms + 0.02
    root = 6.35 + math.sqrt(40.3225 - 120 * ohms) if works else 12.7
    assert settled.buzzing is False
    assert settled.points["E1.+"] - settled.points["E1.-"] == pytest.approx(root, abs=1e-6)


def test_inverter_under_its_cut_out_buzzes(tmp_path: Path, ngspice: Ngspice) -> None:
    """With R = 0.25 the root is 9.561 V, below the cut-out of 10.2; off it has 12.7, over the cut-in of 11.4."""
    settled = bench_of(INVERTER.replace("OHMS", "0.23"), tmp_path, ngspice).settle("off")
    assert settled.buzzing is True
    assert {"E1.+", "E1.-", "G1.+"} <= settled.unsettled


def test_a_meter_on_what_floats_reads_nothing_however_large_it_is(tmp_path: Path, ngspice: Ngspice) -> None:
    """Three hundred points behind an open wire: 10 MΩ beside one tie of 100 GΩ leave at most 12.7 V / 10001."""
    splices = ", ".join(f'{{ id = "J{n}" }}' for n in range(300))
    joints = ", ".join(f'{{ id = "N{n}", from = "J{n}", to = "J{n + 1}" }}' for n in range(299))
    wire = 'wires = [ { id = "W1", from = "G1.-", to = "J0" } ]'
    bench = bench_of(f"splices = [ {splices} ]\njoints = [ {joints} ]\n{wire}", tmp_path, ngspice)
    read = read_volts(bench, Standing("off", faults={"W1": "open"}), "J299", "G1.+")
    assert read == pytest.approx(0.0, abs=12.7 / 10_000)


def test_a_meter_sends_nothing_backwards_through_a_battery_at_rest(tmp_path: Path, ngspice: Ngspice) -> None:
    """From 13.5 V to a battery of 12.7 V: 0.8 V over the meter's 10 MΩ and the 1 MΩ of one at rest, 0.7273 V."""
    second = '{ id = "G2", emf = 13.5, ohms = 0.01 }'
    joint = 'joints = [ { id = "N1", from = "G1.-", to = "G2.-" } ]'
    path = tmp_path / "two_batteries.toml"
    path.write_text(HEAD.replace("ohms = 0.01 } ]", f"ohms = 0.01 }}, {second} ]") + joint, encoding="utf-8")
    read = read_volts(load(path, ngspice), Standing("off"), "G2.+", "G1.+")
    assert read == pytest.approx(0.8 * 10 / 11, abs=1e-4)


def test_emf_is_sought_for_the_posts(tmp_path: Path, ngspice: Ngspice) -> None:
    """Posts read 11.5 V: the lamp gets 11.5 V less 0.08 Ω x its current."""
    settled = bench_of(LAMP, tmp_path, ngspice).settle("off", posts_volts=11.5)
    volts, amps = settled.loads["E1:load"]
    assert settled.points["G1.+"] == pytest.approx(11.5, abs=1e-5)
    assert volts == pytest.approx(11.5 - 0.08 * amps, abs=1e-5)


@pytest.mark.parametrize(("settings", "faults"), [({"S9": "on"}, {}), ({}, {"W9": "open"}), ({}, {"W1": "bent"})])
def test_unknown_names_are_refused(
    settings: dict[str, str], faults: dict[str, str], tmp_path: Path, ngspice: Ngspice
) -> None:
    """A setting or fault that names nothing is an error, never passed over."""
    with pytest.raises(ValueError, match=r"called|no such fault"):
        bench_of(LAMP, tmp_path, ngspice).settle("off", settings, faults)


def test_ngspice_tells_when_it_finds_no_point(ngspice: Ngspice) -> None:
    """A load that takes 1 A + V² from nothing has no operating point; the next circuit is solved all the same."""
    with pytest.raises(NgspiceError):
        ngspice.solve([("b1", 1, 0, "1 + v({a},{b})*v({a},{b})")], 2)
    volts = ngspice.solve([("i1", 0, 1, 2.0), ("r2", 1, 2, 1.0), ("r3", 2, 0, 2.0)], 3)
    assert volts == pytest.approx([0.0, 6.0, 4.0], rel=1e-8)


OWN_MODULES = [*sorted(Path(__file__).parent.glob("spice_*.py")), Path(__file__).parent / "ngspice_run.py"]


@pytest.mark.parametrize("path", OWN_MODULES, ids=lambda path: path.stem)
def test_second_solver_shares_no_code_with_the_model(path: Path) -> None:
    """Reading, netlist and settling import nothing of `model`, so that a slip there cannot hide itself."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    imported = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    imported += [alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names]
    assert imported
    assert not [name for name in imported if name.partition(".")[0] in ("model", "tui")]
