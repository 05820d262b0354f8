"""What each faulty circuit reads of a check that is answered with a number."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases
from model.harness.parts import Fuse
from model.tracing.checks import Check, CheckKind, Outcome
from model.tracing.likelihood import (
    FLOATING_OHMS,
    SLIP_SHARE,
    SUPPLY_SHARE,
    bin_shares,
    floating_likelihood,
    reading_likelihood,
    volts_sigma,
)
from model.units import SHOWN_OPEN_OHMS, fuse_cold_ohms

LOAD_SHARE = 0.12
"""One sigma of what a load takes, as a share of it."""

_DIVIDER_SHARE = 0.25
_STRAYS_SHARE = 0.1
"""Of a floating point, when checks are compared: no check is made for the sake of what strays there."""

_VOLTS_EDGES = (0.025, 0.16, 0.4, 0.7, 0.9)
_DROP_EDGES = (0.003, 0.01, 0.025, 0.06, 0.15, 0.4, 0.75)
_AMPS_EDGES = (0.05, 0.25, 0.6, 0.85, 1.2, 2.0)
_OHMS_EDGES = (0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 1e3, 1e5, 5e7)
_LEAD_OHMS = 0.1
_OHMS_SHARE = 0.15
_MOST_OHMS = 2000.0
_OHMS_SPAN = math.log(_MOST_OHMS / _LEAD_OHMS)
_CLAMP_SHARE, _CLAMP_AMPS, _FUSE_SHARE = 0.03, 0.05, 0.10
_FUSE_VOLTS = 0.0003
"""One sigma of millivolts across a seated fuse: three digits of the last place of a hand meter, and the probes."""


@dataclass(frozen=True)
class Numbers:
    """What each case reads.

    Attributes
    ----------
    predicted, sigma
        Shape (cases,), in the unit of the check; one sigma.
    floats
        Shape (cases,), true where a point floats, so that what leaks in decides.
    sound
        What the sound circuit reads.
    span
        The range over which a slip may read anything; of ohms that of the logarithm.
    edges
        Rising, between which outcomes are told apart when planning.
    supply_volts
        What stands across the posts, with the sign of the hot side.
    is_either_way
        True where a reading counts with both signs.
    """

    kind: CheckKind
    predicted: FloatArray
    sigma: FloatArray
    floats: BoolArray
    sound: float
    sound_sigma: float
    span: float
    edges: FloatArray
    supply_volts: float
    is_either_way: bool
    fuse_ohms: float
    spread: Callable[[], FloatArray]

    def with_spread(self) -> Numbers:
        """Give the same with the parts' tolerances taken through each circuit, in place of a rule of thumb."""
        return replace(self, sigma=self.spread())

    def residual_to_sound(self) -> FloatArray:
        """Give how many sigmas each case lies from the sound circuit, shape (cases,); where it floats, far."""
        scale = np.maximum(self.sigma, self.sound_sigma)
        with np.errstate(invalid="ignore"):
            away = (self._finite(self.predicted) - self._finite(np.array([self.sound]))) / scale
        return np.where(self.floats, 99.0, away)

    def residuals(self, read: float, *, across_fuse: bool = False) -> FloatArray:
        """Give how many sigmas a reading lies from each case, shape (cases,); 0 where a point floats."""
        match self.kind:
            case CheckKind.OHMS:
                relative = np.log(min(max(read, 0.0), 1e9) + _LEAD_OHMS)
                away = (relative - np.log(self._finite(self.predicted) + _LEAD_OHMS)) / _OHMS_SHARE
                return np.where((self.predicted > SHOWN_OPEN_OHMS) & (read > SHOWN_OPEN_OHMS), 0.0, away)
            case CheckKind.AMPS:
                amps = abs(read) / self.fuse_ohms if across_fuse else abs(read)
                least_amps = _FUSE_VOLTS / self.fuse_ohms if across_fuse else 0.0
                return (amps - self.predicted) / np.sqrt(self.sigma**2 + (_FUSE_SHARE * amps) ** 2 + least_amps**2)
        away = (read - self.predicted) / self.sigma
        if self.is_either_way:
            other = (-read - self.predicted) / self.sigma
            away = np.where(np.abs(other) < np.abs(away), other, away)
        return np.where(self.floats, 0.0, away)

    def likelihood(self, read: float, *, across_fuse: bool = False) -> FloatArray:
        """Give the likelihood of a reading under each case, shape (cases,)."""
        match self.kind:
            case CheckKind.OHMS:
                return self._ohms_likelihood(read)
            case CheckKind.AMPS:
                share = _FUSE_SHARE if across_fuse else _CLAMP_SHARE
                amps = abs(read) / self.fuse_ohms if across_fuse else abs(read)
                least_amps = _FUSE_VOLTS / self.fuse_ohms if across_fuse else 0.0
                sigma = np.sqrt(self.sigma**2 + (share * amps) ** 2 + least_amps**2)
                return reading_likelihood(amps, self.predicted, sigma, self.span)
        found = self._volts_likelihood(read)
        return np.maximum(found, self._volts_likelihood(-read)) if self.is_either_way else found

    def _volts_likelihood(self, read: float) -> FloatArray:
        plain = reading_likelihood(read, self.predicted, self.sigma, self.span)
        if not self.floats.any():
            return plain
        return np.where(self.floats, floating_likelihood(read, self.predicted, self.sigma, self.supply_volts), plain)

    def flat_likelihood(self, outcome: Outcome) -> float:
        """Give the likelihood of a reading of which nothing is known, as likely in any place as in any other."""
        flat = math.prod(self._flat_likelihood(end) for end in outcome.ends)
        return float(flat ** (1.0 / len(outcome.ends)))

    def _flat_likelihood(self, read: float) -> float:
        if self.kind is not CheckKind.OHMS:
            return 1.0 / self.span
        return 0.5 if read > SHOWN_OPEN_OHMS else 0.5 / self.span

    def _ohms_likelihood(self, read: float) -> FloatArray:
        """Give the likelihood of a reading per unit of its logarithm, and of an open one as a share."""
        is_open = self.predicted > SHOWN_OPEN_OHMS
        if read > SHOWN_OPEN_OHMS:
            return np.where(is_open, 1.0 - SLIP_SHARE, SLIP_SHARE / 2.0)
        relative = np.log(max(read, 0.0) + _LEAD_OHMS) - np.log(self._finite(self.predicted) + _LEAD_OHMS)
        close = reading_likelihood(0.0, relative, np.full(len(relative), _OHMS_SHARE), self.span)
        return np.where(is_open, SLIP_SHARE / 2.0 / self.span, close)

    def bins(self) -> FloatArray:
        """Give how likely a reading falls between each two edges under each case, shape (bins, cases)."""
        if self.kind is CheckKind.OHMS:
            edges = np.log(self.edges + _LEAD_OHMS)
            predicted = np.log(self._finite(self.predicted) + _LEAD_OHMS)
            return bin_shares(edges, predicted, np.full(len(predicted), _OHMS_SHARE))
        sign = -1.0 if self.supply_volts < 0 else 1.0
        predicted = np.abs(self.predicted) if self.kind is CheckKind.DROP else sign * self.predicted
        found = bin_shares(self.edges, predicted, self.sigma)
        if self.floats.any():
            even = np.diff(np.clip(np.concatenate(([0.0], self.edges, [self.span])), 0.0, self.span)) / self.span
            flat = (1.0 - _STRAYS_SHARE) * found + _STRAYS_SHARE * even[:, None]
            found = np.where(self.floats, flat, found)
        return found

    def _finite(self, values: FloatArray) -> FloatArray:
        return np.minimum(values, 1e9) if self.kind is CheckKind.OHMS else values


def numbers_of(
    bench: Bench, check: Check, cases: Cases, posts_volts: Mapping[str, float], *, roughly: bool = False
) -> Numbers:
    """Give what each case reads of a check that is answered with a number.

    Parameters
    ----------
    posts_volts
        Key state → volts read across the posts in it: there readings count as a share of them.
    roughly
        True where it is only to be chosen by.
    """
    match check.kind:
        case CheckKind.OHMS:
            return _ohms(check, cases)
        case CheckKind.AMPS:
            return _amps(bench, check, cases, roughly=roughly)
    return _volts(bench, check, cases, posts_volts.get(check.condition.key), roughly=roughly)


def _sound(cases: Cases, values: FloatArray) -> float:
    return float(values[np.flatnonzero(cases.variant == 0)[0]])


def _volts(bench: Bench, check: Check, cases: Cases, posts_read: float | None, *, roughly: bool) -> Numbers:
    is_posts = {check.red, check.black} == {f"{bench.harness.batteries[0].id}.{sign}" for sign in "+-"}
    scale = np.ones(len(cases.share))
    supply_share = SUPPLY_SHARE
    if posts_read is not None and not is_posts:
        scale = posts_read / np.where(np.abs(cases.posts_volts) < 0.1, posts_read, cases.posts_volts)
        supply_share = 0.0
    predicted = cases.volts(check.red, check.black, roughly=roughly) * scale
    posts = float(np.abs(_sound(cases, cases.posts_volts))) if posts_read is None else abs(posts_read)
    positive = bench.harness.build.ground_side == "positive"
    is_drop = check.kind is CheckKind.DROP
    share = np.clip(np.abs(predicted) / posts, 0.0, 1.0)
    rough = _DIVIDER_SHARE * np.abs(predicted) * (1.0 - 0.9 * share)
    sigma = volts_sigma(predicted, rough, supply_share, across_joint=is_drop)

    def spread() -> FloatArray:
        exact = cases.spread_volts(check.red, check.black) * scale
        return volts_sigma(predicted, exact, supply_share, across_joint=is_drop)

    sound = _sound(cases, predicted)
    sound_sigma = _sound(cases, sigma)
    own = abs(sound) if is_drop else (-sound if positive else sound)
    fractions = _DROP_EDGES if is_drop else _VOLTS_EDGES
    near = (own + 3.0 * sound_sigma,) if is_drop else (own - 3.0 * sound_sigma, own + 3.0 * sound_sigma)
    edges = np.unique(np.array([*(fraction * posts for fraction in fractions), *near]))
    return Numbers(
        check.kind,
        predicted,
        sigma,
        cases.source_ohms(check.red, check.black) > FLOATING_OHMS,
        sound,
        sound_sigma,
        posts + 1.0,
        edges,
        -posts if positive else posts,
        positive,
        0.0,
        spread,
    )


def _ohms(check: Check, cases: Cases) -> Numbers:
    predicted = cases.ohms(check.red, check.black)
    sigma = np.hypot(_LEAD_OHMS, _OHMS_SHARE * np.minimum(predicted, 1e9))
    sound = _sound(cases, predicted)
    return Numbers(
        check.kind,
        predicted,
        sigma,
        np.zeros(len(predicted), dtype=bool),
        sound,
        float(np.hypot(_LEAD_OHMS, _OHMS_SHARE * min(sound, 1e9))),
        _OHMS_SPAN,
        np.array(_OHMS_EDGES),
        1.0,
        False,
        0.0,
        lambda: sigma,
    )


def _amps(bench: Bench, check: Check, cases: Cases, *, roughly: bool) -> Numbers:
    predicted = cases.fuse_amps(check.part)
    fuse = bench.harness.part_of(check.part, Fuse)
    fuse_ohms = fuse.ohms or fuse_cold_ohms(fuse.amps, fuse.style)
    # who has no clamp reads millivolts: across a large fuse a small load is lost in the last digits
    least_amps = max(_CLAMP_AMPS, _FUSE_VOLTS / fuse_ohms) if roughly else _CLAMP_AMPS
    sigma = np.hypot(least_amps, LOAD_SHARE * predicted)
    sound = _sound(cases, predicted)
    size = max(sound, 0.2)
    return Numbers(
        check.kind,
        predicted,
        sigma,
        np.zeros(len(predicted), dtype=bool),
        sound,
        float(np.hypot(least_amps, LOAD_SHARE * sound)),
        3.0 * max(size, fuse.amps or size),
        np.array([edge * size for edge in _AMPS_EDGES]),
        1.0,
        False,
        fuse_ohms,
        lambda: sigma,
    )
