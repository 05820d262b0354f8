"""Records of a harness file that give no current of their own: the build, its places, its metal and its wires."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from model.harness.fields import (
    Access,
    DateWords,
    Exposure,
    Flag,
    Id,
    Name,
    NotNegative,
    Part,
    PointName,
    Positive,
    Record,
    Size,
    Words,
)

HalfName = Annotated[Name, StringConstraints(pattern=r"^[A-Za-z0-9+_-]*[A-Za-z+_-][A-Za-z0-9+_-]*$")]


class Build(Record):
    """The vehicle as a whole: supply, ground side, temperature."""

    name: Annotated[Words, StringConstraints(min_length=1)]
    nominal_volts: Annotated[float, Field(ge=4, le=60, allow_inf_nan=False, strict=True)]
    ground_side: Literal["negative", "positive"] = "negative"
    reference: PointName | None = None
    ambient_celsius: Annotated[float, Field(ge=-60, le=200, allow_inf_nan=False, strict=True)] = 20.0
    chassis: Flag = True
    revision: Annotated[int, Field(ge=0, le=1_000_000_000, strict=True)] = 1
    date: DateWords = ""
    note: Words = ""


class Defaults(Record):
    """What rows that give no figure are taken to have; resistances in ohms."""

    size: Size | None = None
    crimp: Positive = 0.0005
    contact: Positive = 0.005
    switch: Positive = 0.010
    relay: Positive = 0.010
    ground: Positive = 0.001
    chassis: Positive = 0.0002
    joint: Positive = 0.0005


class KeyState(Record):
    """One position of the key, in the order in which it turns."""

    name: Annotated[Words, StringConstraints(min_length=1)]
    charging: Flag = False


class Location(Record):
    """A place of the vehicle and how to get there."""

    name: Annotated[Words, StringConstraints(min_length=1)]
    access: Access = Access.OPEN
    reach: Words = ""
    exposure: tuple[Exposure, ...] = ()


class Trunk(Record):
    """A bundle that several wires run through; its length is in metres."""

    name: Annotated[Words, StringConstraints(min_length=1)]
    length: NotNegative | None = None
    exposure: tuple[Exposure, ...] = ()


class Body(Part):
    """Metal of its own beside the chassis, such as an engine block."""


class Busbar(Part):
    """A bar or post that several wires are bolted to."""


class Splice(Part):
    """A joint of several wires along the loom."""


class Joint(Part):
    """Two points that touch without a wire."""

    from_point: PointName = Field(alias="from")
    to_point: PointName = Field(alias="to")
    ohms: Positive | None = None


class GroundPoint(Part):
    """A ground point, bonded to a body or a bar that only wires reach."""

    body: Id | None = None
    bonded: Flag | None = None
    ohms: Positive | None = None


class Connector(Part):
    """An inline connector: two halves with a contact in each cavity."""

    cavities: Annotated[int, Field(ge=1, le=10_000, strict=True)]
    halves: tuple[HalfName, HalfName] = ("plug", "socket")
    ohms: Positive | None = None
    amps: Positive | None = None
    rest: Literal["mated", "apart"] = "mated"


class Wire(Part):
    """A wire with its two crimps; length in metres, size in mm² or AWG as typed."""

    from_point: PointName | None = Field(default=None, alias="from")
    to_point: PointName | None = Field(default=None, alias="to")
    from_location: Words = ""
    to_location: Words = ""
    colour: Words = ""
    size: Size | None = None
    length: NotNegative | None = None
    via: tuple[Words, ...] = ()
    spare: Flag = False
    superseded_by: Id | None = None
