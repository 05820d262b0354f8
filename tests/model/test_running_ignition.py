"""Ignition wiring is measured with the engine off only: no figure asks for a probe there while it turns."""

from __future__ import annotations

import pytest

from model.cautions import NO_PROBE, wants_engine_off
from model.circuit.condition import Condition, make_condition
from model.sheets.find_sheet import find_json, find_lines
from model.sheets.review_markdown import review_markdown
from model.sheets.walk_json import walk_json
from model.sheets.walk_paper import walk_paper
from model.sheets.walk_sheet import walk_text
from model.tracing.expect import reading_at
from model.tracing.find import search
from tests.model.tracing.rigs import demo, demo_walks, rig, settled, wires

ROWS = """
switches = [
  { id = "S1", key = true, terminals = [30, 15, 50], positions = { KEY } },
  { id = "S2", label = "Start button", momentary = true },
]
loads = [ { id = "E1", kind = "heater", ohms = 3, hazard = "ignition" }, { id = "M1", kind = "motor", amps = 100 } ]
"""
COIL = rig(
    ROWS.replace("KEY", "off = [], on = [[30, 15]], start = [[30, 15, 50]], running = [[30, 15]]")
    + wires("G1.+ S1.30", "S1.15 E1.+", "E1.- G1.-", "S1.50 M1.+"),
    states='{ name = "off" }, { name = "on" }, { name = "start" }, { name = "running", charging = true }',
)


@pytest.mark.parametrize(
    ("key", "settings", "expected"),
    [("on", (), False), ("start", (), True), ("running", (), True), ("on", ("S2=on",), True)],
)
def test_the_engine_turns_by_the_key_by_running_or_by_a_button(
    key: str, settings: tuple[str, ...], expected: bool
) -> None:
    """Cranked by the key or by a start button, or running: no probe; the key switch itself is no ignition wiring."""
    condition = make_condition(COIL, key, settings)
    assert wants_engine_off(COIL, "E1.+", condition) is expected
    assert not wants_engine_off(COIL, "S1.15", condition)


def test_no_reading_is_told_with_either_probe_there() -> None:
    """Red or black probe on the coil while the engine runs: the word; with the key on and the engine off: volts."""
    running, on = settled(COIL, key="running"), settled(COIL, key="on")
    assert reading_at(running, "E1.+", "G1.-") == (None, NO_PROBE)
    assert reading_at(running, "G1.+", "E1.-") == (None, NO_PROBE)
    assert reading_at(on, "E1.+", "G1.-")[0] == pytest.approx(12.0, abs=0.8)


def test_a_walk_has_figures_with_the_engine_off_and_a_word_with_it_on() -> None:
    """The tractor's coil: volts with the key on, none while running, in rows, across the load and in all sheets."""
    harness = demo("field_tractor")
    told = next(one for one in demo_walks("field_tractor")[1] if one.walk.element.name == "E11:primary")
    coil = [row for section in told.sections for row in section.rows if row.part_id in ("E11", "S7")]
    assert coil
    for row in coil:
        assert row.expect["on"].on is not None
        running = row.expect["running"]
        assert (running.on, running.low, running.high, running.word) == (None, None, None, NO_PROBE)
        assert (running.unplugged, running.unplugged_word) == (None, NO_PROBE)
        assert "Stop the engine first." in row.says["running"][0]
    assert told.load.across["running"].word == NO_PROBE
    assert "Stop the engine first." in told.load.says["running"][1]
    assert walk_json(harness, told)["across"]["expect"]["running"]["on"] is None
    for sheet in (walk_text(harness, told), review_markdown(walk_paper(harness, told))):
        assert "ignition wiring is meant and the engine turns" in " ".join(sheet.split())


@pytest.mark.slow
def test_a_coil_that_works_only_with_the_engine_on_is_not_measured_across() -> None:
    """The buggy's coil is fed while cranking and running alone: nobody is sent to measure across it there."""
    told = next(one for one in demo_walks("trail_buggy")[1] if one.walk.element.part_id == "L1")
    text = " ".join(walk_text(demo("trail_buggy"), told).split())
    assert told.load.across[told.condition.key].word == NO_PROBE
    assert "Measure across the load first" not in text
    assert "A feed point nearer 0 than its band" in text


def test_a_walk_without_ignition_wiring_does_not_speak_of_it() -> None:
    """The tractor's horn has no such word and no such sentence."""
    harness = demo("field_tractor")
    told = next(one for one in demo_walks("field_tractor")[1] if one.walk.element.part_id == "P1")
    assert NO_PROBE not in walk_text(harness, told)


def test_a_search_shows_no_volts_there_while_the_engine_turns() -> None:
    """The figure of the key state with the engine off stays, that of the running engine gives way to the word."""
    volts = {"E1.+": {"on": 12.1, "running": 13.9}, "S1.15": {"on": 12.2, "running": 14.0}}
    for words, point in (("E1", "E1.+"), ("S1", "S1.15")):
        result = search(COIL, [words])
        expected = find_json(COIL, words, result, volts, Condition("on"))["found"][0]["expect"][point]
        assert expected == ({"on": 12.1, "running": NO_PROBE} if point == "E1.+" else volts[point])
    assert "13.90" not in "\n".join(find_lines(COIL, "E1", search(COIL, ["E1"]), volts, Condition("on")))
