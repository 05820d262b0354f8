"""Free ends, spares in use, double crimps, lone splices and cavities joined on one half."""

from __future__ import annotations

import pytest

from model.review.finding import Finding, FindingRule, Gravity
from tests.model.review.looms import HEAD, findings

PARTS = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
connectors = [ { id = "X1", cavities = 3 }, { id = "X7", cavities = 2, rest = "apart" } ]
splices = [ { id = "J1" } ]
"""
SOUND = (
    'id = "W1", from = "G1.+", to = "F1.in"',
    'id = "W2", from = "F1.out", to = "J1"',
    'id = "W3", from = "J1", to = "X1.plug.1"',
    'id = "W4", from = "X1.socket.1", to = "E1.+"',
    'id = "W5", from = "E1.-", to = "CHASSIS"',
    'id = "W6", from = "G1.-", to = "CHASSIS"',
    'id = "W7", from = "J1", to = "S1.1"',
    'id = "W8", from = "S1.2", to = "X7.plug.1"',
)


def _found(rule: FindingRule, *rows: str, parts: str = PARTS) -> tuple[Finding, ...]:
    return findings(HEAD + parts + "wires = [ " + ", ".join(f"{{ {row} }}" for row in rows) + " ]", rule)


def test_a_sound_loom_has_none_of_them() -> None:
    """A loom in which all is joined, with a socket for a trailer that rests apart, shows none of these findings."""
    text = HEAD + PARTS + "wires = [ " + ", ".join(f"{{ {row} }}" for row in SOUND) + " ]"
    ends = {
        FindingRule.FREE_END,
        FindingRule.SPARE_JOINED,
        FindingRule.DOUBLE_CRIMP,
        FindingRule.LONE_SPLICE,
        FindingRule.HALF_JOINED,
    }
    assert not ends & {one.rule for one in findings(text)}


@pytest.mark.parametrize(
    ("row", "points", "gravity"),
    [
        ('id = "W9", from = "F1.out"', ("W9.b",), Gravity.DANGER),
        ('id = "W9", to = "E1.-"', ("W9.a",), Gravity.ASK),
        ('id = "W9", from_location = "box"', ("W9.a", "W9.b"), Gravity.ASK),
        ('id = "W9", from = "F1.out", superseded_by = "W2"', (), None),
        ('id = "W9", spare = true', (), None),
    ],
)
def test_a_wire_that_ends_nowhere_is_told(row: str, points: tuple[str, ...], gravity: Gravity | None) -> None:
    """A free end is told unless the wire is spare or superseded; one that is live, 12.70 V at rest, is graver."""
    found = _found(FindingRule.FREE_END, *SOUND, row)
    assert [one.points for one in found] == ([points] if points else [])
    for one in found:
        assert one.gravity is gravity
        assert (one.value == pytest.approx(12.7, abs=0.05)) is (gravity is Gravity.DANGER)


@pytest.mark.parametrize(
    ("rows", "parts", "gravity"),
    [
        (('id = "W9", from = "F1.out", to = "E1.+", spare = true',), ("W9",), Gravity.ASK),
        (
            (
                'id = "W9", from = "F1.out", to = "X1.plug.2", spare = true',
                'id = "W10", from = "X1.socket.2", to = "E1.+", spare = true',
            ),
            ("W9", "W10"),
            Gravity.ASK,
        ),
        (('id = "W9", from = "F1.out", spare = true',), ("W9",), Gravity.DANGER),
        (('id = "W9", from = "E1.-", spare = true',), (), None),
        (('id = "W9", from = "J2", spare = true', 'id = "W10", from = "J2", to = "E1.-", spare = true'), (), None),
        (('id = "W9", from = "X1.plug.2", spare = true', 'id = "W10", from = "X1.socket.2", spare = true'), (), None),
    ],
)
def test_a_spare_that_is_in_use_is_told(rows: tuple[str, ...], parts: tuple[str, ...], gravity: Gravity | None) -> None:
    """Spares that join two points in use, through a plug too, are told together, as is one with a live free end."""
    two_splices = PARTS.replace('{ id = "J1" }', '{ id = "J1" }, { id = "J2" }')
    found = _found(FindingRule.SPARE_JOINED, *SOUND, *rows, parts=two_splices)
    assert [one.part_ids for one in found] == ([parts] if parts else [])
    assert [one.gravity for one in found] == ([gravity] if gravity else [])


@pytest.mark.parametrize(
    ("row", "parts"),
    [
        ('id = "W9", from = "F1.out", to = "X1.plug.1"', ("X1", "W3", "W9")),
        ('id = "W9", from = "F1.out", to = "X1.plug.1", superseded_by = "W3"', None),
        ('id = "W9", from = "F1.out", to = "S1.1"', None),
    ],
)
def test_two_wires_in_one_cavity_are_told(row: str, parts: tuple[str, ...] | None) -> None:
    """Two wires in a half cavity are told; on a terminal of another part, or where one is superseded, they are not."""
    found = _found(FindingRule.DOUBLE_CRIMP, *SOUND, row)
    assert [one.part_ids for one in found] == ([parts] if parts else [])
    for one in found:
        assert one.points == ("X1.plug.1",)
        assert one.value == 2


@pytest.mark.parametrize(
    ("parts", "row", "count"),
    [
        ('splices = [ { id = "J1" }, { id = "J2" } ]', 'id = "W9", from = "F1.out", to = "J2"', 1),
        ('splices = [ { id = "J1" }, { id = "J2" } ]', "", 0),
        (
            'splices = [ { id = "J1" }, { id = "J2" } ]\njoints = [ { id = "N1", from = "J2", to = "E1.+" } ]',
            'id = "W9", from = "F1.out", to = "J2"',
            None,
        ),
    ],
)
def test_a_splice_wants_two_wires_or_joints(parts: str, row: str, count: int | None) -> None:
    """A splice with one wire or none joins nothing; a joint on it counts as a wire does."""
    rows = (*SOUND, row) if row else SOUND
    found = _found(FindingRule.LONE_SPLICE, *rows, parts=PARTS.replace('splices = [ { id = "J1" } ]', parts))
    assert [(one.part_ids[0], one.value) for one in found] == ([] if count is None else [("J2", count)])


@pytest.mark.parametrize(
    ("row", "points"),
    [
        ('id = "W9", from = "F1.out", to = "X1.plug.2"', ("X1.plug.2",)),
        ('id = "W9", from = "F1.out", to = "X1.plug.2", spare = true', None),
        ('id = "W9", from = "F1.out", to = "X7.plug.2"', None),
    ],
)
def test_a_cavity_joined_on_one_half_is_told(row: str, points: tuple[str, ...] | None) -> None:
    """A wire into a cavity whose other half is empty is told; a spare, and a socket that rests apart, are not."""
    found = _found(FindingRule.HALF_JOINED, *SOUND, row)
    assert [one.points for one in found] == ([points] if points else [])
    for one in found:
        assert one.part_ids == ("X1", "W9")
