"""Whatever takes current between two points, as the functions that look for its ways see it: loads, feeds, coils."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.harness.points import relay_coils
from model.review.review_scene import ReviewScene

FED_SHARE = 0.25
"""Under this share of its volts a load neither lights nor turns; judgement, as in the table ``load_limits``."""


@dataclass(frozen=True, slots=True)
class Pair:
    """A load's element, a module's feed or a relay's coil between its two points.

    Attributes
    ----------
    name
        ``E1:dip``, ``A2:75``, ``K3:coil``.
    ends
        The points; first the one that is fed where the file has the terminals the usual way round.
    asked_volts
        What it needs to do anything at all.
    is_coil
        True of a relay's coil: the settings that pull it in are not searched for.
    """

    name: str
    part_id: str
    ends: tuple[str, str]
    asked_volts: float
    is_coil: bool = False


def pairs_without_volts(scene: ReviewScene) -> Iterator[tuple[Pair, float]]:
    """Give whatever never has the volts to do anything, with the most volts that it has in any survey.

    What a buzzing contact feeds is left out: that it buzzes is told.
    """
    nominal_volts = scene.harness.build.nominal_volts
    for element in scene.elements:
        if scene.feeding(element) is None and element.name not in scene.unsearched:
            volts = max((survey.loads[element.name].volts for survey in scene.surveys), default=0.0)
            asked_volts = FED_SHARE * element.at_volts
            ends = (element.from_point, element.to_point)
            if volts < asked_volts and not scene.hangs_on_buzzing(ends):
                yield Pair(element.name, element.part_id, _as_fed(scene, ends), asked_volts), volts
    for relay in scene.harness.relays:
        for one, other, _ in relay_coils(relay, nominal_volts):
            ends = (f"{relay.id}.{one}", f"{relay.id}.{other}")
            volts = max((survey.settled.volts_across(*ends) for survey in scene.every_survey), default=0.0)
            if volts < relay.pull_in * nominal_volts and not scene.hangs_on_buzzing(ends):
                pair = Pair(
                    f"{relay.id}:coil", relay.id, _as_fed(scene, ends), relay.pull_in * nominal_volts, is_coil=True
                )
                yield pair, volts


def _as_fed(scene: ReviewScene, ends: tuple[str, str]) -> tuple[str, str]:
    is_turned = scene.harness.build.ground_side == "positive"
    return (ends[1], ends[0]) if is_turned else ends
