"""What may be read at a check, as ranges that leave no reading out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from model.tracing.answer_words import OPEN_WORDS, number_words
from model.tracing.asking import Outlook
from model.tracing.checks import MEASURED, Check, CheckKind, Outcome, measured

_CLOSE = {CheckKind.VOLTS: 0.4, CheckKind.DROP: 0.004, CheckKind.OHMS: 0.4, CheckKind.AMPS: 0.1}
"""Readings nearer to each other than this are not told apart with a hand meter; volts, ohms, amperes; judgement."""

_CLOSE_SHARE = 0.08
_LEAST_OHMS = 0.1

Band = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Range:
    """Readings that lead the same way.

    Attributes
    ----------
    words
        ``under 0.40 V``, ``0.40 V to 11.60 V``, ``over 11.60 V``, ``OL (open)``, ``dark``.
    likely
        How likely it is, 0 to 1.
    outcome
        One that stands for all of them.
    is_good
        Whether it is what the sound circuit shows.
    """

    words: str
    likely: float
    outcome: Outcome
    is_good: bool


@dataclass(frozen=True, slots=True)
class _Near:
    """Outlooks so near to each other that they are one; the outcome is that of the likeliest."""

    least: float
    most: float
    likely: float
    best: Outlook

    def with_next(self, other: Outlook) -> _Near:
        best = other if other.likely > self.best.likely else self.best
        return _Near(self.least, other.outcome.value, self.likely + other.likely, best)


def ranges_of(
    check: Check,
    outlooks: Sequence[Outlook],
    band: Band | None,
    *,
    healthy_words: str = "",
    both_signs: bool = False,
) -> tuple[Range, ...]:
    """Give the ranges of a check, from the least reading to the greatest; those of words, the likeliest first.

    Parameters
    ----------
    band
        Least and most of a good reading, where there is one: its edge parts it from its neighbours.
    healthy_words
        What the sound circuit shows where that is no number.
    both_signs
        True where a reading counts whatever its sign, as on a positive ground: the ranges are without it.

    Notes
    -----
    Elsewhere a border stands midway between what neighbouring outlooks foresee, of ohms at their geometric mean.
    """
    if check.kind not in MEASURED:
        return tuple(
            Range(one.words, one.likely, one.outcome, str(one.outcome.word) == healthy_words) for one in outlooks
        )
    if both_signs:
        outlooks, band = [_without_sign(one) for one in outlooks], _band_without_sign(band)
    finite = sorted((one for one in outlooks if math.isfinite(one.outcome.value)), key=lambda one: one.outcome.value)
    near: list[_Near] = []
    for one in finite:
        if near and _are_one(check.kind, near[-1].most, one.outcome.value, band):
            near[-1] = near[-1].with_next(one)
        else:
            near.append(_Near(one.outcome.value, one.outcome.value, one.likely, one))
    borders = [_border(check.kind, one.most, other.least, band) for one, other in pairwise(near)]
    is_open = [one for one in outlooks if math.isinf(one.outcome.value)]
    found = [
        Range(
            _range_words(check.kind, borders, place, beside_open=bool(is_open)),
            one.likely,
            one.best.outcome,
            band is not None and band[0] <= one.best.outcome.value <= band[1],
        )
        for place, one in enumerate(near)
    ]
    return (*found, *(Range(OPEN_WORDS, one.likely, one.outcome, healthy_words == "open") for one in is_open))


def _without_sign(one: Outlook) -> Outlook:
    return replace(one, outcome=measured(abs(one.outcome.value)))


def _band_without_sign(band: Band | None) -> Band | None:
    if band is None:
        return None
    ends = (abs(band[0]), abs(band[1]))
    return (0.0 if band[0] <= 0.0 <= band[1] else min(ends), max(ends))


def _are_one(kind: CheckKind, below: float, above: float, band: Band | None) -> bool:
    if band is not None and band[0] <= below and above <= band[1]:
        return True
    return above - below < max(_CLOSE[kind], _CLOSE_SHARE * abs(above))


def _border(kind: CheckKind, below: float, above: float, band: Band | None) -> float:
    if band is not None:
        low, high = band
        if below < low < above <= high:
            return low
        if low <= below <= high < above:
            return high
    if kind is CheckKind.OHMS:
        return math.sqrt(max(below, _LEAST_OHMS) * max(above, _LEAST_OHMS))
    return (below + above) / 2.0


def _range_words(kind: CheckKind, borders: Sequence[float], place: int, *, beside_open: bool) -> str:
    figures = [number_words(kind, _rounded(border)) for border in borders]
    if not figures:
        return "any number" if beside_open else "any reading"
    if place == 0:
        return f"under {figures[0]}"
    if place == len(figures):
        return f"over {figures[-1]}"
    return f"{figures[place - 1]} to {figures[place]}"


def _rounded(value: float) -> float:
    """Round to two figures, from ten on to three."""
    if value == 0:
        return 0.0
    figures = 2 if abs(value) < 10.0 else 3
    return round(value, figures - 1 - math.floor(math.log10(abs(value))))
