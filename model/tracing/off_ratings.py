"""The same harness with its parts off their ratings, as parts are."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

from model.circuit.frame import contact_ohms
from model.harness.fields import Record
from model.harness.harness import Harness
from model.harness.parts import Load, Module, Rated, ResistorPack
from model.harness.points import relay_coils
from model.harness.supply import battery_volts, wire_length_m
from model.units import fuse_cold_ohms

WIRES_OFF = 0.25
LOADS_OFF = 0.12
CONTACTS_OFF = 0.50
"""One sigma by which a figure is off, as a share of it; judgement."""

_FARTHEST_SIGMAS = 2.0
_LEAST_FACTOR = 0.2
_EMF_SHARES = (1.03, 1.065)

R = TypeVar("R", bound=Record)
_Near = Callable[[float, float], float]


def off_ratings(harness: Harness, chance: random.Random) -> Harness:
    """Give a harness whose wires, contacts and loads are off what the file says, its battery more or less charged.

    Wires by 25 % (one sigma, never over two), loads and coils by 12 %, contacts, fuses and ground points by 50 %.
    """
    defaults, nominal_volts = harness.defaults, harness.build.nominal_volts

    def near(value: float, share: float) -> float:
        away = max(-_FARTHEST_SIGMAS, min(_FARTHEST_SIGMAS, chance.gauss(0.0, 1.0)))
        return value * max(_LEAST_FACTOR, 1.0 + share * away)

    volts = battery_volts(harness)
    charge = chance.uniform(*_EMF_SHARES)
    return replace(
        harness,
        batteries=_each(harness.batteries, lambda one: {"emf": (one.emf or volts[one.id] * charge)}),
        wires=_each(harness.wires, lambda one: {"length": near(wire_length_m(harness, one), WIRES_OFF)}),
        connectors=_each(harness.connectors, lambda one: {"ohms": near(one.ohms or defaults.contact, CONTACTS_OFF)}),
        grounds=_each(harness.grounds, lambda one: {"ohms": near(one.ohms or defaults.ground, CONTACTS_OFF)}),
        joints=_each(harness.joints, lambda one: {"ohms": near(one.ohms or defaults.joint, CONTACTS_OFF)}),
        switches=_each(harness.switches, lambda one: {"ohms": near(one.ohms or defaults.switch, CONTACTS_OFF)}),
        fuses=_each(
            harness.fuses, lambda one: {"ohms": near(one.ohms or fuse_cold_ohms(one.amps, one.style), CONTACTS_OFF)}
        ),
        relays=_each(
            harness.relays,
            lambda one: (
                {"ohms": near(contact_ohms(harness, one), CONTACTS_OFF)}
                | ({} if one.coils else {"coil_ohms": near(relay_coils(one, nominal_volts)[0][2], LOADS_OFF)})
            ),
        ),
        loads=tuple(_off_load(load, near) for load in harness.loads),
        modules=tuple(_off_module(module, near) for module in harness.modules),
        resistors=tuple(_off_resistors(pack, near) for pack in harness.resistors),
    )


def _each(rows: Iterable[R], changes: Callable[[R], dict[str, float]]) -> tuple[R, ...]:
    return tuple(row.model_copy(update=changes(row)) for row in rows)


def _off_load(load: Load, near: _Near) -> Load:
    elements = tuple(element.model_copy(update=_rated(element, near)) for element in load.elements)
    return load.model_copy(update={**_rated(load, near), "elements": elements})


def _rated(row: Rated, near: _Near) -> dict[str, float]:
    return {
        name: near(getattr(row, name), LOADS_OFF)
        for name in ("watts", "amps", "ohms")
        if getattr(row, name) is not None
    }


def _off_module(module: Module, near: _Near) -> Module:
    feeds = tuple(feed.model_copy(update={"amps": near(feed.amps, LOADS_OFF)}) for feed in module.feeds)
    return module.model_copy(update={"feeds": feeds})


def _off_resistors(pack: ResistorPack, near: _Near) -> ResistorPack:
    elements = tuple(
        one if isinstance(one.ohms, dict) else one.model_copy(update={"ohms": near(one.ohms, LOADS_OFF)})
        for one in pack.elements
    )
    return pack.model_copy(update={"elements": elements})
