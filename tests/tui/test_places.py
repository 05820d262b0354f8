"""Where our own files are, and how they are written."""

import stat
from pathlib import Path

import pytest

from tui import remembered
from tui.crash import keep_note
from tui.places import config_directory, demo_builds, file_name, state_directory, write_new, write_whole
from tui.screens.open_harness import home_short


def test_directories_follow_xdg() -> None:
    """A base directory that is given and absolute is used; else the standard's default under the home directory."""
    assert config_directory({"XDG_CONFIG_HOME": "/c", "HOME": "/h"}) == Path("/c/fusewalk")
    assert state_directory({"XDG_STATE_HOME": "/s", "HOME": "/h"}) == Path("/s/fusewalk")
    assert config_directory({"XDG_CONFIG_HOME": "", "HOME": "/h"}) == Path("/h/.config/fusewalk")
    assert state_directory({"XDG_STATE_HOME": "not/absolute", "HOME": "/h"}) == Path("/h/.local/state/fusewalk")


def test_a_user_without_a_home_can_start(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is remembered and no note is kept, but nothing fails."""

    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    for name in ("HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", homeless)
    remembered.remember_look("light")
    remembered.remember_file(Path("loom.toml"))
    assert (remembered.look(), remembered.recent_files()) == ("dark", [])
    assert keep_note(ValueError("x"), [], (80, 24)).startswith("No note of it could be written: ")
    assert home_short(Path("/srv/looms")) == "/srv/looms"


def test_demo_builds_are_found_beside_the_model() -> None:
    """The builds to try come with the program, in a checkout as in a wheel."""
    found = demo_builds()
    assert found
    assert all(path.suffix == ".toml" and path.is_file() for path in found)


def test_a_file_is_written_whole(tmp_path: Path) -> None:
    """The directory is made, the file is its owner's alone, nothing is left beside it."""
    path = tmp_path / "deep" / "settings.toml"
    write_whole(path, "look = 1\n")
    write_whole(path, "look = 2\n")
    assert path.read_text(encoding="utf-8") == "look = 2\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [each.name for each in path.parent.iterdir()] == ["settings.toml"]


def test_a_write_that_fails_leaves_the_old_file(tmp_path: Path) -> None:
    """Text that cannot be encoded leaves the old file and no rest of the new one."""
    path = tmp_path / "settings.toml"
    write_whole(path, "old")
    with pytest.raises(UnicodeEncodeError):
        write_whole(path, "\ud800")
    assert path.read_text(encoding="utf-8") == "old"
    assert [each.name for each in tmp_path.glob(".*")] == []


def test_a_new_file_never_replaces_one(tmp_path: Path) -> None:
    """A name that is taken gets a number."""
    first = write_new([tmp_path], "walk.txt", "one")
    second = write_new([tmp_path], "walk.txt", "two")
    assert [first.name, second.name] == ["walk.txt", "walk-2.txt"]
    assert first.read_text(encoding="utf-8") == "one"


def test_the_next_directory_takes_what_the_first_refuses(tmp_path: Path) -> None:
    """A directory that is not there is passed over; where none takes it, the refusal is told."""
    assert write_new([tmp_path / "gone", tmp_path], "walk.txt", "x") == tmp_path / "walk.txt"
    with pytest.raises(FileNotFoundError):
        write_new([tmp_path / "gone"], "walk.txt", "x")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("walk Fuel pump", "walk-fuel-pump.txt"),
        ("../../etc/passwd", "etc-passwd.txt"),
        ("a\x1b]0;b\x07/c\0", "a-0-b-c.txt"),
        ("前照灯", "fusewalk.txt"),
        ("x" * 200, "x" * 60 + ".txt"),
    ],
)
def test_a_name_from_a_harness_is_no_path(words: str, name: str) -> None:
    """Only letters, digits and hyphens of a harness's words come into a file's name."""
    assert file_name(words, ".txt") == name
