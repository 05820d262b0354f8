"""What is remembered between runs, and how little damage matters."""

from pathlib import Path

import pytest

from tui import remembered
from tui.places import config_directory, state_directory


def test_the_look_is_remembered() -> None:
    """Dark at first, then whatever was chosen."""
    assert remembered.look() == "dark"
    remembered.remember_look("light")
    assert remembered.look() == "light"


@pytest.mark.parametrize(
    "damage", [b"", b"look = ", b"look = 3", b'look = "plaid"', b"\xff\xfe\x00", b"look\n" * 50_000]
)
def test_damaged_settings_count_as_none(damage: bytes) -> None:
    """Whatever stands in the file of settings, the program starts."""
    config_directory().mkdir(parents=True)
    (config_directory() / "settings.toml").write_bytes(damage)
    assert remembered.look() == "dark"


def test_the_latest_file_stands_first(tmp_path: Path) -> None:
    """Each file stands once, the latest first, at most twelve."""
    files = [tmp_path / f"{number}.toml" for number in range(15)]
    for file in files:
        file.touch()
        remembered.remember_file(file)
    remembered.remember_file(files[3])
    assert remembered.recent_files() == [files[3], *files[14:3:-1]][:12]


def test_a_file_that_is_gone_is_not_offered(tmp_path: Path) -> None:
    """It comes back with the stick it lies on."""
    file = tmp_path / "a.toml"
    file.touch()
    remembered.remember_file(file)
    file.unlink()
    assert remembered.recent_files() == []
    file.touch()
    assert remembered.recent_files() == [file]


@pytest.mark.parametrize(
    "damage", [b"", b"\0\n/\0\n", b"\xff\xfe", b"/a\x1b]0;b\n" * 9, b"not/absolute\n\n\n", b"/" + b"x" * 200_000]
)
def test_a_damaged_list_is_no_trouble(damage: bytes, tmp_path: Path) -> None:
    """Whatever stands in the list, it is read, and the next file opened mends it."""
    state_directory().mkdir(parents=True)
    (state_directory() / "recent").write_bytes(damage)
    assert remembered.recent_files() == []
    file = tmp_path / "a.toml"
    file.touch()
    remembered.remember_file(file)
    assert remembered.recent_files() == [file]


def test_a_name_that_is_no_utf_8_is_remembered(tmp_path: Path) -> None:
    """A file named in bytes of another encoding comes back as the same file."""
    file = tmp_path / "b\udcfcggy.toml"
    file.touch()
    remembered.remember_file(file)
    assert remembered.recent_files() == [file]


def test_a_name_with_a_line_end_is_left_out(tmp_path: Path) -> None:
    """A name that would make two lines is not written."""
    file = tmp_path / "a\nb.toml"
    file.touch()
    remembered.remember_file(file)
    assert remembered.recent_files() == []


def test_nowhere_to_write_is_no_trouble(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Where the directories cannot be made, nothing is remembered and nothing fails."""
    (tmp_path / "blocked").touch()
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "blocked"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "blocked"))
    remembered.remember_look("light")
    remembered.remember_file(tmp_path / "blocked")
    assert remembered.look() == "dark"
    assert remembered.recent_files() == []
