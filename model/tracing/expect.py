"""What to expect at each point of a walk: the load plugged in and unplugged, in each key state."""

from __future__ import annotations

from dataclasses import dataclass

from model.cautions import NO_PROBE, wants_engine_off
from model.circuit.bands import Band, Bands
from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from model.circuit.settle import Settled
from model.circuit.survey import LoadReading, Survey
from model.tracing.posts_floor import posts_floor_volts

FLOATING = "floating"
UNSETTLED = "unsettled"
NOT_UNPLUGGED = "never"


@dataclass(frozen=True, slots=True)
class Expect:
    """What a meter should read at a point in one key state, its black probe on the grounded post.

    Attributes
    ----------
    on, unplugged
        Volts with the load plugged in and unplugged; None where a word stands in their place.
    low, high
        Band of a good reading with the load plugged in, in volts; None where ``on`` is.
    word, unplugged_word
        ``floating``, ``unsettled``, ``no probe`` of ignition wiring while the engine turns, or ``never`` of a load that
        must not be unplugged; empty where there is a figure.
    """

    on: float | None
    low: float | None
    high: float | None
    word: str
    unplugged: float | None
    unplugged_word: str


class Expectations:
    """The expectations at points of one harness with one load unplugged or not, solved once a key state.

    Parameters
    ----------
    condition
        Settings and key state; the posts' volts in it hold for all key states by the emf they give.
    load_id
        Id of the load that is unplugged; None for one that must not be.
    black
        Point at which the black probe stands.
    """

    def __init__(self, bench: Bench, condition: Condition, load_id: str | None, black: str) -> None:
        self.black = black
        self.keys = bench.harness.key_names
        self._surveys: dict[str, Survey] = {}
        self._bands: dict[str, Bands] = {}
        self._unplugged: dict[str, Settled] = {}
        self._posts_were_read = condition.posts_volts is not None
        others = bench.at_posts(condition) if condition.posts_volts is not None else bench
        for key in self.keys:
            asked = condition if key == condition.key else condition.at_key(key)
            found = (bench if key == condition.key else others).survey(asked)
            self._surveys[key] = found
            self._bands[key] = Bands(found.settled)
            if load_id is not None:
                out = asked.at_key(key).with_setting(load_id, OUT)
                self._unplugged[key] = others.survey(out).settled

    def survey(self, key: str) -> Survey:
        """Give what a key state does to every load, this one plugged in."""
        return self._surveys[key]

    def settled(self, key: str) -> Settled:
        """Give the circuit in a key state, the load plugged in."""
        return self._surveys[key].settled

    def load(self, key: str, name: str) -> LoadReading:
        """Give what a load does in a key state: volts across it, amperes, state."""
        return self._surveys[key].loads[name]

    def at(self, point: str) -> dict[str, Expect]:
        """Give what to expect at a point in each key state."""
        return {key: self._expect(key, point, self.black) for key in self.keys}

    def across(self, red: str, black: str) -> dict[str, Expect]:
        """Give what to expect between two points in each key state."""
        return {key: self._expect(key, red, black) for key in self.keys}

    def _expect(self, key: str, red: str, black: str) -> Expect:
        unplugged, unplugged_word = None, NOT_UNPLUGGED
        if key in self._unplugged:
            unplugged, unplugged_word = reading_at(self._unplugged[key], red, black)
        on = self.settled(key)
        volts, word = reading_at(on, red, black)
        if volts is None:
            return Expect(None, None, None, word, unplugged, unplugged_word)
        band = self._bands[key].at(on.net.index[red], on.net.index[black])
        floor_volts = None if self._posts_were_read else posts_floor_volts(on, red, black)
        low, high = _floored(band, floor_volts)
        return Expect(volts, low, high, "", unplugged, unplugged_word)


def _floored(band: Band, floor_volts: float | None) -> tuple[float, float]:
    """Give a band's ends, the one nearer to zero no nearer than a floor."""
    if floor_volts is None:
        return band.low, band.high
    return (band.low, min(band.high, -floor_volts)) if band.volts < 0 else (max(band.low, floor_volts), band.high)


def reading_at(settled: Settled, point: str, black: str) -> tuple[float | None, str]:
    """Give the volts from the black probe to a point, or the word that stands in their place."""
    harness, condition = settled.net.harness, settled.condition
    if any(wants_engine_off(harness, probe, condition) for probe in (point, black)):
        return None, NO_PROBE
    for probe in (point, black):
        node = settled.net.index[probe]
        if node in settled.floating:
            return None, FLOATING
        if node in settled.unsettled:
            return None, UNSETTLED
    volts = float(settled.volts[settled.net.index[point]] - settled.volts[settled.net.index[black]])
    return volts, ""
