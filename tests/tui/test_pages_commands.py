"""The command lines that the pages print, typed as they stand there."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tui.__main__ import main

DEMO = Path(__file__).parents[2] / "demo_builds"
PAGES = [Path("README.md"), *sorted(path.relative_to(DEMO.parent) for path in DEMO.glob("*.md"))]
COMMAND = re.compile(r"`fusewalk ((?:check|volts|walk|find) demo_builds/[^`]+)`")
TYPED = [(page, typed) for page in PAGES for typed in COMMAND.findall((DEMO.parent / page).read_text("utf-8"))]


@pytest.mark.parametrize(("page", "typed"), TYPED)
def test_the_commands_of_the_pages_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], page: Path, typed: str
) -> None:
    """Each command line that a page prints gives an answer and no error."""
    monkeypatch.chdir(DEMO.parent)
    assert main(shlex.split(typed)) == 0, page
    captured = capsys.readouterr()
    assert captured.out
    assert captured.err == ""
