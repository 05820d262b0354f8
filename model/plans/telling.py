"""Whether a row could fail at all: the circuit solved whole and broken, and what to take apart so that it tells."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from model.circuit.bands import WIRE_TOLERANCE
from model.circuit.ohms_net import OhmsNet
from model.plans.limits import high_of, meter_error_ohms
from model.plans.runs import Run

MILLIVOLTS_SHARE = 0.005
METER_MILLIVOLTS = 0.2
_OPENED_AT_MOST = 4
_TRIED_AT_MOST = 160


def ohms_limit(whole_ohms: float) -> float:
    """Give the most that a sound conductor may read: 25 % over what is computed, and the meter's error."""
    return (1.0 + WIRE_TOLERANCE) * whole_ohms + meter_error_ohms(whole_ohms)


def millivolts_limit(whole_ohms: float, amps: float) -> float:
    """Give the most millivolts that a heavy cable may show at some amperes.

    Notes
    -----
    Twice what is computed, and no more than 0.20 V in 100 A (US Army TM 10-3930-671-24, p. F-303); where the cable by
    its length has more than that already, 25 % over what is computed.
    """
    twice = 2.0 * whole_ohms + METER_MILLIVOLTS / 1000.0 / amps
    return 1000.0 * amps * max(min(heavy_ohms(), twice), (1.0 + WIRE_TOLERANCE) * whole_ohms)


def heavy_ohms() -> float:
    """Give the most ohms of a path of the starting current: 0.20 V in 100 A."""
    return high_of("any cranking path") / 100.0


def least_ohms(ohms: float) -> float:
    """Give the least that a meter may show of some ohms; infinite where open."""
    return ohms if math.isinf(ohms) else ohms - meter_error_ohms(ohms)


def most_ohms(ohms: float) -> float:
    """Give the most that a meter may show of some ohms; infinite where open."""
    return ohms if math.isinf(ohms) else ohms + meter_error_ohms(ohms)


def least_millivolts(ohms: float, amps: float) -> float:
    """Give the least millivolts that a meter may show across some ohms that some amperes flow through."""
    return 1000.0 * amps * ohms * (1.0 - MILLIVOLTS_SHARE) - METER_MILLIVOLTS


def ohms_tell(whole_ohms: float, broken_ohms: float) -> bool:
    """Tell whether ohms can show a break: broken reads above the limit by more than the meter's error."""
    return least_ohms(broken_ohms) > ohms_limit(whole_ohms)


def millivolts_tell(whole_ohms: float, broken_ohms: float, amps: float) -> bool:
    """Tell whether millivolts can show a break: broken they lie above the limit by more than the meter's error."""
    return least_millivolts(broken_ohms, amps) > millivolts_limit(whole_ohms, amps)


@dataclass(frozen=True, slots=True)
class Telling:
    """What a row can tell.

    Attributes
    ----------
    opens
        Parts to take out or apart, and wires to take off a terminal, so that it tells; the smallest set found.
    tells
        False where no set was found.
    hidden_by
        What stands beside the conductor, by id, where the row tells nothing as the loom is.
    """

    opens: tuple[str, ...]
    tells: bool
    hidden_by: tuple[str, ...] = ()


@dataclass
class Search:
    """Looks for the smallest set of parts to take apart.

    Attributes
    ----------
    net
        The loom in the state of the plan.
    rank
        Gives how gladly a part is taken apart, the lower the better; None where it stays.
    used
        Parts that other rows have been given: they are open anyhow.
    """

    net: OhmsNet
    rank: Callable[[str], float | None]
    used: set[str] = field(default_factory=set)

    def of(self, run: Run, at_first: frozenset[str], amps: float | None) -> Telling:
        """Find what a run can tell.

        Parameters
        ----------
        at_first
            Parts that have to be out whatever the row can tell.
        amps
            Of a heavy cable, the amperes at which its millivolts are read; None where ohms are.
        """
        if self._tells(run, at_first, amps):
            return Telling(self._sorted(at_first), tells=True)
        hidden = tuple(dict.fromkeys(self._beside(run, at_first)))
        tried = [_TRIED_AT_MOST]
        already = at_first | frozenset(self.used)
        if already != at_first and self._tells(run, already, amps):
            needed = self._least_of(run, at_first, already, amps)
            if len(needed) <= len(at_first) + 1:
                return Telling(self._sorted(needed), tells=True, hidden_by=hidden)
        for most in range(1, _OPENED_AT_MOST + 1):
            found = self._deeper(run, at_first, amps, most, tried)
            if found is not None:
                self.used |= found
                return Telling(self._sorted(found), tells=True, hidden_by=hidden)
        return Telling(self._sorted(at_first), tells=False, hidden_by=hidden)

    def _least_of(
        self, run: Run, at_first: frozenset[str], opened: frozenset[str], amps: float | None
    ) -> frozenset[str]:
        """Leave out of a set what is not needed for the run to tell."""
        for name in sorted(opened - at_first):
            if self._tells(run, opened - {name}, amps):
                opened -= {name}
        return opened

    def _deeper(
        self, run: Run, opened: frozenset[str], amps: float | None, most: int, tried: list[int]
    ) -> frozenset[str] | None:
        if most == 0 or tried[0] <= 0:
            return None
        for name in sorted(set(self._beside(run, opened)), key=self._order):
            tried[0] -= 1
            wider = opened | {name}
            if self._tells(run, wider, amps):
                return wider
            found = self._deeper(run, wider, amps, most - 1, tried)
            if found is not None:
                return found
        return None

    def _order(self, name: str) -> tuple[bool, float, str]:
        return name not in self.used, self.rank(name) or 0.0, name

    def _beside(self, run: Run, opened: frozenset[str]) -> Iterator[str]:
        """Name the parts on the least way beside a broken conductor that can be taken apart."""
        for site in run.own:
            gone = (*self._gone(opened), *self.net.places_of(site))
            for place in self.net.way(self.net.index[run.red], self.net.index[run.black], gone).branches:
                name = self.net.parts[place]
                if name and name not in run.sites and self.rank(name) is not None:
                    yield name

    def _tells(self, run: Run, opened: frozenset[str], amps: float | None) -> bool:
        return all(self._tells_of(run, site, opened, amps) for site in run.own)

    def _tells_of(self, run: Run, site: str, opened: frozenset[str], amps: float | None) -> bool:
        gone = self._gone(opened)
        red, black = self.net.index[run.red], self.net.index[run.black]
        whole = self.net.ohms_without(red, black, gone)
        broken = self.net.ohms_without(red, black, (*gone, *self.net.places_of(site)))
        if math.isinf(whole):
            return False
        return ohms_tell(whole, broken) if amps is None else millivolts_tell(whole, broken, amps)

    def _gone(self, opened: frozenset[str]) -> tuple[int, ...]:
        return tuple(place for name in sorted(opened) for place in self.net.branches_of(name))

    @staticmethod
    def _sorted(names: frozenset[str]) -> tuple[str, ...]:
        return tuple(sorted(names))
