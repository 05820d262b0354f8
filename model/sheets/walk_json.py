"""The walk of a load as one JSON object."""

from __future__ import annotations

from typing import Any

from model.harness.harness import Harness
from model.harness.places import place_words
from model.sheets.profile_text import link_named
from model.sheets.volts_profile import Drop, Profile, volts_profile
from model.sheets.walk_as_built import NOT_READ, AsBuilt
from model.sheets.walk_words import key_mark, remarks, walk_cautions
from model.tracing.expect import Expect
from model.tracing.rows import ToldWalk, WalkRow


def walk_json(harness: Harness, told: ToldWalk, as_built: AsBuilt = NOT_READ) -> dict[str, Any]:
    """Give the walk as one JSON object.

    ``as_built`` is what was read while the loom was proven, in volts; null where nothing was.

    ``profile`` has the scale in volts, and the largest drop of the load's own feed and ground side by where it comes
    from: computed, as built; null where none is known.

    ``feed``, ``ground`` and ``control`` are lists of points, each with ``expect`` per key state: ``on``,
    ``unplugged``, ``low``, ``high``, null where a word (``floating``, ``unsettled``, ``no probe``) stands in ``word``.
    """
    walk, condition = told.walk, told.condition
    main, controls = told.sections[:2], told.sections[2:]
    element = walk.element
    return {
        "load": element.name,
        "label": told.load.label,
        "rating": {"kind": str(element.kind), "volts": element.at_volts, "amps": _rounded(element.rated_amps)},
        "condition": {
            "key": condition.key,
            "settings": condition.by_name,
            "faults": [fault.spelled() for fault in condition.faults],
            "posts": condition.posts_volts,
            "given": walk.working.given,
            "reached": walk.working.reached,
        },
        "cautions": walk_cautions(harness, told),
        "black": walk.black,
        "across": {**_load_json(told), "as_built": _rounded(as_built.across_volts)},
        "feed": [_row_json(row, condition.key, as_built) for row in main[0].rows],
        "ground": [_row_json(row, condition.key, as_built) for row in main[1].rows],
        "control": [
            {"of": section.of, "side": str(section.side), **_row_json(row, condition.key, as_built)}
            for section in controls
            for row in section.rows
        ],
        "profile": _profile_json(harness, volts_profile(harness, told, as_built)),
        "marks": {key: mark for key in told.expectations.keys if (mark := key_mark(harness, told, key))},
        "remarks": [*remarks(told), *(section.remark for section in told.sections if section.remark)],
    }


def _load_json(told: ToldWalk) -> dict[str, Any]:
    load, key = told.load, told.condition.key
    below, above = load.says[key]
    readings = {} if load.refusal else {name: _expect_json(one) for name, one in load.across.items()}
    return {
        "red": load.red,
        "black": load.black,
        "refused": load.refusal or None,
        "expect": readings,
        "amps": {name: _rounded(one.amps) for name, one in load.reading.items()},
        "state": {name: str(one.state) for name, one in load.reading.items()},
        "below": None if load.refusal else below,
        "above": None if load.refusal else above,
    }


def _profile_json(harness: Harness, profile: Profile) -> dict[str, Any]:
    drops = {str(origin): profile.largest_drop(origin) for origin in profile.origins}
    return {
        "scale": [0.0, profile.full_volts],
        "largest_drop": {name: None if drop is None else _drop_json(harness, drop) for name, drop in drops.items()},
    }


def _drop_json(harness: Harness, drop: Drop) -> dict[str, Any]:
    return {
        "volts": _rounded(drop.volts),
        "from": drop.start.point,
        "to": drop.end.point,
        "over": link_named(harness, drop.end) if len(drop.rows) == 1 else None,
    }


def _row_json(row: WalkRow, key: str, as_built: AsBuilt) -> dict[str, Any]:
    wire = row.wire
    below, above = row.says[key]
    return {
        "point": row.point,
        "part": row.part_id,
        "label": row.label,
        "touch": row.terminal,
        "place": place_words(row.place),
        "wire": None
        if wire is None
        else {
            "id": wire.wire_id,
            "colour": wire.colour,
            "size": wire.size,
            "length": wire.length_m,
            "in_place_of": list(wire.in_place_of),
        },
        "through": row.link.site if row.link is not None and wire is None else None,
        "closed": row.closed,
        "remarks": list(row.remarks),
        "refused": row.refusal or None,
        "expect": {} if row.refusal else {name: _expect_json(expect) for name, expect in row.expect.items()},
        "as_built": _rounded(as_built.volts.get(row.point)),
        "below": None if row.refusal else below,
        "above": None if row.refusal else above,
    }


def _expect_json(expect: Expect) -> dict[str, Any]:
    return {
        "on": _rounded(expect.on),
        "unplugged": _rounded(expect.unplugged),
        "low": _rounded(expect.low),
        "high": _rounded(expect.high),
        "word": expect.word or None,
        "unplugged_word": expect.unplugged_word or None,
    }


def _rounded(figure: float | None) -> float | None:
    """Round to a tenth of a millivolt or milliampere; a zero has no sign."""
    return None if figure is None else round(figure, 4) + 0.0
