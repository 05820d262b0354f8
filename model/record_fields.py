"""What every entry of a record has, and the kinds of values that stand in one."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from typing import Annotated

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
)

OPEN = "open"

_SURROGATES = dict.fromkeys(range(0xD800, 0xE000), "\ufffd")


def _without_surrogates(value: object) -> object:
    return value.translate(_SURROGATES) if isinstance(value, str) else value


def _to_the_second(when: datetime) -> datetime:
    """Give the time to the second; TOML has no offset with seconds."""
    offset = when.utcoffset()
    whole = when.replace(microsecond=0)
    return whole.astimezone(UTC) if offset is not None and offset.total_seconds() % 60 else whole


def _open_as_infinite(value: object) -> object:
    if isinstance(value, list | tuple):
        return tuple(_open_as_infinite(item) for item in value)
    return math.inf if value == OPEN else value


When = Annotated[AwareDatetime, Field(strict=True), AfterValidator(_to_the_second)]
Words = Annotated[str, BeforeValidator(_without_surrogates), StringConstraints(strict=True)]
Named = Annotated[str, BeforeValidator(_without_surrogates), StringConstraints(strict=True, min_length=1)]
Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
OpenNumber = Annotated[float, Field(strict=True, gt=-math.inf)]
Swinging = Number | tuple[Number, Number]
OhmsRead = Annotated[OpenNumber | tuple[OpenNumber, OpenNumber], BeforeValidator(_open_as_infinite)]
Flag = Annotated[bool, Field(strict=True)]
Count = Annotated[int, Field(strict=True, ge=0)]
Names = tuple[Named, ...]
Settings = dict[Words, Words]


class Row(BaseModel):
    """A table of the record; a key that is not known is passed over, so that later programs may add some."""

    model_config = ConfigDict(extra="ignore", frozen=True, defer_build=True, populate_by_name=True)


class Entry(Row):
    """What every entry may carry.

    Attributes
    ----------
    when
        Local time with its offset, to the second.
    trace
        The trace that it belongs to: when that was started, and its first load; empty outside a trace.
    number
        Counted from 1 within the trace; a gap tells of a lost entry. 0 outside a trace.
    plan
        The plan whose row was measured; empty where none was.
    who, meter
        Who measured, and with what.
    ambient_celsius
        Air temperature in degrees Celsius.
    revision
        Of the harness file.
    """

    kind: str
    when: When
    trace: Words = ""
    number: Count = 0
    plan: Words = ""
    who: Words = ""
    meter: Words = ""
    ambient_celsius: Number | None = None
    revision: Count | None = None
    note: Words = ""
