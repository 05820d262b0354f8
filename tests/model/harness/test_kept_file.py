"""A file put in the place of another: the old one is kept first, and nothing is ever half written."""

from pathlib import Path

import pytest

from model.errors import FusewalkError
from model.harness.kept_file import kept_path, replace_keeping


def test_where_a_revision_is_kept() -> None:
    """Beside the file, under its name and revision; a kept revision names its like."""
    assert kept_path(Path("looms/buggy.toml"), 3) == Path("looms/buggy.rev3.toml")
    assert kept_path(Path("looms/buggy.rev3.toml"), 4) == Path("looms/buggy.rev4.toml")


def test_the_old_one_is_kept_and_the_new_one_stands(tmp_path: Path) -> None:
    """Both hold what they should, with the mode of the old one and no temporary file left."""
    path = tmp_path / "buggy.toml"
    path.write_bytes(b"old\r\n")
    path.chmod(0o640)
    replace_keeping(path, b"new\r\n", kept_path(path, 1))
    assert (path.read_bytes(), (tmp_path / "buggy.rev1.toml").read_bytes()) == (b"new\r\n", b"old\r\n")
    assert path.stat().st_mode & 0o777 == 0o640
    assert sorted(one.name for one in tmp_path.iterdir()) == ["buggy.rev1.toml", "buggy.toml"]


def test_another_file_in_the_place_of_the_kept_one_is_not_lost(tmp_path: Path) -> None:
    """What stands there and differs is refused; what is the same is taken as kept."""
    path = tmp_path / "buggy.toml"
    path.write_bytes(b"old")
    kept = kept_path(path, 1)
    kept.write_bytes(b"something else")
    with pytest.raises(FusewalkError, match="holds something else"):
        replace_keeping(path, b"new", kept)
    assert path.read_bytes() == b"old"
    kept.write_bytes(b"old")
    replace_keeping(path, b"new", kept)
    assert path.read_bytes() == b"new"


def test_a_folder_that_takes_nothing_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the rename fails the old content stands, and no temporary file is left."""
    path = tmp_path / "buggy.toml"
    path.write_bytes(b"old")

    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(FusewalkError, match="No space left on device"):
        replace_keeping(path, b"new", kept_path(path, 1))
    assert [one.name for one in tmp_path.iterdir()] == ["buggy.toml"]
    assert path.read_bytes() == b"old"
