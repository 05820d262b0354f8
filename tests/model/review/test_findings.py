"""Findings as a whole: their order, their words, and what they say of hazards and of hostile files."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.review.defects.every_defect import DEFECTS
from model.review.finding import FindingRule, Gravity, rule_in, rule_of
from model.review.findings import find_all, finding_place
from model.tables import table_rows
from tests.benchmarks.looms import loom_text
from tests.model.review.looms import HEAD, NO_BODY_HEAD, POSITIVE_HEAD, findings, loom, wires

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
HOSTILE = "\x1b[31m<b>x</b> [red]bad[/red]\u202e\n=1+1|`z`"


def test_the_gravest_stands_first_then_place_by_place() -> None:
    """A lamp without fuse can burn: before the lamps that do not work, and of these the one in the dash goes first."""
    text = """
loads = [ { id = "E1", kind = "lamp", watts = 5, location = "tail" }, { id = "E2", kind = "lamp", watts = 5,
 location = "dash" }, { id = "E3", kind = "lamp", watts = 5 }, { id = "E4", kind = "lamp", watts = 5 } ]
""".replace(",\n ", ", ")
    text += wires("E1.- CHASSIS", "E2.- CHASSIS", "G1.+ E3.+", "E3.- CHASSIS", "E4.- CHASSIS", "G1.- CHASSIS")
    harness = loom(HEAD + text)
    found = [one for one in find_all(Bench(harness)) if one.rule in (FindingRule.NO_FEED, FindingRule.NO_FUSE)]
    assert [one.part_ids[0] for one in found] == ["G1", "E2", "E1", "E4"]
    assert [finding_place(harness, one).name for one in found] == ["box", "dash", "tail", ""]


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_findings_come_in_the_same_order_each_time_and_none_twice(path: Path) -> None:
    """Twice asked the same is answered; gravities never rise again; no rule, part and point come twice."""
    harness = read_harness(path)
    found = find_all(Bench(harness))
    assert find_all(Bench(harness)) == found
    ranks = [list(Gravity).index(one.gravity) for one in found]
    assert ranks == sorted(ranks)
    assert len({(one.rule, one.part_ids, one.points) for one in found}) == len(found)


@pytest.mark.parametrize("seed", [1, 2])
def test_every_finding_names_parts_and_points_that_there_are(seed: int) -> None:
    """Where a finding sends somebody there is something: on looms made by chance too."""
    harness = loom(loom_text(120, seed))
    for finding in find_all(Bench(harness)):
        assert finding.part_ids
        assert set(finding.part_ids) <= set(harness.parts) | {"CHASSIS"}
        assert {point.partition(".")[0] for point in finding.points} <= set(harness.parts) | {"CHASSIS"}
        assert finding.sentence.endswith(".")
        assert finding.do.endswith(".")


def _sound(turned: bool, ground: str) -> str:
    hot, cold = ("-", "+") if turned else ("+", "-")
    ends = [(f"G1.{hot}", "F1.in"), ("F1.out", "S1.1"), ("S1.2", f"E1.{hot}"), (f"E1.{cold}", ground)]
    if not ground.startswith("G1"):
        ends.append((f"G1.{cold}", ground))
    rows = ", ".join(
        f'{{ id = "W{n}", from = "{one}", to = "{to}", colour = "RD", size = 2.5, length = 0.5 }}'
        for n, (one, to) in enumerate(ends, start=1)
    )
    parts = 'fuses = [ { id = "F1", amps = 10 } ]\nswitches = [ { id = "S1" } ]\n'
    return f'{parts}loads = [ {{ id = "E1", kind = "lamp", watts = 21 }} ]\nwires = [ {rows} ]\n'


@pytest.mark.parametrize(
    ("head", "turned", "ground"),
    [(HEAD, False, "CHASSIS"), (POSITIVE_HEAD, True, "CHASSIS"), (NO_BODY_HEAD, False, "G1.-")],
)
def test_a_sound_loom_has_no_finding(head: str, turned: bool, ground: str) -> None:
    """A lamp of 21 W on a switch behind 10 A, half a metre of 2.5 mm² between: nothing to say, whatever is grounded."""
    assert findings(head + _sound(turned, ground)) == ()


def test_two_batteries_in_series_without_a_body_are_reviewed_as_one_supply() -> None:
    """A lamp of 24 V across a chain of two, its fuse on the upper post, has no finding; one on the tap neither."""
    text = """
format = 1
build = { name = "Chain", nominal_volts = 24, chassis = false }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" }, { id = "G2" } ]
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [ { id = "S1" }, { id = "S2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 21, at = 12 } ]
"""
    more = 'colour = "RD", size = 2.5, length = 0.5'
    ends = ("G1.- G2.+", "G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G2.-", "G2.+ F2.in", "F2.out S2.1",
            "S2.2 E2.+", "E2.- G2.-")  # fmt: skip
    assert findings(text + wires(*ends, more=more)) == ()


def test_a_file_without_loads_and_one_with_a_single_wire_have_findings_or_none() -> None:
    """Half-known files are reviewed like any other: a lone wire feeds nothing."""
    assert findings(HEAD) == ()
    assert all(one.rule is not FindingRule.NO_FEED for one in findings(HEAD + wires("G1.+ CHASSIS")))


def test_words_of_a_file_come_clean_into_findings() -> None:
    """Labels that hold control characters and turns of the line lose them before they are told."""
    label = HOSTILE.encode("unicode_escape").decode().replace("\\x1b", "\\u001b")
    text = f"""
fuses = [ {{ id = "F1", amps = 30, label = "{label}" }} ]
loads = [ {{ id = "E1", kind = "lamp", watts = 21, label = "{label}", location = "{label}" }} ]
"""
    head = HEAD.replace('{ name = "tail" }', f'{{ name = "{label}" }}')
    found = findings(head + text + wires("G1.+ F1.in", "F1.out E1.+", "G1.- CHASSIS", more="size = 0.5"))
    assert {one.rule for one in found} >= {FindingRule.WIRE_BEARS_LESS, FindingRule.NO_GROUND}
    for one in found:
        assert not {"\x1b", "\u202e", "\n"} & set(one.sentence + one.do)


def test_nothing_is_to_be_done_on_what_no_probe_may_touch() -> None:
    """An airbag module without ground is told, and left to whoever is licensed for it."""
    text = """
fuses = [ { id = "F1", amps = 5 } ]
modules = [ { id = "A1", hazard = "restraint", feeds = [ { terminal = "15", amps = 0.5 } ] } ]
"""
    (finding,) = findings(HEAD + text + wires("G1.+ F1.in", "F1.out A1.15", "G1.- CHASSIS"), FindingRule.NO_GROUND)
    assert "licensed" in finding.do
    assert "lay one" not in finding.do


@pytest.mark.slow
def test_no_finding_calls_a_circuit_safe() -> None:
    """The word is never said, in no sentence and no rule."""
    words = [" ".join(row.values()) for row in table_rows("finding_limits")]
    for path in BUILDS:
        words += [one.sentence + one.do for one in find_all(Bench(read_harness(path)))]
    assert not [line for line in words if "safe " in line.casefold() or "safe." in line.casefold()]


@pytest.mark.slow
def test_every_rule_that_a_finding_rests_on_is_told_with_its_source() -> None:
    """Of the demo builds each figure that was compared with a limit says whose limit it is."""
    for path in BUILDS:
        for finding in find_all(Bench(read_harness(path))):
            assert finding.rule_text is None or finding.rule_text.source
    with pytest.raises(KeyError):
        rule_of("no such row")
    assert rule_in("load_limits", "quantity", "least volts at a lamp").figure == 85.0
    with pytest.raises(ValueError, match="no figure"):
        _ = rule_of("every feed fused").figure


def test_no_defect_is_looked_for_twice() -> None:
    """Each function stands once in the list."""
    assert len(set(DEFECTS)) == len(DEFECTS)
