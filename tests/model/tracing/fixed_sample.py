"""A sample of traces that is the same in every run: over which loads, how many, and who answers."""

import random
from functools import lru_cache

from model.tracing.vehicle import Vehicle
from tests.benchmarks.trace_bounds import Maker, Subject, Traced, run_many, subjects

SEED = 1
LOADS_A_BUILD = 2
BY_MODEL = 140
BY_NGSPICE = 60
EVENLY = 40
ROUNDS = 4
"""With --every-trace so many times as many, each time over other loads."""


@lru_cache(maxsize=1)
def fixed_subjects(seed: int) -> tuple[Subject, ...]:
    """Open the inquiries of some loads of each build; kept until others are asked for, since they are large."""
    return tuple(one for one in subjects(random.Random(seed), LOADS_A_BUILD) if one.ways)


def fixed_traces(count: int, *, seed: int, take_all: bool, even: bool = False, make: Maker = Vehicle) -> list[Traced]:
    """Trace hidden faults over the fixed subjects; several times as many, over more of them, where all are taken."""
    found: list[Traced] = []
    for place in range(ROUNDS if take_all else 1):
        every = fixed_subjects(SEED + place)
        found += run_many(count, seed=seed + 100 * place, even=even, make=make, every=every)[0]
    return found
