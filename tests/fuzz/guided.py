"""One fuzz target run by atheris until its time is up; started by the long job."""

from __future__ import annotations

import sys
import warnings
from random import Random

import atheris  # type: ignore[import-untyped, import-not-found, unused-ignore]


def main() -> None:
    """Run the target named first with the options of libFuzzer behind it."""
    target, *options = sys.argv[1:]
    with atheris.instrument_imports(include=["model", "tui", "tomllib"]):
        from tests.fuzz.mutations import mutated_bytes
        from tests.fuzz.targets import TARGETS
    warnings.simplefilter("error")

    def changed(content: bytes, most_bytes: int, seed: int) -> bytes:
        random = Random(seed)
        if random.random() < 0.5:
            return bytes(atheris.Mutate(content, most_bytes))
        return mutated_bytes(content, random)[:most_bytes]

    atheris.Setup([sys.argv[0], *options], TARGETS[target], custom_mutator=changed)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
