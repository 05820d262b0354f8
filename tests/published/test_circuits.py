"""Circuits printed with their answers in textbooks and manuals, solved again."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import TypedDict

import pytest

from model.circuit.solver import Branch, Solution, solve

Element = tuple[str, str, str, str, float | str]


class PrintedCircuit(TypedDict, total=False):
    """A circuit of ``circuits.json``.

    An element is its name, ``ohms`` or ``volts``, two points (of a source: plus, minus) and the value, or ``open`` or
    ``short``. Published are ``V(a,b)`` in volts, red lead on a and black on b; ``I(x)`` in amperes through a resistance
    from its first point, or out of the plus of a source; ``P(x)`` in watts, taken by a resistance or given by a source.
    """

    title: str
    source: str
    reference: str
    elements: list[Element]
    published: dict[str, float]
    tolerance: float
    note: str


CIRCUITS: list[PrintedCircuit] = json.loads(Path(__file__).with_name("circuits.json").read_text(encoding="utf-8"))


class SolvedCircuit:
    """A printed circuit after solving, read by the names of its points and elements."""

    def __init__(self, circuit: PrintedCircuit) -> None:
        self.elements = circuit["elements"]
        points = {circuit["reference"]: 0}
        for _, _, first, second, _ in self.elements:
            points.setdefault(first, len(points))
            points.setdefault(second, len(points))
        self.points = points
        self.solution: Solution = solve(len(points), [branch_of(element, points) for element in self.elements])

    def figure(self, name: str) -> float:
        """Give ``V(a,b)``, ``I(x)`` or ``P(x)``."""
        matched = re.fullmatch(r"([VIP])\((.+)\)", name)
        assert matched, name
        quantity, of = matched.groups()
        if quantity == "V":
            red, black = of.split(",")
            return float(self.solution.volts[self.points[red]] - self.solution.volts[self.points[black]])
        number = next(i for i, element in enumerate(self.elements) if element[0] == of)
        amps = float(self.solution.amps[number])
        if quantity == "I":
            return amps
        _, kind, _, _, value = self.elements[number]
        return float(value) * (amps if kind == "volts" else amps**2)


def branch_of(element: Element, points: dict[str, int]) -> Branch:
    """Turn an element into a branch whose positive current is the published one."""
    _, kind, first, second, value = element
    if kind == "volts":
        return Branch(points[second], points[first], 0.0, float(value))
    ohms = {"open": math.inf, "short": 0.0}.get(str(value))
    return Branch(points[first], points[second], float(value) if ohms is None else ohms)


@pytest.mark.parametrize("circuit", CIRCUITS, ids=[circuit["title"] for circuit in CIRCUITS])
def test_a_printed_circuit_gives_its_printed_answers(circuit: PrintedCircuit) -> None:
    """Volts, currents and powers match the source named beside the circuit, within the rounding of its print.

    0.6 % of the printed value, 0.0005 where that is zero; the absolute tolerance of the file where it gives one.
    """
    solved = SolvedCircuit(circuit)
    for name, printed in circuit["published"].items():
        tolerance = circuit.get("tolerance", 0.006 * abs(printed) or 0.0005)
        assert abs(solved.figure(name) - printed) <= tolerance, (name, solved.figure(name), printed, circuit["source"])


@pytest.mark.parametrize("circuit", CIRCUITS, ids=[circuit["title"] for circuit in CIRCUITS])
def test_a_printed_circuit_keeps_the_laws_of_current_and_power(circuit: PrintedCircuit) -> None:
    """At each point the currents sum to zero, and the sources give what the resistances take (Kirchhoff, Tellegen)."""
    solved = SolvedCircuit(circuit)
    sums = [0.0] * len(solved.points)
    for element, amps in zip(solved.elements, solved.solution.amps.tolist(), strict=True):
        branch = branch_of(element, solved.points)
        sums[branch.from_node] -= amps
        sums[branch.to_node] += amps
    largest_amps = max(abs(solved.solution.amps))
    assert sums == pytest.approx([0.0] * len(sums), abs=1e-9 * (largest_amps + 1))
    given = sum(solved.figure(f"P({e[0]})") for e in solved.elements if e[1] == "volts")
    taken = sum(solved.figure(f"P({e[0]})") for e in solved.elements if e[1] == "ohms" and not isinstance(e[4], str))
    assert given == pytest.approx(taken, rel=1e-9, abs=1e-12)


def test_two_sources_give_together_what_the_book_adds_up() -> None:
    """24 V gives 3.0 A and 29 V gives 2.0 A: 72 W + 58 W = 130 W (University Physics, vol. 2, section 10.3)."""
    circuit = next(c for c in CIRCUITS if c["title"] == "two sources share one resistor")
    solved = SolvedCircuit(circuit)
    assert solved.figure("P(V1)") + solved.figure("P(V2)") == pytest.approx(130, rel=1e-9)
