"""A loom about to be powered for the first time: which battery, what is unplugged, what the lamp shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from model.cautions import crank_keys
from model.circuit.bands import Bands
from model.circuit.condition import OFF, OUT, Condition, charger_is_on
from model.circuit.series_lamp import SeriesLamp, read_series_lamp
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.fields import Hazard
from model.harness.harness import Element, Harness
from model.harness.hazards import hazards_of_part
from model.harness.parts import Load, LoadKind, Module
from model.harness.records import Wire
from model.harness.supply import grounded_post_of, series_links
from model.plans.first_power_motors import standing_ohms
from model.plans.first_power_taps import end_at, is_tapped, unfused_taps
from model.plans.load_feeds import Feeds
from model.plans.load_scene import LoadScene
from model.tracing.graph import hot_posts

Settings = tuple[tuple[str, str], ...]
_UNPLUGGED = frozenset(Hazard)


@dataclass(frozen=True, slots=True)
class Bank:
    """A battery, or a chain of them in series, that is clamped on alone.

    Attributes
    ----------
    live, black
        Its live end, at which the lamp stands, and its grounded end.
    others
        Batteries whose clamps stay off meanwhile.
    taps
        Live posts inside the chain: what hangs there is fed past the lamp.
    unfused
        What hangs there and leads to more than fuses, so that it comes off: id of the wire or joint, and the post.
    """

    live: str
    black: str
    others: tuple[str, ...]
    taps: tuple[str, ...]
    unfused: tuple[tuple[str, str], ...]


class FirstPower:
    """A harness on its first power.

    Parameters
    ----------
    harness
        The harness as read.
    watts
        Of the lamp in series, at the nominal volts.

    Attributes
    ----------
    keys
        Key states in which the engine neither turns nor runs; the first where there is no other.
    banks
        Batteries and chains of them, the first battery's first.
    """

    def __init__(self, harness: Harness, watts: float) -> None:
        self.harness = harness
        self.watts = watts
        self.scene = LoadScene(harness)
        charging = {state.name for state in harness.key_states if state.charging}
        standing = [key for key in harness.key_names if key not in crank_keys(harness) | charging]
        self.keys = tuple(standing) or harness.key_names[:1]
        self.banks = _banks(harness)
        self._readings: dict[tuple[object, ...], SeriesLamp | None] = {}
        self._feeds: dict[tuple[tuple[str, ...], Condition], Feeds | None] = {}

    @property
    def lamp_amps(self) -> float:
        """Amperes of the lamp at the nominal volts."""
        return self.watts / self.harness.build.nominal_volts

    def condition(
        self, bank: Bank, key: str, settings: Settings = (), fuses_in: Iterable[str] | None = None
    ) -> Condition:
        """Give a condition of the first power: all that is unplugged out, and every fuse out but those named.

        Parameters
        ----------
        fuses_in
            Ids of the fuses that are in; all of them where it is None.
        """
        found = dict(self._base(bank, key))
        if fuses_in is not None:
            kept = set(fuses_in)
            found |= {fuse.id: OUT for fuse in self.harness.fuses if fuse.id not in kept}
        found |= dict(settings)
        return Condition(key, tuple(found.items()))

    def _base(self, bank: Bank, key: str) -> Settings:
        """Give what is off in every condition: other batteries, what is unplugged, chargers, taps without a fuse."""
        return (*self._out(bank, key), *((end, OFF) for end in self._loose_ends(bank)))

    def _out(self, bank: Bank, key: str) -> Settings:
        out = [*bank.others, *unplugged(self.harness)]
        chargers = [one.id for one in self.harness.chargers if charger_is_on(self.harness, Condition(key), one)]
        return (*((part_id, OUT) for part_id in out), *((part_id, OFF) for part_id in chargers))

    def _loose_ends(self, bank: Bank) -> tuple[str, ...]:
        """Name the ends of wires that are taken off posts inside the chain; a joint has none that could be set."""
        wires = ((self.harness.parts[join_id], post) for join_id, post in bank.unfused)
        return tuple(end_at(self.harness, wire, post) for wire, post in wires if isinstance(wire, Wire))

    def feeds(self, bank: Bank, key: str, settings: Settings = ()) -> Feeds | None:
        """Give the ways of the current from the lamp with all fuses in; None where the circuit cannot be so."""
        return self._ways((bank.live,), self.condition(bank, key, settings))

    def feeds_at_rest(self) -> Iterator[Feeds]:
        """Give the ways of the current from the lamp in every bank and key state, with nothing moved."""
        for bank in self.banks:
            for key in self.keys:
                feeds = self.feeds(bank, key)
                if feeds is not None:
                    yield feeds

    def tap_of(self, point: str, settings: Settings = ()) -> str:
        """Name the post inside a chain that a point is fed from in some key state, past the lamp; empty of no tap."""
        for bank in self.banks:
            for key in self.keys if bank.taps else ():
                feeds = self._ways(
                    bank.taps, Condition(key, tuple({**dict(self._out(bank, key)), **dict(settings)}.items()))
                )
                if feeds is not None and feeds.is_fed(point):
                    return feeds.feeding_post(point)
        return ""

    def _ways(self, live: tuple[str, ...], condition: Condition) -> Feeds | None:
        if (live, condition) not in self._feeds:
            survey = self.scene.survey(condition)
            self._feeds[live, condition] = None if survey is None else Feeds(survey.settled, live)
        return self._feeds[live, condition]

    def read(
        self,
        bank: Bank,
        condition: Condition,
        touching: tuple[str, str] | None = None,
        *,
        points: tuple[str, ...] = (),
        standing: tuple[Element, ...] = (),
    ) -> SeriesLamp | None:
        """Give what the lamp shows; None where the circuit cannot be so or never rests.

        Parameters
        ----------
        touching
            Two points that lie against each other.
        points
            Points whose volts are wanted beside those of the lamp: each makes the circuit larger.
        standing
            Motors that stand still.
        """
        still = tuple(motor.name for motor in standing)
        asked = (bank.live, frozenset(condition.settings), condition.key, touching, points, still)
        if asked not in self._readings:
            try:
                found: SeriesLamp | None = read_series_lamp(
                    self.harness,
                    condition,
                    bank.live,
                    self.watts,
                    touching=touching,
                    points=points,
                    other_ohms={motor.name: standing_ohms(self.harness, motor) for motor in standing},
                )
            except CircuitError:
                found = None
            self._readings[asked] = None if found is None or found.settled.buzzing else found
        return self._readings[asked]

    def bands(self, lamp: SeriesLamp) -> Bands:
        """Give the bands of a reading of the lamp."""
        return Bands(lamp.settled)


@once_per_harness
def unplugged(harness: Harness) -> tuple[str, ...]:
    """Name what stays unplugged: every module, and loads with a hazard or an inverter."""
    loads = (
        load.id
        for load in harness.loads
        if _UNPLUGGED.intersection(hazards_of_part(harness, load.id)) or has_inverter(load)
    )
    return (*(module.id for module in harness.modules), *loads)


def is_module(harness: Harness, part_id: str) -> bool:
    """Tell whether a part is a module."""
    return isinstance(harness.parts.get(part_id), Module)


def has_inverter(load: Load) -> bool:
    """Tell whether a load is an inverter."""
    return LoadKind.INVERTER in [load.kind, *(element.kind for element in load.elements)]


def _banks(harness: Harness) -> tuple[Bank, ...]:
    chains: dict[str, list[str]] = {}
    for battery in harness.batteries:
        chains.setdefault(grounded_post_of(harness, battery.id), []).append(battery.id)
    found: list[Bank] = []
    for black, ids in chains.items():
        posts = [post for post in hot_posts(harness) if post[:-2] in ids]
        live = _live_end(harness, black, ids)
        others = tuple(battery.id for battery in harness.batteries if battery.id not in ids)
        taps = tuple(post for post in posts if post != live and is_tapped(harness, post))
        found.append(Bank(live, black, others, taps, unfused_taps(harness, taps)))
    return tuple(found)


def _live_end(harness: Harness, black: str, ids: list[str]) -> str:
    """Name the live end of a chain: the post of the other sign that is farthest from its grounded end."""
    sign = "-" if black.endswith("+") else "+"
    ends = [f"{battery_id}.{sign}" for battery_id in ids]
    links = series_links(harness)
    joined = set(links) if sign == "-" else set(links.values())
    return next((end for end in ends if end[:-2] not in joined), ends[0])
