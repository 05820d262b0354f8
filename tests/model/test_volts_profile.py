"""The volts down a walk as a profile: on a scale that stays, with the largest drops named."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.harness.harness import Harness
from model.sheets.columns import WIDTH, cell_width
from model.sheets.profile_text import SIGNS, axis, chart, drop_sentences, outside_sentences, profile_text
from model.sheets.review_markdown import review_markdown
from model.sheets.volts_profile import (
    NOTHING_READ,
    Origin,
    Profile,
    TraceReadings,
    trace_readings,
    volts_profile,
)
from model.sheets.walk_as_built import NOT_READ, AsBuilt
from model.sheets.walk_json import walk_json
from model.sheets.walk_paper import walk_paper
from model.sheets.walk_sheet import walk_text
from model.tracing.asking import Answered
from model.tracing.checks import Check, CheckKind, Outcome, measured
from model.tracing.rows import ToldWalk, tell_walk
from model.tracing.walk import Walker, find_element
from tests.model.tracing.rigs import DEMO_NAMES, demo_walks, rig, wires

HORN = rig(
    """
fuses = [ { id = "F1", amps = 15, label = "Horn" } ]
switches = [ { id = "S1", label = "Push" } ]
loads = [ { id = "P1", kind = "horn", watts = 60, label = "Horn" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 2.5, length = 1.2 },
  { id = "W2", from = "F1.out", to = "S1.1", colour = "RD/VT", size = 2.5, length = 0.4 },
  { id = "W3", from = "S1.2", to = "P1.+" },
  { id = "W4", from = "P1.-", to = "CHASSIS", colour = "BN", size = 2.5, length = 0.3 },
  { id = "W5", from = "G1.-", to = "CHASSIS", colour = "BK", size = 16, length = 0.3 },
]
"""
)


METAL = ("BLOCK", "CHASSIS")
NOWHERE = "The volts fall nowhere on this walk by as much as a millivolt."


def told(harness: Harness = HORN, load: str = "P1", condition: Condition | None = None) -> ToldWalk:
    """Tell a walk."""
    bench = Bench(harness)
    return tell_walk(bench, Walker(bench).walk(find_element(harness, load)), condition)


def profile(as_built: AsBuilt = NOT_READ, readings: TraceReadings = NOTHING_READ) -> Profile:
    """Give the profile of the horn's walk."""
    return volts_profile(HORN, told(), as_built, readings)


def drawn(shown: Profile, point: str, cells: int = 31) -> str:
    """Draw one point."""
    found = next(one for section in shown.sections for one in section if one.row.point == point)
    return chart(shown, found, cells)


def test_the_largest_drop_is_named_with_where_it_is() -> None:
    """5.13 A, as 12.70 V drive through 2.4 Ω and 73 mΩ, through W3 of 30.3 mΩ: 0.155 V; 0.054 V in W1 comes next."""
    shown = profile()
    drop = shown.largest_drop(Origin.COMPUTED)
    assert drop is not None
    assert drop.volts == pytest.approx(0.155, abs=0.001)
    assert drop_sentences(HORN, shown) == ["Largest drop 0.16 V: wire W3, S1.2 to P1.+."]


def test_what_was_read_has_its_largest_drop_too() -> None:
    """Between points that were read; where others lie between them their number is said, and computed stays first."""
    shown = profile(AsBuilt({"G1.+": 12.6, "P1.+": 12.1}), TraceReadings({"S1.1": 12.5, "S1.2": 10.2, "P1.+": 10.1}))
    assert shown.origins == tuple(Origin)
    assert drop_sentences(HORN, shown)[1:] == [
        "Largest drop as built 0.50 V: G1.+ to P1.+, 5 parts on the way.",
        "Largest drop read 2.30 V: contact S1:1-2, S1.1 to S1.2.",
    ]


def test_a_drop_that_was_read_itself_counts_before_two_readings() -> None:
    """Probes on both ends of the contact say more than the difference of two volts."""
    readings = TraceReadings({"S1.1": 12.5, "S1.2": 12.4}, {frozenset(("S1.1", "S1.2")): 0.35})
    assert drop_sentences(HORN, profile(readings=readings))[1] == (
        "Largest drop read 0.35 V: contact S1:1-2, S1.1 to S1.2."
    )


def test_what_was_read_outside_its_band_is_named() -> None:
    """12.50 V are expected at S1.2, good from 11.48 to 13.52; of each origin the points with what was read there."""
    shown = profile(AsBuilt({"S1.2": 11.5, "S1.1": 11.0}), TraceReadings({"S1.2": 9.1, "P1.-": 0.5}))
    assert outside_sentences(shown) == [
        "As built outside the good band: S1.1 11.00 V.",
        "Read outside the good band: S1.2 9.10 V, P1.- 0.50 V.",
    ]
    assert set(outside_sentences(shown)) <= set(profile_text(HORN, shown))
    assert outside_sentences(profile(AsBuilt({"S1.2": 11.5}))) == []


def test_without_current_nothing_falls() -> None:
    """The push not pressed: all 12.70 V stand across its open contact, and that is said; without a feed none fall."""
    open_push = volts_profile(HORN, told(condition=Condition("off")))
    assert drop_sentences(HORN, open_push) == ["Largest drop 12.70 V: contact S1:1-2, S1.1 to S1.2, open now."]
    unfed = rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("E1.- G1.-"))
    assert drop_sentences(unfed, volts_profile(unfed, told(unfed, "E1"))) == [NOWHERE]


def test_a_small_current_lets_no_volts_fall_that_a_meter_shows() -> None:
    """10 mA through two wires of 13 mΩ: 0.1 mV each; the lamp is lit all the same, and its name stands for a label."""
    lit = rig('loads = [ { id = "E1", kind = "led", amps = 0.01 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"))
    shown = volts_profile(lit, told(lit, "E1"))
    assert drop_sentences(lit, shown) == [NOWHERE]
    assert "load  E1: 12.70 V computed across it" in profile_text(lit, shown)


def test_volts_that_rise_on_the_way_are_no_drop() -> None:
    """What a charger on the engine feeds comes back to it through 10 mΩ from the body: the engine is below the body.

    From the engine to the body the volts of a heater's ground rise; what falls is what its own wire loses.
    """
    charged = rig(
        'bodies = [ { id = "BLOCK" } ]\nchargers = [ { id = "G2", volts = 14.4 } ]\n'
        'joints = [ { id = "JT1", from = "BLOCK", to = "CHASSIS", ohms = 0.01 } ]\n'
        'loads = [ { id = "E1", kind = "heater", amps = 2 }, { id = "E2", kind = "heater", amps = 20 } ]\n'
        + wires("G2.+ G1.+", "G2.- BLOCK", "G1.- CHASSIS", "G1.+ E1.+", "E1.- BLOCK", "G1.+ E2.+", "E2.- CHASSIS"),
        states='{ name = "running", charging = true }',
    )
    shown = volts_profile(charged, told(charged, "E1"))
    block, chassis = (point for section in shown.sections for point in section if point.row.point in METAL)
    assert block.volts[Origin.COMPUTED] < chassis.volts[Origin.COMPUTED]
    assert chassis.drops[Origin.COMPUTED].volts < 0 < block.drops[Origin.COMPUTED].volts


def test_what_was_read_with_the_post_grounded_needs_no_sign() -> None:
    """A trace takes 6.2 V for -6.2 V where the + post is grounded: it stands on the scale and within its band."""
    positive = rig(
        'loads = [ { id = "E1", kind = "heater", amps = 1 } ]\n' + wires("G1.- E1.-", "E1.+ G1.+"),
        build="nominal_volts = 6, ground_side = 'positive'",
    )
    shown = volts_profile(positive, told(positive, "E1"), readings=TraceReadings({"E1.-": 6.3, "G1.-": -6.35}))
    assert drawn(shown, "E1.-").index("●") == drawn(shown, "G1.-").index("●")
    assert outside_sentences(shown) == []
    drop = shown.largest_drop(Origin.READ)
    assert drop is not None
    assert drop.volts == pytest.approx(0.05)


@pytest.mark.parametrize(
    ("nominal", "ground", "full"), [(6, "negative", 9), (12, "positive", -15), (24, "negative", 30)]
)
def test_the_scale_is_that_of_the_build(nominal: int, ground: str, full: int) -> None:
    """From 0 to 3 V over nominal, a quarter where that is more; below 0 where the + post is the grounded one."""
    harness = rig(
        'loads = [ { id = "E1", kind = "heater", amps = 1 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
        build=f"nominal_volts = {nominal}, ground_side = '{ground}'",
    )
    shown = volts_profile(harness, told(harness, "E1"))
    assert shown.full_volts == full
    assert axis(shown, 40).split() == ["0", *(f"{full * tick // 3}" for tick in (1, 2, 3)), "V"]


def test_a_figure_of_the_scale_ends_in_the_cell_that_it_means() -> None:
    """0 to 15 V over 31 cells: half a volt a cell, 5 V in cell 10, 10 V in cell 20."""
    scale = axis(profile(), 31)
    assert (scale.index("0"), scale.index("5"), scale.index("10") + 1) == (0, 10, 20)
    assert scale.endswith("15 V")
    assert len(scale) == 31


def test_signs_stand_where_their_volts_are() -> None:
    """12.50 V computed in cell 25 amid its band of 11.48 to 13.52, 8 V read in cell 16; read covers computed."""
    shown = profile(readings=TraceReadings({"S1.2": 8.0}))
    line = drawn(shown, "S1.2")
    assert (line.index("│"), line.index("●")) == (25, 16)
    assert line[23:28] == "──│──"
    assert "│" not in drawn(profile(readings=TraceReadings({"S1.2": 12.5})), "S1.2")
    assert drawn(profile(), "G1.-")[0] == "│"


def test_volts_beyond_the_scale_are_marked_as_that() -> None:
    """16 V do not fit on 0 to 15: the sign for it stands in the last cell; -1 V stands in the first."""
    line = drawn(profile(readings=TraceReadings({"S1.2": 16.0, "P1.-": -1.0})), "S1.2")
    assert line[-1] == "›"
    assert drawn(profile(readings=TraceReadings({"P1.-": -1.0})), "P1.-")[0] == SIGNS[Origin.READ]


def answered(kind: CheckKind, red: str, black: str, outcome: Outcome, key: str = "") -> Answered:
    """Make an answer in the condition that the walk of the horn is told in, or in another key state."""
    condition = told().condition
    return Answered(Check(kind, condition.at_key(key) if key else condition, red, black), outcome, 1, 1.0)


def test_readings_of_a_trace_count_where_the_walk_is_told() -> None:
    """Volts against its black probe by point, the last of them; another key state, another black and words do not."""
    other = next(key for key in HORN.key_names if key != told().condition.key)
    found = trace_readings(
        told(),
        [
            answered(CheckKind.VOLTS, "S1.1", "G1.-", measured(12.4)),
            answered(CheckKind.VOLTS, "S1.1", "G1.-", measured(12.2, 12.4)),
            answered(CheckKind.VOLTS, "S1.2", "G1.-", measured(9.0), key=other),
            answered(CheckKind.DROP, "S1.1", "S1.2", measured(0.3)),
            answered(CheckKind.OHMS, "S1.2", "P1.+", measured(0.5)),
            answered(CheckKind.OBSERVE, "F1.out", "G1.-", Outcome()),
        ],
    )
    assert found.volts == {"S1.1": pytest.approx(12.3)}
    assert found.across_volts[frozenset(("S1.1", "S1.2"))] == 0.3
    assert frozenset(("S1.2", "P1.+")) not in found.across_volts


def test_the_sheets_have_the_profile() -> None:
    """Text and Markdown draw it with what was read as built; JSON has its scale and its largest drops."""
    walk, as_built = told(), AsBuilt({"P1.+": 12.1}, 12.0)
    lines = "\n".join(profile_text(HORN, volts_profile(HORN, walk, as_built)))
    assert lines in walk_text(HORN, walk, as_built)
    assert "load  Horn: 12.32 V computed, 12.00 V as built across it" in lines
    assert "│ computed   ─ good band   ○ as built" in lines
    markdown = review_markdown(walk_paper(HORN, walk, as_built))
    assert "\n".join(lines.splitlines()[1:]) in markdown
    found = json.loads(json.dumps(walk_json(HORN, walk, as_built)))["profile"]
    assert found["scale"] == [0.0, 15.0]
    assert found["largest_drop"]["computed"] == {
        "volts": pytest.approx(0.155, abs=0.001),
        "from": "S1.2",
        "to": "P1.+",
        "over": "wire W3",
    }
    assert found["largest_drop"]["as built"] is None


def test_the_order_in_which_things_were_set_makes_no_difference() -> None:
    """The push pressed and the horn unplugged, in one order for the walk and the other for the trace: it counts."""
    settings = (("S1", "on"), ("P1", "out"))
    turned = Check(CheckKind.VOLTS, Condition("off", settings[::-1]), "S1.2", "G1.-")
    found = trace_readings(told(condition=Condition("off", settings)), [Answered(turned, measured(12.5), 1, 1.0)])
    assert found.volts == {"S1.2": 12.5}


def test_with_a_fault_no_band_is_called_good() -> None:
    """The figures are those of the faulty circuit: 1 Ω in the push beside 2.4 Ω and 63 mΩ has 3.67 of 12.70 V."""
    condition = replace(told().condition, faults=(Fault("S1:1-2", FaultKind.HIGH, ohms=1.0),))
    shown = volts_profile(HORN, told(condition=condition))
    lines = profile_text(HORN, shown)
    assert "│ computed   ─ band with this fault" in lines
    assert "good" not in " ".join(lines)
    assert "Largest drop 3.67 V: contact S1:1-2, S1.1 to S1.2." in lines


def test_a_point_that_is_never_probed_has_no_sign() -> None:
    """Its name stands in the profile, no figure, no band."""
    airbag = rig(
        'loads = [ { id = "E1", kind = "electronics", amps = 1, hazard = "restraint" } ]\n'
        + wires("G1.+ E1.+", "E1.- G1.-")
    )
    shown = volts_profile(airbag, told(airbag, "E1"))
    lines = profile_text(airbag, shown)
    assert [line for line in lines if "E1.+" in line] == ["  E1.+    never probed"]
    assert not any("across it" in line for line in lines)


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_profile_of_the_demo_builds_fits(name: str) -> None:
    """No line over 80 cells, and every point of the walk stands in it."""
    harness, walks = demo_walks(name)
    for walk in walks:
        lines = profile_text(harness, volts_profile(harness, walk))
        assert max(cell_width(line) for line in lines) <= WIDTH
        assert {line.split()[0] for line in lines if line.startswith("  ")} >= set(walk.walk.points())
