"""No animation, and no file outside the test's own directory."""

import os
from pathlib import Path

import pytest

os.environ["TEXTUAL_ANIMATIONS"] = "none"
for _variable in ("NO_COLOR", "TEXTUAL_THEME", "TEXTUAL_COLOR_SYSTEM"):
    os.environ.pop(_variable, None)


@pytest.fixture(autouse=True)
def _own_places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep what is remembered inside the test."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
