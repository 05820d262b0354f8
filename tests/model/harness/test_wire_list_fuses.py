"""Fuses without a rating in a wire list: what they are taken to have until it is answered.

Of the ratings of ISO 8820-3 the largest that the thinnest wire bears, by the catalogue of JIS C 3406 AV of one wire in
free air: 0.5 (0.5629 mm²) 12 A, 0.85 (0.8846 mm²) 16 A, 2 (2.091 mm²) 28 A, 10 (10.02 mm²) 78 A.
"""

from __future__ import annotations

import pytest

from model.circuit.condition import make_condition
from model.circuit.survey import survey
from model.harness.fuse_tables import rating_borne, wire_bears_amps
from model.harness.wire_list_questions import questions
from tests.model.harness.test_wire_list_damage import made

MAIN = """id,from,to,size
W0,Battery +,Main fuse in,16
W1,Main fuse out,Fuse box,10
W2,F1 out,K1 30,2.5
W3,K1 87,Pump +,{pump}
W4,F2 out,Lamp +,{lamp}
W5,Pump -,Ground,2.5
W6,Lamp -,Ground,0.5
W7,Battery -,Ground,16
"""


def rated(text: str) -> dict[str, float | None]:
    """Give the rating of each fuse of a list by its label, else its id."""
    _, harness = made(text)
    return {fuse.label or fuse.id: fuse.amps for fuse in harness.fuses}


@pytest.mark.parametrize(
    ("copper_mm2", "bears_amps", "rating"), [(0.5629, 12, 10), (0.8846, 16, 15), (2.091, 28, 25), (10.02, 78, 70)]
)
def test_the_rating_that_a_wire_bears_is_the_largest_made(copper_mm2: float, bears_amps: float, rating: float) -> None:
    """By hand from the two tables; a wire thinner than all of them has the smallest fuse."""
    assert wire_bears_amps(copper_mm2) == pytest.approx(bears_amps)
    assert rating_borne(wire_bears_amps(copper_mm2)) == rating
    assert rating_borne(0.3) == 1


def test_a_fuse_without_a_rating_is_taken_for_what_its_thinnest_wire_bears() -> None:
    """10 mm² behind the main fuse, up to the next fuses alone; behind F1 the 0.8846 mm² beyond the relay; no ground."""
    assert rated(MAIN.format(pump="0.8846", lamp="2.091")) == {"Main fuse": 70.0, "F1": 15.0, "F2": 25.0}


def test_wires_without_a_size_are_left_out() -> None:
    """2.5 mm², 31.6 A between 28 A and 38 A on the line through the logarithms, is the only size known behind F1."""
    assert rated(MAIN.format(pump="", lamp=""))["F1"] == 30.0


def test_where_no_size_is_known_what_hangs_on_it_tells() -> None:
    """Four lamps of 55 W at 12 V are 18.3 A; for long a fuse carries 80 %: 22.9 A, so 25 A for the main fuse.

    A fuse for one of them, 5.7 A, has the 10 A that most have; one that is rated, 30 A, is not above the main one.
    """
    wires = "id,from,to\nW0,Battery +,Main fuse in\nW1,Main fuse out,Fuse box\n"
    wires += "".join(f"W{n},F{n - 1} out,Headlamp {n} 55W +\n" for n in range(2, 6))
    assert rated(wires) == {"Main fuse": 25.0, "F1": 10.0, "F2": 10.0, "F3": 10.0, "F4": 10.0}
    assert rated(wires.replace("F1 out", "F1 30A"))["Main fuse"] == 30.0


def test_what_is_taken_for_a_rating_is_asked() -> None:
    """It stays an open question, with the figure that stands until it is answered."""
    loom, harness = made(MAIN.format(pump="1", lamp="1"))
    main = next(one for one in questions(harness, loom.lines) if "Main fuse" in one.asks)
    assert main.assumed == "70"
    assert "Assumed: amps." in harness.parts[main.part].note


def test_a_main_fuse_that_nobody_rated_does_not_blow_with_all_on() -> None:
    """Four head lamps on a main fuse of 10 A would all be dead as soon as they burn together."""
    wires = "id,from,to,size\nW0,Battery +,Main fuse in,16\nW1,Main fuse out,Fuse box,10\n"
    wires += "".join(f"W{n},F{n - 1} out,Headlamp {n} 55W +,2.5\n" for n in range(2, 6))
    _, harness = made(wires)
    found = survey(harness, make_condition(harness, harness.key_names[0]))
    assert not found.settled.blown
    assert sum(load.amps for load in found.loads.values()) > 13.5


def test_a_rating_in_the_list_stands() -> None:
    """20 A at the fuse is 20 A, where its wires would bear 25 A."""
    assert rated(MAIN.format(pump="1", lamp="2.091").replace("F2 out", "F2 20A"))["F2"] == 20.0


def test_fuses_behind_each_other_in_a_ring_end() -> None:
    """A list may say anything: two fuses that feed each other are rated all the same."""
    assert set(rated("id,from,to\nW1,F1 out,F2 in\nW2,F2 out,F1 in\nW3,F1 out,Lamp +\n").values()) == {10.0}
