"""The command ``fusewalk glance``."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.tui.builds import BUGGY, TRACTOR, build
from tests.tui.hostile_build import hostile_build
from tui.__main__ import main


def asked(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """Give what the command prints."""
    assert main(["glance", *map(str, words)]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def test_the_tree_is_printed_unless_another_form_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """The head, then the battery and what hangs on it."""
    out = asked(capsys, TRACTOR)
    assert out.startswith("Fusewalk sheet, the loom at a glance: Field tractor, revision 3\n")
    assert "\nG1 Battery, 6 V\n├─ F1 Main fuse, 35 A glass fuse" in out


def test_each_form_is_what_its_name_says(capsys: pytest.CaptureFixture[str]) -> None:
    """A picture, a page with pictures, Markdown, rows, one object on one line."""
    assert ET.fromstring(asked(capsys, BUGGY, "--svg")).tag == "{http://www.w3.org/2000/svg}svg"
    html = asked(capsys, BUGGY, "--html")
    assert html.startswith("<!DOCTYPE html>")
    assert "<svg " in html
    assert "    G1 Battery, 12 V\n" in asked(capsys, BUGGY, "--markdown")
    assert asked(capsys, BUGGY, "--csv").startswith("number,under,level,kind")
    out = asked(capsys, BUGGY, "--json")
    assert out.count("\n") == 1
    assert json.loads(out)["format"] == "fusewalk glance"


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("loom.svg", "<!-- Fusewalk sheet -->\n<svg "),
        ("LOOM.SVG", "<!-- Fusewalk sheet -->\n<svg "),
        ("loom.html", "<!DOCTYPE html>"),
        ("loom.md", "<!-- Fusewalk sheet -->\n\n# The loom at a glance"),
        ("loom.json", '{"format": "fusewalk glance"'),
        ("loom.csv", "number,"),
        ("loom.txt", "Fusewalk sheet, the loom at a glance"),
    ],
)
def test_the_ending_of_a_file_says_the_form(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str, start: str
) -> None:
    """It is written there, and the command says where."""
    target = tmp_path / name
    assert asked(capsys, BUGGY, "-o", target) == f"Written to {target}\n"
    assert target.read_text(encoding="utf-8").startswith(start)


def test_a_picture_is_written_over_a_picture_and_over_nothing_else(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Somebody's own picture stays; one of Fusewalk's is replaced."""
    target = tmp_path / "loom.svg"
    target.write_text('<svg xmlns="http://www.w3.org/2000/svg"/>', encoding="utf-8")
    assert main(["glance", str(BUGGY), "-o", str(target)]) == 2
    assert "no sheet that may be written over" in capsys.readouterr().err
    asked(capsys, BUGGY, "-o", target, "--force")
    asked(capsys, TRACTOR, "-o", target)
    assert "Field tractor" in target.read_text(encoding="utf-8")


def test_the_picture_is_offered_by_this_command_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """A plan has no picture."""
    with pytest.raises(SystemExit):
        main(["loads", str(BUGGY), "--svg"])
    assert "--svg" in capsys.readouterr().err
    with pytest.raises(SystemExit):
        main(["glance", str(BUGGY), "--svg", "--html"])
    assert "do not go together" in capsys.readouterr().err


def test_a_stream_that_knows_ascii_alone_gets_twins(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Branches are drawn with + and -, one cell for one cell."""
    import io
    import sys

    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii", errors="strict"))
    assert main(["glance", str(TRACTOR)]) == 0
    sys.stdout.flush()
    text = raw.getvalue().decode("ascii")
    assert "\nG1 Battery, 6 V\n+- F1 Main fuse" in text
    assert "\n|     |     +- E1 Head lamp, left, 5.19 A\n" in text


@pytest.mark.parametrize("form", ["--svg", "--html", "--markdown", "--csv", "--json", ""])
def test_hostile_names_reach_no_terminal(capsys: pytest.CaptureFixture[str], tmp_path: Path, form: str) -> None:
    """Nothing that a terminal obeys is printed in any form."""
    path = build(tmp_path, hostile_build())
    out = asked(capsys, path, *filter(None, [form]))
    assert not any(
        ord(character) < 32 or 127 <= ord(character) < 160 for character in out.replace("\r\n", "\n").replace("\n", "")
    )
