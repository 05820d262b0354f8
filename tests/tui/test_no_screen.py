"""Where no screen can be drawn the program says so, and what to use instead."""

import os
import sys
from pathlib import Path

import pexpect  # type: ignore[import-untyped]
import pytest

from tests.tui.builds import BUGGY

ROOT = Path(__file__).parent.parent.parent


@pytest.mark.parametrize("sent_off", ["2> log", "> log", "< /dev/null"])
def test_a_stream_that_is_no_terminal(tmp_path: Path, sent_off: str) -> None:
    """The screen is drawn on standard error, so with that in a file there is none either; nothing is drawn into it."""
    command = f"'{sys.executable}' -m tui '{BUGGY}' {sent_off}; echo ended $?"
    variables = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    child = pexpect.spawn("/bin/sh", ["-c", command], env=variables, cwd=str(tmp_path), timeout=20)
    child.expect(r"ended (\d+)")
    code = child.match[1]
    child.close()
    log = tmp_path / "log"
    told = child.before.decode() + (log.read_text(encoding="utf-8") if log.exists() else "")
    assert code == b"2"
    assert "no screen can be shown" in told
    assert f"fusewalk walk {BUGGY} LOAD" in told
    assert "\x1b[?1049h" not in told
