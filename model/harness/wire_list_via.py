"""The trunks that a wire runs through, in one cell."""

from __future__ import annotations

import re

from model.harness.wire_list_cells import json_text, json_value
from model.harness.wire_list_remark import ListRefusedError


def via_of(cell: str) -> list[str]:
    """Read the trunks that a wire runs through: a list of JSON, or names parted by ``;``, ``>`` or ``|``."""
    if cell.startswith("["):
        try:
            names = json_value(cell)
        except ListRefusedError:
            names = None
        if isinstance(names, list):
            return [name for name in names if isinstance(name, str) and name.strip()]
    return [name.strip() for name in re.split(r"[;>|]", cell) if name.strip()]


def via_text(names: tuple[str, ...]) -> str:
    """Spell trunks so that `via_of` reads them."""
    if any(re.search(r"[;>|]", name) or name.startswith("[") or name != name.strip() for name in names):
        return json_text(list(names))
    return "; ".join(names)
