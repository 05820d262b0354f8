"""The command ``fusewalk live``."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tui.__main__ import WRONG_ARGUMENTS, main

ROOT = Path(__file__).parents[2]
BUGGY = str(ROOT / "demo_builds" / "trail_buggy.toml")
LAUNCH = str(ROOT / "demo_builds" / "harbour_launch.toml")


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Give what the command prints."""
    assert main(["live", *words]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Give the object that the command prints: one line."""
    out = asked(capsys, *words, "--json")
    assert out.count("\n") == 1
    found = json.loads(out)
    assert isinstance(found, dict)
    return found


def test_without_a_condition_it_is_the_first_key_state_at_rest(capsys: pytest.CaptureFixture[str]) -> None:
    """Key off, nothing set: the posts, the permanent circuits, and no ignition bus."""
    found = as_json(capsys, BUGGY)
    assert (found["key"], found["settings"]) == ("off", {})
    assert "BB2" in found["points"]
    assert "BB4" not in found["points"]
    assert found["why"]["E9.-"]["through"] == ["E9:load"]


def test_key_and_settings_are_taken(capsys: pytest.CaptureFixture[str]) -> None:
    """With a fuse pulled and a plug apart what hangs on them is not live."""
    found = as_json(capsys, BUGGY, "--key", "ignition", "--pull", "F13", "--unplug", "X2", "--set", "S2=head")
    assert found["key"] == "ignition"
    assert found["settings"] == {"F13": "out", "X2": "apart", "S2": "head"}
    assert "BB4" in found["points"]
    assert "F13.out" not in found["points"]
    assert "X2.engine.9" not in found["points"]


def test_the_points_are_those_of_the_volts(capsys: pytest.CaptureFixture[str]) -> None:
    """The same figures as ``fusewalk volts --json``, those over 0.1 V."""
    words = [LAUNCH, "--key", "running", "--set", "S10=on"]
    live = as_json(capsys, *words)
    assert main(["volts", *words, "--json"]) == 0
    volts = json.loads(capsys.readouterr().out)["points"]
    assert live["points"] == {name: figure for name, figure in volts.items() if abs(figure) > 0.1}


def test_another_key_state_is_compared(capsys: pytest.CaptureFixture[str]) -> None:
    """The same settings in the other key state; what is wrong is refused before anything is solved."""
    found = as_json(capsys, BUGGY, "--set", "S2=side", "--compare", "ignition")["compared"]
    assert found["key"] == "ignition"
    assert found["settings"] == {"S2": "side"}
    assert found["alive"]["BB4"][1] > 12
    assert "Comes alive, off to ignition" in asked(capsys, BUGGY, "--compare", "ignition")
    assert main(["live", BUGGY, "--compare", "ignitoin"]) == WRONG_ARGUMENTS
    assert "Did you mean ignition?" in capsys.readouterr().err


def test_volts_read_at_the_posts_hold_for_this_condition_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """12.2 V read with the key off: so the posts have them; the other key state follows from that battery."""
    found = as_json(capsys, BUGGY, "--battery", "12.2", "--compare", "ignition")
    assert found["points"]["G1.+"] == pytest.approx(12.2, abs=1e-3)
    assert found["compared"]["alive"]["BB4"][1] < 12.2


@pytest.mark.parametrize(
    ("form", "start"),
    [
        ("--markdown", "<!-- Fusewalk sheet -->"),
        ("--html", "<!DOCTYPE html>"),
        ("--csv", "point,label,place,volts"),
        ("--json", '{"format": "fusewalk live"'),
    ],
)
def test_every_form_is_printed_and_written_alike(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, form: str, start: str
) -> None:
    """To standard output, and with -o to a file, byte for byte the same."""
    printed = asked(capsys, BUGGY, form)
    assert printed.startswith(start)
    output = tmp_path / "sheet"
    assert asked(capsys, BUGGY, form, "-o", str(output)) == f"Written to {output}\n"
    assert output.read_bytes().replace(b"\r\n", b"\n") == printed.encode().replace(b"\r\n", b"\n")


def test_by_place_the_places_are_heads(capsys: pytest.CaptureFixture[str]) -> None:
    """A head for the sill with the way there."""
    out = asked(capsys, BUGGY, "--by", "place")
    assert "\nLeft sill, kick plate out, six screws\n---" in out
    assert "Fuse by fuse" not in out


@pytest.mark.parametrize("words", [["--key", "of"], ["--set", "S2=bright"], ["--pull", "F99"], ["--battery", "99"]])
def test_what_the_harness_does_not_have_is_refused(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    """Exit code 2 and a sentence."""
    assert main(["live", BUGGY, *words]) == WRONG_ARGUMENTS
    assert capsys.readouterr().err.startswith("fusewalk: ")
