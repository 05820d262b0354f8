"""``fusewalk circuit`` from the shell: what it asks, proposes and writes, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from tests.model.review.pattern_looms import BARE, DEMOS
from tui.__main__ import main

LAMP = ["switched", "watts=21", "when=ignition", "at=roof bar", "label=Work lamp", "load_length=2,5"]


@pytest.fixture
def path(tmp_path: Path) -> str:
    """Give a copy of the buggy's file."""
    path = tmp_path / "buggy.toml"
    path.write_text((DEMOS / "trail_buggy.toml").read_text(encoding="utf-8"), encoding="utf-8")
    return str(path)


def test_without_a_pattern_they_are_told(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each pattern with what it is."""
    assert main(["circuit", path]) == 0
    out = capsys.readouterr().out
    for name in ("switched", "relay", "relay-ground", "speeds", "module", "permanent", "socket"):
        assert f"\n{name} " in out


@pytest.mark.slow
def test_without_answers_a_pattern_tells_what_it_asks(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Questions, which of them are needed, and what there is to choose from in this file."""
    assert main(["circuit", path, "relay-ground"]) == 0
    out = capsys.readouterr().out
    assert "For feed" in out
    assert "busbar Permanent bus: feed always" in " ".join(out.split())
    assert "needed" in out
    assert main(["circuit", path, "relay-ground", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    needed = [one["key"] for one in found["questions"] if one["needed"]]
    assert needed == ["watts", "amps", "at", "when"]


@pytest.mark.slow
def test_trying_shows_the_table_and_changes_nothing(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What, proposed, why and source; cautions before; the rows; how it comes out once solved."""
    before = Path(path).read_bytes()
    assert main(["circuit", path, *LAMP, "--try"]) == 0
    out = capsys.readouterr().out
    plain = " ".join(out.split())
    assert plain.index("Caution: Rules for self-built vehicles") < plain.index("What is proposed")
    assert "What Proposed Why Source" in plain
    assert "E28:load works in ignition, crank, running with S24 at on, as asked." in plain
    assert 'fuses: { id = "F48", label = "Work lamp", location = "fuse panel", amps = 4, bus = "BB4" }' in plain
    assert out.endswith("Nothing is changed.\n")
    assert max(map(len, out.splitlines())) <= 80
    assert Path(path).read_bytes() == before
    assert [one.name for one in Path(path).parent.iterdir()] == ["buggy.toml"]


@pytest.mark.slow
def test_a_circuit_is_put_in_as_one_revision_and_undone(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A new revision with the old one kept and the comments of the file as they were; undo brings back every byte."""
    before = Path(path).read_text(encoding="utf-8")
    assert main(["circuit", path, *LAMP, "--reason", "night work", "--who", "Kim"]) == 0
    assert "The file is revision 3; revision 2 is kept in buggy.rev2.toml." in capsys.readouterr().out
    after = read_harness(Path(path))
    assert after.build.revision == 3
    assert after.parts["E28"].label == "Work lamp"
    assert "# Colours tell the family of a wire" in Path(path).read_text(encoding="utf-8")
    assert main(["findings", path]) == 0
    assert main(["amend", path, "undo"]) == 0
    assert Path(path).read_text(encoding="utf-8") == before


@pytest.mark.slow
def test_json_has_proposals_with_reason_and_source(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One object: proposals, rows, in which key states it works, whether it was put in."""
    assert main(["circuit", path, *LAMP, "size=1,5", "--json", "--try"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["format"] == "fusewalk circuit"
    assert found["put_in"] is False
    size = next(one for one in found["proposals"] if one["key"] == "size")
    assert (size["value"], size["given"]) == (1.5, True)
    assert all(one["why"] and one["source"] and one["source_kind"] for one in found["proposals"])
    assert found["works"] == [
        {
            "name": "E28:load",
            "asked": ["ignition", "crank", "running"],
            "works_in": ["ignition", "crank", "running"],
            "as_asked": True,
        }
    ]
    assert main(["circuit", path, *LAMP, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["revision"] == 3


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_ten_wires_grow_from_a_battery_alone(tmp_path: Path, ending: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Circuit by circuit from a file with nothing but a battery: it reads after each, and no finding is a danger."""
    path = tmp_path / "bare.toml"
    path.write_bytes(BARE.replace("\n", ending).encode())
    for words in (
        ["switched", "watts=21", "when=ignition", "at=mast", "load_length=2"],
        ["relay", "kind=horn", "amps=6", "when=permanent", "at=nose", "load_length=1"],
        ["socket", "watts=60", "at=dash", "load_length=1"],
    ):
        assert main(["circuit", str(path), *words]) == 0
        assert main(["check", str(path)]) == 0
    capsys.readouterr()
    assert len(read_harness(path).wires) >= 10
    assert main(["findings", str(path)]) == 0
    assert "can burn or hurt" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["swiched", "watts=2"], "Did you mean switched?"),
        (["switched", "watts=21"], "Not answered yet: at"),
        (["switched", "watts"], "names no value"),
        (["switched", "watts=21", "watts=5"], "watts is given twice"),
        (["switched", "watts=21", "at=dash", "when=never"], "no key state “never”"),
        (["permanent", "watts=9000", "at=dash"], "no blade fuse is made for that"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    path: str, words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, a sentence that helps, the file as it was."""
    before = Path(path).read_bytes()
    assert main(["circuit", path, *words]) == 2
    assert told in capsys.readouterr().err
    assert Path(path).read_bytes() == before


@pytest.mark.slow
def test_hostile_words_stay_words(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A label with brackets, quotes and an escape byte goes into the file as TOML and is shown cleaned."""
    label = 'S1 [on] "x" \x1b[31m'
    assert main(["circuit", path, *LAMP[:-2], f"label={label}"]) == 0
    assert "\x1b" not in capsys.readouterr().out
    assert read_harness(Path(path)).parts["E28"].label.startswith('S1 [on] "x"')
