"""Defects of fuses: larger than the wires behind them bear, and one for what must not fail together."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, POSITIVE_HEAD, findings

ROWS = """
fuses = [ { id = "F1", amps = 15 }, { id = "F2", amps = 3 } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
trunks = [ { name = "main trunk", length = 1.0 } ]
"""


def _wires(fed: str, *, through: str = "F1", more: str = "", positive: bool = False) -> str:
    hot, cold = ("-", "+") if positive else ("+", "-")
    rows = [
        f'{{ id = "W1", from = "G1.{hot}", to = "F1.in", size = 2.5, length = 0.1 }}',
        f'{{ id = "W2", from = "{through}.out", to = "E1.{hot}", size = {fed}, length = 1.0{more} }}',
        f'{{ id = "W3", from = "E1.{cold}", to = "CHASSIS", size = 0.5, length = 0.3 }}',
        f'{{ id = "W4", from = "G1.{cold}", to = "CHASSIS", size = 16, length = 0.3 }}',
    ]
    if through == "F2":
        rows.append('{ id = "W5", from = "F1.out", to = "F2.in", size = 1.5, length = 0.1 }')
    return "wires = [\n" + "".join(f"  {row},\n" for row in rows) + "]\n"


@pytest.mark.parametrize(
    ("fed", "through", "more", "gravity"),
    [
        ("0.5", "F1", "", Gravity.DANGER),
        ("0.5", "F2", "", None),
        ("1.0", "F1", "", None),
        ("1.0", "F1", ', via = ["main trunk"]', Gravity.WEARS),
        ("1.5", "F1", ', via = ["main trunk"]', None),
        ('"AWG 20"', "F1", "", Gravity.DANGER),
    ],
)
def test_a_fuse_above_what_its_wire_bears_is_told(fed: str, through: str, more: str, gravity: Gravity | None) -> None:
    """JIS C 3406 AV prints 12 A for 0.5629 mm² and 16 A for 0.8846 mm²: 0.5 mm² bears 11.1 A and 1.0 mm² 17.5 A.

    In a bundle three quarters of it, 13.1 A, a judgement: 15 A is above that and below 17.5 A. A smaller fuse between
    guards the wire, and the ground wire carries no more than the lamp takes.
    """
    found = findings(HEAD + ROWS + _wires(fed, through=through, more=more), FindingRule.WIRE_BEARS_LESS)
    assert [(finding.part_ids, finding.gravity) for finding in found] == ([(("F1", "W2"), gravity)] if gravity else [])


def test_what_a_wire_bears_in_its_bundle_is_told_first() -> None:
    """0.5 mm² bears 11.1 A in free air (JIS C 3406 AV) and 8.35 A in a trunk, three quarters (a judgement).

    15 A are above both; the lower figure is what counts where the wire lies, so that 7.5 A may stand before it.
    """
    text = HEAD + ROWS + _wires("0.5", more=', via = ["main trunk"]')
    (finding,) = findings(text, FindingRule.WIRE_BEARS_LESS)
    assert "which bears 8.35 A in the bundle main trunk (11.1 A in free air): shorted" in finding.sentence
    assert finding.do.startswith("Fit a fuse of at most 7.5 A")
    assert finding.rule_text is not None
    assert "bundle" in finding.rule_text.words


@pytest.mark.parametrize(
    ("size", "rated", "bears", "do"),
    [
        ("0.5", 15, 11.1, "Fit a fuse of at most 10 A, or"),
        ("0.35", 15, 8.9, "Fit a fuse of at most 7.5 A, or"),
        ("35", 200, 167.4, "Fit a fuse of at most 167 A, or"),
        ("0.015", 15, 1.2, "Fit a fuse of at most 1 A, or"),
        ("0.002", 15, 0.3, "Fit a thicker wire: no fuse is made as small"),
    ],
)
def test_the_largest_rating_that_the_thin_wire_bears_is_proposed(size: str, rated: int, bears: float, do: str) -> None:
    """Of 0.5 mm² 11.1 A, on a line through the logarithms of printed sizes, so 10 A, a rating of ISO 8820-3.

    Above the largest rating of the standard, 100 A, what the wire bears stands by itself; under the smallest only a
    thicker wire serves.
    """
    text = (HEAD + ROWS + _wires(size)).replace("amps = 15", f"amps = {rated}").replace("size = 2.5", "size = 95")
    (finding,) = findings(text, FindingRule.WIRE_BEARS_LESS)
    assert finding.rule_text is not None
    assert finding.value == rated
    assert finding.rule_text.value == pytest.approx(bears, abs=0.06)
    assert finding.do.startswith(do)


def test_no_fuse_is_proposed_that_would_not_carry_the_loads() -> None:
    """A heater of 12 A and a lamp on 0.5 mm² behind 15 A: the 10 A that the thin wire bears would open with both."""
    loads = ROWS.replace("watts = 5 }", 'watts = 5 }, { id = "E2", kind = "heater", amps = 12 }')
    more = (
        '{ id = "W6", from = "F1.out", to = "E2.+", size = 4, length = 0.2 }, '
        '{ id = "W7", from = "E2.-", to = "CHASSIS", size = 4, length = 0.2 }, '
    )
    text = HEAD + loads + _wires("0.5").replace("wires = [\n", f"wires = [\n  {more}\n")
    (finding,) = findings(text, FindingRule.WIRE_BEARS_LESS)
    assert finding.do.startswith("Fit a thicker wire, or a fuse of its own of at most 10 A for the thin branch: 12.")


def test_a_fuse_above_its_wire_is_found_with_the_positive_post_grounded() -> None:
    """Which post is on the body makes no difference to what a fuse guards."""
    found = findings(POSITIVE_HEAD + ROWS + _wires("0.5", positive=True), FindingRule.WIRE_BEARS_LESS)
    assert [finding.part_ids for finding in found] == [("F1", "W2")]


def test_a_wire_of_assumed_size_is_to_be_cleared_up() -> None:
    """Where the file gives no size, 1.0 mm² is assumed: a fuse of 20 A above it is a question first."""
    text = ROWS.replace("amps = 15", "amps = 20") + _wires("1.0").replace("size = 1.0, ", "")
    (finding,) = findings(HEAD + text, FindingRule.WIRE_BEARS_LESS)
    assert finding.gravity is Gravity.ASK
    assert finding.assumed == ("W2",)


def _lamps(*roles: str, fuses: int = 1) -> str:
    loads = ", ".join(
        f'{{ id = "E{n}", kind = "lamp", watts = 21, role = "{role}" }}' for n, role in enumerate(roles, start=1)
    )
    rows = [f'{{ id = "F{n}", amps = 10, bus = "BB1" }}' for n in range(1, fuses + 1)]
    ends = [f"F{min(n, fuses)}.out E{n}.+" for n in range(1, len(roles) + 1)]
    ends += [f"E{n}.- CHASSIS" for n in range(1, len(roles) + 1)] + ["G1.+ BB1", "G1.- CHASSIS"]
    pairs = [end.split() for end in ends]
    wires = ", ".join(
        f'{{ id = "W{n}", from = "{one}", to = "{other}", size = 1.5, length = 0.1 }}'
        for n, (one, other) in enumerate(pairs, start=1)
    )
    return f'busbars = [ {{ id = "BB1" }} ]\nfuses = [ {", ".join(rows)} ]\nloads = [ {loads} ]\nwires = [ {wires} ]\n'


@pytest.mark.parametrize(
    ("roles", "fuses", "count"),
    [
        (("stop", "tail"), 1, 1),
        (("stop", "tail"), 2, 0),
        (("stop", "horn"), 1, 0),
        (("dip", "dip"), 1, 1),
        (("dip", "dip"), 2, 0),
        (("main", "main"), 1, 0),
        (("navigation", "bilge"), 1, 1),
    ],
)
def test_functions_on_one_fuse_that_must_not_fail_together_are_told(
    roles: tuple[str, ...], fuses: int, count: int
) -> None:
    """Stop lamps apart from tail lamps, one dip lamp apart from the other, navigation lamps apart from the bilge."""
    found = findings(HEAD + _lamps(*roles, fuses=fuses), FindingRule.FAIL_TOGETHER)
    assert [finding.part_ids for finding in found] == [("F1", "E1", "E2")] * count


def test_two_filaments_of_one_dip_lamp_are_no_two_functions() -> None:
    """Both dip lamps means two lamps: two elements of one are on one fuse as they must be."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
loads = [ { id = "E1", kind = "lamp", elements = [ { name = "a", from = "1", to = "3", watts = 55, role = "dip" },
 { name = "b", from = "2", to = "3", watts = 55, role = "dip" } ] } ]
wires = [ { id = "W1", from = "G1.+", to = "F1.in" }, { id = "W2", from = "F1.out", to = "E1.1" },
 { id = "W3", from = "F1.out", to = "E1.2" }, { id = "W4", from = "E1.3", to = "CHASSIS" },
 { id = "W5", from = "G1.-", to = "CHASSIS" } ]
""".replace(",\n {", ", {")
    assert findings(HEAD + text, FindingRule.FAIL_TOGETHER) == ()


def test_a_thin_wire_of_known_size_counts_before_assumed_ones() -> None:
    """Beside a wire of 0.5 mm² one whose size nobody gave is no reason to ask first."""
    text = ROWS.replace("amps = 15", "amps = 20") + _wires("0.5").replace(
        ' { id = "W3"', ' { id = "W9", from = "F1.out", to = "E1.+", length = 1.0 },\n { id = "W3"'
    )
    (finding,) = findings(HEAD + text, FindingRule.WIRE_BEARS_LESS)
    assert finding.gravity is Gravity.DANGER
    assert finding.part_ids == ("F1", "W2")


def test_functions_that_have_another_fuse_to_live_on_do_not_fail_together() -> None:
    """A tail lamp that a second fuse feeds as well outlives the stop lamp's fuse."""
    text = _lamps("stop", "tail", fuses=2).replace(
        "wires = [ ", 'wires = [ { id = "W9", from = "F1.out", to = "E2.+" }, '
    )
    assert findings(HEAD + text, FindingRule.FAIL_TOGETHER) == ()
