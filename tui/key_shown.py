"""The key state of a build, where it has a key at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.harness.harness import Harness


def key_shown(harness: Harness, key: str) -> str:
    """Return the key state to be shown; empty of a build that has no key and so a single state."""
    return "" if harness.key_switch is None and len(harness.key_states) == 1 else key
