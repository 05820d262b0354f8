"""The command ``fusewalk volts``."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from model.circuit.condition import make_condition
from model.circuit.settle import settle
from model.harness.toml_file import read_harness
from model.sheets.columns import WIDTH, cell_width
from tui.__main__ import main

ROOT = Path(__file__).parents[2]
BUGGY = str(ROOT / "demo_builds" / "trail_buggy.toml")
BUILDS = sorted(str(path) for path in (ROOT / "demo_builds").glob("*.toml"))

KEY = '{ off = [], crank = [[30, 15]], "接通" = [[30, 15]] }'
FILAMENTS = (
    '{ name = "dip", from = "56b", to = "31", watts = 55 }, { name = "main", from = "56a", to = "31", watts = 60 }'
)
SMALL = f"""
format = 1
build = {{ name = "Lamp 前照灯 [on]", nominal_volts = 12 }}
key_states = [ {{ name = "off" }}, {{ name = "crank" }}, {{ name = "接通" }} ]
batteries = [ {{ id = "G1" }} ]
fuses = [ {{ id = "F1", amps = 10 }} ]
switches = [
  {{ id = "S0", key = true, terminals = [30, 15], positions = {KEY} }},
  {{ id = "S1", label = "Lamp switch" }},
]
relays = [ {{ id = "K1" }} ]
loads = [
  {{ id = "E1", kind = "lamp", label = "Head lamp", elements = [ {FILAMENTS} ] }},
  {{ id = "E2", kind = "led", watts = 2 }},
]
connectors = [ {{ id = "X1", cavities = 1 }} ]
wires = [
  {{ id = "W1", from = "G1.+", to = "F1.in", size = 2.5, length = 1 }},
  {{ id = "W2", from = "F1.out", to = "S1.1", size = 2.5, length = 1 }},
  {{ id = "W3", from = "S1.2", to = "X1.plug.1", size = 2.5, length = 1 }},
  {{ id = "W4", from = "X1.socket.1", to = "E1.56b", size = 2.5, length = 1 }},
  {{ id = "W5", from = "E1.31", to = "CHASSIS", size = 2.5, length = 1 }},
  {{ id = "W6", from = "G1.-", to = "CHASSIS", size = 16, length = 1 }},
  {{ id = "W7", from = "E2.-", to = "CHASSIS" }},
]
"""


@pytest.fixture
def small(tmp_path: Path) -> str:
    """Give the path of a small file."""
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return str(path)


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Give what the command prints."""
    assert main(["volts", *words]) == 0
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


PROMISED = {"key", "settings", "points", "floating", "unsettled", "buzzing", "relays", "loads", "fuses", "blown",
            "from_before"}  # fmt: skip


@pytest.mark.parametrize("build", BUILDS)
def test_the_json_has_the_keys_that_are_promised(capsys: pytest.CaptureFixture[str], build: str) -> None:
    """Every key of the format's table with the kind of value it has, in the last key state of each demo build."""
    harness = read_harness(Path(build))
    found = asked_json(capsys, build, "--key", harness.key_names[-1])
    assert found.keys() >= PROMISED
    assert found["key"] == harness.key_names[-1]
    assert found["settings"] == {}
    settled = settle(harness, make_condition(harness, harness.key_names[-1]))
    for point, volts in found["points"].items():
        assert volts == pytest.approx(float(settled.volts[settled.net.index[point]]), abs=5e-7)
    assert len(found["points"]) == settled.net.point_count
    assert set(found["floating"]) <= found["points"].keys()
    assert all(found["points"][point] == 0 for point in found["floating"])
    assert all(isinstance(pulled, bool) for pulled in found["relays"].values())
    assert found["relays"].keys() == {relay.id for relay in harness.relays}
    assert found["fuses"].keys() == {fuse.id for fuse in harness.fuses}
    for load in found["loads"].values():
        assert load.keys() == {"volts", "amps", "watts", "state"}
        assert load["watts"] == pytest.approx(load["volts"] * load["amps"], abs=1e-4)
    assert (found["blown"], found["buzzing"], found["unsettled"]) == ([], [], [])
    assert isinstance(found["from_before"], bool)


def test_without_a_word_the_first_key_state_is_told(capsys: pytest.CaptureFixture[str], small: str) -> None:
    """At rest 12.70 V at the post, and nothing at the lamp."""
    found = asked_json(capsys, small)
    assert (found["key"], found["points"]["G1.+"]) == ("off", pytest.approx(12.70, abs=0.005))
    assert found["points"]["E1.56b"] == 0.0
    assert found["loads"]["E1:dip"]["state"] == "off"


def test_volts_are_rounded_to_a_microvolt_and_zero_has_no_sign(capsys: pytest.CaptureFixture[str]) -> None:
    """No figure of the JSON is longer than a meter could ever tell, none is minus nothing."""
    out = asked(capsys, BUGGY, "--key", "running", "--set", "S2=head", "--json")
    assert "-0.0," not in out
    assert "-0.0}" not in out
    for volts in json.loads(out)["points"].values():
        assert volts == round(volts, 6)


@pytest.mark.parametrize(
    ("words", "point", "volts"),
    [
        (("--set", "S1=on"), "E1.56b", 12.3),
        (("--set", "S1=on", "--pull", "F1"), "E1.56b", 0.0),
        (("--set", "S1=on", "--set", "F1=out"), "E1.56b", 0.0),
        (("--set", "S1=on", "--unplug", "X1"), "X1.plug.1", 12.7),
        (("--set", "S1=on", "--unplug", "E1"), "E1.56b", 12.7),
        (("--set", "S1=on", "--fault", "W4=open"), "X1.socket.1", 12.7),
        (("--set", "S1=on", "--battery", "11.9"), "G1.+", 11.9),
    ],
)
def test_what_is_set_pulled_unplugged_faulty_and_read(
    capsys: pytest.CaptureFixture[str], small: str, words: tuple[str, ...], point: str, volts: float
) -> None:
    """A switch, a fuse, a plug, a load, a broken wire, the posts."""
    assert asked_json(capsys, small, *words)["points"][point] == pytest.approx(volts, abs=0.1)


def test_settings_stand_in_the_json_in_their_short_and_long_form(
    capsys: pytest.CaptureFixture[str], small: str
) -> None:
    """``--pull`` and ``--unplug`` are settings too."""
    found = asked_json(capsys, small, "--set", "S1=on", "--pull", "F1", "--unplug", "X1", "--unplug", "E2")
    assert found["settings"] == {"S1": "on", "F1": "out", "X1": "apart", "E2": "out"}


def test_a_blown_fuse_is_told_in_both_forms(capsys: pytest.CaptureFixture[str], small: str) -> None:
    """A wire on the body behind the switch."""
    words = (small, "--set", "S1=on", "--fault", "W3=to body")
    found = asked_json(capsys, *words)
    assert (found["blown"], found["fuses"]["F1"], found["loads"]["E1:dip"]["state"]) == (["F1"], 0.0, "dead")
    text = asked(capsys, *words)
    assert "F1: blows." in text
    assert "F1     0 A  blown" in text


def test_the_text_says_the_same_in_columns(capsys: pytest.CaptureFixture[str], small: str) -> None:
    """Build, condition in words, posts; then points, loads, relays and fuses, figures to the right."""
    lines = asked(capsys, small, "--set", "S1=on").splitlines()
    assert lines[0] == "Lamp 前照灯 [on]: key off, S1 (Lamp switch) on."
    assert lines[1] == "The posts of the first battery have 12.66 V."
    blocks = [block.splitlines() for block in "\n".join(lines[3:]).split("\n\n")]
    assert [block[0].split() for block in blocks] == [
        ["point", "volts"],
        ["load", "volts", "amps", "state"],
        ["relay", "state"],
        ["fuse", "amps", "state"],
    ]
    points, loads, relays, fuses = blocks
    assert len({cell_width(line) for line in points}) == 1
    assert ["E2.+", "floating"] in [line.split() for line in points]
    assert loads[1].split() == ["E1:dip", "12.33", "4.65", "A", "works"]
    assert relays[1].split() == ["K1", "at", "rest"]
    assert fuses[1].split() == ["F1", "4.65", "A"]
    assert max(cell_width(line) for line in lines) <= WIDTH


def test_cranking_without_a_reading_is_told_to_be_an_estimate(capsys: pytest.CaptureFixture[str], small: str) -> None:
    """With the posts read it is none."""
    words = "While the engine is cranked the volts are an estimate"
    assert words in asked(capsys, small, "--key", "crank")
    assert words not in asked(capsys, small, "--key", "crank", "--battery", "10.4")
    assert asked_json(capsys, small, "--key", "crank")["estimate"] is True
    assert asked_json(capsys, small)["estimate"] is False


WRONG = {
    "an unknown key state": (["--key", "ofd"], "There is no key state “ofd”. Did you mean off?"),
    "no setting": (["--set", "S1"], "“S1” is not a setting. Write it as PART=POSITION"),
    "an unknown part": (["--set", "S9=on"], "There is nothing “S9” to set."),
    "an unknown position": (["--set", "S1=hi"], "S1 cannot be set to “hi”."),
    "the key switch": (["--set", "S0=crank"], "S0 is the key switch: it stands as the key state says."),
    "nothing to pull": (["--pull", "F9"], "There is nothing “F9” to set. There are: G1, F1, S1"),
    "nothing to unplug": (["--unplug", "X9"], "There is nothing “X9” to set. There are: G1, F1, S1"),
    "no fault": (["--fault", "W1"], "“W1” is not a fault. Write it as PART=FAULT"),
    "an unknown fault": (["--fault", "W1=opne"], "W1 cannot be “opne”. Did you mean open?"),
    "an unknown site": (["--fault", "W99=open"], "There is no “W99” that can be faulty."),
    "a fault without its partner": (["--fault", "W1=touches"], "“touches” of W1 wants a partner."),
    "a fault of no ohms": (["--fault", "W1=-5"], "W1 cannot have -5 ohms."),
    "a fault of nan ohms": (["--fault", "W1=nan"], "W1 cannot have nan ohms."),
    "a battery of nan": (
        ["--battery", "nan"],
        "cannot read nan V. Give the volts across that battery alone: above 0, at most 18.",
    ),
    "an infinite battery": (["--battery", "inf"], "cannot read inf V."),
    "a battery below zero": (["--battery=-3"], "cannot read -3 V."),
    "a battery of nothing": (["--battery", "0"], "cannot read 0 V."),
    "a battery out": (
        ["--battery", "12.4", "--pull", "G1"],
        "The first battery is out, so that its posts tell nothing.",
    ),
}


@pytest.mark.parametrize("case", WRONG)
@pytest.mark.parametrize("form", [[], ["--json"]])
def test_a_wrong_argument_is_told_with_what_to_type(
    capsys: pytest.CaptureFixture[str], small: str, case: str, form: list[str]
) -> None:
    """Exit code 2, nothing on standard output, one sentence with its remedy on standard error."""
    words, said = WRONG[case]
    assert main(["volts", small, *words, *form]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("fusewalk: ")
    assert said in err
    assert err.count("\n") == 1


MISTYPED = {
    "no file": ([], "FILE is missing."),
    "an unknown flag": (["x.toml", "--kye", "off"], "There is no option --kye. Did you mean --key?"),
    "no number": (["x.toml", "--battery", "12.4V"], "“12.4V” is no number of volts; write it as 12.4"),
    "a flag without its word": (["x.toml", "--key"], "--key K: the value behind it is missing."),
    "a word too many": (["x.toml", "y.toml"], "“y.toml” is more than is asked for"),
}


@pytest.mark.parametrize("case", MISTYPED)
def test_a_mistyped_command_says_how_it_is_typed(capsys: pytest.CaptureFixture[str], case: str) -> None:
    """Exit code 2, what is wrong and how it is written on standard error."""
    words, said = MISTYPED[case]
    with pytest.raises(SystemExit) as left:
        main(["volts", *words])
    assert left.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("fusewalk volts: ")
    assert "Use: fusewalk volts FILE; " in err
    assert said in err


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (None, "there is no such file. Check its name and directory."),
        (b"wires = [ {", "1 thing to put right in the harness file."),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"", "to put right"),
        (b"format = 1\n", "a file has build"),
    ],
)
def test_a_file_that_cannot_be_used_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, content: bytes | None, said: str
) -> None:
    """Missing, not TOML, not text, empty, half a harness."""
    path = tmp_path / "odd.toml"
    if content is not None:
        path.write_bytes(content)
    assert main(["volts", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "odd.toml" in err
    assert said in err


def test_a_directory_and_a_file_that_may_not_be_read_are_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, small: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a sentence each."""
    assert main(["volts", str(tmp_path)]) == 2
    assert "this is a directory. Give the harness file in it." in capsys.readouterr().err

    def refuse(*_args: object, **_options: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("model.harness.file_bytes.os.fdopen", refuse)
    assert main(["volts", small]) == 2
    monkeypatch.undo()
    assert "Permission denied" in capsys.readouterr().err


def run_volts(small: str, *, stdout: int | None = None, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "tui", "volts", small],
        cwd=ROOT,
        stdout=subprocess.PIPE if stdout is None else stdout,
        stderr=subprocess.PIPE,
        env={**os.environ, **environment},
        check=False,
    )


def test_a_terminal_that_knows_ascii_alone_gets_twins(small: str) -> None:
    """What it does not know is replaced; nothing fails."""
    done = run_volts(small, PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"Lamp ??? [on]: key off.")


def test_a_reader_that_leaves_early_is_no_error(small: str) -> None:
    """The pipe is closed before the first line: exit code 0 and silence."""
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = run_volts(small, stdout=writing)
    finally:
        os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no device that is always full")
def test_a_full_disk_is_told(small: str) -> None:
    """In a sentence, with exit code 2."""
    with Path("/dev/full").open("wb") as full:
        done = run_volts(small, stdout=full.fileno())
    assert done.returncode == 2
    assert done.stderr.startswith(b"fusewalk: The answer cannot be written: No space left on device. See that")


RESTRAINT = """format = 1
build = { name = "Bag", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 2, hazard = "restraint", label = "Driver airbag" } ]
diodes = [ { id = "V1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+" }, { id = "W2", from = "E1.-", to = "G1.-" },
  { id = "W3", from = "G1.+", to = "V1.cathode" }, { id = "W4", from = "V1.anode", to = "G1.-" },
]
"""


def test_a_restraint_gets_no_figure_to_measure(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The table says ``no probe`` and why; the JSON object, meant for scripts, lists the points."""
    path = tmp_path / "bag.toml"
    path.write_text(RESTRAINT, encoding="utf-8")
    assert main(["volts", str(path)]) == 0
    shown = capsys.readouterr().out
    assert [line.split()[1:] for line in shown.splitlines() if line.startswith("E1.+ ")] == [["no", "probe"]]
    assert "no probe goes there" in " ".join(shown.split())
    assert main(["volts", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["no_probe"] == ["E1.+", "E1.-"]


def test_the_end_of_a_wire_set_off_is_a_point(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """``W2.a=off`` leaves the load on the feed alone: the wire's end has 0 V, being on the post still."""
    path = tmp_path / "bag.toml"
    path.write_text(RESTRAINT.replace(', hazard = "restraint"', ""), encoding="utf-8")
    assert main(["volts", str(path), "--json", "--set", "W2.a=off", "--battery", "12,5"]) == 0
    points = json.loads(capsys.readouterr().out)["points"]
    assert (points["W2.a"], points["E1.-"]) == (0, pytest.approx(12.5))
