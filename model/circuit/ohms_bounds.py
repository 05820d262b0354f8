"""Whether ohms between two nodes lie high, told from what lies around the two where that suffices.

Resistance falls where anything is joined and rises where anything is taken away (Rayleigh's law: P. G. Doyle and J. L.
Snell, "Random Walks and Electric Networks", Mathematical Association of America 1984, section 1.4). What parts the two
therefore gives the least that they can have, and one way between them the most; neither grows with the network. This
module knows conductances and nothing of harnesses.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from heapq import heappop, heappush

from model.circuit.arrays import FloatArray

Beside = Callable[[int], list[tuple[int, int]]]
"""Gives the branches at a node, each with the node at its other end."""

IsHigh = Callable[[float], bool]
"""Tells whether some ohms lie high: true of all above any of which it is true."""

_ROUNDING = 1e-9


def surely_high(beside: Beside, siemens: FloatArray, ends: tuple[int, int], is_high: IsHigh) -> bool | None:
    """Tell whether the ohms between two nodes lie high; None where neither bound tells.

    Parameters
    ----------
    siemens
        Shape (branches,), conductance of each branch, above 0.
    ends
        The two nodes.
    """
    if ends[0] == ends[1]:
        return is_high(0.0)
    if is_high(least_ohms(beside, siemens, ends, is_high) * (1.0 - _ROUNDING)):
        return True
    if not is_high(most_ohms(beside, siemens, ends, is_high) * (1.0 + _ROUNDING)):
        return False
    return None


def least_ohms(beside: Beside, siemens: FloatArray, ends: tuple[int, int], is_high: IsHigh) -> float:
    """Give a bound below the ohms between two nodes, and stop where it is high; infinite where nothing joins them.

    Notes
    -----
    The branches that leave a set of nodes around one end, all in parallel, have no more ohms than lie between the ends:
    these are the ohms with everything shorted but those branches. Each set takes in what hangs on it by the fewest
    ohms, so that loads are left to part the ends; the set that fewer branches leave goes on, until both meet.
    """
    sides = _Side(beside, siemens, ends[0]), _Side(beside, siemens, ends[1])
    most = 0.0
    while True:
        own, far = sorted(sides, key=lambda side: len(side.leaving))
        ohms = own.ohms()
        most = max(most, ohms)
        if math.isinf(ohms) or is_high(ohms * (1.0 - _ROUNDING)):
            return ohms
        node = own.nearest()
        if node in far.inside:
            return most
        own.take_in(node)


class _Side:
    """A set of nodes around one of two, and the branches that leave it.

    Attributes
    ----------
    inside
        Its nodes.
    leaving
        Conductance in siemens of each branch that leaves it.
    """

    def __init__(self, beside: Beside, siemens: FloatArray, node: int) -> None:
        self._beside = beside
        self._siemens = siemens
        self.inside: set[int] = set()
        self.leaving: dict[int, float] = {}
        self._ahead: list[tuple[float, int]] = []
        self.take_in(node)

    def ohms(self) -> float:
        """Give the ohms of all branches that leave, in parallel; infinite where there is none."""
        return 1.0 / sum(self.leaving.values()) if self.leaving else math.inf

    def nearest(self) -> int:
        """Give the node that hangs on the set by the fewest ohms; some branch leaves."""
        while self._ahead[0][1] in self.inside:
            heappop(self._ahead)
        return self._ahead[0][1]

    def take_in(self, node: int) -> None:
        """Make a node one of the set."""
        self.inside.add(node)
        for branch, other in self._beside(node):
            if self.leaving.pop(branch, None) is None and other not in self.inside:
                siemens = self.leaving[branch] = float(self._siemens[branch])
                heappush(self._ahead, (1.0 / siemens, other))


def most_ohms(beside: Beside, siemens: FloatArray, ends: tuple[int, int], is_high: IsHigh) -> float:
    """Give the ohms of the least way between two nodes; infinite where that is high, or there is none."""
    ahead = [(0.0, ends[0])]
    done: set[int] = set()
    while ahead:
        ohms, node = heappop(ahead)
        if is_high(ohms * (1.0 + _ROUNDING)):
            return math.inf
        if node == ends[1]:
            return ohms
        if node in done:
            continue
        done.add(node)
        for branch, other in beside(node):
            if other not in done:
                heappush(ahead, (ohms + 1.0 / float(siemens[branch]), other))
    return math.inf
