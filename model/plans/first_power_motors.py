"""Motors behind the lamp: on the volts that it leaves them they may turn, and may as well stand still."""

from __future__ import annotations

from collections.abc import Iterable

from model.circuit.series_lamp import SeriesLamp
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind
from model.review.fuse_amps import given_start_amps, start_row

_CARRIES_SHARE = 0.001


def motors_on(lamp: SeriesLamp) -> tuple[Element, ...]:
    """Give the motors that have some of their current in a circuit with the lamp."""
    amps = lamp.settled.amps
    return tuple(
        placed.element
        for placed in lamp.settled.net.elements
        if placed.element.kind is LoadKind.MOTOR
        and abs(sum(float(amps[branch]) for branch in placed.branches)) > _CARRIES_SHARE * placed.element.rated_amps
    )


def standing_ohms(harness: Harness, element: Element) -> float:
    """Give what a motor resists while it stands still: its volts over its start current, by the file or by its kind."""
    given = given_start_amps(harness, element)
    return element.at_volts / (given or element.rated_amps * float(start_row(element)["factor"]))


def standing_words(harness: Harness, motors: Iterable[Element]) -> str:
    """Say what the current of motors that stand still is taken from."""
    guessed = next((one for one in motors if given_start_amps(harness, one) is None), None)
    if guessed is None:
        return "a motor that stands still takes its start current of the file"
    row = start_row(guessed)
    return f"a motor that stands still takes {row['factor']} times its running current ({row['source_kind']})"
