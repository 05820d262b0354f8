"""A static electrical power system with two batteries, four relays and four loads, and one fault at a time.

D. Gorinevsky, S. Boyd and S. Poll, Estimation of faults in DC electrical power system, American Control Conference
2009, 4334-4339. Sources and resistances are those of its tables; branch values are computed from them. There 38 single
faults gave 33 perfect answers and 5 that were imperfect but not wrong. The 38 faults here are our own enumeration: 6
breakers and 2 closed relays open, 2 open relays failed closed, 2 sources and 12 sensors off, up and down.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import pytest

from model.circuit.arrays import FloatArray, IntArray
from model.circuit.solver import Branch, solve
from model.tracing.choose import Option, OptionTable, ranked
from model.tracing.information import group_shares, updated
from model.tracing.likelihood import bin_shares, reading_likelihood

EMF = {"battery 1": 25.84, "battery 2": 24.83}
SOURCE_OHMS = 0.1
SWITCHES = {
    "ISH136": ("post 1", "behind 1"),
    "ISH236": ("post 2", "behind 2"),
    "ESH141A": ("behind 1", "bank 1"),
    "ESH144A": ("behind 1", "bank 2"),
    "ESH241A": ("behind 2", "bank 1"),
    "ESH244A": ("behind 2", "bank 2"),
    "ISH162": ("bank 1", "AC1"),
    "ISH180": ("bank 1", "DC1"),
    "ISH262": ("bank 2", "AC2"),
    "ISH280": ("bank 2", "DC2"),
}
LOADS = {"AC1": 6.0, "DC1": 10.0, "AC2": 4.0, "DC2": 20.0}
STAND_OPEN = frozenset({"ESH141A", "ESH144A"})
POINTS = ("ground", "post 1", "post 2", "behind 1", "behind 2", "bank 1", "bank 2", *LOADS)
NUMBERS = {point: number for number, point in enumerate(POINTS)}
VOLT_SENSORS = {
    "E135": "post 1",
    "E140": "behind 1",
    "E142": "bank 1",
    "E235": "post 2",
    "E240": "behind 2",
    "E242": "bank 2",
}
AMP_SENSORS = {
    "IT140": "battery 1",
    "IT240": "battery 2",
    "IT161": "AC1",
    "IT181": "DC1",
    "IT261": "AC2",
    "IT281": "DC2",
}
SENSORS = (*VOLT_SENSORS, *AMP_SENSORS)
SPAN = 30.0
SOURCE_STEPS = (0.5, 1.0, 2.0, 4.0)
SENSOR_STEPS = (0.5, 1.0, 2.0, 4.0, 8.0)
REPORTED_SHARE = 0.95


def solved(opened: frozenset[str], emf: dict[str, float]) -> dict[str, float]:
    """Give the volts of every point, and the amperes of batteries and loads, under the names of these."""
    branches = [
        Branch(NUMBERS["ground"], NUMBERS[post], SOURCE_OHMS, emf[battery])
        for battery, post in (("battery 1", "post 1"), ("battery 2", "post 2"))
    ]
    branches += [Branch(NUMBERS[load], NUMBERS["ground"], ohms) for load, ohms in LOADS.items()]
    branches += [
        Branch(NUMBERS[first], NUMBERS[second], 0.0)
        for switch, (first, second) in SWITCHES.items()
        if switch not in opened
    ]
    solution = solve(len(POINTS), branches)
    volts = {f"volts {point}": float(solution.volts[number]) for point, number in NUMBERS.items()}
    amps = {f"amps {name}": float(solution.amps[place]) for place, name in enumerate((*EMF, *LOADS))}
    return volts | amps


def sensed(opened: frozenset[str] = STAND_OPEN, emf: dict[str, float] | None = None) -> FloatArray:
    """Give what sound sensors read, shape (sensors,)."""
    figures = solved(opened, EMF if emf is None else emf)
    volts = [figures[f"volts {point}"] for point in VOLT_SENSORS.values()]
    return np.array(volts + [figures[f"amps {name}"] for name in AMP_SENSORS.values()])


PRINTED = [
    ("", 23.4984, 13.3158, 3.9164, 2.3498, 5.8746, 1.1749),
    ("ISH280", 23.6101, 12.1986, 3.9350, 2.3610, 5.9025, 0.0),
    ("ISH262", 24.0679, 7.6215, 4.0113, 2.4068, 0.0, 1.2034),
    ("ISH162", 23.8750, 9.5500, 0.0, 2.3875, 5.9688, 1.1938),
    ("ISH180", 23.7229, 11.0707, 3.9538, 0.0, 5.9307, 1.1861),
    ("ESH244A", 24.1851, 6.4494, 4.0308, 2.4185, 0.0, 0.0),
    ("ESH241A", 24.1068, 7.2320, 0.0, 0.0, 6.0267, 1.2053),
    ("ISH236", 24.83, 0.0, 0.0, 0.0, 0.0, 0.0),
]


@pytest.mark.parametrize("row", PRINTED, ids=[row[0] or "sound" for row in PRINTED])
def test_the_static_circuit_has_its_figures(row: tuple[str, float, float, float, float, float, float]) -> None:
    """Volts at battery 2, its amperes and those of the loads, sound and with a switch open.

    Computed from the parameters of Gorinevsky, Boyd and Poll (2009): sound, 24.83 V behind 0.1 Ω feeds 6, 10, 4 and
    20 Ω side by side, 1.7647 Ω: 24.83 · 1.7647 / 1.8647 = 23.4984 V.
    """
    opened, *expected = row
    figures = solved(STAND_OPEN | ({opened} if opened else set()), EMF)
    amps = [figures[f"amps {name}"] for name in ("battery 2", *LOADS)]
    assert [figures["volts post 2"], *amps] == pytest.approx(expected, abs=6e-5)


@dataclass
class Cases:
    """Every fault in every size: what each case reads, and of which fault it is.

    Attributes
    ----------
    names
        The faults.
    faults
        For each case the number of its fault.
    readings
        For each case what all sensors read.
    """

    names: list[str] = field(default_factory=list)
    faults: list[int] = field(default_factory=list)
    readings: list[FloatArray] = field(default_factory=list)

    def add(self, name: str, *sizes: FloatArray) -> None:
        """Add a fault with what is read under each of its sizes."""
        self.faults += [len(self.names)] * len(sizes)
        self.readings += sizes
        self.names.append(name)

    @property
    def groups(self) -> IntArray:
        """Shape (cases,)."""
        return np.array(self.faults)

    def weights(self) -> FloatArray:
        """Give every fault the same weight, shared by its sizes."""
        counts = np.bincount(self.groups)
        return np.asarray(1.0 / counts[self.groups], dtype=np.float64)

    def predicted(self) -> FloatArray:
        """Shape (cases, sensors)."""
        return np.stack(self.readings)


def off(sensor: int, sign: int) -> list[FloatArray]:
    """Give the readings with one sensor off by every size; downwards also with it reading nothing."""
    sound = sensed()
    sizes = list(SENSOR_STEPS) + ([float(sound[sensor])] if sign < 0 and sound[sensor] > 0.0 else [])
    return [sound + sign * size * (np.arange(len(SENSORS)) == sensor) for size in sizes]


def all_cases() -> Cases:
    """Enumerate the 38 faults."""
    cases = Cases()
    for switch in SWITCHES:
        is_closed = switch not in STAND_OPEN
        name = f"{switch} open" if is_closed else f"{switch} failed closed"
        cases.add(name, sensed(STAND_OPEN ^ {switch}))
    for sign, word in ((1, "high"), (-1, "low")):
        for battery, volts in EMF.items():
            offs = [sensed(emf=EMF | {battery: volts + sign * step}) for step in SOURCE_STEPS]
            cases.add(f"{battery} {word}", *offs)
        for number, sensor in enumerate(SENSORS):
            cases.add(f"{sensor} reads {word}", *off(number, sign))
    return cases


def sigma_of(predicted: FloatArray) -> FloatArray:
    """Give one sigma: of volts 0.5 % + 0.02 V and 0.04 V of contact, of amperes 1 % + 0.05 A; judgement."""
    are_volts = np.arange(len(SENSORS)) < len(VOLT_SENSORS)
    size = np.abs(predicted)
    return np.where(are_volts, np.hypot(0.005 * size + 0.02, 0.04), 0.01 * size + 0.05)


def shares_after(cases: Cases, readings: FloatArray, sensors: Iterable[int] = range(len(SENSORS))) -> FloatArray:
    """Give the share of each fault once some sensors were read."""
    predicted = cases.predicted()
    sigma = sigma_of(predicted)
    likelihoods = [
        reading_likelihood(float(readings[sensor]), predicted[:, sensor], sigma[:, sensor], SPAN) for sensor in sensors
    ]
    return group_shares(updated(cases.weights(), *likelihoods), cases.groups)


def reported(cases: Cases, shares: FloatArray) -> set[str]:
    """Give the smallest set of faults that holds the reported share."""
    order = np.argsort(-shares, kind="stable")
    needed = int(np.searchsorted(np.cumsum(shares[order]), REPORTED_SHARE)) + 1
    return {cases.names[number] for number in order[:needed]}


def true_readings(cases: Cases) -> FloatArray:
    """Give what is read under each fault, off by 2 V or 2 A where it has a size; shape (faults, sensors)."""
    firsts = [np.flatnonzero(cases.groups == fault) for fault in range(len(cases.names))]
    return cases.predicted()[[places[SOURCE_STEPS.index(2.0) if len(places) > 1 else 0] for places in firsts]]


def test_every_single_fault_is_inside_what_is_reported() -> None:
    """38 of 38 inside and at least 33 alone; what cannot be told apart is named together.

    Gorinevsky, Boyd and Poll (2009): 33 of 38 perfect, the other 5 not incorrect; there too the open breaker of a
    battery that feeds nothing looks like a fault of its voltage sensor, and a relay failed closed comes with others.
    Each of the two relays ties battery 1 to the bus that the closed relays make of both banks.
    """
    cases = all_cases()
    sets = {
        name: reported(cases, shares_after(cases, readings))
        for name, readings in zip(cases.names, true_readings(cases), strict=True)
    }
    assert len(sets) == 38
    assert all(name in together for name, together in sets.items())
    assert {name: together for name, together in sets.items() if len(together) > 1} == {
        "ISH136 open": {"ISH136 open", "E140 reads low"},
        "ESH141A failed closed": {"ESH141A failed closed", "ESH144A failed closed"},
        "ESH144A failed closed": {"ESH141A failed closed", "ESH144A failed closed"},
    }


@pytest.mark.parametrize(
    ("breaker", "sensor", "neighbour"),
    [
        ("ISH162", "IT161", "IT181"),
        ("ISH180", "IT181", "IT161"),
        ("ISH262", "IT261", "IT281"),
        ("ISH280", "IT281", "IT261"),
    ],
)
def test_a_load_without_current_is_its_breaker_or_its_sensor(breaker: str, sensor: str, neighbour: str) -> None:
    """No amperes while the other load of the bank has its own: a pair, which the battery's current then parts.

    Gorinevsky, Boyd and Poll (2009): an open load breaker and the offset of that load's current sensor stayed a pair.
    """
    cases = all_cases()
    readings = sensed(STAND_OPEN | {breaker})
    read = [SENSORS.index(neighbour), SENSORS.index(sensor)]
    pair = {f"{breaker} open", f"{sensor} reads low"}
    assert reported(cases, shares_after(cases, readings, read)) == pair
    assert reported(cases, shares_after(cases, readings, [*read, SENSORS.index("IT240")])) == {f"{breaker} open"}


def test_noise_loses_no_more_than_one_fault_in_fifty() -> None:
    """With noise of one sigma on every sensor the fault stays inside in 98 % or more of 380 cases."""
    cases = all_cases()
    random = np.random.default_rng(7)
    inside = 0
    for _ in range(10):
        for name, readings in zip(cases.names, true_readings(cases), strict=True):
            noisy = readings + sigma_of(readings) * random.standard_normal(len(SENSORS))
            inside += name in reported(cases, shares_after(cases, noisy))
    assert inside >= 0.98 * 380


class EachReading:
    """A minute for each sensor, and none twice."""

    def minutes(self, option: int, state: frozenset[int]) -> float:
        """Give one minute, infinite for a sensor that was read."""
        return math.inf if option in state else 1.0

    def after(self, option: int, state: frozenset[int]) -> frozenset[int]:
        """Note that a sensor was read."""
        return state | {option}


def sensor_option(predicted: FloatArray, sigma: FloatArray) -> Option:
    """Give the option of reading a sensor, with borders halfway between the values that it may read."""
    levels = np.unique(np.round(predicted, 1))
    return Option(bin_shares((levels[1:] + levels[:-1]) / 2.0, predicted, sigma))


def test_the_planner_reads_no_more_sensors_than_it_needs() -> None:
    """Sensor after sensor as ranked, until the faults that all twelve would report hold the reported share.

    The open breakers and relays, which one or two readings betray, are found with half of the sensors at most.
    """
    cases = all_cases()
    predicted = cases.predicted()
    sigma = sigma_of(predicted)
    table = OptionTable([sensor_option(predicted[:, i], sigma[:, i]) for i in range(len(SENSORS))])
    counts = []
    for name, readings in list(zip(cases.names, true_readings(cases), strict=True))[: len(SWITCHES)]:
        at_last = reported(cases, shares_after(cases, readings))
        weights, read = cases.weights(), frozenset[int]()
        while not reported(cases, group_shares(weights, cases.groups)) <= at_last:
            sensor = ranked(weights, cases.groups, table, EachReading(), read)[0].option
            read |= {sensor}
            weights = updated(
                weights,
                reading_likelihood(float(readings[sensor]), predicted[:, sensor], sigma[:, sensor], SPAN),
            )
        assert name in reported(cases, group_shares(weights, cases.groups)) or len(at_last) > 1
        counts.append(len(read))
    assert max(counts) <= len(SENSORS) // 2, counts
