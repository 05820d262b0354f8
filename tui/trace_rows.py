"""The walk under a trace: each point with what to expect, what was read, and what is known of it in a word."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from textual.content import Content

from model.circuit.faults import part_of_site
from model.harness.places import point_place
from model.tracing.asking import Finding, Question
from model.tracing.check_words import check_part
from model.tracing.checks import Check, CheckKind, Outcome
from model.tracing.rows import ToldWalk, WalkRow, WalkSection
from model.tracing.typed_answer import DOUBT_SIGN
from model.words import volts_text
from tui.text import Part, assembled, fit, padded, swatch, width
from tui.trace_run import Seen
from tui.walk_rows import figure, row_key, wire_line
from tui.widgets.rows import Row

_GAP = "  "
_FIGURE = 8
_WORD = 9
_POINT_LEAST, _POINT_MOST = 6, 16
_WHAT_LEAST = 8
_EXPECT_FROM = 44
_BESIDE_HEAD = "beside the walk"
_BESIDE = "beside:"
"""What the key of a row begins with that is none of the walk."""


class Known(StrEnum):
    """What stands in a row in a word."""

    HERE = "here"
    FOUND = "found"
    SUSPECT = "suspect"
    SET_ASIDE = "set aside"


_SIGNS = {Known.HERE: "●", Known.FOUND: "●", Known.SUSPECT: "▪", Known.SET_ASIDE: "·"}
_STYLES = {
    Known.HERE: "bold $feed",
    Known.FOUND: "bold $suspect",
    Known.SUSPECT: "$suspect",
    Known.SET_ASIDE: "$quiet",
}


@dataclass(frozen=True, slots=True)
class _Columns:
    """How wide the columns are; of what has no room none."""

    point: int
    what: int
    expect: int
    read: int


def trace_heads(seen: Seen, cells: int) -> Content:
    """Return the heads of the columns."""
    columns = _columns(seen, cells)
    expect = f"{'expect, V':>{columns.expect}}{_GAP}" if columns.expect else ""
    heads = f"{expect}{'read, V':>{columns.read}}{_GAP}{'':<{_WORD}}"
    return assembled((" " * max(cells + 2 - width(heads), 0) + heads, "$quiet"))


def trace_rows(seen: Seen, cells: int) -> list[Row]:
    """Return the rows of the walk for a list so many cells wide."""
    if seen.told is None:
        return []
    columns = _columns(seen, cells)
    known, readings = _known(seen), _readings(seen, seen.told)
    rows: list[Row] = [*_beside_rows(seen, columns, readings, cells)]
    for number, section in enumerate(seen.told.sections):
        style = "$feed" if section.side.value == "feed" else "$ground"
        rows.append(Row(assembled((section.heading, f"bold {style}")), can_be_marked=False))
        if section.remark:
            rows.append(Row(assembled((f"  {section.remark}", "$quiet")), can_be_marked=False))
        rows += _section_rows(seen, section, number, columns, known, readings, cells)
    return rows


def home_key(seen: Seen) -> str:
    """Return the key of the row that the check is about, on the walk or beside it; empty where there is none."""
    check = seen.now.check if isinstance(seen.now, Question) else seen.now.prove
    if seen.told is None or check is None:
        return ""
    beside = beside_walk(seen)
    if beside and check.points[:1] in ((), beside[:1]):
        return f"{_BESIDE}{beside[0]}"
    rows = list(_keyed(seen.told))
    points = [point for point in check.points if point != seen.told.walk.black]
    parts = [part for part in (check.part, check.load.partition(":")[0], check.red.partition(".")[0]) if part]
    found = [key for point in points for key, row in rows if row.point == point]
    found += [key for part in parts for key, row in rows if row.part_id == part]
    found += [key for key, row in rows if row.wire is not None and row.wire.wire_id in parts]
    return next(iter(found), "")


def beside_walk(seen: Seen) -> tuple[str, ...]:
    """Return the points that a check asks about, else its part, as far as the walk has no row of them."""
    if seen.told is None or not isinstance(seen.now, Question):
        return ()
    check, rows = seen.now.check, [row for _, row in _keyed(seen.told)]
    points = {row.point for row in rows}
    if check.points:
        return tuple(one for one in check.points if one not in points and one != seen.told.walk.black)
    part_id = check_part(check)
    on_walk = {row.part_id for row in rows} | {row.wire.wire_id for row in rows if row.wire is not None}
    return () if part_id in on_walk else (part_id,)


def name_beside(key: str) -> str:
    """Return the point or part of a row that lies beside the walk; empty where it is one of the walk."""
    return key.removeprefix(_BESIDE) if key.startswith(_BESIDE) else ""


def reading_text(check: Check, outcome: Outcome) -> str:
    """Return a reading as it stands in a row: ``12.36``, ``12.10?`` in doubt, ``0.10-12.30`` where it swings."""
    sign = DOUBT_SIGN if outcome.in_doubt else ""
    if outcome.swings:
        return f"{volts_text(outcome.least)}-{volts_text(outcome.most)}{sign}"
    return f"{volts_text(outcome.least)}{sign}"


def _keyed(told: ToldWalk) -> Iterator[tuple[str, WalkRow]]:
    for number, section in enumerate(told.sections):
        for place, row in enumerate(section.rows):
            yield row_key(number, place), row


def _beside_rows(seen: Seen, columns: _Columns, readings: dict[str, str], cells: int) -> Iterator[Row]:
    """Give the rows of what is asked about and is not on the walk, under a head of their own."""
    names = beside_walk(seen)
    if not names or not isinstance(seen.now, Question):
        return
    yield from _beside_heads(seen.now.off_way, cells)
    check = seen.now.check
    for name in names:
        part_id = name.partition(".")[0]
        part, place = seen.harness.parts.get(part_id), point_place(seen.harness, name)
        what = ", ".join(word for word in (part.label if part is not None else "", place.name) if word)
        is_asked = check.kind is CheckKind.VOLTS and name == check.red and seen.now.healthy is not None
        expect = volts_text(seen.now.healthy) if is_asked and seen.now.healthy is not None else ""
        figures = _figures(columns, expect, readings.get(name, ""))
        yield Row(_point_line(columns, name, what, figures, Known.HERE), f"{_BESIDE}{name}")


def _beside_heads(reason: str, cells: int) -> Iterator[Row]:
    """Head what is asked beside the walk, with what on the walk it tells about; where that is long in its own row."""
    told = f"{reason[:1].lower()}{reason[1:]}"
    has_room = len(_BESIDE_HEAD) + len(": ") + width(told) <= cells
    behind: list[Part] = [": ", (told, "$quiet")] if told and has_room else []
    yield Row(assembled((_BESIDE_HEAD, "bold"), *behind), can_be_marked=False)
    if told and not has_room:
        yield Row(assembled((f"  {fit(reason, cells - 2)}", "$quiet")), can_be_marked=False)


def _columns(seen: Seen, cells: int) -> _Columns:
    rows = [] if seen.told is None else [row for _, row in _keyed(seen.told)]
    names = [*(row.point for row in rows), *beside_walk(seen)]
    point = min(max([_POINT_LEAST, *map(width, names)]), _POINT_MOST)
    expect = _FIGURE + 1 if cells >= _EXPECT_FROM else 0
    figures = (expect + len(_GAP) if expect else 0) + _FIGURE + len(_GAP) + _WORD
    left = cells - 2 - point - len(_GAP) - figures
    return _Columns(point, max(left - len(_GAP), 0) if left >= _WHAT_LEAST else max(left, 0), expect, _FIGURE)


def _known(seen: Seen) -> dict[str, Known]:
    """Map points, wires and parts to what is known of them."""
    found: dict[str, Known] = {name: Known(str(mark)) for name, mark in seen.marks.items()}
    if isinstance(seen.now, Finding):
        found |= {suspect.part: Known.FOUND for suspect in seen.now.group}
        found |= {part_of_site(suspect.part): Known.FOUND for suspect in seen.now.group}
        return found
    check = seen.now.check
    return found | dict.fromkeys((*check.points, check.part), Known.HERE)


def _readings(seen: Seen, told: ToldWalk) -> dict[str, str]:
    """Map points to the volts last read there against the grounded post.

    In brackets those of another condition, and those read before a repair.
    """
    found: dict[str, str] = {}
    earlier = len(seen.before)
    for place, answered in enumerate((*seen.before, *seen.answers)):
        check = answered.check
        if check.kind is not CheckKind.VOLTS or check.black != told.walk.black:
            continue
        text = reading_text(check, answered.outcome)
        same = check.condition.key == told.condition.key and check.condition.settings == told.condition.settings
        same = same and place >= earlier
        found[check.red] = text if same else f"({text})"
    return found


def _section_rows(
    seen: Seen,
    section: WalkSection,
    number: int,
    columns: _Columns,
    known: dict[str, Known],
    readings: dict[str, str],
    cells: int,
) -> Iterator[Row]:
    assert seen.told is not None
    key = seen.told.condition.key
    part_before = ""
    for place, row in enumerate(section.rows):
        if row.wire is not None:
            yield _wire_row(row, known.get(row.wire.wire_id), cells)
        state = _state_of(row, known)
        what = "" if row.part_id == part_before else ", ".join(word for word in (row.label, row.place.name) if word)
        expect = row.expect[key]
        shown = "never probed" if row.refusal else figure(expect.on, expect.word)
        figures = _figures(columns, shown, readings.get(row.point, ""))
        yield Row(_point_line(columns, row.point, what, figures, state), row_key(number, place))
        part_before = row.part_id


def _figures(columns: _Columns, expect: str, read: str) -> list[Part]:
    return [
        *([f"{padded(expect, columns.expect, right=True)}{_GAP}"] if columns.expect else []),
        (f"{padded(read, columns.read, right=True)}{_GAP}", "bold"),
    ]


def _point_line(columns: _Columns, name: str, what: str, figures: list[Part], state: Known | None) -> Content:
    return assembled(
        *_sign(state),
        padded(name, columns.point),
        _GAP,
        (padded(what, columns.what), "$quiet"),
        _GAP if columns.what >= _WHAT_LEAST - len(_GAP) else "",
        *figures,
        *_word(state),
    )


def _state_of(row: WalkRow, known: dict[str, Known]) -> Known | None:
    """Give what is known of a row: that it is asked about or found, else of its terminal and what leads to it.

    A suspicion comes before what is set aside; the part as a whole speaks where neither is known.
    """
    told = [known.get(row.point), known.get(row.part_id)]
    for state in (Known.FOUND, Known.HERE):
        if state in told:
            return state
    names = [row.point, f"{row.part_id}.{row.cavity}"]
    if row.link is not None and row.wire is None:
        names.append(row.link.site)
    own = [known[name] for name in names if name in known]
    if Known.SUSPECT in own:
        return Known.SUSPECT
    return own[0] if own else known.get(row.part_id)


def _wire_row(row: WalkRow, state: Known | None, cells: int) -> Row:
    assert row.wire is not None
    room = cells - _WORD
    line = assembled(("│ ", "$quiet"), wire_line(row.wire, room - len("│ ") - len(_GAP)))
    if line.cell_length > room:
        line = assembled(("│ ", "$quiet"), swatch(row.wire.colour), f" {row.wire.size}")
    line = line.truncate(max(room, 0), ellipsis=True)
    gap = " " * max(room - line.cell_length, 0)
    return Row(assembled(line, gap, *_word(state)), can_be_marked=False)


def _sign(state: Known | None) -> list[Part]:
    return ["  "] if state is None else [(f"{_SIGNS[state]} ", _STYLES[state])]


def _word(state: Known | None) -> list[Part]:
    return [" " * _WORD] if state is None else [(padded(state, _WORD), _STYLES[state])]
