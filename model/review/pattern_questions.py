"""The patterns that a new circuit is made after, and what each asks, as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from model.harness.parts import LoadKind


class Pattern(StrEnum):
    """How a new circuit is built."""

    SWITCHED = "switched"
    RELAY = "relay"
    RELAY_GROUND = "relay-ground"
    SPEEDS = "speeds"
    MODULE = "module"
    PERMANENT = "permanent"
    SOCKET = "socket"


PATTERNS: Mapping[Pattern, str] = MappingProxyType(
    {
        Pattern.SWITCHED: "a lamp or any other load by a switch in its feed",
        Pattern.RELAY: "a load by a relay whose coil is switched on its feed side",
        Pattern.RELAY_GROUND: "a load by a relay whose coil is switched on its ground side",
        Pattern.SPEEDS: "a motor with a resistor pack: several speeds",
        Pattern.MODULE: "a control unit with a permanent and a switched feed",
        Pattern.PERMANENT: "a load that is fed always, from a fuse of its own",
        Pattern.SOCKET: "a socket that things are plugged into",
    }
)
"""Every pattern and what it is, in words."""


@dataclass(frozen=True, slots=True)
class Run:
    """A run of wire of a pattern: from where to where, in words."""

    name: str
    words: str


_GROUND = Run("ground", "from the load to its ground")
_LOAD = Run("load", "to the load")

RUNS: Mapping[Pattern, tuple[Run, ...]] = MappingProxyType(
    {
        Pattern.SWITCHED: (Run("feed", "from the fuse to the switch"), _LOAD, _GROUND),
        Pattern.RELAY: (
            Run("feed", "from the fuse to the relay"),
            _LOAD,
            _GROUND,
            Run("switch_feed", "from the coil's feed to the switch"),
            Run("coil", "from the switch to the coil"),
            Run("coil_ground", "from the coil to its ground"),
        ),
        Pattern.RELAY_GROUND: (
            Run("feed", "from the fuse to the relay"),
            _LOAD,
            _GROUND,
            Run("coil", "from the coil's feed to the coil"),
            Run("coil_ground", "from the coil to the switch"),
            Run("switch_ground", "from the switch to its ground"),
        ),
        Pattern.SPEEDS: (
            Run("feed", "from the fuse to the switch"),
            Run("step", "from each terminal of the switch to the resistor pack"),
            _LOAD,
            _GROUND,
        ),
        Pattern.MODULE: (
            Run("load", "from the permanent feed to the control unit"),
            Run("switched", "from the switched feed to the control unit"),
            Run("ground", "from the control unit to its ground"),
        ),
        Pattern.PERMANENT: (_LOAD, _GROUND),
        Pattern.SOCKET: (_LOAD, _GROUND),
    }
)
"""The runs of wire of each pattern; each takes a length in metres and the trunks that it runs through."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something that a pattern asks.

    Attributes
    ----------
    default
        What is taken where nobody answers; empty where the program finds it from the harness, or goes without.
    is_needed
        True where there is no going on without an answer.
    """

    key: str
    words: str
    default: str = ""
    is_needed: bool = False


_BY_RELAY = (Pattern.RELAY, Pattern.RELAY_GROUND)
_WITH_SWITCH = (Pattern.SWITCHED, Pattern.SPEEDS, *_BY_RELAY)
_WITH_KIND = (Pattern.SWITCHED, Pattern.PERMANENT, *_BY_RELAY)
_WHEN_DEFAULT = {
    Pattern.SPEEDS: "ignition",
    Pattern.MODULE: "ignition",
    Pattern.PERMANENT: "permanent",
    Pattern.SOCKET: "accessory",
}
DROP_CRITICAL, DROP_OTHERS = "3", "10"


def questions_of(pattern: Pattern) -> tuple[Question, ...]:
    """List what a pattern asks, what is needed first."""
    return (*_needed(pattern), *_places(pattern), *_figures(pattern), *_runs(pattern))


def _needed(pattern: Pattern) -> Iterator[Question]:
    if pattern in _WITH_KIND:
        yield Question("kind", "what it feeds", default=str(LoadKind.LAMP))
    if pattern is Pattern.MODULE:
        yield Question("amps", "amperes of its permanent feed, awake", is_needed=True)
        yield Question("switched_amps", "amperes of its switched feed", is_needed=True)
        yield Question("asleep_amps", "amperes of its permanent feed once it sleeps")
    else:
        yield Question("watts", "its watts at the nominal volts; or give amps", is_needed=True)
        yield Question("amps", "its amperes at the nominal volts; or give watts", is_needed=True)
    yield Question("at", "where it sits: a place of the file, or a new one", is_needed=True)
    if pattern is not Pattern.PERMANENT:
        default = _WHEN_DEFAULT.get(pattern, "")
        words = "when it can work: permanent, accessory, ignition, or key states parted by commas"
        yield Question("when", words, default=default, is_needed=not default)


def _places(pattern: Pattern) -> Iterator[Question]:
    yield Question("feed", "what it hangs on: a busbar, a fuse with room, or any point with feed")
    if pattern in _BY_RELAY:
        yield Question("control", "what its coil hangs on")
        yield Question("relay_at", "where the relay sits")
    if pattern is Pattern.MODULE:
        yield Question("switched_feed", "what its switched feed hangs on")
    if pattern in _WITH_SWITCH:
        yield Question("switch_at", "where the switch sits")
    if pattern is Pattern.SPEEDS:
        yield Question("pack_at", "where the resistor pack sits; in the air that the motor moves")
    yield Question("ground", "the ground point of the load")


def _figures(pattern: Pattern) -> Iterator[Question]:
    yield Question("label", "what it is called")
    if pattern is Pattern.SPEEDS:
        yield Question("speeds", "how many speeds, 2 to 4", default="3")
    if pattern is not Pattern.MODULE:
        yield Question("start_amps", "amperes at its start, where they are known")
        yield Question("role", "stop, tail, dip, bilge, navigation …")
        yield Question("critical", "yes where somebody's life leans on it", default="no")
    yield Question("drop", f"per cent of nominal lost out and back; {DROP_CRITICAL} where critical, else {DROP_OTHERS}")
    yield Question("sizes", "metric or AWG; as the file has them")


def _runs(pattern: Pattern) -> Iterator[Question]:
    for run in RUNS[pattern]:
        yield Question(f"{run.name}_length", f"metres {run.words}")
        yield Question(f"{run.name}_via", f"trunks {run.words}, parted by commas")
