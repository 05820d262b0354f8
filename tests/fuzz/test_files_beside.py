"""Files that stand beside a harness file, or in its place, are read within bounds and never waited for."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.amending import Why, amend_file, undo_file
from model.errors import FusewalkError
from model.harness.amendment_kinds import found_different
from model.harness.toml_file import read_harness
from model.harness.wire_list_earlier import earlier_path, read_earlier
from tests.fuzz.hostile_loom import DEMO_BUILDS
from tui.load_filling import tables_at_once
from tui.remembered import look, recent_files, remember_file

needs_pipes = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes in the file system")
KEYS = ".".join(["a"] * 50_000)


@needs_pipes
@pytest.mark.parametrize(
    "make",
    [
        os.mkfifo,
        Path.mkdir,
        lambda path: path.symlink_to("/dev/zero"),
        lambda path: path.symlink_to(path),
        lambda path: path.write_text(f"{KEYS} = 1\n"),
        lambda path: path.write_bytes(b"\xff\xfe\0"),
        lambda path: path.write_text(f"a = {'[' * 50_000}"),
    ],
)
def test_the_first_paint_waits_for_no_file(tmp_path: Path, make: Callable[[Path], object]) -> None:
    """What cannot be read at once gives no tables: pipes, devices, keys without end."""
    make(tmp_path / "cart.toml")
    assert tables_at_once(tmp_path / "cart.toml") == {}


@needs_pipes
@pytest.mark.parametrize(
    "make",
    [
        os.mkfifo,
        Path.mkdir,
        lambda path: path.symlink_to("/dev/zero"),
        lambda path: path.write_text("[" * 50_000),
        lambda path: path.write_text('{"format": "fusewalk list 1", "tables": [], "build": 1, "lines": 2}'),
    ],
)
def test_what_a_list_said_before_is_not_known_where_it_cannot_be_read(
    tmp_path: Path, make: Callable[[Path], object]
) -> None:
    """A pipe, a device or another text in its place count as no list."""
    make(earlier_path(tmp_path / "cart.toml"))
    assert not read_earlier(tmp_path / "cart.toml").is_known


def test_a_kept_file_elsewhere_is_not_put_back(tmp_path: Path) -> None:
    """A record that names a file outside its folder as the one before puts nothing back, and leaves all as it is."""
    file = tmp_path / "loom" / "tractor.toml"
    file.parent.mkdir()
    file.write_bytes((DEMO_BUILDS / "field_tractor.toml").read_bytes())
    now = datetime(2026, 5, 4, 18, 3, tzinfo=UTC)
    done = amend_file(file, found_different(read_harness(file), "W1", {"colour": "VT"}), now, Why())
    content = file.read_bytes()
    record = file.with_name("tractor.record.toml")
    written = record.read_text(encoding="utf-8")
    assert f'kept = "{done.entry.kept}"' in written
    for kept in ("../secret.toml", "/etc/passwd", "..", "", "a\\u0000b"):
        record.write_text(written.replace(f'kept = "{done.entry.kept}"', f'kept = "{kept}"'), encoding="utf-8")
        with pytest.raises(FusewalkError, match="cannot be read"):
            undo_file(file, now, Why())
        assert file.read_bytes() == content


def test_what_is_remembered_is_taken_as_far_as_it_is_sound() -> None:
    """Noise among the files opened last and in the settings costs only itself."""
    from tui.places import config_directory, state_directory

    noises = (b"\xff\xfe\0/x\n/\0\n", b"[" * 50_000, b"/" * 200_000, b"look = [[1]]\n", b"look = 0x" + b"f" * 9000)
    for directory, name in ((state_directory(), "recent"), (config_directory(), "settings.toml")):
        directory.mkdir(parents=True)
        for noise in noises:
            (directory / name).write_bytes(noise)
            assert recent_files() == []
            assert look() == "dark"
    demo = DEMO_BUILDS / "field_tractor.toml"
    remember_file(demo)
    assert recent_files() == [demo]
