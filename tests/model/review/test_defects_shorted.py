"""A battery that metal shorts, and loads that nobody has time to search: told, and quickly."""

from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.toml_file import read_harness_text
from model.review.finding import Finding, FindingRule, Gravity
from model.review.findings import find_all

BUGGY = Path(__file__).parent.parent.parent.parent / "demo_builds" / "trail_buggy.toml"
LOOM = """format = 1
build = {{ name = "Lamps", nominal_volts = 12 }}
key_states = [ {{ name = "off" }} ]
batteries = [ {{ id = "G1" }} ]
fuses = [ {{ id = "F1", amps = 10 }} ]
loads = [ {loads} ]
switches = [ {{ id = "S1" }}{switches} ]
wires = [ {{ id = "W1", from = "G1.+", to = "{first}" }}, {{ id = "W2", from = "F1.out", to = "S1.1" }},
  {{ id = "W3", from = "G1.-", to = "CHASSIS" }}{wires} ]
"""


def loom(count: int, first: str = "F1.in", more: str = "") -> tuple[Finding, ...]:
    """Look at a loom of lamps that switch contacts could feed, but only all of a row of switches together."""
    switches = "".join(f', {{ id = "S{n}" }}' for n in range(2, 8))
    loads = ", ".join(f'{{ id = "E{n}", kind = "lamp", watts = 5 }}' for n in range(count))
    row = "".join(f', {{ id = "V{n}", from = "S{n}.2", to = "S{n + 1}.1" }}' for n in range(1, 7))
    lamps = "".join(
        f', {{ id = "L{n}", from = "S7.2", to = "E{n}.+", length = 900, size = 0.35 }}, '
        f'{{ id = "M{n}", from = "E{n}.-", to = "CHASSIS" }}'
        for n in range(count)
    )
    text = LOOM.format(loads=loads, switches=switches, first=first, wires=f"{row}{lamps}{more}")
    return find_all(Bench(read_harness_text(text, "lamps")))


def test_a_battery_shorted_by_wires_is_told_first_with_the_way() -> None:
    """A wire from plus to the body: the parts between the posts are named, and nothing is made of the volts."""
    found = loom(2, more=', { id = "W9", from = "F1.in", to = "CHASSIS" }')
    assert (found[0].rule, found[0].gravity) == (FindingRule.SHORTED, Gravity.DANGER)
    assert found[0].part_ids == ("W1", "W9", "W3")
    assert not {FindingRule.NO_FEED, FindingRule.DROP} & {one.rule for one in found}
    assert any(one.rule is FindingRule.ASSUMED for one in found)


def test_a_sound_battery_is_not_called_shorted() -> None:
    """Through a fuse, a switch or a load no metal joins the posts."""
    assert FindingRule.SHORTED not in {one.rule for one in loom(2)}
    behind_fuse = loom(2, more=', { id = "W9", from = "F1.out", to = "CHASSIS" }')
    assert FindingRule.SHORTED not in {one.rule for one in behind_fuse}


def test_the_buggy_with_a_shorted_bar_is_looked_over_without_solving() -> None:
    """A bar wired to ground: the finding comes, and no circuit is solved for it."""
    text = BUGGY.read_text(encoding="utf-8")
    text = text.replace("wires = [\n", 'wires = [\n  { id = "W900", from = "BB1", to = "GND1" },\n', 1)
    bench = Bench(read_harness_text(text, "buggy"))
    found = find_all(bench)
    assert found[0].rule is FindingRule.SHORTED
    assert "W900" in found[0].part_ids
    assert bench.kept(Condition("off")) is None


def test_loads_beyond_the_first_dozen_without_feed_are_counted_not_searched() -> None:
    """Thirty lamps at the end of 900 m of thin wire never have their volts: some are told, the others named once."""
    found = loom(30)
    (left,) = [one for one in found if one.rule is FindingRule.NOT_SEARCHED]
    assert left.gravity is Gravity.ASK
    assert len(left.part_ids) == 18
    told = {part for one in found if one.rule is not FindingRule.ASSUMED for part in one.part_ids}
    assert told >= {f"E{n}" for n in range(30)}
    assert FindingRule.NOT_SEARCHED not in {one.rule for one in loom(3)}
