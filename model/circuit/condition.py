"""The condition a harness is in: the key, what is set, what is out, what is faulty."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from model.circuit.faults import Fault, parse_fault
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.parts import Charger, Load, LoadKind, Module, ResistorPack, Switch
from model.harness.points import Point, all_points, resolve_point, terminals_of
from model.harness.records import Connector, Wire
from model.harness.supply import battery_volts
from model.words import nearest

OUT, IN = "out", "in"
ON, OFF = "on", "off"
APART, MATED = "apart", "mated"
ASLEEP, AWAKE = "asleep", "awake"
_POSTS_AT_MOST_SHARE = 1.5


@dataclass(frozen=True)
class Condition:
    """A key state, what is set, and what is faulty.

    Attributes
    ----------
    key
        Name of a key state.
    settings
        Pairs of what is set and to what, in the order given; what is not named is at rest.
    faults
        Faults that stand in this condition.
    posts_volts
        Volts read across the posts of the first battery in this condition, where they were read.
    """

    key: str
    settings: tuple[tuple[str, str], ...] = ()
    faults: tuple[Fault, ...] = ()
    posts_volts: float | None = None

    @cached_property
    def by_name(self) -> dict[str, str]:
        """What is set, by name; the last setting of a name counts."""
        return dict(self.settings)

    def with_setting(self, name: str, value: str) -> Condition:
        """Give the same condition with one thing set; the setting before it of the same name is dropped."""
        kept = tuple(pair for pair in self.settings if pair[0] != name)
        return replace(self, settings=(*kept, (name, value)))

    def healthy(self) -> Condition:
        """Give the same condition without its faults."""
        return replace(self, faults=())

    def at_key(self, key: str) -> Condition:
        """Give the same settings and faults in another key state, the posts not read there."""
        return replace(self, key=key, posts_volts=None)


def without_supply(harness: Harness, condition: Condition) -> Condition:
    """Give a condition with every battery and charger disconnected; posts that were read are those of none then."""
    for supply in (*harness.batteries, *harness.chargers):
        condition = condition.with_setting(supply.id, OUT)
    return replace(condition, posts_volts=None)


def make_condition(
    harness: Harness,
    key: str | None = None,
    settings: tuple[str, ...] = (),
    faults: tuple[str, ...] = (),
    posts_volts: float | None = None,
) -> Condition:
    """Read a condition from words as typed on a command line.

    Parameters
    ----------
    key
        A key state; the first of the harness where none is given.
    settings
        Each ``X=Y``, such as ``S2=head``, ``A1.pump=off``, ``F7=out``, ``X7=apart``.
    faults
        Each ``PART=FAULT``, as :func:`model.circuit.faults.parse_fault` reads them.
    posts_volts
        Volts across the posts of the first battery.

    Raises
    ------
    ArgumentError
        For anything that the harness does not have, naming the nearest that it has.
    """
    if key is None:
        key = harness.key_names[0]
    elif key not in harness.key_names:
        raise ArgumentError(f"There is no key state “{key}”.", do=_choose(key, harness.key_names))
    if posts_volts is not None:
        check_posts(harness, posts_volts)
    pairs = tuple(parse_setting(harness, setting) for setting in settings)
    found = tuple(parse_fault(harness, fault) for fault in faults)
    return Condition(key, pairs, found, posts_volts)


def check_posts(harness: Harness, posts_volts: float) -> None:
    """Refuse volts that the posts of the first battery can never have: none, or over one and a half times its own.

    Raises
    ------
    ArgumentError
        Naming the battery and the volts that it may have.
    """
    first = harness.batteries[0].id
    most_volts = _POSTS_AT_MOST_SHARE * battery_volts(harness)[first]
    if not 0 < posts_volts <= most_volts:
        raise ArgumentError(
            f"The posts of {first}, the first battery, cannot read {posts_volts:g} V.",
            do=f"Give the volts across that battery alone: above 0, at most {most_volts:g}.",
        )


def parse_setting(harness: Harness, typed: str) -> tuple[str, str]:
    """Read one setting ``X=Y`` and check that the harness has it.

    Raises
    ------
    ArgumentError
        Where there is no such part, terminal or position.
    """
    name, sign, value = typed.partition("=")
    name, value = name.strip(), value.strip()
    if not sign or not name or not value:
        raise ArgumentError(f"“{typed}” is not a setting.", do="Write it as PART=POSITION, such as S2=on or F7=out.")
    choices = setting_choices(harness, name)
    if harness.key_switch is not None and name == harness.key_switch.id:
        states = ", ".join(harness.key_names)
        raise ArgumentError(f"{name} is the key switch: it stands as the key state says.", do=f"Key states: {states}.")
    if not choices:
        raise ArgumentError(f"There is nothing “{name}” to set.", do=_choose(name, settable_names(harness)))
    if value not in choices:
        raise ArgumentError(f"{name} cannot be set to “{value}”.", do=_choose(value, choices))
    return name, value


def setting_choices(harness: Harness, name: str) -> tuple[str, ...]:
    """Name what a part, terminal or wire end can be set to, its state at rest first; nothing where it has no state."""
    owner, _, terminal = name.partition(".")
    part = harness.parts.get(owner)
    if terminal:
        if isinstance(part, Wire) and terminal in ("a", "b"):
            return (ON, OFF)
        if isinstance(part, Module) and any(driver.terminal == terminal for driver in part.drivers):
            return (OFF, ON)
        return ()
    match part:
        case Switch():
            if part.key:
                return ()
            rest = rest_position(part)
            return (rest, *(position for position in part.positions if position != rest), OUT, IN)
        case Connector():
            return (MATED, APART, OUT, IN) if part.rest == MATED else (APART, MATED, OUT, IN)
        case Charger():
            return (OFF, ON, IN, OUT)
        case Module():
            return (AWAKE, ASLEEP, IN, OUT)
        case ResistorPack():
            return (*resistor_positions(part), IN, OUT)
        case Load():
            return (OFF, ON, IN, OUT) if has_socket(part) else (IN, OUT)
        case None:
            return ()
    return (IN, OUT) if terminals_of(part) else ()


def settable_names(harness: Harness) -> tuple[str, ...]:
    """Name everything of a harness that has a state, wires' ends aside."""
    names = [part.id for part in harness.each_part() if setting_choices(harness, part.id)]
    return tuple(names + [f"{module.id}.{driver.terminal}" for module in harness.modules for driver in module.drivers])


def rest_position(switch: Switch) -> str:
    """Name the position of a switch at rest."""
    return switch.rest if switch.rest is not None else next(iter(switch.positions))


def resistor_positions(pack: ResistorPack) -> tuple[str, ...]:
    """Name the positions of a sender or dimmer, the one at rest first."""
    names: list[str] = []
    for element in pack.elements:
        if isinstance(element.ohms, dict):
            names += [str(element.ohms["rest"])] + [name for name in element.ohms if name != "rest"]
    return tuple(dict.fromkeys(names))


def has_socket(load: Load) -> bool:
    """Tell whether a load or one of its elements is a socket, open until something is plugged in."""
    kinds = [element.kind or load.kind for element in load.elements] or [load.kind]
    return LoadKind.SOCKET in kinds


def switch_position(harness: Harness, switch: Switch, condition: Condition) -> str:
    """Name the position that a switch is in."""
    if switch.key:
        return condition.key
    value = condition.by_name.get(switch.id, "")
    if value in switch.positions:
        return value
    return switch.follows.get(condition.key, rest_position(switch))


def charger_is_on(harness: Harness, condition: Condition, charger: Charger) -> bool:
    """Tell whether a charger is to give current in a condition."""
    value = condition.by_name.get(charger.id)
    if value in (ON, OFF):
        return value == ON
    return condition.key in harness.charging_keys(charger)


def is_out(condition: Condition, part_id: str) -> bool:
    """Tell whether a part is pulled out of its place."""
    return condition.by_name.get(part_id) == OUT


def require_point(harness: Harness, name: str, condition: Condition | None = None) -> Point:
    """Give the point of this name; the ``in`` of a fuse on a busbar is the busbar.

    Parameters
    ----------
    condition
        A wire's end that it sets off, ``W22.b=off``, is a point of its own.

    Raises
    ------
    ArgumentError
        Where there is no such point, naming the nearest.
    """
    points = all_points(harness)
    found = points.get(resolve_point(harness, name))
    if found is None and condition is not None and condition.by_name.get(name) == OFF:
        owner, _, letter = name.partition(".")
        found = Point(name, owner, letter) if isinstance(harness.parts.get(owner), Wire) else None
    if found is None:
        raise ArgumentError(f"There is no point “{name}”.", do=_choose(name, tuple(points)))
    return found


def _choose(word: str, choices: tuple[str, ...]) -> str:
    near = nearest(word, choices)
    if near is not None:
        return f"Did you mean {near}?"
    shown = ", ".join(choices[:12])
    return f"There are: {shown}{', …' if len(choices) > 12 else ''}." if choices else ""
