"""What is to be said of a fuse, sentence by sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import assert_never

from model.circuit.condition import OUT, Condition
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.harness.parts import Fuse, FuseStyle
from model.harness.places import place_of
from model.harness.records import Wire
from model.review.adrift import adrift_of
from model.review.condition_said import condition_said
from model.review.fed_points import Fed
from model.review.fuse_amps import FuseStart, OpeningBand
from model.review.fuse_use import Concern, FuseUse, lasting_share
from model.sheets.load_words import load_words
from model.tables import SourceKind
from model.tracing.fuse_words import fuse_noun
from model.tracing.names import either, id_and_label, wire_name
from model.words import amps_text, clean, plural

_NAMED_AT_MOST = 12
_BEARS = "catalogue, JIS C 3406 AV, one wire in free air"


def rating_words(use: FuseUse) -> str:
    """Name the fuse by rating, kind and colour: ``20 A blade fuse, yellow``; a style without a colour says so."""
    fuse = use.fuse
    rating = f"{fuse.amps:g} A " if fuse.amps is not None else ""
    return f"{rating}{fuse_noun(fuse)}, {colour_words(use)}"


def colour_words(use: FuseUse) -> str:
    """Name the colour of a fuse by the standard, or say that it has none."""
    if use.colour:
        return use.colour
    if use.fuse.style is FuseStyle.BLADE:
        return "no colour in the standard for this rating"
    return "no standard colour"


def named(words: Iterable[str]) -> str:
    """Join names in a sentence, the first of them where there are many."""
    every = list(dict.fromkeys(words))
    rest = len(every) - _NAMED_AT_MOST
    return either([*every[:_NAMED_AT_MOST], f"{rest} more"] if rest > 1 else every, "and")


def feeds_words(harness: Harness, use: FuseUse) -> str:
    """Say what hangs behind a fuse; of one that feeds nothing that it is a spare."""
    feeds = use.feeds
    if feeds.is_spare:
        return "Feeds nothing: a spare way, or its wire is not in the file."
    parts = [load_words(harness, name) for name in feeds.loads]
    parts += [f"the coil of relay {id_and_label(harness, name)}" for name in feeds.coils]
    words = [f"Feeds {named(parts)}."] if parts else []
    if feeds.fuses:
        only = "" if parts or feeds.supplies else " only"
        fuses = named(id_and_label(harness, name) for name in feeds.fuses)
        words.append(f"Feeds{only} further fuses: {fuses}; {plural(len(use.all_loads), 'load')} in all behind it.")
    lost = {one.point.partition(".")[0] for one in adrift_of(harness)}
    supplies = [one for one in feeds.supplies if one not in lost]
    if supplies:
        words.append(f"The current of {named(id_and_label(harness, one) for one in supplies)} comes through it.")
    words += [
        f"{id_and_label(harness, one)} hangs there and has no way home: no current of its comes through it."
        for one in feeds.supplies
        if one in lost
    ]
    if feeds.joins:
        batteries = named(id_and_label(harness, one) for one in feeds.joins)
        words.append(f"Joins on to {batteries} by no further fuse: current may go through it either way.")
    if feeds.meets:
        words.append(f"What is behind it can be fed through {named(feeds.meets)} too.")
    return " ".join(words)


def fed_words(use: FuseUse) -> str:
    """Say in which key states a fuse is fed."""
    rest = [key for key, fed in use.fed.items() if fed is Fed.AT_REST]
    moved = [key for key, fed in use.fed.items() if fed is Fed.MOVED]
    if len(rest) == len(use.fed):
        return "Fed in every key state with nothing switched on."
    if not rest and len(moved) == len(use.fed):
        return "Fed in every key state once something before it is switched on."
    words = [f"Fed in {_keys(rest)}"] if rest else []
    words += [f"{'with something' if rest else 'Fed with something'} before it on in {_keys(moved)}"] if moved else []
    never = [key for key, fed in use.fed.items() if fed is Fed.NONE]
    if not words:
        return "No key state feeds it."
    return f"{', '.join(words)}{f'; not in {_keys(never)}' if never else ''}."


def works_words(harness: Harness, use: FuseUse) -> Iterator[str]:
    """Say in which key states the loads behind a fuse work, those together that do in the same."""
    by_keys: dict[tuple[str, ...], list[str]] = {}
    for load in use.loads:
        by_keys.setdefault(load.works_in, []).append(load_words(harness, load.name))
    for keys, names in by_keys.items():
        if not keys:
            yield f"Works in no condition tried: {named(names)}."
        elif len(keys) == len(use.fed):
            yield f"Can work in every key state: {named(names)}."
        else:
            yield f"Can work in {_keys(keys)}: {named(names)}."


def current_words(harness: Harness, use: FuseUse) -> str:
    """Say the most amperes that the loads of a fuse ask for, in which condition, and how much of its rating that is."""
    most, lasting = use.most, use.lasting
    if most is None or lasting is None:
        return "Its current cannot be computed: no condition of the loom could be solved."
    if most.amps < 1e-4:
        buzzing = (
            " What never rests, or blows at rest, was left out there." if OUT in most.condition.by_name.values() else ""
        )
        return f"No current through it in any condition tried.{buzzing}"
    if most.amps > lasting.amps + 1e-4 and most.condition != lasting.condition:
        first = f"Carries {amps_text(most.amps)}{_share(use.fuse, most.amps)} while cranking"
        if lasting.amps < 1e-4:
            return f"{first}, and nothing else than that."
        return f"{first}, for long at most {_carried(harness, use.fuse, lasting.amps, lasting.condition)}."
    return f"Carries at most {_carried(harness, use.fuse, lasting.amps, lasting.condition)}.{_charging(use)}"


def start_words(harness: Harness, use: FuseUse) -> str:
    """Say what a fuse carries for a moment, and within which time one of its kind opens at that; empty without."""
    start = use.start
    if start is None:
        return ""
    loads = named(load_words(harness, name) for name in start.loads)
    verb = "starts" if len(start.loads) == 1 else "start at once"
    lasts = f" for about {start.seconds:g} s" if start.seconds else ""
    share = _share(use.fuse, start.amps)
    words = f"Where {loads} {verb}: about {amps_text(start.amps)}{share}{lasts} ({start_source(start)})."
    band = use.start_band
    if band is None:
        if use.fuse.style is not FuseStyle.BLADE and use.fuse.amps is not None and start.amps > 1.35 * use.fuse.amps:
            return f"{words} How long a {fuse_noun(use.fuse)} bears that only its maker says."
        return words
    may = " It may open there." if Concern.MAY_OPEN_AT_START in use.concerns else ""
    return f"{words} A {band.style} fuse opens at that {_band_words(band)} ({band.source}).{may}"


def _band_words(band: OpeningBand) -> str:
    """Say within which time a fuse opens; where the standard sets no bound, so."""
    least, most = band.least_seconds, band.most_seconds
    if least and most:
        return f"no sooner than {least:g} s and no later than {most:g} s"
    if most:
        return f"within {most:g} s; how soon is not in the standard"
    return f"no sooner than {least:g} s; how late is not in the standard" if least else "after a time that is not given"


def start_source(start: FuseStart) -> str:
    """Say where the amperes of a start come from."""
    return "as the file gives it" if start.is_given else f"by the kind of load, {_kind(start.kind)}"


def wire_words(harness: Harness, use: FuseUse) -> str:
    """Say what the thinnest wire behind a fuse bears, and which rating is the largest that may stand before it."""
    if use.thinnest is None:
        return "No wire behind it."
    wire = harness.part_of(use.thinnest.wire_id, Wire)
    name = wire_name(harness, wire).removeprefix("wire ")
    words = f"Its thinnest wire, {name}, bears {amps_text(use.thinnest.amps)} ({_BEARS})"
    least_amps = use.thinnest.amps
    if use.in_bundle is not None:
        which = "" if use.in_bundle.wire_id == wire.id else f"{use.in_bundle.wire_id} "
        words += f"; {which}in its bundle {amps_text(use.in_bundle.amps)} (a judgement)"
        least_amps = min(least_amps, use.in_bundle.amps)
    if {Concern.WIRE_UNDER_RATING, Concern.BUNDLE_UNDER_RATING}.isdisjoint(use.concerns):
        return f"{words}."
    fit = use.fit_at_most_amps
    if fit is None or fit > least_amps:
        return f"{words}, less than the rating and than the smallest blade fuse: fit a thicker wire."
    if use.lasting is not None and use.lasting.amps > fit:
        thin = f"a fuse of its own of at most {fit:g} A for the thin branch"
        return f"{words}, less than the rating. Fit a thicker wire, or {thin}: the loads take more than that for long."
    smaller = "or a smaller one of its own for the thin branch"
    return f"{words}, less than the rating. Fit a fuse of at most {fit:g} A, {smaller}."


def hazard_words(harness: Harness, use: FuseUse) -> str:
    """Warn of restraints and high voltage behind a fuse; empty where there are none."""
    owners = dict.fromkeys(name.partition(":")[0] for name in use.all_loads)
    grave = [
        f"{id_and_label(harness, one)}, marked {hazard}"
        for one in owners
        for hazard in hazards_of_part(harness, one)
        if hazard in NEVER_PROBED
    ]
    if not grave:
        return ""
    return (
        f"Behind {use.fuse.id} {'is' if len(grave) == 1 else 'are'} {named(grave)}: nothing is measured there, and its "
        "fuse is pulled by its maker's procedure only, by somebody licensed for it."
    )


def concern_words(harness: Harness, use: FuseUse) -> Iterator[str]:
    """Say what is to be thought over of a fuse, a sentence each."""
    name = f"{use.fuse.id}, {rating_words(use)}"
    for concern in use.concerns:
        match concern:
            case Concern.LOADS_OPEN_IT:
                asks = "its loads together ask for more than 1.35 times its rating, and it opens"
                yield f"{name}: {asks}. {current_words(harness, use)}"
            case Concern.OVER_RATING:
                yield f"{name}: carries more than its rating. {current_words(harness, use)}"
            case Concern.OVER_SHARE:
                more = f"over {lasting_share() * 100:.0f} % of its rating, more than workshops load one for long"
                yield f"{name}: {more} (common practice, 70 to 80 %). {current_words(harness, use)}"
            case Concern.WIRE_UNDER_RATING | Concern.BUNDLE_UNDER_RATING | Concern.WIRE_UNDER_CURRENT:
                carries = (
                    f" It carries {amps_text(use.thinnest_amps)}." if concern is Concern.WIRE_UNDER_CURRENT else ""
                )
                yield f"{name}: {wire_words(harness, use)}{carries}"
            case Concern.MAY_OPEN_AT_START:
                yield f"{name}: {start_words(harness, use)}"
            case Concern.NEVER_FED:
                yield f"{name}: no key state feeds it."
            case _:
                assert_never(concern)


def place_name(harness: Harness, use: FuseUse) -> str:
    """Name the place of a fuse; a word where the file gives none."""
    return clean(place_of(harness, use.fuse.id).name, 60) or "place not given"


def _charging(use: FuseUse) -> str:
    """Say of a fuse that batteries are charged through that its most is not known."""
    is_on_the_way = use.feeds.supplies or use.feeds.joins or use.feeds.meets
    if not use.uncharged or not is_on_the_way:
        return ""
    return " What an empty battery takes while it is charged is not known: it may be more."


def _carried(harness: Harness, fuse: Fuse, amps: float, condition: Condition) -> str:
    return f"{amps_text(amps)}{_share(fuse, amps)}, {condition_said(harness, condition)}"


def _share(fuse: Fuse, amps: float) -> str:
    return f", {100 * amps / fuse.amps:.0f} % of its rating" if fuse.amps is not None else ""


def _keys(keys: Iterable[str]) -> str:
    return either([clean(key, 40) for key in keys], "and")


def _kind(kind: SourceKind) -> str:
    return "a judgement" if kind is SourceKind.JUDGEMENT else str(kind)
