"""Words that the proposals of new circuits share."""

from __future__ import annotations

from model.harness.harness import Harness
from model.words import clean


def keys_words(harness: Harness, keys: tuple[str, ...]) -> str:
    """Say key states: “always”, “never”, or in which."""
    if keys == harness.key_names:
        return "always"
    return f"in {', '.join(clean(key, 40) for key in keys)}" if keys else "never"
