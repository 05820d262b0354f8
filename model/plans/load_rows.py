"""The rows of one load: with its current, in the other key states, and at its fuse."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for, cranks, wants_engine_off
from model.circuit.bands import Band
from model.circuit.condition import Condition
from model.circuit.survey import LoadState
from model.harness.harness import Element, Harness, element_label
from model.harness.parts import Fuse, LoadKind, Module
from model.harness.places import place_of, point_place
from model.harness.supply import grounded_posts
from model.plans.judging import fits
from model.plans.load_keys import WorksRow
from model.plans.load_limits import (
    across_limit,
    band_words,
    computed_limit,
    fuse_limit,
    ground_limit,
    load_limit,
    off_limit,
)
from model.plans.load_scene import LoadScene
from model.plans.plan import Limit, Measure, PlanRow
from model.words import amps_text, clean

LEAST_CLAMP_AMPS = 0.2
"""Under this a clamp meter shows nothing that could be told from none; judgement."""

_LABEL_CHARACTERS = 48


def settings_key(condition: Condition) -> str:
    """Spell a condition for the key of a row: ``ignition S8=pressed``."""
    return " ".join([condition.key, *(f"{name}={value}" for name, value in sorted(condition.by_name.items()))])


def in_order(cautions: Iterable[str]) -> tuple[str, ...]:
    """Put the texts of cautions in order, each once, the gravest first."""
    wanted = set(cautions)
    return tuple(caution.text for caution in CAUTIONS.values() if caution.text in wanted)


def load_name(harness: Harness, element: Element) -> str:
    """Name an element in a title: ``Left head lamp dip``, ``E9``, ``Radio pin 30``."""
    label = clean(element_label(harness, element), _LABEL_CHARACTERS).strip()
    if isinstance(harness.parts[element.part_id], Module):
        owner = clean(harness.parts[element.part_id].label, _LABEL_CHARACTERS).strip() or element.part_id
        return f"{owner} pin {clean(element.name.partition(':')[2], _LABEL_CHARACTERS)}"
    return label or element.part_id


def is_charging(harness: Harness, condition: Condition) -> bool:
    """Tell whether the engine runs in a condition."""
    return any(state.charging and state.name == condition.key for state in harness.key_states)


def working_rows(scene: LoadScene, element: Element, condition: Condition) -> Iterator[PlanRow]:
    """Give the rows of an element with its current flowing: across it, its feed, its ground.

    Parameters
    ----------
    condition
        That in which it works; its circuit is known to settle.
    """
    feeds = scene.feeds(condition)
    if feeds is None:
        return
    across = _across_row(scene, element, condition, _right_way_round(scene, element, condition))
    if across is not None:
        yield replace(across, covers=way_of(scene, element, condition))
    yield from _side_rows(scene, element, condition, feeds.feed_ends(element))


def way_of(scene: LoadScene, element: Element, condition: Condition) -> tuple[str, ...]:
    """Name what an element's current goes through in a condition: itself, its feed, its ground."""
    feeds = scene.feeds(condition)
    if feeds is None:
        return (element.name,)
    feed, ground = feeds.feed_ends(element)
    return tuple(dict.fromkeys((element.name, *feeds.feeding_sites(feed), *reversed(feeds.grounding_sites(ground)))))


def _side_rows(scene: LoadScene, element: Element, condition: Condition, ends: tuple[str, str]) -> Iterator[PlanRow]:
    """Give the rows of the feed and of the ground of an element that is on, against the grounded post."""
    harness, name = scene.harness, load_name(scene.harness, element)
    feeds = scene.feeds(condition)
    if feeds is None:
        return
    black = scene.black_of(feeds.feeding_post(ends[0]))
    for point, word in zip(ends, ("feed", "ground"), strict=True):
        band = scene.band(condition, point, black)
        if band is None or point == black:
            continue
        is_feed = word == "feed"
        sites = feeds.feeding_sites(point) if is_feed else feeds.grounding_sites(point)
        by_design = feeds.falls_by_design(sites)
        limit = computed_limit(harness, band) if is_feed else ground_limit(harness, element, band, by_design=by_design)
        row = _volts_row(scene, condition, (point, black), band, limit)
        row = _that_tells(row) if is_feed else row
        yield replace(
            row,
            key=f"{element.name} {word}",
            title=f"{name}: {'feed terminal' if is_feed else 'ground terminal'} with its current on",
            covers=tuple(dict.fromkeys(sites)),
            expect_words=row.expect_words if is_feed else "",
            blind=row.blind or beyond_limit(band, limit),
        )


def _across_row(scene: LoadScene, element: Element, condition: Condition, ends: tuple[str, str]) -> PlanRow | None:
    band = scene.band(condition, *ends)
    posts = scene.band(condition, scene.live, scene.black)
    if band is None or posts is None:
        return None
    limit = _working_limit(scene, element, condition, (band, posts))
    row = _that_tells(_volts_row(scene, condition, ends, band, limit))
    return replace(
        row,
        key=f"{element.name} across",
        title=f"{load_name(scene.harness, element)}: volts across it, working",
        blind=row.blind or beyond_limit(band, limit),
        before=_before(scene.harness, element, condition),
    )


def state_row(scene: LoadScene, element: Element, found: WorksRow) -> PlanRow | None:
    """Give the row of an element in another key state with the same switches: it stays off, or works there too."""
    condition, is_off = found.condition, found.state is LoadState.OFF
    ends = (element.from_point, element.to_point) if is_off else _right_way_round(scene, element, condition)
    posts = scene.band(condition, scene.live, scene.black)
    if posts is None:
        return None
    band = scene.band(condition, *ends) or Band(0.0, -0.1, 0.1)
    name = load_name(scene.harness, element)
    if is_off:
        row = replace(_volts_row(scene, condition, ends, band, off_limit(element)), expect_words="stays off")
        title = f"{name}: stays off"
    else:
        limit = _working_limit(scene, element, condition, (band, posts))
        if found.state is LoadState.WEAK:
            limit = computed_limit(scene.harness, band, "it has less than its rated volts there by design")
        row = _that_tells(_volts_row(scene, condition, ends, band, limit))
        title = f"{name}: {'works here too' if found.state is LoadState.WORKS else 'works weakly here'}"
    return replace(
        row,
        key=f"{element.name} in {condition.key}",
        title=title,
        covers=() if is_off else _new_on_way(scene, element, condition),
    )


def _new_on_way(scene: LoadScene, element: Element, condition: Condition) -> tuple[str, ...]:
    """Name what an element's current goes through in a condition, and not in the one in which it is proven to work."""
    known = way_of(scene, element, scene.working(element).condition)
    return tuple(site for site in way_of(scene, element, condition) if site not in known)


def _working_limit(scene: LoadScene, element: Element, condition: Condition, bands: tuple[Band, Band]) -> Limit:
    """Give the limit across a load that is on, from the bands across it and across the posts."""
    charging, cranking = is_charging(scene.harness, condition), cranks(scene.harness, condition)
    return across_limit(scene.harness, element, bands, charging=charging, cranking=cranking)


def _that_tells(row: PlanRow) -> PlanRow:
    """Say of a row of what is on whether it could tell that it is not."""
    if not fits(row, 0.0):
        return row
    return replace(row, tells=False, blind="So few volts are expected here that none at all would pass too.")


def _volts_row(scene: LoadScene, condition: Condition, ends: tuple[str, str], band: Band, limit: Limit) -> PlanRow:
    """Give a row of volts without its key and title."""
    red, black = ends
    harness = scene.harness
    hands = (red,) if black in grounded_posts(harness) else ends
    return PlanRow(
        key="",
        title="",
        group=clean(point_place(harness, red).name, _LABEL_CHARACTERS),
        measure=Measure.VOLTS,
        condition=condition,
        red=red,
        black=black,
        place=clean(point_place(harness, red).name),
        far_place=clean(point_place(harness, black).name),
        expect=round(band.volts, 4) + 0.0,
        expect_words=band_words(band, limit),
        limit=limit,
        cautions=tuple(caution.text for caution in cautions_for(harness, hands, condition)),
    )


def _right_way_round(scene: LoadScene, element: Element, condition: Condition) -> tuple[str, str]:
    survey, ends = scene.survey(condition), (element.from_point, element.to_point)
    volts = [None, None] if survey is None else [survey.settled.volts_at(point) for point in ends]
    is_turned = volts[0] is not None and volts[1] is not None and volts[0] < volts[1]
    return (ends[1], ends[0]) if is_turned else ends


def beyond_limit(band: Band, limit: Limit) -> str:
    """Say of a row that the loom as drawn is outside its limit; empty where it is not."""
    under = limit.low is not None and band.volts < limit.low
    over = limit.high is not None and band.volts > limit.high
    if not under and not over:
        return ""
    return "The loom as it is drawn does not keep this limit even when all of it is sound."


def _before(harness: Harness, element: Element, condition: Condition) -> tuple[str, ...]:
    found = []
    if element.kind is LoadKind.SOCKET:
        amps = amps_text(element.rated_amps)
        found.append(f"Plug something that takes about {amps} into it; the figures are for that current.")
    if element.kind is LoadKind.LED:
        found.append("Leave the led plugged in: with nothing on the wire the volts prove nothing.")
    if cranks(harness, condition):
        found.append("Take the first steady reading and let go; disable fuel or ignition first.")
    return tuple(found)


def fuse_row(scene: LoadScene, condition: Condition, fuse: Fuse) -> PlanRow | None:
    """Give the row of the amperes through a fuse in a condition; None where they are too few for a clamp."""
    survey = scene.survey(condition)
    amps = 0.0 if survey is None else survey.fuse_amps[fuse.id]
    if amps < LEAST_CLAMP_AMPS:
        return None
    harness = scene.harness
    share = amps / fuse.amps if fuse.amps else 0.0
    place = clean(place_of(harness, fuse.id).name)
    label = clean(fuse.label, _LABEL_CHARACTERS).strip()
    points = [f"{fuse.id}.out"]
    cautions = [caution.text for caution in cautions_for(harness, points, condition)]
    if fuse.amps is None or amps <= 10.0:
        cautions.append(CAUTIONS[CautionKind.AMMETER].text)
    return PlanRow(
        key=f"{fuse.id} amps {settings_key(condition)}",
        title=f"Amperes through fuse {fuse.id}{f' ({label})' if label else ''}",
        group=place,
        measure=Measure.AMPS,
        condition=condition,
        place=place,
        expect=round(amps, 4),
        limit=fuse_limit(amps),
        covers=(fuse.id,),
        before=("Read with a DC clamp round one wire of it. Above 10 A use nothing else.",),
        blind=_over_rated(share),
        cautions=in_order(cautions),
    )


def _over_rated(share: float) -> str:
    """Say of a fuse that it carries more than is usual of its rating; empty where it does not."""
    usual = float(load_limit("most amperes through a fuse")["value"])
    if 100.0 * share <= usual:
        return ""
    return f"The loom as it is drawn loads it to {share:.0%} of its rating: more than the {usual:g} % that is usual."


def engine_off_only(scene: LoadScene, element: Element, condition: Condition) -> bool:
    """Tell whether an element is of the ignition and the engine may turn in a condition: no probe goes there then."""
    points = (element.from_point, element.to_point)
    return any(wants_engine_off(scene.harness, point, condition) for point in points)
