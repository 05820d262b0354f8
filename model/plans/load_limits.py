"""Between what a reading at a load is good: the published floors, the usual limits of the ground side, the band."""

from __future__ import annotations

from functools import cache

from model.circuit.bands import LOAD_TOLERANCE, SUPPLY_SHARE, Band
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind, Module, Rated
from model.plans.plan import Limit
from model.tables import Row, SourceKind, table_rows
from model.words import plural, volts_text

_RULE_VOLTS = 12.0
_BY_DESIGN_SHARE = 0.75
"""A load that gets less of the posts' volts than this has a resistance before it by design."""
_DELICATE = frozenset({LoadKind.LED, LoadKind.ELECTRONICS})
COMPUTED = "computed"


@cache
def load_limit(quantity: str) -> Row:
    """Give the row of a quantity of the table of limits at loads.

    Raises
    ------
    KeyError
        Where there is no such quantity.
    """
    return next(iter([row for row in table_rows("load_limits") if row["quantity"] == quantity]), None) or _none(
        quantity
    )


def _none(quantity: str) -> Row:
    raise KeyError(quantity)


@cache
def drop_limit(part: str, nominal_volts: float | None = None) -> Row:
    """Give the row of a part in the table of drop limits; of several that for these nominal volts, else the first.

    Raises
    ------
    KeyError
        Where there is no such part.
    """
    rows = [row for row in table_rows("drop_limits") if row["part"] == part]
    if not rows:
        raise KeyError(part)
    wanted = "" if nominal_volts is None else f"{nominal_volts:g}"
    return next((row for row in rows if row["nominal_volts"] == wanted), rows[0])


def across_limit(
    harness: Harness, element: Element, band: Band, posts_volts: float, *, charging: bool, cranking: bool = False
) -> Limit:
    """Give the limit of the volts across a load that is on.

    Parameters
    ----------
    band
        The volts computed, and their band.
    posts_volts
        Volts across the posts as computed in the same condition.
    charging, cranking
        True with the engine running, and while it is cranked.

    Notes
    -----
    The floor is the tightest that is published for the load: 10 % of nominal lost on the way out and back, 3 % where
    the file calls it critical, and of a lamp 85 % of its design volts while the engine runs. A load before which a
    resistance stands by design has the computed band instead, and so has every load while the engine is cranked.
    """
    if cranking:
        return computed_limit(harness, band, "the starter holds the posts down")
    if band.volts < _BY_DESIGN_SHARE * posts_volts:
        return computed_limit(harness, band, "a resistance stands in its way by design")
    nominal_volts = harness.build.nominal_volts
    part = "navigation lamps, bilge blowers and pumps, panel feeders, safety gear"
    row = drop_limit(part if is_critical(harness, element) else "every other load of a boat")
    share = float(row["limit"])
    floor = (1.0 - share / 100.0) * nominal_volts
    why = f"{share:g} % of {nominal_volts:g} V lost out and back"
    if charging and element.kind is LoadKind.LAMP:
        lamp = load_limit("least volts at a lamp")
        lamp_floor = float(lamp["value"]) / 100.0 * element.at_volts
        if lamp_floor > floor:
            floor, row = lamp_floor, lamp
            why = f"{lamp['value']} % of the {element.at_volts:g} V that the lamp is made for"
    return Limit(floor, None, row["source"], SourceKind(row["source_kind"]), why)


def is_critical(harness: Harness, element: Element) -> bool:
    """Tell whether the file calls a load or its element critical."""
    rows = (element.record, harness.parts[element.part_id])
    return any(isinstance(row, Rated) and row.critical for row in rows)


def ground_limit(harness: Harness, element: Element, band: Band, *, by_design: bool) -> Limit:
    """Give the limit of the volts from the ground terminal of a load that is on to the grounded post.

    Parameters
    ----------
    by_design
        True where a resistance or an output stage is in the way to ground; the computed band is the limit then.

    Notes
    -----
    The usual limits are for 12 V and go in proportion to the nominal volts.
    """
    if by_design:
        return computed_limit(harness, band, "some falls there by design")
    is_delicate = element.kind in _DELICATE or isinstance(harness.parts[element.part_id], Module)
    part = "ground side, electronics" if is_delicate else "ground side, lamps and motors"
    if _is_starter(harness, element):
        part = "ground side, starter"
    row = drop_limit(part)
    most = float(row["limit"]) * harness.build.nominal_volts / _RULE_VOLTS
    scaled = harness.build.nominal_volts != _RULE_VOLTS
    from_words = f"{row['limit']} V at 12 V, in proportion to {harness.build.nominal_volts:g} V" if scaled else ""
    return Limit(-most, most, row["source"], SourceKind(row["source_kind"]), from_words)


def _is_starter(harness: Harness, element: Element) -> bool:
    rows = (element.record, harness.parts[element.part_id])
    words = " ".join([harness.parts[element.part_id].label, *(row.role for row in rows if isinstance(row, Rated))])
    return element.kind is LoadKind.MOTOR and "starter" in words.casefold()


def computed_limit(harness: Harness, band: Band, because: str = "") -> Limit:
    """Give a band as a limit: computed, by tolerances that are judgement."""
    supply = ", ".join(_supply_words(harness))
    words = f"{supply}; parts and meter as far off as is usual, two sigma"
    return Limit(band.low, band.high, COMPUTED, SourceKind.JUDGEMENT, f"{because}; {words}" if because else words)


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


def band_words(band: Band) -> str:
    """Say a band: ``12.36 V, 11.80 V to 12.92 V``."""
    return f"{volts_text(band.volts)} V, {volts_text(band.low)} to {volts_text(band.high)}"
