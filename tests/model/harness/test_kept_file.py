"""A file put in the place of another: the old one is kept first, and nothing is ever half written."""

from pathlib import Path

import pytest

from model.errors import FusewalkError
from model.harness.file_read import ChangedOutsideError, FileRead, read_file
from model.harness.kept_file import kept_path, replace_keeping

OLD = b"""format = 1
build = { name = "Cart", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
"""
NEW = OLD.replace(b"Cart", b"Kart")


def file_of(path: Path, content: bytes = OLD) -> FileRead:
    """Write a harness file and read it."""
    path.write_bytes(content)
    return read_file(path)


def test_where_a_revision_is_kept() -> None:
    """Beside the file, under its name and revision; a kept revision names its like."""
    assert kept_path(Path("looms/buggy.toml"), 3) == Path("looms/buggy.rev3.toml")
    assert kept_path(Path("looms/buggy.rev3.toml"), 4) == Path("looms/buggy.rev4.toml")


def test_the_old_one_is_kept_and_the_new_one_stands(tmp_path: Path) -> None:
    """Both hold what they should, with the mode of the old one and no temporary file left."""
    old = OLD.replace(b"\n", b"\r\n")
    path = tmp_path / "buggy.toml"
    read = file_of(path, old)
    path.chmod(0o640)
    replace_keeping(read, NEW, kept_path(path, 1))
    assert (path.read_bytes(), (tmp_path / "buggy.rev1.toml").read_bytes()) == (NEW, old)
    assert path.stat().st_mode & 0o777 == 0o640
    assert sorted(one.name for one in tmp_path.iterdir()) == ["buggy.rev1.toml", "buggy.toml"]


def test_another_file_in_the_place_of_the_kept_one_is_not_lost(tmp_path: Path) -> None:
    """What stands there and differs is refused; what is the same is taken as kept."""
    path = tmp_path / "buggy.toml"
    read = file_of(path)
    kept = kept_path(path, 1)
    kept.write_bytes(b"something else")
    with pytest.raises(FusewalkError, match="holds something else"):
        replace_keeping(read, NEW, kept)
    assert path.read_bytes() == OLD
    kept.write_bytes(OLD)
    replace_keeping(read, NEW, kept)
    assert path.read_bytes() == NEW


def test_a_folder_that_takes_nothing_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the rename fails the old content stands, and no temporary file is left."""
    path = tmp_path / "buggy.toml"
    read = file_of(path)

    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(FusewalkError, match="No space left on device"):
        replace_keeping(read, NEW, kept_path(path, 1))
    assert [one.name for one in tmp_path.iterdir()] == ["buggy.toml"]
    assert path.read_bytes() == OLD


def test_a_kept_revision_is_not_written_over_by_its_successor(tmp_path: Path) -> None:
    """``buggy.rev1.toml`` of revision 1 would be kept in its own place: it is refused, under a link's name too."""
    path = tmp_path / "buggy.rev1.toml"
    read = file_of(path)
    link = tmp_path / "buggy.toml"
    link.symlink_to(path)
    for one in (read, read_file(link)):
        with pytest.raises(FusewalkError, match="is itself the kept revision"):
            replace_keeping(one, NEW, kept_path(one.path, 1))
    assert path.read_bytes() == OLD


def test_a_file_that_nobody_may_write_stays(tmp_path: Path) -> None:
    """A folder that can be written would let it be replaced; its mark is heeded whoever asks."""
    path = tmp_path / "buggy.toml"
    read = file_of(path)
    path.chmod(0o444)
    with pytest.raises(FusewalkError, match="marked as not to be written"):
        replace_keeping(read, NEW, kept_path(path, 1))
    assert [one.name for one in tmp_path.iterdir()] == ["buggy.toml"]
    assert path.read_bytes() == OLD


def test_what_an_editor_saves_while_the_new_one_is_written_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A last look just before the rename sees it; the revision that was read is kept, and no temporary file left."""
    path = tmp_path / "buggy.toml"
    read = file_of(path)
    kept = kept_path(path, 1)
    replaced = Path.replace

    def saved_meanwhile(self: Path, target: Path) -> Path:
        done = replaced(self, target)
        path.write_bytes(OLD + b"# saved meanwhile\n")
        return done

    monkeypatch.setattr(Path, "replace", saved_meanwhile)
    with pytest.raises(ChangedOutsideError):
        replace_keeping(read, NEW, kept)
    assert path.read_bytes() == OLD + b"# saved meanwhile\n"
    assert kept.read_bytes() == OLD
    assert sorted(one.name for one in tmp_path.iterdir()) == ["buggy.rev1.toml", "buggy.toml"]


def test_a_folder_that_cannot_be_synced_is_no_failure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file stands by then: to say that it is as it was before would be untrue."""

    def refused(folder: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("model.harness.kept_file._sync_folder", refused)
    path = tmp_path / "buggy.toml"
    replace_keeping(file_of(path), NEW, kept_path(path, 1))
    assert path.read_bytes() == NEW
