"""A harness in memory as the text of a file, so that the second solver reads it by itself."""

import tomllib
from collections.abc import Iterable
from typing import Any

import tomli_w

from model.harness.fields import Record
from model.harness.harness import ROW_TYPES, Harness
from tests.against_ngspice.spice_harness import Harness as SpiceHarness


def harness_text(harness: Harness) -> str:
    """Write the records of a harness as a harness file; reading it gives the same records."""
    document: dict[str, Any] = {"format": 1, "build": _row(harness.build)}
    defaults = _row(harness.defaults)
    if defaults:
        document["defaults"] = defaults
    for table in ROW_TYPES:
        rows: Iterable[Record] = getattr(harness, table)
        if rows:
            document[table] = [_row(row) for row in rows]
    return tomli_w.dumps(document)


def _row(record: Record) -> dict[str, Any]:
    found: dict[str, Any] = record.model_dump(mode="json", by_alias=True, exclude_defaults=True, exclude_none=True)
    return found


def spice_harness(harness: Harness) -> SpiceHarness:
    """Give a harness to the second solver as the text of a file, and let it read that."""
    return SpiceHarness(tomllib.loads(harness_text(harness)))
