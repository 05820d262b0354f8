"""The record behind a plan: another program that has it, folders and disks that take nothing, a file edited by hand."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from model.plans.judging import Standing
from model.record import Record, record_path
from tests.model.plan_rows import WHEN
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import made_by_hand, measured_in, plan_of, planning, type_in, written
from tui.app import FusewalkApp
from tui.screens.dialog import QuestionDialog
from tui.screens.plan_record import RecordScreen
from tui.screens.plans import PlansScreen

REAL_WRITE = os.write


@pytest.fixture(autouse=True)
def _by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    made_by_hand(monkeypatch)


def words_of(app: FusewalkApp) -> str:
    """Return what stands on the screen in one line."""
    return " ".join(screen_text(app).split())


async def test_while_another_program_writes_it_can_only_be_read(tmp_path: Path) -> None:
    """It says who, an answer is not taken and nothing changes in the file; once the other has ended it is taken."""
    harness = tmp_path / "rig.toml"
    other = Record.open(harness, WHEN)
    assert other.problem is None
    lock = harness.with_name(".rig.record.lock")
    lock.write_text(f'pid = 1\nhost = "shed"\nsince = {WHEN.isoformat()}\n', encoding="utf-8")
    async with planning(tmp_path) as (app, pilot, path):
        assert "Another program writes this record: process 1 on shed" in words_of(app)
        await type_in(app, pilot, "0.3")
        assert plan_of(app).kept == {}
        assert "Not taken" in screen_text(app)
        assert not record_path(path).exists()
        other.close()
        await pilot.press("escape")
        await type_in(app, pilot, "0.3")
        assert plan_of(app).kept["W2"].verdict.standing is Standing.GOOD
        assert [entry.row for entry in measured_in(path)] == ["W2"]
        assert "Another program" not in words_of(app)


@pytest.mark.slow
async def test_a_full_disk_is_told_and_what_was_answered_waits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows say unwritten and the line above how many and why; with room again the next answer takes them along."""

    def full(descriptor: int, content: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    async with planning(tmp_path, (100, 40)) as (app, pilot, path):
        await type_in(app, pilot, "0.3")
        before = record_path(path).read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr(os, "write", full)
            await type_in(app, pilot, "0.2", "OL")
        assert record_path(path).read_bytes() == before
        shown = words_of(app)
        assert "2 answers not written yet: the record cannot be written: No space left on device." in shown
        assert shown.count("unwritten") == 2
        assert "not written yet. open" in shown
        await type_in(app, pilot, "5")
        assert [entry.row for entry in measured_in(path)] == ["W2", "W5", "F1.out open", "G1.-"]
        assert "written" not in words_of(app)


@pytest.mark.slow
async def test_leaving_with_unwritten_answers_is_asked_about(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Q and Esc ask first; what is left is printed when the program ends, as lines to be put into the record."""

    def full(descriptor: int, content: bytes) -> int:
        if content.startswith(b"#") or b"[[entry]]" in content:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return REAL_WRITE(descriptor, content)

    async with planning(tmp_path) as (app, pilot, path):
        monkeypatch.setattr(os, "write", full)
        await type_in(app, pilot, "0.3")
        await pilot.press("q")
        await until(pilot, lambda: isinstance(app.screen, QuestionDialog))
        await pilot.press("escape")
        await pilot.pause()
        assert plan_of(app).kept["W2"].verdict.standing is Standing.GOOD
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, QuestionDialog))
        await pilot.press("enter")
        await until(pilot, lambda: bool(app.last_words))
        assert "put these lines at its end" in app.last_words
        assert 'row = "W2"' in app.last_words
        assert "ohms = 0.3" in app.last_words
        assert path.name == "rig.toml"


async def test_a_folder_that_cannot_be_written_is_told_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lock cannot be made: what is answered is judged all the same and waits in memory."""

    def refused(path: Path, holder: object) -> object:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr("model.record.take_lock", refused)
    async with planning(tmp_path) as (app, pilot, path):
        assert "Nothing can be written down: the record cannot be locked: Read-only file system." in words_of(app)
        await type_in(app, pilot, "0.3")
        assert plan_of(app).kept["W2"].verdict.standing is Standing.GOOD
        assert "1 answer not written yet" in words_of(app)
        assert not record_path(path).exists()


@pytest.mark.slow
async def test_a_record_edited_by_hand_is_told_and_left_as_it_is(tmp_path: Path) -> None:
    """What cannot be read is named with its lines, nothing of it is changed, and the record screen shows it."""
    async with planning(tmp_path) as (app, pilot, path):
        await type_in(app, pilot, "0.3", "0.2")
    record = record_path(path)
    text = record.read_text(encoding="utf-8").replace("ohms = 0.2", "ohms = about a fifth")
    record.write_text(text, encoding="utf-8")
    async with planning(tmp_path) as (app, pilot, path):
        assert set(plan_of(app).kept) == {"W2"}
        assert "1 part of the record passed over, line" in words_of(app)
        await type_in(app, pilot, "0.25")
        assert record.read_text(encoding="utf-8").startswith(text)
        await pilot.press("r")
        await until(pilot, lambda: isinstance(app.screen, RecordScreen) and bool(app.screen.shown.entries))
        await pilot.press("home")
        await pilot.pause()
        shown = words_of(app)
        assert "passed over, line" in shown
        assert "It stays in the file as it is." in shown


@pytest.fixture(name="small_disk")
def _small_disk(tmp_path: Path) -> Iterator[Path]:
    """Mount a file system of 64 kB; skip where that is not allowed."""
    if shutil.which("mount") is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("mounting a small disk takes the superuser")
    place = tmp_path / "disk"
    place.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k,nr_inodes=100,mode=700", "tmpfs", str(place)],
        capture_output=True,
        check=False,
    )
    if made.returncode:
        pytest.skip(f"no disk can be mounted: {made.stderr.decode(errors='replace').strip()}")
    yield place
    subprocess.run(["umount", str(place)], check=True)


@pytest.mark.slow
async def test_a_disk_that_really_is_full(small_disk: Path) -> None:
    """Readings fill it up: those told as kept are all there, the others wait; with room made they are written."""
    async with planning(small_disk) as (app, pilot, path):
        filler = small_disk / "filler"
        await type_in(app, pilot, "0.3")
        with filler.open("wb", buffering=0) as stream, suppress(OSError):
            while True:
                stream.write(bytes(4096))
        answers = 1
        while not plan_of(app).keeper.unwritten:
            assert answers < 40
            await pilot.press("home")
            await type_in(app, pilot, f"0.{answers}")
            answers += 1
        assert "1 answer not written yet" in words_of(app)
        read = [entry.ohms for entry in measured_in(path)]
        assert read == [0.3, *(count / 10 if count < 10 else count / 100 for count in range(1, answers - 1))]
        filler.unlink()
        await pilot.press("end", "g", "enter")
        await written(app, pilot)
        assert len(measured_in(path)) == answers + 1
        assert "written" not in words_of(app)
