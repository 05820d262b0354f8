"""Volts as a person types them from a meter, read without guessing."""

from __future__ import annotations

import re

_VOLTS = re.compile(r"\s*[+\-\u2212]?\s*(?P<figure>\d{1,6}(?:[.,]\d{0,6})?|[.,]\d{1,6})\s*(?P<unit>m?v)?\s*", re.ASCII)


def typed_volts(text: str) -> float | None:
    """Return volts from what was typed, None where it is no reading in volts.

    One point or comma may part the decimals; the unit may follow, ``V`` or ``mV``, capitals or not: ``12.4``,
    ``12,4 V``, ``12400mv``. Of a minus the amount is taken: a meter shows one across the posts of a positive-ground
    vehicle, or where its probes are swapped. A power of ten, or two points are no reading.
    """
    found = _VOLTS.fullmatch(text.casefold())
    if found is None:
        return None
    volts = float(found["figure"].replace(",", "."))
    return volts / 1000.0 if found["unit"] == "mv" else volts
