"""The profile of volts as text: a row a point on a scale that stays the same, and the largest drops in words."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.harness import Harness
from model.sheets.columns import WIDTH, cell_width, padded, wrapped
from model.sheets.volts_profile import Drop, Origin, Profile, ProfilePoint
from model.tracing.graph import LinkKind
from model.tracing.row_words import link_words
from model.tracing.rows import WalkRow
from model.words import plural, size_text, volts_text

SIGNS = {Origin.COMPUTED: "│", Origin.AS_BUILT: "○", Origin.READ: "●"}
BAND, BEYOND = "─", "›"

NO_DROP = "The volts fall nowhere on this walk by as much as a millivolt."
_GAP = "  "
_DROP_HEAD = "drop"
_NAMED_AT_MOST = 4
_LEAST_TEXT_VOLTS = 0.005
_TICKS = 3
_POINT_LEAST, _POINT_MOST = 6, 20
_FIGURE = 8


def scale_words(profile: Profile) -> str:
    """Say how far the scale goes: ``0 to 15 V``."""
    return f"0 to {size_text(profile.full_volts)} V"


def legend(profile: Profile) -> list[tuple[str, str]]:
    """Give each sign of the profile with its word, only those that there are; with a fault put in no band is good."""
    signs = [(SIGNS[origin], str(origin)) for origin in profile.origins]
    band = "band with this fault" if profile.told.condition.faults else "good band"
    return [signs[0], (BAND, band), *signs[1:]]


def chart(profile: Profile, point: ProfilePoint, cells: int) -> str:
    """Draw one point on the scale, in exactly so many cells: its band, and a sign for each of its volts.

    Where two signs fall into one cell the later one stands: as built over computed, read over both. What lies beyond
    the scale is ``›`` at its end.
    """
    drawn = [" "] * cells
    expect = point.row.expect[profile.told.condition.key]
    if Origin.COMPUTED in point.volts and expect.low is not None and expect.high is not None:
        first, last = sorted(_place(profile, volts, cells) for volts in (expect.low, expect.high))
        drawn[first : last + 1] = BAND * (last + 1 - first)
    for origin, sign in SIGNS.items():
        volts = point.volts.get(origin)
        if volts is not None:
            is_beyond = volts / profile.full_volts > 1
            drawn[_place(profile, volts, cells)] = BEYOND if is_beyond else sign
    return "".join(drawn)


def axis(profile: Profile, cells: int) -> str:
    """Label the scale over so many cells: each figure ends in the cell that it means, the last with its unit."""
    labels = [0.0, *(profile.full_volts * tick / _TICKS for tick in range(1, _TICKS + 1))]
    drawn = ""
    for volts in labels[:-1]:
        place, text = _place(profile, volts, cells), size_text(volts)
        drawn += " " * max(place + 1 - len(drawn) - len(text), bool(drawn)) + text
    last = f"{size_text(labels[-1])} V"
    return f"{drawn}{' ' * max(cells - len(drawn) - len(last), 1)}{last}"[:cells]


def drop_sentence(harness: Harness, profile: Profile, origin: Origin, of: str = "") -> str:
    """Name the largest drop of the load's own feed and ground side, or of a control's; nothing where none is known.

    ``largest drop 0.11 V: wire W26, X3.rear.1 to K7.30``; with ``as built`` or ``read`` where it is not computed.
    """
    drop = profile.largest_drop(origin, of)
    if drop is None:
        return ""
    word = "" if origin is Origin.COMPUTED else f" {origin}"
    return f"largest drop{word} {drop_volts(drop)}: {drop_where(harness, profile, drop)}"


def drop_sentences(harness: Harness, profile: Profile) -> list[str]:
    """Give the sentences on the largest drops of the load, one for each origin that has any."""
    said = [drop_sentence(harness, profile, origin) for origin in profile.origins]
    if not said[0] and any(Origin.COMPUTED in point.volts for section in profile.sections for point in section):
        said[0] = NO_DROP
    return [f"{one[:1].upper()}{one[1:]}".rstrip(".") + "." for one in said if one]


def outside_sentences(profile: Profile) -> list[str]:
    """Name the points at which something was read outside the good band, one sentence for each origin that has any.

    Nothing where a fault is put in: then no band is good.
    """
    said: list[str] = []
    for origin in profile.origins[1:]:
        points = dict.fromkeys(
            f"{point.row.point} {volts_text(point.volts[origin])} V"
            for section in profile.sections
            for point in section
            if is_outside(profile, point, origin)
        )
        if points:
            names = ", ".join(list(points)[:_NAMED_AT_MOST])
            more = f" and {len(points) - _NAMED_AT_MOST} more" if len(points) > _NAMED_AT_MOST else ""
            said.append(f"{str(origin).capitalize()} outside the good band: {names}{more}.")
    return said


def is_outside(profile: Profile, point: ProfilePoint, origin: Origin) -> bool:
    """Tell whether what was read at a point lies outside its good band."""
    expect, volts = point.row.expect[profile.told.condition.key], point.volts.get(origin)
    if volts is None or expect.low is None or expect.high is None or profile.told.condition.faults:
        return False
    return origin is not Origin.COMPUTED and not expect.low <= volts <= expect.high


def drop_volts(drop: Drop) -> str:
    """Give a drop with its unit, two decimals: ``0.11 V``."""
    if drop.volts < _LEAST_TEXT_VOLTS:
        return "under 0.01 V"
    return f"{volts_text(drop.volts)} V"


def drop_where(harness: Harness, profile: Profile, drop: Drop) -> str:
    """Say what the volts fall over, and between which points."""
    ends = f"{drop.start.point} to {drop.end.point}"
    if len(drop.rows) > 1:
        return f"{ends}, {plural(len(drop.rows), 'part')} on the way"
    over = link_named(harness, drop.end)
    is_open = not drop.end.closed[profile.told.condition.key]
    return f"{over}, {ends}{', open now' if is_open else ''}"


def link_named(harness: Harness, row: WalkRow) -> str:
    """Name what leads to a point: ``wire W26``, ``contact in X3.1``, ``fuse F23, 15 A``."""
    if row.link is None:
        return ""
    word = "wire " if row.link.kind is LinkKind.WIRE else ""
    return word + link_words(harness, row.link)


def figure_heads(profile: Profile) -> list[str]:
    """Name the columns of figures: where the volts come from, and the drop of the computed ones."""
    return [*(f"{origin}, V" if origin is Origin.COMPUTED else str(origin) for origin in profile.origins), _DROP_HEAD]


def figures(profile: Profile, point: ProfilePoint) -> list[str]:
    """Give the figures of a point in the order of their heads; a word in place of what is not computed."""
    expect = point.row.expect[profile.told.condition.key]
    told = [volts_text(point.volts[one]) if one in point.volts else "" for one in profile.origins]
    if Origin.COMPUTED not in point.volts:
        told[0] = "" if point.row.refusal else expect.word
    drop = point.drops.get(Origin.COMPUTED)
    return [*told, "" if drop is None else volts_text(drop.volts)]


def profile_text(harness: Harness, profile: Profile) -> list[str]:
    """Give the profile in lines of at most 80 columns: the drops in words, the signs, the scale, then a row a point."""
    names = [point.row.point for section in profile.sections for point in section]
    point_cells = min(max([_POINT_LEAST, *(cell_width(name) for name in names)]), _POINT_MOST)
    heads = figure_heads(profile)
    widths = [max(_FIGURE, cell_width(head)) for head in heads]
    cells = WIDTH - len(_GAP) - point_cells - len(_GAP) - sum(width + len(_GAP) for width in widths)
    signs = "   ".join(f"{sign} {word}" for sign, word in legend(profile))
    lines = [
        f"Volts down the walk, key {profile.told.condition.key}, {scale_words(profile)}",
        *(line for one in (*drop_sentences(harness, profile), *outside_sentences(profile)) for line in wrapped(one)),
        signs,
        "",
        _row("", axis(profile, cells), heads, point_cells, widths),
    ]
    for number, section in enumerate(profile.told.sections):
        if number == 1:
            lines += _load_lines(profile)
        lines += [section.heading, *_control_drop(harness, profile, number)]
        if not section.rows:
            lines += wrapped(section.remark, first=_GAP, rest=_GAP)
        for point in profile.sections[number]:
            drawn, told = chart(profile, point, cells), figures(profile, point)
            if point.row.refusal:
                drawn = padded("never probed", cells)
            lines.append(_row(point.row.point, drawn, told, point_cells, widths))
    return [line.rstrip() for line in lines]


def across_words(profile: Profile) -> str:
    """Say what stands across the load, each with where it comes from: ``12.29 V computed, 12.10 V as built``."""
    return ", ".join(f"{volts_text(volts)} V {origin}" for origin, volts in profile.across_volts.items())


def _load_lines(profile: Profile) -> list[str]:
    across = across_words(profile)
    name = profile.told.load.label or profile.told.walk.element.part_id
    words = f"{name}: {across} across it"
    return wrapped(words, first="load  ", rest="      ") if across else ["load"]


def _control_drop(harness: Harness, profile: Profile, number: int) -> Iterator[str]:
    """Name the largest drop of a control under the head of its feed."""
    sections = profile.told.sections
    section = sections[number]
    if number < 2 or sections[number - 1].of == section.of:
        return
    for origin in profile.origins:
        sentence = drop_sentence(harness, profile, origin, section.of)
        if sentence:
            yield from wrapped(sentence, first="  ", rest="  ")


def _row(name: str, drawn: str, told: list[str], point_cells: int, widths: list[int]) -> str:
    shown = padded(name if len(name) <= point_cells else f"{name[: point_cells - 1]}…", point_cells)
    columns = "".join(f"{_GAP}{padded(figure, cells, right=True)}" for figure, cells in zip(told, widths, strict=True))
    return f"{_GAP}{shown}{_GAP}{drawn}{columns}"


def _place(profile: Profile, volts: float, cells: int) -> int:
    """Give the cell that volts fall into; the first or the last of what lies outside the scale."""
    share = min(max(volts / profile.full_volts, 0.0), 1.0)
    return round(share * (cells - 1))
