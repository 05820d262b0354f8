"""What millivolts across a seated fuse mean in amperes: cold ohms by rating, and more where it runs warm."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.parts import Fuse, FuseStyle
from model.review.draw_figures import figure
from model.tables import fuse_figures
from model.units import fuse_cold_ohms

_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class FuseOhms:
    """What a fuse resists.

    Attributes
    ----------
    cold_ohms
        At 20 °C, carrying little.
    rated_amps
        Its rating; None of a thermal fuse, which is reckoned cold at every current.
    hot_times
        Its ohms at rated current over the cold ones.
    band_share
        How far the cold ohms of a sound fuse may lie from these, as a share.
    """

    cold_ohms: float
    rated_amps: float | None
    hot_times: float
    band_share: float

    def ohms(self, amps: float) -> float:
        """Give what it resists at a current in amperes."""
        return self.cold_ohms * self._warm_times(abs(amps))

    def millivolts(self, amps: float) -> float:
        """Give the millivolts across it at a current in amperes."""
        return 1000.0 * amps * self.ohms(amps)

    def amps(self, millivolts: float) -> float:
        """Give the current in amperes that leaves so many millivolts across it, with their sign."""
        low, high = 0.0, abs(millivolts) / 1000.0 / self.cold_ohms
        if self._warm_times(high) > 1.0:
            for _ in range(_HALVINGS):
                middle = (low + high) / 2.0
                low, high = (middle, high) if self.millivolts(middle) < abs(millivolts) else (low, middle)
        return -high if millivolts < 0 else high

    def span_amps(self, millivolts: float) -> tuple[float, float]:
        """Give the least and the most amperes that so many millivolts may be, by the band of sound fuses."""
        size = abs(millivolts)
        return self.amps(size / (1.0 + self.band_share)), self.amps(size / (1.0 - self.band_share))

    def _warm_times(self, amps: float) -> float:
        """Give its ohms at a current over the cold ones: the heat in it goes with the square of the current."""
        if self.rated_amps is None:
            return 1.0
        begins = figure("hot from").value / 100.0
        over = (amps / self.rated_amps) ** 2 - begins**2
        return 1.0 + max(over, 0.0) / (1.0 - begins**2) * (self.hot_times - 1.0)


def fuse_ohms(fuse: Fuse) -> FuseOhms:
    """Give what a fuse resists: as the file says, else as typical blade fuses of its rating do.

    Notes
    -----
    Typical figures of medium blade fuses (ISO 8820-3 type C). No table of other styles is published: their band is
    twice as wide. A fuse warms by the square of its current, up to the published drop at rated current.
    """
    is_blade = fuse.style is FuseStyle.BLADE or fuse.ohms is not None
    band = figure("fuse band" if is_blade else "other fuse band").value / 100.0
    cold_ohms = fuse.ohms or fuse_cold_ohms(fuse.amps, fuse.style)
    return FuseOhms(cold_ohms, fuse.amps, _hot_times(fuse), band)


def _hot_times(fuse: Fuse) -> float:
    cold = fuse_figures("cold resistance").get(fuse.amps or 0.0)
    drop = fuse_figures("drop at rated current").get(fuse.amps or 0.0)
    if cold is None or drop is None or fuse.amps is None:
        typical = figure("hot fuse")
        return ((typical.low or 1.0) + typical.value) / 2.0
    return drop / (cold * fuse.amps)
