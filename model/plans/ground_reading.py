"""The volts that a known current leaves between two points of the grounded side, and which bad joints they tell."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.circuit.condition import Condition
from model.plans.cold_circuit import ColdCircuit
from model.plans.insulation_groups import Ground

BAD_JOINT_OHMS = 0.05
"""What a bad joint adds: a loose or painted lug; judgement."""

_CARRIES_SHARE = 0.01


@dataclass(frozen=True)
class GroundReading:
    """A current that a lamp drives from one point of the grounded side to a grounded post.

    Attributes
    ----------
    pushed
        The point that the lamp is laid to, and the post that its current goes back to.
    read
        The two points that the meter stands between, the one that the lamp is laid to first.
    condition
        What is set for metal to join them.
    """

    ground: Ground
    pushed: tuple[str, str]
    read: tuple[str, str]
    condition: Condition

    @cached_property
    def circuit(self) -> ColdCircuit:
        """The circuit of the condition."""
        return self.ground.loom.circuit(self.condition)

    @cached_property
    def _pushed(self) -> tuple[int, int]:
        return self.ground.loom.node(self.pushed[0]), self.ground.loom.node(self.pushed[1])

    @cached_property
    def _read(self) -> tuple[int, int]:
        return self.ground.loom.node(self.read[0]), self.ground.loom.node(self.read[1])

    @cached_property
    def ohms(self) -> float:
        """Volts between the probes of a sound loom for each ampere of the lamp; infinite where nothing joins them."""
        return self.circuit.transfer_ohms(self._pushed, self._read)

    def told(self, most_ohms: float) -> tuple[str, ...]:
        """Name the sites at which 50 mΩ more bring the reading over a limit: wires, joints, cavities and bonds.

        Where the sound loom is over the limit itself, those count that double its reading.

        Parameters
        ----------
        most_ohms
            The limit between the probes for each ampere of the lamp.
        """
        if self.ohms > most_ohms:
            most_ohms = 2.0 * self.ohms
        sites, found = self.ground.loom.net.sites, {}
        for branch in np.flatnonzero(self.circuit.amps(*self._pushed) > _CARRIES_SHARE).tolist():
            site = sites[branch]
            if site and site not in found and self.ground.is_metal(branch):
                found[site] = self.with_bad_joint(branch) > most_ohms
        return tuple(site for site, told in found.items() if told)

    def with_bad_joint(self, branch: int, more_ohms: float = BAD_JOINT_OHMS) -> float:
        """Give the volts between the probes for each ampere with more resistance in series with a branch.

        Notes
        -----
        Resistance in series takes conductance away: that of a branch of negative resistance beside it.
        """
        loom = self.ground.loom
        siemens = float(loom.siemens[branch])
        fewer = 1.0 / (1.0 / siemens + more_ohms) - siemens
        ends = int(loom.one[branch]), int(loom.other[branch])
        return self.circuit.transfer_ohms(self._pushed, self._read, (ends, 1.0 / fewer))
