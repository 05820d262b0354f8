"""``fusewalk findings`` from the shell: every form, and its exit code."""

import json
from pathlib import Path

import pytest

from tests.model.review.looms import HEAD, wires
from tui.__main__ import WRONG_ARGUMENTS, main

LAMP = 'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'


@pytest.fixture
def path(tmp_path: Path) -> str:
    """Give a file with a lamp on the battery with no fuse."""
    path = tmp_path / "lamp.toml"
    path.write_text(HEAD + LAMP + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS"), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize(
    ("form", "start"),
    [
        ([], "Fusewalk sheet, findings: Bench"),
        (["--markdown"], "<!-- Fusewalk sheet -->"),
        (["--html"], "<!DOCTYPE html>"),
        (["--csv"], "gravity,rule,parts"),
        (["--json"], '{"format": "fusewalk findings"'),
    ],
)
def test_findings_are_printed_in_every_form(
    path: str, form: list[str], start: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever is found, the exit code is 0: the command has done what it was asked."""
    assert main(["findings", path, *form]) == 0
    told = capsys.readouterr().out
    assert told.startswith(start)
    assert "ed with no fuse" in told


def test_findings_are_written_to_a_file_by_its_ending(path: str, tmp_path: Path) -> None:
    """An ending of .json makes an object of it."""
    written = tmp_path / "found.json"
    assert main(["findings", path, "-o", str(written)]) == 0
    found = json.loads(written.read_text(encoding="utf-8"))["findings"]
    (unfused,) = [one for one in found if one["rule"] == "fed with no fuse"]
    assert unfused["parts"][:2] == ["G1", "E1"]


def test_a_wrong_file_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that is not there is said so, with the exit code of wrong arguments."""
    assert main(["findings", str(tmp_path / "none.toml")]) == WRONG_ARGUMENTS
    assert "none.toml" in capsys.readouterr().err
