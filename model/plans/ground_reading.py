"""The millivolts of a known current between two points of the grounded side, and which bad joints they tell."""

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
    """A current that is driven from one point of the grounded side to another.

    Attributes
    ----------
    red, black
        Points of the probes.
    condition
        What is set for metal to join them.
    """

    ground: Ground
    red: str
    black: str
    condition: Condition

    @cached_property
    def circuit(self) -> ColdCircuit:
        """The circuit of the condition."""
        return self.ground.loom.circuit(self.condition)

    @cached_property
    def ends(self) -> tuple[int, int]:
        """Nodes of red and black."""
        return self.ground.loom.node(self.red), self.ground.loom.node(self.black)

    @cached_property
    def ohms(self) -> float:
        """What a sound loom has between them; infinite where nothing joins them."""
        return self.circuit.ohms(*self.ends)

    def told(self, most_ohms: float) -> tuple[str, ...]:
        """Name the sites at which 50 mΩ more bring the reading over a limit: wires, joints, cavities and bonds.

        Where the sound loom is over the limit itself, those count that double its reading.

        Parameters
        ----------
        most_ohms
            The limit between red and black.
        """
        if self.ohms > most_ohms:
            most_ohms = 2.0 * self.ohms
        sites, found = self.ground.loom.net.sites, {}
        for branch in np.flatnonzero(self.circuit.amps(*self.ends) > _CARRIES_SHARE).tolist():
            site = sites[branch]
            if site and site not in found and self.ground.is_metal(branch):
                found[site] = self.with_bad_joint(branch) > most_ohms
        return tuple(site for site, told in found.items() if told)

    def with_bad_joint(self, branch: int, more_ohms: float = BAD_JOINT_OHMS) -> float:
        """Give the ohms between red and black with more resistance in series with a branch.

        Notes
        -----
        Resistance in series takes conductance away: that of a branch of negative resistance beside it.
        """
        loom = self.ground.loom
        siemens = float(loom.siemens[branch])
        fewer = 1.0 / (1.0 / siemens + more_ohms) - siemens
        ends = int(loom.one[branch]), int(loom.other[branch])
        return self.circuit.ohms_with(*self.ends, ends, 1.0 / fewer)
