"""How somebody notices whether a load works: by eye from outside, by ear, or only beside it."""

from __future__ import annotations

from enum import StrEnum

from model.harness.derived import once_per_harness
from model.harness.harness import Harness, all_elements
from model.harness.parts import LoadKind


class Noticed(StrEnum):
    """By what a load is noticed."""

    SEEN = "seen"
    HEARD = "heard"
    AT_HAND = "at hand"


_BY_KIND = {
    LoadKind.LAMP: Noticed.SEEN,
    LoadKind.LED: Noticed.SEEN,
    LoadKind.MOTOR: Noticed.HEARD,
    LoadKind.HORN: Noticed.HEARD,
}


def noticed(harness: Harness, element: str) -> Noticed:
    """Tell how an element of a load is noticed.

    A lamp shines out of its place and a motor or a horn is heard through its cover: nothing is opened for them. A
    heater, a valve or an apparatus wants a hand, an ear or an eye beside it.

    Parameters
    ----------
    element
        ``E5:stop``; what is no element of a load is noticed at hand.
    """
    return _BY_KIND.get(_kinds(harness).get(element, LoadKind.ELECTRONICS), Noticed.AT_HAND)


def heard_doing(harness: Harness, element: str) -> str:
    """Say what a load does that is heard: a horn sounds, a motor runs."""
    return "sound" if _kinds(harness).get(element) is LoadKind.HORN else "run"


@once_per_harness
def _kinds(harness: Harness) -> dict[str, LoadKind]:
    return {element.name: element.kind for element in all_elements(harness)}
