"""Loads whose own fuse opens as soon as they work: fed by the metal, and by the rating of a fuse never for long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from model.circuit.bench import Bench
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.harness.parts import Fuse, FuseStyle
from model.review.finding import rule_of
from model.review.fuse_feeds import all_behind
from model.review.sweep import SOLVED_A_SEARCH_AT_MOST
from model.tracing.working import working_condition
from model.units import fuse_cold_ohms


@dataclass(frozen=True, slots=True)
class BlowsAlone:
    """An element that opens its fuses in the condition in which it should work.

    Attributes
    ----------
    survey
        Of that condition, as it would be if no fuse opened.
    fuse_ids
        The fuses that open, each asked for more than it holds by the loads behind it.
    """

    element: Element
    survey: Survey
    fuse_ids: tuple[str, ...]


def never_opening(bench: Bench) -> Bench:
    """Give a bench of the same harness whose fuses never open and resist as they do."""
    return Bench(replace(bench.harness, fuses=tuple(_unrated(bench.harness))), bench.first_emf)


def _unrated(harness: Harness) -> Iterator[Fuse]:
    for fuse in harness.fuses:
        ohms = fuse.ohms or fuse_cold_ohms(fuse.amps, fuse.style)
        yield fuse.model_copy(update={"amps": None, "style": FuseStyle.THERMAL, "ohms": ohms})


def blows_alone(bench: Bench, lasting: Bench, element: Element) -> BlowsAlone | None:
    """Tell of an element that nothing feeds whether its own fuse is the cause; None where it is not.

    Parameters
    ----------
    lasting
        The same harness with fuses that never open.
    """
    working = working_condition(lasting, element, SOLVED_A_SEARCH_AT_MOST)
    if not working.reached:
        return None
    try:
        blown = bench.survey(working.condition).settled.blown
        survey = lasting.survey(working.condition)
    except CircuitError:
        return None
    fuse_ids = tuple(fuse_id for fuse_id in blown if _asked_amps(survey, fuse_id) > opens_amps(bench.harness, fuse_id))
    return BlowsAlone(element, survey, fuse_ids) if fuse_ids else None


def opens_amps(harness: Harness, fuse_id: str) -> float:
    """Give the amperes above which a fuse opens in time."""
    return rule_of("fuse holds in use").figure / 100.0 * (harness.part_of(fuse_id, Fuse).amps or 0.0)


def _asked_amps(survey: Survey, fuse_id: str) -> float:
    """Give the amperes that the loads behind a fuse take: what a short takes is none of theirs."""
    return sum(survey.loads[name].amps for name in all_behind(survey.settled.net.harness, fuse_id))
