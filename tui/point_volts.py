"""Volts at points as texts for rows: figures, the words that stand for them, and nothing where no probe may go."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from model.errors import CircuitError
from model.harness.hazards import may_be_probed
from model.harness.points import resolve_point
from model.harness.supply import grounded_posts
from model.tracing.expect import reading_at
from model.words import volts_text
from tui.standing import Standing

NO_PROBE = "no probe"
"""What stands where a figure would ask for a probe that must not go there."""


@dataclass(frozen=True, slots=True)
class PointVolts:
    """Volts at points against the grounded battery post, as texts.

    Attributes
    ----------
    texts
        Point → key state → figure, or ``floating`` or ``unsettled``; a point that is never probed is left out.
    trouble
        Key state → why the circuit could not be solved in it.
    """

    texts: dict[str, dict[str, str]]
    trouble: dict[str, str]

    def at(self, point: str, key: str) -> str:
        """Give the text at a point in a key state; empty where there is none."""
        return self.texts.get(point, {}).get(key, "")


def point_volts(standing: Standing, points: Iterable[str], keys: Sequence[str] | None = None) -> PointVolts:
    """Give the volts at points with everything set as it is now.

    Parameters
    ----------
    keys
        Key states; the one as it is now where none are given.
    """
    harness, condition = standing.harness, standing.condition
    probed = [point for point in dict.fromkeys(points) if may_be_probed(harness, point) is None]
    texts: dict[str, dict[str, str]] = {point: {} for point in probed}
    trouble: dict[str, str] = {}
    black = grounded_posts(harness)[0]
    for key in keys or (condition.key,):
        try:
            settled = standing.survey_at(key).settled
        except CircuitError as error:
            trouble[key] = str(error)
            continue
        for point in probed:
            node = resolve_point(harness, point)
            if node in settled.net.index:
                volts, word = reading_at(settled, node, black)
                texts[point][key] = word if volts is None else volts_text(volts)
    return PointVolts(texts, trouble)
