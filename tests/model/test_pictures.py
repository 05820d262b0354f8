"""Pictures in sheets: which files are opened, which never, and how they stand in HTML."""

import os
import re
from base64 import b64decode
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from model.harness.toml_file import read_harness, read_harness_text
from model.sheets.pictures import LARGEST_BYTES, MOST_BYTES, picture_bytes, pictures_html, pictures_of
from model.sheets.plan_paper import html_page
from tests.model.html_tags import parsed
from tests.tui.builds import BUILDS, LAMP, build
from tui.__main__ import main

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="8" height="8"><circle cx="4" cy="4" r="3"/></svg>'
PNG = b"\x89PNG\r\n\x1a\n" + bytes(60)
PICTURED = LAMP.replace('location = "nose" }', 'location = "nose", picture = "places/nose.svg" }')


def folder(tmp_path: Path) -> Path:
    """Return a folder with a picture in a folder below it."""
    (tmp_path / "loom" / "places").mkdir(parents=True)
    (tmp_path / "loom" / "places" / "nose.svg").write_bytes(SVG)
    return tmp_path / "loom"


@pytest.mark.parametrize(
    ("name", "content", "kind"),
    [
        ("a.svg", SVG, "image/svg+xml"),
        ("a b.SVG", b"\xef\xbb\xbf <?xml version='1.0'?>" + SVG, "image/svg+xml"),
        ("a.png", PNG, "image/png"),
        ("a.jpg", b"\xff\xd8\xff\xe0JFIF", "image/jpeg"),
        ("a.jpeg", b"\xff\xd8\xff\xe1Exif", "image/jpeg"),
        ("a.gif", b"GIF89a...", "image/gif"),
        ("a.webp", b"RIFF....WEBPVP8 ", "image/webp"),
    ],
)
def test_pictures_are_read(tmp_path: Path, name: str, content: bytes, kind: str) -> None:
    """A file beside the harness file that is what its ending says comes as it is."""
    (tmp_path / name).write_bytes(content)
    assert picture_bytes(tmp_path, name) == (content, kind, "")


@pytest.mark.parametrize(
    ("named", "why"),
    [
        ("/etc/passwd", "a picture ends in .png, .jpg"),
        ("/etc/passwd.png", "a picture is named by its path from the folder"),
        ("../outside.svg", "it is outside the folder"),
        ("places/../../outside.svg", "it is outside the folder"),
        ("linked.svg", "it is outside the folder"),
        ("places", "a picture ends in"),
        ("folder.svg", "it is no file"),
        ("pipe.svg", "it is no file"),
        ("none.svg", "it cannot be read: No such file or directory"),
        ("places/nose.svg/x.svg", "it cannot be read: Not a directory"),
        ("a\0b.svg", "it cannot be read: its path cannot be followed"),
        ("loop.svg", "it cannot be read: "),
        ("x" * 5000 + ".svg", "it cannot be read: File name too long"),
        ("http://example.org/a.svg", "a picture is named by its path from the folder"),
        ("file:///etc/a.svg", "a picture is named by its path from the folder"),
        ("C:\\a.svg", "a picture is named by its path from the folder"),
        ("\\\\host\\share\\a.svg", "a picture is named by its path from the folder"),
        ("//host/share/a.svg", "a picture is named by its path from the folder"),
        ("data:image/svg+xml,a.svg", "it cannot be read: No such file or directory"),
        ("text.png", "it is no PNG picture"),
        ("text.svg", "it is no SVG picture"),
        ("empty.jpg", "it is no JPEG picture"),
        ("script.svg", "it holds more than a drawing"),
        ("entities.svg", "it holds more than a drawing"),
        ("large.png", "it is larger than 500 kB: make it smaller"),
    ],
)
def test_nothing_else_is_opened(tmp_path: Path, named: str, why: str) -> None:
    """A path that leads out of the folder, away or to something else is not followed; the reason is told."""
    here = folder(tmp_path)
    (tmp_path / "outside.svg").write_bytes(SVG)
    (here / "linked.svg").symlink_to(tmp_path / "outside.svg")
    (here / "loop.svg").symlink_to(here / "loop.svg")
    (here / "folder.svg").mkdir()
    os.mkfifo(here / "pipe.svg")
    (here / "text.png").write_text("secret = 1")
    (here / "text.svg").write_text("secret = 1")
    (here / "empty.jpg").touch()
    (here / "script.svg").write_bytes(SVG.replace(b"<circle", b"<SCRIPT>alert(1)</SCRIPT><circle"))
    (here / "entities.svg").write_bytes(b'<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "b">]>' + SVG)
    (here / "large.png").write_bytes(PNG + bytes(LARGEST_BYTES))
    content, kind, told = picture_bytes(here, named)
    assert (content, kind) == (b"", "")
    assert told.startswith(why)


def test_a_link_within_the_folder_is_followed(tmp_path: Path) -> None:
    """A link counts by where it leads to; the folder itself may be reached through one."""
    here = folder(tmp_path)
    (here / "linked.svg").symlink_to(here / "places" / "nose.svg")
    (tmp_path / "way").symlink_to(here)
    assert picture_bytes(tmp_path / "way", "linked.svg") == (SVG, "image/svg+xml", "")


def test_each_picture_stands_once_with_its_parts(tmp_path: Path) -> None:
    """Parts that share a picture stand under it together; one without has that of its housing, others none."""
    here = folder(tmp_path)
    text = PICTURED.replace(
        "fuses = [", 'connectors = [ { id = "X9", cavities = 1, halves = ["a", "b"], inside = "E1" } ]\nfuses = ['
    ).replace('{ id = "F1", amps = 10 }', '{ id = "F1", amps = 10, picture = "none.svg" }')
    harness = read_harness_text(text, "loom.toml")
    found = pictures_of(harness, here, ["E1", "X9", "G1", "E1", "nobody", "F1"])
    assert [one.shows for one in found.shown] == ["E1 (Lamp): nose, two screws; X9: nose, two screws"]
    assert b64decode(found.shown[0].source.removeprefix("data:image/svg+xml;base64,")) == SVG
    assert found.left_out == ("F1: place not given. none.svg: it cannot be read: No such file or directory.",)


def test_a_sheet_has_an_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What would make a sheet too large for a telephone is left out, and said to be."""
    assert MOST_BYTES > 2 * LARGEST_BYTES
    monkeypatch.setattr("model.sheets.pictures.MOST_BYTES", 150)
    here = folder(tmp_path)
    (here / "second.svg").write_bytes(SVG)
    text = PICTURED.replace('{ id = "F1", amps = 10 }', '{ id = "F1", amps = 10, picture = "second.svg" }')
    found = pictures_of(read_harness_text(text, "loom.toml"), here, ["E1", "F1"])
    assert len(found.shown) == 1
    assert "second.svg: the others take" in found.left_out[0]


def test_what_a_picture_is_called_is_shown_and_not_obeyed(tmp_path: Path) -> None:
    """Labels and paths with quotes and tags stay text; the page closes every tag and fetches nothing."""
    here = folder(tmp_path)
    nasty = '\\"><script>alert(1)</script>'
    text = PICTURED.replace('label = "Lamp"', f'label = "{nasty}"').replace(
        '{ id = "F1", amps = 10 }', f'{{ id = "F1", amps = 10, picture = "{nasty}.svg" }}'
    )
    found = pictures_of(read_harness_text(text, "loom.toml"), here, ["E1", "F1"])
    tags = parsed(html_page("t", (), pictures_html(found)))
    assert "script" not in tags.tags
    assert tags.tags.count("img") == 1
    assert all(link.startswith("data:image/svg+xml;base64,") for link in tags.links)
    assert "<script>alert(1)</script>" in tags.text
    page = html_page("t", (), pictures_html(found))
    assert re.search(r'alt="E1 \(&quot;&gt;&lt;script', page)
    assert "default-src 'none'; img-src data:" in page


@pytest.mark.parametrize(
    "words",
    [
        ["connectors", "FILE", "--html"],
        ["loads", "FILE", "--html"],
        ["continuity", "FILE", "--html"],
        pytest.param(["trace", "FILE", "E1", "--html"], marks=pytest.mark.slow),
    ],
)
def test_the_sheets_show_them_where_it_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    """With --pictures the picture stands at the end of the page; without it no picture is so much as looked at."""
    here = folder(tmp_path)
    plugged = PICTURED.replace('kind = "lamp",', 'kind = "lamp", pins = { "+" = 1, "-" = 2 },')
    path = build(here, plugged)
    asked = [str(path) if word == "FILE" else word for word in words]
    assert main([*asked, "--pictures"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert parsed(out).tags.count("img") == 1
    assert out.count("E1 (Lamp): nose, two screws</figcaption>") == 1

    def never(*_: object) -> None:
        raise AssertionError("a picture was looked for")

    monkeypatch.setattr("model.sheets.pictures.picture_bytes", never)
    assert main(asked) == 0
    assert "<img" not in capsys.readouterr().out


def test_pictures_want_html(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In another form they have no place; what cannot be shown is told on standard error and on the sheet."""
    here = folder(tmp_path)
    path = build(here, PICTURED)
    assert main(["loads", str(path), "--pictures"]) == 2
    assert "Pictures go into HTML alone. Add --html" in capsys.readouterr().err
    (here / "places" / "nose.svg").unlink()
    assert main(["loads", str(path), "--pictures", "--html"]) == 0
    out, err = capsys.readouterr()
    told = "E1 (Lamp): nose, two screws. places/nose.svg: it cannot be read: No such file or directory."
    assert err == f"fusewalk: left out: {told}\n"
    assert told in parsed(out).text


def test_a_sheet_without_pictures_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where pictures are asked for and no part of the sheet has one, that is told."""
    assert main(["loads", str(build(tmp_path, LAMP)), "--pictures", "--html"]) == 0
    assert "no part of this sheet has a picture" in capsys.readouterr().err


def test_reading_a_file_opens_no_picture(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A harness file is read without a look at what it calls pictures."""
    path = build(folder(tmp_path), PICTURED)
    opened: list[str] = []

    def noting(real: Callable[..., Any]) -> Callable[..., Any]:
        def noted(which: Any, *words: Any, **more: Any) -> Any:  # noqa: ANN401
            opened.append(Path(which).name)
            return real(which, *words, **more)

        return noted

    monkeypatch.setattr(os, "open", noting(os.open))
    monkeypatch.setattr(Path, "open", noting(Path.open))
    assert read_harness(path).parts["E1"].picture == "places/nose.svg"
    assert "build.toml" in opened
    assert "nose.svg" not in opened


def test_the_pictures_of_the_builds_are_there() -> None:
    """Every picture that a build to try names is beside it and can be shown, and none lies there unnamed."""
    named: set[Path] = set()
    for path in sorted(BUILDS.glob("*.toml")):
        harness = read_harness(path)
        for part in harness.each_part():
            if part.picture:
                assert picture_bytes(BUILDS, part.picture)[2] == "", part.id
                named.add(BUILDS / part.picture)
    assert named == set((BUILDS / "pictures" / "places").iterdir())
