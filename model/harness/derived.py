"""What follows from a harness alone and is worked out once for it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, cast

from model.harness.harness import Harness

T = TypeVar("T")


def once_per_harness(build: Callable[[Harness], T]) -> Callable[[Harness], T]:
    """Keep what a function makes of a harness for as long as the harness lives.

    A harness is frozen and lives long; what is kept goes with it. What `build` gives must not be changed afterwards.
    """
    name = f"{build.__module__}.{build.__qualname__}"

    @wraps(build)
    def kept(harness: Harness) -> T:
        known = vars(harness)
        if name not in known:
            known[name] = build(harness)
        return cast(T, known[name])

    return kept
