"""What to expect at each point of a walk: the load plugged in and unplugged, in each key state."""

from __future__ import annotations

from dataclasses import dataclass

from model.circuit.bands import Bands
from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from model.circuit.settle import Settled

FLOATING = "floating"
UNSETTLED = "unsettled"
LIVE_VOLTS = 0.1


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
        ``floating`` or ``unsettled``; empty where there is a figure.
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
        Id of the load that is unplugged.
    black
        Point at which the black probe stands.
    """

    def __init__(self, bench: Bench, condition: Condition, load_id: str, black: str) -> None:
        self.black = black
        self.keys = bench.harness.key_names
        self._settled: dict[str, tuple[Settled, Bands, Settled]] = {}
        others = bench.at_posts(condition) if condition.posts_volts is not None else bench
        for key in self.keys:
            place = bench if key == condition.key else others
            asked = condition if key == condition.key else condition.at_key(key)
            on = place.survey(asked).settled
            unplugged = others.survey(asked.at_key(key).with_setting(load_id, OUT)).settled
            self._settled[key] = (on, Bands(on), unplugged)

    def settled(self, key: str) -> Settled:
        """Give the circuit in a key state, the load plugged in."""
        return self._settled[key][0]

    def at(self, point: str) -> dict[str, Expect]:
        """Give what to expect at a point in each key state."""
        return {key: self._expect(point, *self._settled[key]) for key in self.keys}

    def _expect(self, point: str, on: Settled, bands: Bands, unplugged: Settled) -> Expect:
        volts, word = reading_at(on, point, self.black)
        unplugged_volts, unplugged_word = reading_at(unplugged, point, self.black)
        if volts is None:
            return Expect(None, None, None, word, unplugged_volts, unplugged_word)
        band = bands.at(on.net.index[point], on.net.index[self.black])
        return Expect(volts, band.low, band.high, "", unplugged_volts, unplugged_word)


def reading_at(settled: Settled, point: str, black: str) -> tuple[float | None, str]:
    """Give the volts from the black probe to a point, or the word that stands in their place."""
    for probe in (point, black):
        node = settled.net.index[probe]
        if node in settled.floating:
            return None, FLOATING
        if node in settled.unsettled:
            return None, UNSETTLED
    volts = float(settled.volts[settled.net.index[point]] - settled.volts[settled.net.index[black]])
    return volts, ""
