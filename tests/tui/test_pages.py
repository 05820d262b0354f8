"""A page leaves the screen."""

from pathlib import Path

import pytest

from model.errors import FusewalkError
from tui.pages import Page, write_page


def test_a_page_lies_beside_the_harness(tmp_path: Path) -> None:
    """It is named after what it is, and a second one gets a number."""
    harness = tmp_path / "buggy.toml"
    page = Page("walk Fuel pump", "12.36 V\n")
    assert write_page(page, harness) == tmp_path / "walk-fuel-pump.txt"
    assert write_page(page, harness) == tmp_path / "walk-fuel-pump-2.txt"
    assert (tmp_path / "walk-fuel-pump.txt").read_text(encoding="utf-8") == "12.36 V\n"


def test_without_a_harness_it_lies_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The current directory takes it."""
    monkeypatch.chdir(tmp_path)
    assert write_page(Page("help", "x"), None) == tmp_path / "help.txt"


def test_where_nothing_takes_it_our_own_directory_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With harness and current directory gone it goes to the state directory; where that fails, the person is told."""
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert write_page(Page("walk", "x"), gone / "buggy.toml") == tmp_path / "state" / "fusewalk" / "walk.txt"
    (tmp_path / "blocked").touch()
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "blocked"))
    with pytest.raises(FusewalkError) as told:
        write_page(Page("walk", "x"), gone / "buggy.toml")
    assert told.value.do
