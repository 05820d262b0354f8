"""Field types that the records of a harness file share."""

from __future__ import annotations

from datetime import date, time
from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints


class Hazard(StrEnum):
    """What about a part can hurt somebody beyond twelve volts."""

    RESTRAINT = "restraint"
    HIGH_VOLTAGE = "high voltage"
    IGNITION = "ignition"
    FUEL = "fuel"


class Access(StrEnum):
    """How hard a place is to reach."""

    OPEN = "open"
    PANEL = "panel"
    BURIED = "buried"


class Exposure(StrEnum):
    """What wears on the wiring of a place or trunk."""

    WET = "wet"
    ENGINE = "engine"
    MOVING_LID = "moving lid"
    FUEL_VAPOUR = "fuel vapour"
    HOT = "hot"
    FAN_OR_BELT = "fan or belt"


def name_as_text(value: object) -> object:
    """Take a bare whole number as its text, as a person types ``terminals = [30, 75]``."""
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    return value


def date_as_text(value: object) -> object:
    """Take a date or time without quotes as its text."""
    return str(value) if isinstance(value, date | time) else value


Name = Annotated[
    str, BeforeValidator(name_as_text), StringConstraints(strict=True, pattern=r"^[A-Za-z0-9+_-]+$", max_length=60)
]
Id = Annotated[str, StringConstraints(strict=True, pattern=r"^[A-Za-z][A-Za-z0-9_-]*$", max_length=60)]
Words = Annotated[str, StringConstraints(strict=True)]
DateWords = Annotated[str, BeforeValidator(date_as_text), StringConstraints(strict=True)]
PointName = Annotated[str, StringConstraints(strict=True, min_length=1)]
LEAST, MOST = 1e-9, 1e12
"""Between these lies every figure of a vehicle in volts, amperes, ohms, watts, metres; beyond them sums break down."""
Positive = Annotated[float, Field(ge=LEAST, le=MOST, allow_inf_nan=False, strict=True)]
Size = Positive | Annotated[str, StringConstraints(strict=True)]
NotNegative = Annotated[float, Field(ge=0, le=MOST, allow_inf_nan=False, strict=True)]
Finite = Annotated[float, Field(ge=-MOST, le=MOST, allow_inf_nan=False, strict=True)]
Share = Annotated[float, Field(ge=LEAST, le=2, allow_inf_nan=False, strict=True)]
Flag = Annotated[bool, Field(strict=True)]
Groups = tuple[tuple[Name, ...], ...]


class Record(BaseModel):
    """One table or row of a harness file: frozen, and an unknown key is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Part(Record):
    """What every part of a harness may carry.

    Attributes
    ----------
    location
        Name of a row of ``locations``.
    inside
        Id of the part in whose housing this one sits.
    pins
        Terminal to cavity number of the part's own plug.
    face
        Rows of cavity numbers seen from the wire side, 0 for a gap.
    """

    id: Id
    label: Words = ""
    location: Words = ""
    note: Words = ""
    picture: Words = ""
    hazard: Hazard | None = None
    inside: Id | None = None
    pins: dict[Name, Annotated[int, Field(ge=1, strict=True)]] = Field(default_factory=dict)
    face: tuple[tuple[Annotated[int, Field(ge=0, strict=True)], ...], ...] = ()
