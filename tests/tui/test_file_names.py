"""Completion of a file name."""

from pathlib import Path

import pytest

from tui.file_names import completed, completions, resolved


@pytest.fixture
def builds(tmp_path: Path) -> Path:
    """Return a directory with harness files and other things."""
    for name in ("buggy.toml", "boat.toml", "notes.txt", ".hidden.toml", "b [x].toml"):
        (tmp_path / name).touch()
    (tmp_path / "barn").mkdir()
    (tmp_path / "barn" / "tractor.toml").touch()
    (tmp_path / "b.toml").symlink_to(tmp_path / "b.toml")
    return tmp_path


def test_directories_then_harness_files(builds: Path) -> None:
    """Other files are left out, so are hidden ones, and a link that leads nowhere."""
    assert completions("b", builds) == ["barn/", "b [x].toml", "boat.toml", "buggy.toml"]
    assert completions("", builds) == ["barn/", "b [x].toml", "boat.toml", "buggy.toml"]
    assert completions(".h", builds) == [".hidden.toml"]


def test_names_stay_as_they_were_begun(builds: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Relative, absolute and home names are completed in their own spelling."""
    monkeypatch.setenv("HOME", str(builds))
    assert completions("barn/t", builds) == ["barn/tractor.toml"]
    assert completions(f"{builds}/barn/", Path("/")) == [f"{builds}/barn/tractor.toml"]
    assert completions("~/bu", Path("/")) == ["~/buggy.toml"]
    assert resolved("~/bu") == builds / "bu"


@pytest.mark.parametrize("typed", ["nowhere/x", "buggy.toml/", "a\0b/", "~nobody-of-that-name/x", "\ud800/"])
def test_what_cannot_be_read_has_no_names(builds: Path, typed: str) -> None:
    """A directory that is none, or cannot be asked, completes to nothing."""
    assert completions(typed, builds) == []


def test_tab_takes_what_is_common() -> None:
    """What all names share is put in; with no names nothing changes."""
    assert completed("b", ["boat.toml", "bolt.toml"]) == "bo"
    assert completed("bu", ["buggy.toml"]) == "buggy.toml"
    assert completed("zz", []) == "zz"
