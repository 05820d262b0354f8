"""The command ``fusewalk walk``."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from model.harness.harness import all_elements
from model.harness.toml_file import read_harness
from tui.__main__ import main

ROOT = Path(__file__).parents[2]
BUGGY = str(ROOT / "demo_builds" / "trail_buggy.toml")
TRACTOR = str(ROOT / "demo_builds" / "field_tractor.toml")
LAUNCH = str(ROOT / "demo_builds" / "harbour_launch.toml")


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Give what the command prints."""
    assert main(["walk", *words]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def asked_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Give the object that the command prints: one line, nothing else."""
    out = asked(capsys, *words, "--json")
    assert out.count("\n") == 1
    found = json.loads(out)
    assert isinstance(found, dict)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("build", [BUGGY, TRACTOR, LAUNCH])
def test_every_load_of_the_demo_builds_is_walked(capsys: pytest.CaptureFixture[str], build: str) -> None:
    """Each by its name, with the keys that are promised, from a post to the load and back."""
    for element in all_elements(read_harness(Path(build)))[::3]:
        found = asked_json(capsys, build, element.name)
        assert found.keys() >= {"load", "condition", "feed", "ground", "control", "cautions"}
        assert found["load"] == element.name
        ends = {found["feed"][-1]["point"], found["ground"][0]["point"]}
        assert ends == {element.from_point, element.to_point}
        assert found["ground"][-1]["point"] == found["black"]
        assert all(row["expect"].keys() == set(found["feed"][0]["expect"]) for row in found["feed"])


def test_a_load_is_named_by_id_circuit_or_label(capsys: pytest.CaptureFixture[str]) -> None:
    """The same walk by each of its names."""
    by_name = asked_json(capsys, BUGGY, "M2:load")
    assert asked_json(capsys, BUGGY, "M2") == by_name
    assert asked_json(capsys, BUGGY, "fuel pump") == by_name
    assert asked_json(capsys, BUGGY, "A2:75")["load"] == "A2:75"


def test_the_working_condition_is_told_unless_something_is_typed(capsys: pytest.CaptureFixture[str]) -> None:
    """What is typed is put over it: another position, another key, a fuse out, the posts."""
    assert asked_json(capsys, TRACTOR, "E1")["condition"]["settings"] == {"S2": "head"}
    typed = asked_json(capsys, TRACTOR, "E1", "--set", "S2=side", "--key", "on", "--pull", "F1")["condition"]
    assert (typed["key"], typed["settings"]) == ("on", {"S2": "side", "F1": "out"})
    read = asked_json(capsys, TRACTOR, "E1", "--battery", "6.2")
    assert read["condition"]["posts"] == 6.2
    assert read["condition"]["settings"] == {"S2": "head"}
    assert read["feed"][0]["expect"][read["condition"]["key"]]["on"] == pytest.approx(-6.2, abs=1e-4)


def test_with_a_fault_the_expectations_are_those_of_the_faulty_circuit(capsys: pytest.CaptureFixture[str]) -> None:
    """Horn dead by its open feed wire: 0 V at the horn, as before behind the fuse."""
    healthy, faulty = (asked_json(capsys, BUGGY, "P1", *words) for words in ((), ("--fault", "W119=open")))
    key = healthy["condition"]["key"]
    last = [found["feed"][-1]["expect"][key]["on"] for found in (healthy, faulty)]
    assert last[0] > 12
    assert abs(last[1]) < 0.05
    assert faulty["condition"]["faults"] == ["W119=open"]
    assert faulty["across"]["state"][key] == "dead"


def test_text_and_markdown_are_the_same_walk(capsys: pytest.CaptureFixture[str]) -> None:
    """Every point of the JSON stands in both."""
    found = asked_json(capsys, BUGGY, "M2")
    text, markdown = asked(capsys, BUGGY, "M2"), asked(capsys, BUGGY, "M2", "--markdown")
    for row in [*found["feed"], *found["ground"], *found["control"]]:
        assert f"  · {row['point']} " in text
        assert f"| {row['point']} |" in markdown
    assert text.startswith("Walk of M2:load, Fuel pump\n")
    assert "\n# Walk of M2:load, Fuel pump\n" in markdown


def test_both_forms_at_once_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """With what to leave out."""
    with pytest.raises(SystemExit) as left:
        main(["walk", BUGGY, "M2", "--json", "--markdown"])
    assert left.value.code == 2
    assert "--markdown and --json do not go together" in capsys.readouterr().err


WRONG = {
    "an unknown load": (["M99"], "There is no load “M99”."),
    "a mistyped label": (["Fuel pum"], "There is no load “Fuel pum”. Did you mean Fuel pump?"),
    "a load of several circuits": (
        ["E1"],
        "“E1” may be any of several circuits. Name one of them: E1:dip, E1:main, E1:side.",
    ),
    "a circuit that it lacks": (["E1:dop"], "Did you mean E1:dip?"),
    "a relay": (["K7"], "There is no load “K7”."),
    "nothing": ([""], "There is no load “”."),
    "an unknown key state": (["M2", "--key", "run"], "There is no key state “run”."),
    "an unknown setting": (["M2", "--set", "S99=on"], "There is nothing “S99” to set."),
    "an unknown fault": (["M2", "--fault", "W1=burnt"], "W1 cannot be “burnt”."),
    "a battery of nan": (["M2", "--battery", "nan"], "cannot read nan V."),
    "a battery out of reach": (["M2", "--battery", "90"], "cannot read 90 V. Give the volts across that battery alone"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_argument_is_told_with_what_to_type(capsys: pytest.CaptureFixture[str], case: str) -> None:
    """Exit code 2, nothing on standard output, one sentence on standard error."""
    words, said = WRONG[case]
    assert main(["walk", BUGGY, *words]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert said in err


@pytest.mark.parametrize("words", [[], [BUGGY], [BUGGY, "M2", "too", "many"], [BUGGY, "M2", "--battery", "x"]])
def test_a_mistyped_command_says_how_it_is_typed(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    """Exit code 2 and how it is written."""
    with pytest.raises(SystemExit) as left:
        main(["walk", *words])
    assert left.value.code == 2
    assert capsys.readouterr().err.startswith("fusewalk walk: ")


def test_a_missing_file_is_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Before anything is said of the load."""
    assert main(["walk", str(tmp_path / "none.toml"), "M2"]) == 2
    assert "none.toml: there is no such file." in capsys.readouterr().err


def test_a_loom_with_nothing_but_a_battery_has_no_load(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Told without a list of loads that there are not."""
    path = tmp_path / "bare.toml"
    path.write_text(
        'format = 1\nbuild = { name = "Bare", nominal_volts = 12 }\nkey_states = [ { name = "off" } ]\n'
        'batteries = [ { id = "G1" } ]\n',
        encoding="utf-8",
    )
    assert main(["walk", str(path), "E1"]) == 2
    assert capsys.readouterr().err == "fusewalk: There is no load “E1”. There is none in this file.\n"


def test_a_walk_is_written_in_the_form_that_the_ending_says(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """HTML has cautions before the figures and the profile; CSV has the volts of the JSON; text may be written over."""
    html, table, plain = (tmp_path / f"pump.{ending}" for ending in ("html", "csv", "txt"))
    for path in (html, table, plain, plain):
        assert asked(capsys, BUGGY, "M2", "-o", str(path)) == f"Written to {path}\n"
    page = html.read_text(encoding="utf-8")
    assert page.index("Caution: Fuel") < page.index("<table>") < page.index("Volts down the walk")
    rows = list(csv.DictReader(StringIO(table.read_bytes().decode("utf-8"))))
    listed = asked_json(capsys, BUGGY, "M2")["feed"]
    fed = {row["point"]: row["ignition, V"] for row in rows if row["section"] == "feed"}
    assert list(fed) == [one["point"] for one in listed]
    for one in listed:
        assert float(fed[one["point"]]) == pytest.approx(one["expect"]["ignition"]["on"], abs=1e-3)
    assert plain.read_text(encoding="utf-8").startswith("Fusewalk sheet, walk\nWalk of M2:load")
