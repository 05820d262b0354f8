"""The ways of least resistance from the posts through what is closed."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.review.way_trees import SurveyWays
from tests.model.review.looms import HEAD, POSITIVE_HEAD, loom, wires

ROWS = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
diodes = [ { id = "V1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
"""


def _ways(head: str, *ends: str) -> SurveyWays:
    harness = loom(head + ROWS + wires(*ends))
    return SurveyWays(harness, Bench(harness).survey(Condition("off")))


@pytest.mark.parametrize(
    ("head", "hot", "cold", "diode", "fused"),
    [
        (HEAD, "+", "-", ("anode", "cathode"), "F1"),
        (HEAD, "+", "-", ("cathode", "anode"), None),
        (POSITIVE_HEAD, "-", "+", ("cathode", "anode"), "F1"),
        (POSITIVE_HEAD, "-", "+", ("anode", "cathode"), None),
    ],
)
def test_a_feed_goes_through_a_diode_one_way_alone(
    head: str, hot: str, cold: str, diode: tuple[str, str], fused: str | None
) -> None:
    """Current leaves a positive feed by the anode and comes to a negative one by the cathode; else none leads there."""
    ways = _ways(
        head, f"G1.{hot} F1.in", f"F1.out V1.{diode[0]}", f"V1.{diode[1]} E1.{hot}", f"E1.{cold} CHASSIS",
        f"G1.{cold} CHASSIS",
    )  # fmt: skip
    way = ways.feed_way(f"E1.{hot}")
    assert (None if way is None else way[1].site) == fused


def test_the_way_of_least_resistance_is_taken() -> None:
    """Of two fused ways the one of fewer milliohms: a wire and a fuse less."""
    ways = _ways(HEAD, "G1.+ F1.in", "F1.out F2.in", "F2.out E1.+", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    way = ways.feed_way("E1.+")
    assert way is not None
    assert [link.site for link in way] == ["W1", "F1", "W4"]
    assert ways.start_of(way, "E1.+") == "G1.+"
    assert ways.unfused_way("E1.+") is None


def test_the_fed_end_is_the_one_farther_from_the_grounded_post() -> None:
    """A lamp that is wired the other way round is fed at its other end."""
    ways = _ways(HEAD, "G1.+ F1.in", "F1.out E1.-", "E1.+ CHASSIS", "G1.- CHASSIS")
    assert ways.hot_end_of("E1.+", "E1.-") == "E1.-"
    assert [link.site for link in ways.ground_way("E1.+") or ()] == ["W4", "W3"]
