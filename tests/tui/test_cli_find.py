"""The command ``fusewalk find``."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from model.circuit.condition import make_condition
from model.circuit.survey import survey
from model.harness.toml_file import read_harness
from model.words import clean, volts_text
from tui.__main__ import main

DEMO = Path(__file__).parents[2] / "demo_builds"
BUGGY = str(DEMO / "trail_buggy.toml")

HOSTILE = r"""
format = 1
build = { name = "Van [/on] \u001b[31m\u202E", nominal_volts = 12 }
key_states = [ { name = "[red]" }, { name = "crank" } ]
batteries = [ { id = "G1" } ]
grounds = [ { id = "GND1" } ]
modules = [ { id = "A1", label = "Airbag [off]", hazard = "restraint", feeds = [ { terminal = 15, amps = 1 } ] } ]
loads = [ { id = "E1", kind = "lamp", watts = 5, label = "F1 [/15A]\u0007 lamp 你好" } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", size = 1.5 },
  { id = "W2", from = "E1.-", to = "GND1" },
  { id = "W3", from = "G1.-", to = "GND1" },
  { id = "W4", from = "G1.+", to = "A1.15" },
  { id = "W5", from = "A1.31", to = "GND1" },
]
"""


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Give what the command prints."""
    assert main(["find", *words]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def asked_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Give the object that the command prints."""
    out = json.loads(asked(capsys, *words, "--json"))
    assert isinstance(out, dict)
    return out


def test_a_question_as_it_is_asked(capsys: pytest.CaptureFixture[str]) -> None:
    """Both ends with their places, what it feeds, what fits and the volts in each key state."""
    out = asked(
        capsys, BUGGY, "I", "hold", "a", "green/white", "0.75", "in", "the", "left", "sill:", "what", "is", "it"
    )
    assert "things found for “I hold a green/white 0.75 in the left sill: what is it”" in out.splitlines()[0]
    assert "W32  wire, GN/WH green with white stripe, 0.75 mm²" in out
    assert "from      X3.rear.2, left sill, kick plate out, six screws" in out
    assert "feeds     coil of K7 Fuel pump relay" in out
    assert "expect, V    off  accessory  ignition  crank  running" in out
    assert "Volts with everything at rest. In crank they are an estimate" in out


def test_the_volts_are_those_of_the_circuit(capsys: pytest.CaptureFixture[str]) -> None:
    """What is printed for a point in a key state is what the circuit settles to there."""
    harness = read_harness(Path(BUGGY))
    out = asked_json(capsys, BUGGY, "K7.30")
    expect = out["found"][0]["expect"]["K7.30"]
    assert list(expect) == list(harness.key_names)
    for key in harness.key_names:
        volts = survey(harness, make_condition(harness, key)).settled.volts_at("K7.30")
        assert expect[key] == pytest.approx(volts, abs=1e-6)
    line = next(line for line in asked(capsys, BUGGY, "K7.30").splitlines() if line.startswith("    K7.30 "))
    assert line.split()[1:] == [volts_text(expect[key]) for key in harness.key_names]


def test_settings_and_one_key_state(capsys: pytest.CaptureFixture[str]) -> None:
    """A fuse pulled takes the feed away; a key state asked for stands alone."""
    with_fuse = asked_json(capsys, BUGGY, "M2", "--key", "ignition")["found"][0]["expect"]["M2.+"]
    without = asked_json(capsys, BUGGY, "M2", "--key", "ignition", "--pull", "F23")["found"][0]["expect"]["M2.+"]
    assert list(with_fuse) == ["ignition"]
    assert with_fuse["ignition"] > 12
    assert without["ignition"] == pytest.approx(0, abs=0.05)
    out = asked(capsys, BUGGY, "M2", "--set", "S2=head")
    assert "Volts with S2 (Lighting switch) head, the rest at rest." in out


def test_posts_read_in_one_key_state_tell_the_others(capsys: pytest.CaptureFixture[str]) -> None:
    """Where the posts read 12.0 V at rest, every key state without the alternator lies under that."""
    expect = asked_json(capsys, BUGGY, "G1.+", "--battery", "12.0")["found"][0]["expect"]["G1.+"]
    assert expect["off"] == pytest.approx(12.0, abs=1e-4)
    assert expect["crank"] < expect["ignition"] < 12.0


def test_posts_read_while_cranking_are_no_estimate(capsys: pytest.CaptureFixture[str]) -> None:
    """The remark goes once the posts were read there."""
    out = asked(capsys, BUGGY, "M2", "--key", "crank", "--battery", "10.2")
    assert "estimate" not in out


def test_nothing_found_names_the_nearest_and_is_no_error(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 0, with what was meant perhaps."""
    assert "There is no “K77”; the nearest is K7." in asked(capsys, BUGGY, "K77")
    assert asked_json(capsys, BUGGY, "K77")["found"] == []
    assert "taken as “green”" in asked(capsys, BUGGY, "grene", "white")


def test_only_as_many_as_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """The rest is counted."""
    out = asked_json(capsys, BUGGY, "wire", "--most", "3")
    assert (len(out["found"]), out["total"] > 100) == (3, True)
    assert "more: another word narrows it." in asked(capsys, BUGGY, "wire", "--most", "3")


@pytest.mark.parametrize("most", ["0", "-3"])
def test_nothing_to_show_is_refused(capsys: pytest.CaptureFixture[str], most: str) -> None:
    """Fewer than one thing is a wrong argument."""
    assert main(["find", BUGGY, "wire", "--most", most]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err == f"fusewalk: --most {most} shows nothing. Write a whole number from 1 on.\n"


def test_where_the_volts_end_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """Volts stand with the first four; with fewer than five things nothing is left to say."""
    out = asked(capsys, BUGGY, "wire", "--most", "6")
    assert out.count("expect, V") == 4
    assert out.splitlines()[-1] == "Volts stand with the first 4 things only: ask for one of the others by its id."
    assert "Volts stand with" not in asked(capsys, BUGGY, "wire", "--most", "4")


def test_cautions_stand_before_the_volts(capsys: pytest.CaptureFixture[str]) -> None:
    """At the pump the fuel caution comes first, then the figures."""
    out = asked(capsys, BUGGY, "M2")
    assert out.index("Caution: Fuel:") < out.index("expect, V")


def test_a_wrong_file_or_setting_is_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2 and a sentence, nothing on standard output."""
    for words in (["nowhere.toml", "pump"], [BUGGY, "pump", "--pull", "F99"], [BUGGY, "pump", "--key", "warp"]):
        assert main(["find", *words]) == 2
        captured = capsys.readouterr()
        assert captured.out == ""
        assert captured.err.startswith("fusewalk: ")


def test_hostile_labels_are_shown_whole_and_harmless(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Brackets stay, what a terminal obeys goes, and the airbag's wiring has no volts but a reason."""
    file = tmp_path / "van.toml"
    file.write_text(HOSTILE, encoding="utf-8")
    out = asked(capsys, str(file), "lamp")
    assert "E1  lamp, F1 [/15A] lamp 你好" in out
    assert "[red]  crank" in out
    for line in out.splitlines():
        assert line == clean(line, 4000)
    airbag = asked(capsys, str(file), "airbag")
    assert "A1  module, Airbag [off]" in airbag
    assert "no probe" in airbag
    assert not any(line.split()[:1] == ["A1.15"] for line in airbag.splitlines())
    refused = asked_json(capsys, str(file), "A1")["found"][0]
    assert set(refused["refused"]) == {"A1.15", "A1.31"}
    assert refused["expect"] == {}


def test_what_is_found_goes_into_a_file_in_the_form_of_its_ending(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """HTML says with what the volts were worked out; CSV has the volts of the JSON, and the reason where none may be.

    The airbag's points have no volts in either.
    """
    harness = tmp_path / "van.toml"
    harness.write_text(HOSTILE, encoding="utf-8")
    html, table = tmp_path / "a.html", tmp_path / "a.csv"
    for path in (html, table):
        assert asked(capsys, str(harness), "A1", "W1", "-o", str(path)) == f"Written to {path}\n"
    page = html.read_text(encoding="utf-8")
    assert "Volts with everything at rest." in page
    assert "\x1b" not in page
    found = asked_json(capsys, str(harness), "A1", "W1")["found"]
    expected = {point: volts for one in found for point, volts in one["expect"].items()}
    refused = {point: why for one in found for point, why in one["refused"].items()}
    assert refused
    with table.open(encoding="utf-8", newline="") as stream:
        rows = {row["point"]: row for row in csv.DictReader(stream)}
    assert {point for point in rows if point} == {*expected, *refused}
    for point, why in refused.items():
        assert rows[point]["never probed"] == why
    for point, volts in expected.items():
        assert float(rows[point]["crank, V"]) == pytest.approx(volts["crank"], abs=1e-3)


def test_a_caution_above_many_things_names_those_that_it_is_for(capsys: pytest.CaptureFixture[str]) -> None:
    """Of the lamps the head lamps burn, a tell-tale does not; where all that stands below is meant nobody is named."""
    tractor = str(DEMO / "field_tractor.toml")
    assert main(["find", tractor, "lamp", "--most", "50"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    hot = told[: told.index(": This part burns skin")].rpartition("Caution: ")[2]
    assert hot.startswith("At E1, E2, ")
    assert "E8" not in hot.removeprefix("At ").split(", ")
    assert main(["find", tractor, "E1", "--most", "1"]) == 0
    assert "Caution: This part burns skin" in " ".join(capsys.readouterr().out.split())
    assert main(["find", tractor, "lamp", "--most", "50", "--markdown"]) == 0
    assert f"{hot}: This part burns skin" in " ".join(capsys.readouterr().out.split())
