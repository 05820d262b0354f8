"""Between what a reading at a load is good: the published floors, the usual limits of the ground side, the band."""

from __future__ import annotations

import math
from functools import cache

from model.cautions import is_starter
from model.circuit.bands import LOAD_TOLERANCE, NARROWEST_VOLTS, SUPPLY_SHARE, Band
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind, Module
from model.plans.limits import COMPUTED, high_of, limit_of
from model.plans.plan import Limit
from model.tables import Row, SourceKind, table_rows
from model.tracing.rated import is_critical
from model.words import plural, volts_text

_BY_DESIGN_SHARE = 0.75
"""A load that gets less of the posts' volts than this has a resistance before it by design."""
_DELICATE = frozenset({LoadKind.LED, LoadKind.ELECTRONICS})
LAMPS_AND_MOTORS = "ground side, lamps and motors"


@cache
def load_limit(quantity: str) -> Row:
    """Give the row of a quantity of the table of limits at loads.

    Raises
    ------
    KeyError
        Where there is no such quantity.
    """
    for row in table_rows("load_limits"):
        if row["quantity"] == quantity:
            return row
    raise KeyError(quantity)


def across_limit(
    harness: Harness, element: Element, bands: tuple[Band, Band], *, charging: bool, cranking: bool = False
) -> Limit:
    """Give the limit of the volts across a load that is on.

    Parameters
    ----------
    bands
        Of the volts computed across it, and across the posts in the same condition.
    charging, cranking
        True with the engine running, and while it is cranked.

    Notes
    -----
    The floor is the tightest that is published for the load: 10 % of nominal lost on the way out and back, 3 % where
    the file calls it critical, and of a lamp 85 % of its design volts while the engine runs. A load before which a
    resistance stands by design has the computed band instead, and so has every load while the engine is cranked.
    """
    band, posts = bands
    if cranking:
        return computed_limit(harness, band, "the starter holds the posts down")
    if band.volts < _BY_DESIGN_SHARE * abs(posts.volts):
        return computed_limit(harness, band, "a resistance stands in its way by design")
    limit = _floor(harness, element)
    lamp = _lamp_floor(element) if charging and element.kind is LoadKind.LAMP else None
    return lamp if lamp is not None and (lamp.low or 0.0) > (limit.low or 0.0) else limit


def _floor(harness: Harness, element: Element) -> Limit:
    """Give the least volts at a load by the share of the nominal volts that may be lost on the way out and back."""
    nominal_volts = harness.build.nominal_volts
    part = "navigation lamps, bilge blowers and pumps, panel feeders, safety gear"
    row = limit_of(part if is_critical(harness, element) else "every other load (a rule for boats)", nominal_volts)
    share = high_of(row.name, nominal_volts)
    floor = (1.0 - share / 100.0) * nominal_volts
    words = f"{share:g} % of {nominal_volts:g} V lost out and back"
    return Limit(floor, None, row.source, row.source_kind, words)


def _lamp_floor(element: Element) -> Limit:
    """Give the least volts at a lamp while the engine runs."""
    row = load_limit("least volts at a lamp")
    floor = float(row["value"]) / 100.0 * element.at_volts
    words = f"{row['value']} % of the {element.at_volts:g} V that the lamp is made for"
    return Limit(floor, None, row["source"], SourceKind(row["source_kind"]), words)


def ground_limit(harness: Harness, element: Element, band: Band, *, by_design: bool) -> Limit:
    """Give the limit of the volts from the ground terminal of a load that is on to the grounded post.

    Parameters
    ----------
    by_design
        True where a resistance or an output stage is in the way to ground; the computed band is the limit then.

    Notes
    -----
    The usual limits are given for 12 V; for other volts they are taken in proportion, which is a judgement.
    """
    if by_design:
        return computed_limit(harness, band, "some falls there by design")
    is_delicate = element.kind in _DELICATE or isinstance(harness.parts[element.part_id], Module)
    part = "ground side, electronics" if is_delicate else LAMPS_AND_MOTORS
    if is_starter(harness, element):
        part = "ground side, starter"
    return lifted_limit(harness, part)


def lifted_limit(harness: Harness, part: str) -> Limit:
    """Give the limit of the volts of a ground against the grounded post, either way round.

    Parameters
    ----------
    part
        ``part`` of ``drop_limits``.
    """
    row = limit_of(part, harness.build.nominal_volts)
    most = high_of(part, harness.build.nominal_volts)
    return Limit(-most, most, row.source, row.source_kind)


def computed_limit(harness: Harness, band: Band, because: str = "") -> Limit:
    """Give a band as a limit: computed, by tolerances that are judgement."""
    supply = ", ".join(_supply_words(harness))
    words = f"{supply}; parts and meter as far off as is usual, two sigma"
    return Limit(band.low, band.high, COMPUTED, SourceKind.JUDGEMENT, f"{because}; {words}" if because else words)


def half_with_read_posts(posts: Band, drawn_volts: float) -> float:
    """Give how far the posts may be off either way once they were read in another key state.

    Parameters
    ----------
    posts
        The band of the posts with an unknown supply.
    drawn_volts
        By how much they are computed to differ from that other key state.

    Notes
    -----
    The supply's share goes, and the battery's own ohms, which make the difference, may be half as many again: two sigma
    of that are the difference itself.
    """
    half = posts.high - posts.volts
    without_supply = math.sqrt(max(half**2 - (2.0 * SUPPLY_SHARE * posts.volts) ** 2, 0.0))
    return max(math.hypot(without_supply, drawn_volts), NARROWEST_VOLTS)


def _supply_words(harness: Harness) -> list[str]:
    count = plural(len(harness.batteries), "battery", "batteries")
    return [f"{count} at {harness.build.nominal_volts:g} V nominal, {SUPPLY_SHARE:.0%} either way"]


def off_limit(element: Element) -> Limit:
    """Give the limit of the volts across a load that is to stay off: a quarter of its rated volts, either way round."""
    row = load_limit("volts under which a load is off")
    share = float(row["value"])
    most = share / 100.0 * element.at_volts
    words = f"{share:g} % of the {element.at_volts:g} V it is rated at"
    return Limit(-most, most, row["source"], SourceKind(row["source_kind"]), words)


def fuse_limit(amps: float) -> Limit:
    """Give the limit of the amperes of a fuse: as computed, by the loads' and the supply's tolerances, two sigma."""
    spread = 2.0 * (LOAD_TOLERANCE**2 + SUPPLY_SHARE**2) ** 0.5
    half = spread * amps + 0.05
    words = f"loads {LOAD_TOLERANCE:.0%} and supply {SUPPLY_SHARE:.0%} off, two sigma, and 0.05 A of the clamp"
    return Limit(max(amps - half, 0.0), amps + half, COMPUTED, SourceKind.JUDGEMENT, words)


def band_words(band: Band, limit: Limit) -> str:
    """Say a band: ``12.36 V, 11.80 to 12.92``; nothing where the limit has both ends, which say it beside the volts."""
    if limit.low is not None and limit.high is not None:
        return ""
    return f"{volts_text(band.volts)} V, {volts_text(band.low)} to {volts_text(band.high)}"
