"""What a setting does to the branches of a cold loom: contacts of switches, and what is out or off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from model.circuit.condition import OFF, ON, OUT, has_socket, resistor_positions
from model.circuit.netlist import Netlist
from model.harness.harness import Harness
from model.harness.parts import Load, ResistorPack, Switch
from model.harness.points import contacts, switch_contacts
from model.harness.records import Connector, Wire


@dataclass(frozen=True, slots=True)
class Contact:
    """A contact of a switch: its branch, and the positions in which it is closed."""

    branch: int
    switch: Switch
    positions: tuple[str, ...]


def contacts_of(harness: Harness, net: Netlist) -> Iterator[Contact]:
    """Give the contacts of all switches in a network that has every one of them closed."""
    branch_of = {site: branch for branch, site in enumerate(net.sites)}
    for switch in harness.switches:
        closed = {position: contacts(groups) for position, groups in switch.positions.items()}
        for one, other in switch_contacts(switch):
            positions = tuple(position for position, pairs in closed.items() if (one, other) in pairs)
            yield Contact(branch_of[f"{switch.id}:{one}-{other}"], switch, positions)


def taken_away(harness: Harness, branches_of: Mapping[str, list[int]], name: str, value: str) -> list[int]:
    """Give the branches that a setting takes out of the network, beside those of switches and plugs as they stand.

    Parameters
    ----------
    branches_of
        The branches of each part; of a wire its half at end a first.

    Raises
    ------
    ValueError
        Where something is set that the network knows at rest alone: a sender or dimmer, a socket.
    """
    owner, _, letter = name.partition(".")
    part = harness.parts.get(owner)
    match part:
        case Wire() if letter and value == OFF:
            return [branches_of[owner]["ab".index(letter)]]
        case Connector():
            return []
        case Switch() if value in part.positions:
            return []
        case ResistorPack() if value in resistor_positions(part)[1:]:
            raise ValueError(f"{name} at {value} is read at rest alone")
        case Load() if value == ON and has_socket(part):
            raise ValueError(f"{name} with something plugged in is read at rest alone")
    return branches_of.get(name, []) if value == OUT else []
