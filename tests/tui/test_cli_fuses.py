"""The commands ``fusewalk fuses`` and ``fusewalk feeds``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from model.sheets.columns import cell_width
from tests.tui.hostile_build import hostile_build
from tui.__main__ import WRONG_ARGUMENTS, main

TRACTOR = str(Path(__file__).parents[2] / "demo_builds" / "field_tractor.toml")
STARTS = {
    ("fuses",): ("Fusewalk sheet, fuses:", "fuse,label,place,", '{"format": "fusewalk fuses"'),
    ("fuses", "--card"): ("Fusewalk sheet, fuse card:", "place,fuse,rating,", '{"format": "fusewalk lid card"'),
    ("feeds",): ("Fusewalk sheet, key feeds:", "load,label,feed,", '{"format": "fusewalk feeds"'),
}
FORMS = ("text", "markdown", "html", "csv", "json")


@pytest.mark.first_few(3)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("words", STARTS, ids=" ".join)
def test_every_form_is_printed_and_written_alike(
    words: tuple[str, ...], form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """To standard output, and with -o to a file byte for byte the same."""
    text, comma, braces = STARTS[words]
    start = {"text": text, "markdown": "<!-- Fusewalk sheet -->", "html": "<!DOCTYPE html>", "csv": comma}
    command = [words[0], TRACTOR, *words[1:], *([] if form == "text" else [f"--{form}"])]
    assert main(command) == 0
    printed = capsys.readouterr().out
    assert printed.startswith(start.get(form, braces))
    output = tmp_path / "sheet"
    assert main([*command, "-o", str(output)]) == 0
    written = output.read_bytes().decode()
    assert json.loads(written) == json.loads(printed) if form == "json" else written == printed


def test_one_box_is_printed_and_a_wrong_one_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """Capitals do not matter; a place without fuses names the nearest that has some."""
    assert main(["fuses", TRACTOR, "--card", "--box", "DASH", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [place["place"] for place in found["places"]] == ["dash"]
    assert [one["fuse"] for one in found["places"][0]["fuses"]] == ["F2", "F3", "F4", "F5", "F6"]
    assert main(["fuses", TRACTOR, "--box", "batery tray"]) == WRONG_ARGUMENTS
    assert "Did you mean battery tray?" in capsys.readouterr().err


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("words", STARTS, ids=" ".join)
def test_nasty_labels_do_no_harm(
    words: tuple[str, ...], form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No control character comes through, no line is too wide, HTML holds no tag of theirs."""
    file = tmp_path / "nasty.toml"
    file.write_text(hostile_build(), encoding="utf-8")
    assert main([words[0], str(file), *words[1:], *([] if form == "text" else [f"--{form}"])]) == 0
    printed = capsys.readouterr().out
    assert not any(sign in printed for sign in "\x1b\x9b\u202e\u2066\u200f\t")
    if form == "text":
        assert max(cell_width(line) for line in printed.splitlines()) <= 80
    if form == "json":
        json.loads(printed)


def test_fuses_are_grouped_by_where_they_are(capsys: pytest.CaptureFixture[str]) -> None:
    """The tractor's main fuse is under the seat, the others in the dash."""
    assert main(["fuses", TRACTOR]) == 0
    printed = capsys.readouterr().out
    assert printed.index("Fuses: battery tray") < printed.index("F1 (Main fuse)") < printed.index("Fuses: dash")
