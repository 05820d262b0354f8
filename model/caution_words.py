"""The cautions in full sentences, each with where it comes from. What is not on this list is not thereby harmless."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from model.tables import SourceKind


class CautionKind(StrEnum):
    """What a caution is about, the gravest first."""

    RESTRAINT = "restraint"
    HIGH_VOLTAGE = "high voltage"
    MAINS = "mains"
    FUEL_VAPOUR = "fuel vapour"
    FUEL = "fuel"
    IGNITION = "ignition"
    CRANKING = "cranking"
    ENGINE_RUNS = "engine runs"
    FAN = "fan"
    UNFUSED = "unfused"
    BATTERY_GAS = "battery gas"
    BATTERY_ORDER = "battery order"
    LITHIUM = "lithium"
    CAPACITORS = "capacitors"
    MOTION = "motion"
    HOT_PLACE = "hot place"
    HOT_PART = "hot part"
    IGNITION_COIL = "ignition coil"
    FUSE_RATING = "fuse rating"
    SUPPLY_OFF = "supply off"
    METER_ONLY = "meter only"
    POWER_OFF = "power off"
    AMMETER = "ammeter"
    PROBING = "probing"
    STANDS = "stands"
    SMOKE = "smoke"
    LOCAL_RULES = "local rules"


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution that stands before the step that needs it.

    Attributes
    ----------
    text
        One or two plain sentences.
    source
        The standard or manual; ``common practice`` where many practitioners say it and no single authority does.
    """

    kind: CautionKind
    text: str
    source: str
    source_kind: SourceKind


_PRACTICE = ("common practice", SourceKind.COMMON_PRACTICE)
_MAKERS = ("precautions of vehicle makers' service manuals", SourceKind.COMMON_PRACTICE)
_MEMORY = ("common practice", SourceKind.FROM_MEMORY)


def _published(source: str) -> tuple[str, SourceKind]:
    return source, SourceKind.PUBLISHED


_WORDS: tuple[tuple[CautionKind, str, tuple[str, SourceKind]], ...] = (
    (
        CautionKind.RESTRAINT,
        "This wiring belongs to an airbag or a belt tensioner: no meter, no test lamp, no splice. Leave it to somebody "
        "licensed for it, by its maker's procedure.",
        _MAKERS,
    ),
    (
        CautionKind.HIGH_VOLTAGE,
        "High voltage can stand here with everything switched off: take it as live, never open or cut it, and leave it "
        "to somebody trained and licensed for it.",
        _MAKERS,
    ),
    (
        CautionKind.MAINS,
        "The mains side of an inverter or shore charger can kill, and this program does not cover it: leave it to a "
        "licensed electrician. Pull the shore cable and switch the inverter off before you reach in beside it.",
        _PRACTICE,
    ),
    (
        CautionKind.FUEL_VAPOUR,
        "Fuel vapour can gather in this place and lies low: air it first, in a boat with the blower. Make and "
        "break no live connection there; where rules ask for ignition-protected parts, fit no others.",
        _published("33 CFR 183.410"),
    ),
    (
        CautionKind.FUEL,
        "Fuel: no flame, no spark, an extinguisher at hand. Take the battery off before a fuel line is opened, not "
        "meanwhile, and measure at a plug away from the tank rather than unplug a live pump.",
        _MAKERS,
    ),
    (
        CautionKind.IGNITION,
        "Ignition wiring can give a dangerous shock, at the low-volt side and the rev-counter lead too: measure volts "
        "here with the engine off only.",
        _MAKERS,
    ),
    (
        CautionKind.CRANKING,
        "The engine turns in this step: out of gear, brake on, fuel or ignition made dead, hands, hair and leads clear "
        "of belts. Crank for 30 s at most, then rest the starter for 2 min.",
        _published("TM 10-3930-671-24, starting motor"),
    ),
    (
        CautionKind.ENGINE_RUNS,
        "The engine runs in this step: in the open air or with the exhaust led outside, out of gear with the brake on, "
        "hands, hair and leads clear of fan and belts.",
        _PRACTICE,
    ),
    (
        CautionKind.FAN,
        "A fan or belt turns in this place: some fans start by themselves, even with the key off. Unplug an electric "
        "one while your hands are near, and keep sleeves and leads clear.",
        _MAKERS,
    ),
    (
        CautionKind.UNFUSED,
        "No fuse stands before this metal: rings, watch and chains off, an insulated tool, and "
        "nothing that could bridge it to the body.",
        _published("TM 5-2420-230-24-1, general warnings"),
    ),
    (
        CautionKind.BATTERY_GAS,
        "The gas of a battery can explode: no spark or flame at the posts, fresh air, and eye protection on.",
        _PRACTICE,
    ),
    (
        CautionKind.BATTERY_ORDER,
        "Take the cable off the grounded post (without a body, the minus post) first and put it on last, with no spark "
        "or flame near, for the gas of a battery can explode. Where there are several batteries, mark each cable and "
        "take a picture before the first one comes off.",
        _PRACTICE,
    ),
    (
        CautionKind.LITHIUM,
        "A lithium battery gives a very high current into a short, and shows odd volts once its own guard has switched "
        "it off. Keep to its maker's limits, and do not charge it below freezing.",
        _MEMORY,
    ),
    (
        CautionKind.CAPACITORS,
        "This part keeps charge after it is switched off: discharge it through a lamp, and read 0 V before you touch "
        "its posts.",
        _PRACTICE,
    ),
    (
        CautionKind.MOTION,
        "What this motor drives may move without warning while the supply is on: keep hands and tools clear of it.",
        _PRACTICE,
    ),
    (
        CautionKind.HOT_PLACE,
        "This place is hot after a drive: let it cool first, and keep leads off the exhaust.",
        _PRACTICE,
    ),
    (
        CautionKind.HOT_PART,
        "This part burns skin when it has been on: let it cool, and lay a lit lamp on metal, not on carpet or trim.",
        _PRACTICE,
    ),
    (
        CautionKind.IGNITION_COIL,
        "The engine stands and the ignition coil has current: coil and points get hot. Key on for the reading alone, "
        "and off again.",
        _PRACTICE,
    ),
    (
        CautionKind.FUSE_RATING,
        "Put back a fuse of the rating that came out: it guards the wire, and neither a larger one nor a bridge does.",
        _PRACTICE,
    ),
    (
        CautionKind.SUPPLY_OFF,
        "Unplug a control unit, and plug it in again, with the supply off only.",
        _PRACTICE,
    ),
    (
        CautionKind.METER_ONLY,
        "Electronics are on this wire: a voltmeter of 10 MΩ or more alone, no test lamp, no ohms and no bridge.",
        _MAKERS,
    ),
    (
        CautionKind.POWER_OFF,
        "Before ohms or continuity: the battery off, and 0 V read on the circuit. Before volts: the battery on.",
        _published("TM 5-3805-254-20-1, electrical troubleshooting"),
    ),
    (
        CautionKind.AMMETER,
        "An ammeter goes in series, never across a supply, and carries no starter current. Put its lead back into the "
        "volts socket at once afterwards.",
        _PRACTICE,
    ),
    (
        CautionKind.PROBING,
        "Probe from the wire side: a probe pushed into a socket spreads it, and a wire that was pierced corrodes "
        "unless it is sealed.",
        _MAKERS,
    ),
    (
        CautionKind.STANDS,
        "Under a lifted vehicle: stands on firm ground, never a jack alone.",
        _PRACTICE,
    ),
    (
        CautionKind.SMOKE,
        "Where something smokes: the isolator off first, hands off the hot wire, an extinguisher at hand. It can catch "
        "fire again while the battery is on.",
        _PRACTICE,
    ),
    (
        CautionKind.LOCAL_RULES,
        "Rules for self-built vehicles, boats, gas and road lamps differ from place to place: ask whoever inspects "
        "yours before it is used, and leave to licensed trades what is theirs.",
        _PRACTICE,
    ),
)

CAUTIONS: Mapping[CautionKind, Caution] = MappingProxyType(
    {kind: Caution(kind, text, *source) for kind, text, source in _WORDS}
)
"""Every caution by its kind, the gravest first."""

GENERAL_CAUTIONS = tuple(
    CAUTIONS[kind]
    for kind in (
        CautionKind.POWER_OFF,
        CautionKind.PROBING,
        CautionKind.AMMETER,
        CautionKind.STANDS,
        CautionKind.SMOKE,
        CautionKind.LOCAL_RULES,
    )
)
"""For the head of a sheet: they hold for every step."""
