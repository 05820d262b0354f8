"""What the supply and the wires of a harness are taken to be where the file leaves it out."""

from __future__ import annotations

from collections.abc import Iterable

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.parts import Battery
from model.harness.records import Wire

ASSUMED_SIZE_MM2 = 1.0
ASSUMED_LENGTH_M = 1.5


@once_per_harness
def series_links(harness: Harness) -> dict[str, str]:
    """Map each battery to the one whose ``+`` its ``-`` is joined to by one wire or joint."""
    ends = [(joint.from_point, joint.to_point) for joint in harness.joints]
    ends += [(wire.from_point or "", wire.to_point or "") for wire in harness.wires]
    minus = {f"{battery.id}.-": battery.id for battery in harness.batteries}
    plus = {f"{battery.id}.+": battery.id for battery in harness.batteries}
    links: dict[str, str] = {}
    for one, other in ends:
        for low, high in ((one, other), (other, one)):
            if low in minus and high in plus and minus[low] != plus[high]:
                links[minus[low]] = plus[high]
    return links


def battery_volts(harness: Harness) -> dict[str, float]:
    """Give the nominal volts of each battery; those in series without a figure share the vehicle's evenly."""
    volts: dict[str, float] = {}
    for battery in harness.batteries:
        count = len(battery_chain(harness, battery.id))
        volts[battery.id] = battery.volts or harness.build.nominal_volts / count
    return volts


def least_rest_volts(harness: Harness, batteries: Iterable[Battery]) -> float:
    """Give the volts of batteries in series at rest under which they are charged first: 12.0 V per 12 V.

    Common practice: all else misleads.
    """
    volts = battery_volts(harness)
    return sum(volts[battery.id] for battery in batteries)


def reference_point(harness: Harness) -> str:
    """Name the point that is 0 V: the grounded post of the first battery, of a chain its outermost."""
    if harness.build.reference is not None:
        return harness.build.reference
    return grounded_post_of(harness, harness.batteries[0].id)


def grounded_post_of(harness: Harness, battery_id: str) -> str:
    """Name the grounded post of a battery, or of the chain in series that it belongs to."""
    chain = battery_chain(harness, battery_id)
    return f"{chain[0]}.+" if harness.build.ground_side == "positive" else f"{chain[-1]}.-"


@once_per_harness
def grounded_posts(harness: Harness) -> tuple[str, ...]:
    """Name the grounded posts, of a chain in series its outermost, the first battery's first."""
    return tuple(dict.fromkeys(grounded_post_of(harness, battery.id) for battery in harness.batteries))


def battery_chain(harness: Harness, battery_id: str) -> tuple[str, ...]:
    """List the batteries of the chain in series that one belongs to, from the most positive to the most negative."""
    links = series_links(harness)
    back = {low: high for high, low in links.items()}
    chain = [battery_id]
    while chain[-1] in links and links[chain[-1]] not in chain:
        chain.append(links[chain[-1]])
    while chain[0] in back and back[chain[0]] not in chain:
        chain.insert(0, back[chain[0]])
    return tuple(chain)


def wire_size(harness: Harness, wire: Wire) -> float | str:
    """Give the size of a wire as typed, of the defaults, or as assumed: mm², or AWG as text."""
    if wire.size is not None:
        return wire.size
    return harness.defaults.size if harness.defaults.size is not None else ASSUMED_SIZE_MM2


def wire_length_m(harness: Harness, wire: Wire) -> float:
    """Give the length of a wire in metres: as typed, else the sum of its trunks', else as assumed."""
    if wire.length is not None:
        return wire.length
    if not wire.via:
        return ASSUMED_LENGTH_M
    lengths = [harness.trunks_by_name[name].length for name in wire.via]
    return sum(ASSUMED_LENGTH_M if length is None else length for length in lengths)


def assumed_of(harness: Harness, wire: Wire) -> tuple[str, ...]:
    """Name what is assumed of a wire: any of ``size``, ``length``, ``colour``."""
    assumed = []
    if wire.size is None and harness.defaults.size is None:
        assumed.append("size")
    if wire.length is None:
        assumed.append("length")
    if not wire.colour:
        assumed.append("colour")
    return tuple(assumed)
