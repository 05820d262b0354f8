"""What is live as a sheet, by feed or by place, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.cautions import cautions_for
from model.harness.harness import Harness
from model.harness.places import place_words
from model.harness.supply import reference_point
from model.review.live_points import LIVE_VOLTS, LiveKind
from model.review.live_review import LiveReview
from model.sheets.condition_words import condition_words
from model.sheets.live_follows import (
    compared_sections,
    pulled_section,
    switched_section,
    unfused_section,
)
from model.sheets.live_isolated import isolators_section
from model.sheets.live_rows import LiveRow, live_rows
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.sheets.volts_sheet import refusals, survey_remarks
from model.tracing.names import point_name
from model.words import clean, plural, volts_text

TITLE = "live points"
NOT_LISTED = (
    "What is said to be live is computed from the file. A point that is not listed here is “0.0 V expected: measure”: "
    "measure it before it is touched."
)
_POINT, _PLACE, _WHY = Column("point", width_mm=60), Column("place", width_mm=34), Column("why")
_VOLTS = Column("volts", is_figure=True, width_mm=24)
_BEHIND = Column("behind", width_mm=18)


def live_sheet(review: LiveReview, *, by_place: bool = False) -> ReviewSheet:
    """Give what is live as a sheet.

    Parameters
    ----------
    by_place
        Rows by where the points are, in place of by what feeds them.
    """
    harness = review.survey.settled.net.harness
    build = harness.build
    rows = live_rows(harness, review.live.points)
    sections: list[Section | None] = [*(_by_place(harness, rows) if by_place else _by_feed(harness, rows))]
    sections += [
        _unsettled(review),
        switched_section(harness, review.switched),
        unfused_section(harness, review.unfused),
        pulled_section(harness, review.pulled),
        isolators_section(harness, review),
        *(compared_sections(harness, review.against) if review.against is not None else ()),
    ]
    return ReviewSheet(
        TITLE,
        f"{clean(build.name)}, revision {build.revision}",
        tuple(_about(harness, review)),
        tuple(section for section in sections if section is not None),
        (*refusals(review.survey.settled), *_cautions(harness, review)),
    )


def _cautions(harness: Harness, review: LiveReview) -> Iterator[str]:
    probed = [one.point for one in review.live.points if one.may_be_probed]
    for caution in cautions_for(harness, probed, review.live.condition):
        yield caution.text


def _about(harness: Harness, review: LiveReview) -> Iterator[str]:
    yield NOT_LISTED
    settled = review.survey.settled
    yield (
        f"{_sentence(condition_words(harness, review.live.condition))}; the posts of the first battery have "
        f"{volts_text(settled.posts_volts)} V."
    )
    fed = [one for one in review.live.points if one.kind is not LiveKind.GROUND]
    unfused = sum(one.fused_by is None for one in fed)
    lifted = len(review.live.points) - len(fed)
    beside = f"; {lifted} more on the ground side" if lifted else ""
    yield (
        f"{_sentence(plural(len(fed), 'point'))} with over {LIVE_VOLTS:g} V, {unfused or 'none'} of them without a "
        f"fuse before it{beside}. Volts are against {point_name(harness, reference_point(harness))}."
    )
    yield from survey_remarks(review.survey)
    count = len(review.live.floating)
    if count:
        yield (
            f"{plural(count, 'point')} {'floats' if count == 1 else 'float'}: nothing there is joined to anything that "
            "the file gives volts, and a meter may show anything there."
        )


def _by_feed(harness: Harness, rows: tuple[LiveRow, ...]) -> Iterator[Section]:
    ground = [row for row in rows if row.points[0].kind is LiveKind.GROUND]
    fed = [row for row in rows if row.points[0].kind is not LiveKind.GROUND]
    bare = [row for row in fed if row.fused_by is None]
    fused = [row for row in fed if row.fused_by is not None]
    if bare:
        yield Section("Without a fuse", grid=_grid(harness, bare, (_POINT, _PLACE, _VOLTS, _WHY)))
    if fused:
        yield Section("Fuse by fuse", grid=_grid(harness, fused, (_BEHIND, _POINT, _PLACE, _VOLTS, _WHY)))
    if ground:
        words = f"The ground side is not at 0 V while current flows in it. Over {LIVE_VOLTS:g} V it is listed."
        grid = _grid(harness, ground, (_POINT, _PLACE, _VOLTS, _WHY))
        yield Section("On the ground side", words=(words,), grid=grid)
    if not rows:
        yield Section(words=("Nothing is live by the file.",))


def _by_place(harness: Harness, rows: tuple[LiveRow, ...]) -> Iterator[Section]:
    places = {row.place.name: place_words(row.place) for row in rows}
    for name, words in sorted(places.items(), key=lambda one: (not one[0], one[0].casefold())):
        here = [row for row in rows if row.place.name == name]
        yield Section(_sentence(words), grid=_grid(harness, here, (_POINT, _BEHIND, _VOLTS, _WHY)))
    if not rows:
        yield Section(words=("Nothing is live by the file.",))


def _grid(harness: Harness, rows: Iterable[LiveRow], columns: tuple[Column, ...]) -> Grid:
    listed = tuple(rows)
    return Grid(
        columns,
        tuple(tuple(_cell(harness, row, column) for column in columns) for row in listed),
        tuple(row.points[0].point for row in listed),
    )


def _cell(harness: Harness, row: LiveRow, column: Column) -> str:
    if column is _POINT:
        return row.names(harness)
    if column is _PLACE:
        return clean(row.place.name) or "not given"
    if column is _VOLTS:
        return row.volts()
    return row.why(harness) if column is _WHY else clean(row.fused_by or "no fuse")


def _unsettled(review: LiveReview) -> Section | None:
    if not review.live.unsettled:
        return None
    names = ", ".join(map(clean, review.live.unsettled))
    return Section("Never at rest", words=(f"Take these as live: {names}.",))


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
