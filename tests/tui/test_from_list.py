"""The commands ``from-list`` and ``wirelist``: what they print, write, refuse and give back."""

import csv
import json
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from model.harness.wire_list_sheet import LARGEST_BYTES
from model.record import read_record
from model.record_entries import Amended
from tui.__main__ import main

DEMO_BUILDS = Path(__file__).parents[2] / "demo_builds"
LIST = "id,from,to,colour,size\nW1,G1.+,F1.in,RD,6\nW2,F1.out,E1.+,puce,1.5\nW3,E1.-,GND1,BK,1.5\n"


def run(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    """Run the program and give exit code, output and errors."""
    code = main([str(one) for one in arguments])
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def written(path: Path, text: str) -> Path:
    """Write a list and give its path."""
    path.write_text(text, encoding="utf-8")
    return path


def test_a_list_becomes_a_file_and_the_questions_are_printed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file is made, what is wrong is told by line, and what is open is asked with its line."""
    wires, output = written(tmp_path / "wires.csv", LIST), tmp_path / "lamp.toml"
    code, out, err = run(capsys, "from-list", wires, "-o", output, "--volts", "12")
    assert (code, err) == (0, "")
    assert f"{output}: made; 3 wires" in out
    assert "  line 3: “puce” is no colour" in out
    assert "line 2: What is the rating of fuse F1, in amperes? Until then: 20." in out
    assert [wire.id for wire in read_harness(output).wires] == ["W1", "W2", "W3"]
    assert run(capsys, "check", output)[0] == 0


def test_running_again_merges_and_keeps_the_one_before(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A list that has changed is merged into the file, and the one before stands beside it under its revision."""
    wires, output = written(tmp_path / "wires.csv", LIST), tmp_path / "lamp.toml"
    run(capsys, "from-list", wires, "-o", output)
    before = output.read_bytes()
    assert "nothing to change" in run(capsys, "from-list", wires, "-o", output)[1]
    assert output.read_bytes() == before
    written(wires, LIST.replace("puce", "RD/WH"))
    _, out, _ = run(capsys, "from-list", wires, "-o", output)
    assert "merged" in out
    assert "W2: colour is now RD/WH" in out
    assert (tmp_path / "lamp.rev1.toml").read_bytes() == before


def test_the_report_as_json_has_every_question(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Remarks and questions come as one JSON object."""
    wires = written(tmp_path / "wires.csv", LIST)
    _, out, _ = run(capsys, "from-list", wires, "-o", tmp_path / "lamp.toml", "--json")
    found = json.loads(out)
    assert found["format"] == "fusewalk from-list 1"
    asked = {one["id"]: one for one in found["questions"]}
    assert asked["fuses.F1.amps"]["line"] == 2
    assert {
        "line": 3,
        "in_parts": False,
        "says": next(one["says"] for one in found["remarks"] if one["line"] == 3),
    } in (found["remarks"])


def test_what_burns_as_soon_as_power_comes_on_is_said_last(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A winch of 150 A straight on the battery is told at the end; behind a switch nothing is."""
    text = "id,from,to,colour,size\nW1,Battery +,{},RD,25\nW2,{},Winch +,RD,25\nW3,Winch -,Battery -,BK,25\n"
    direct = written(tmp_path / "direct.csv", text.format("F1.in", "F1.out").replace("F1.in", "Winch +"))
    switched = written(tmp_path / "switched.csv", text.format("Winch switch 1", "Winch switch 2"))
    _, out, _ = run(capsys, "from-list", direct, "-o", tmp_path / "direct.toml")
    heading, said = out.splitlines()[-2:]
    assert heading == "Can burn or hurt:"
    assert "M1 (Winch) works with everything at rest: 1" in said
    _, out, _ = run(capsys, "from-list", direct, "-o", tmp_path / "direct.toml", "--json")
    assert [one["parts"] for one in json.loads(out)["grave"]] == [["M1"]]
    _, out, _ = run(capsys, "from-list", switched, "-o", tmp_path / "switched.toml")
    assert "Can burn" not in out


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "it is empty"),
        (b"some,words\n1,2\n", "no column says from where to where"),
        (b"PK\x03\x04", "this is a spreadsheet"),
    ],
)
def test_what_is_no_list_is_refused(
    content: bytes, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where nothing can be read the exit code is 2, the reason is said, and nothing is written."""
    wires = tmp_path / "wires.csv"
    wires.write_bytes(content)
    code, out, err = run(capsys, "from-list", wires, "-o", tmp_path / "lamp.toml")
    assert (code, out) == (2, "")
    assert words in err
    assert [one.name for one in tmp_path.iterdir()] == ["wires.csv"]


def test_a_file_of_a_hundred_megabytes_is_refused_with_the_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A list far beyond any loom is not read through."""
    wires = tmp_path / "wires.csv"
    with wires.open("wb") as stream:
        stream.write(b"from,to\n")
        stream.truncate(100_000_000)
    code, _, err = run(capsys, "from-list", wires, "-o", tmp_path / "lamp.toml")
    assert code == 2
    assert f"larger than {LARGEST_BYTES // 1_000_000} MB" in err


def test_the_list_itself_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The list given as the file to make is refused and stays."""
    wires = written(tmp_path / "wires.csv", LIST)
    code, _, err = run(capsys, "from-list", wires, "-o", wires)
    assert code == 2
    assert "written over the list" in err
    assert wires.read_text(encoding="utf-8") == LIST


def test_escape_bytes_of_a_list_are_not_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Neither the report nor the list out gives a terminal anything to obey."""
    text = LIST.replace("puce", "\x1b[31mpuce\x1b[0m").replace("E1.+", "E1 +").replace("size\n", "size,\x1b]0;x\x07\n")
    output = tmp_path / "lamp.toml"
    _, out, _ = run(capsys, "from-list", written(tmp_path / "wires.csv", text), "-o", output)
    listed = run(capsys, "wirelist", output)[1]
    assert "puce" in out
    assert "\x1b" not in out + listed
    assert "\x07" not in out + listed


def test_lists_written_by_the_program_are_read_by_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A demo build goes out as two lists and comes back with the same wires, without a word to say about it."""
    build = DEMO_BUILDS / "field_tractor.toml"
    wires, parts, output = tmp_path / "w.csv", tmp_path / "p.csv", tmp_path / "again.toml"
    assert run(capsys, "wirelist", build, "-o", wires)[0] == 0
    assert run(capsys, "wirelist", build, "--parts", "-o", parts)[0] == 0
    code, out, _ = run(capsys, "from-list", wires, parts, "-o", output)
    assert code == 0
    assert "Said of the list" not in out
    assert read_harness(output).wires == read_harness(build).wires
    assert run(capsys, "wirelist", output, "--csv")[1].encode() == wires.read_bytes()


def test_the_list_has_a_row_for_each_wire_in_every_form(capsys: pytest.CaptureFixture[str]) -> None:
    """Text, Markdown, HTML, CSV and JSON each show every wire."""
    build = DEMO_BUILDS / "field_tractor.toml"
    ids = [wire.id for wire in read_harness(build).wires]
    assert [line.split()[0] for line in run(capsys, "wirelist", build)[1].splitlines()[3:]] == ids
    rows = list(csv.reader(StringIO(run(capsys, "wirelist", build, "--csv")[1])))
    assert [row[0] for row in rows[1:]] == ids
    assert {len(row) for row in rows} == {len(rows[0])}
    assert [row["id"] for row in json.loads(run(capsys, "wirelist", build, "--json")[1])["rows"]] == ids
    markdown = run(capsys, "wirelist", build, "--markdown")[1].splitlines()
    assert sum(line.startswith("| W") for line in markdown) == len(ids)
    assert run(capsys, "wirelist", build, "--html")[1].count("<tr>") == len(ids) + 1


def test_a_list_is_not_written_over_another_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A spreadsheet that is there stays unless it is forced."""
    build, output = DEMO_BUILDS / "field_tractor.toml", written(tmp_path / "mine.csv", "mine\n")
    assert run(capsys, "wirelist", build, "-o", output)[0] == 2
    assert output.read_text(encoding="utf-8") == "mine\n"
    assert run(capsys, "wirelist", build, "-o", output, "--force")[0] == 0


def test_the_list_starts_without_the_solver() -> None:
    """Neither the solver's libraries nor the screen's are imported for a list that is printed."""
    code = (
        "import sys; from tui.__main__ import main; main(['wirelist', sys.argv[1]]);"
        "print([one for one in ('numpy', 'scipy', 'networkx', 'textual') if one in sys.modules])"
    )
    build = str(DEMO_BUILDS / "trail_buggy.toml")
    done = subprocess.run([sys.executable, "-c", code, build], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_a_merge_is_told_in_the_record_and_can_be_taken_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Undoing a merge puts the file and the memory of the list back: the list is then merged as at first."""
    wires, output = written(tmp_path / "wires.csv", LIST), tmp_path / "lamp.toml"
    run(capsys, "from-list", wires, "-o", output)
    before = output.read_bytes()
    written(wires, LIST + "W4,F1.out,E2.+,RD,1.5\n")
    run(capsys, "from-list", wires, "-o", output)
    merged = output.read_bytes()
    (entry,) = read_record(output).entries
    assert isinstance(entry, Amended)
    assert (entry.change, entry.before, entry.revision, entry.kept) == ("list merged", 1, 2, "lamp.rev1.toml")
    assert {"W4", "E2"} <= set(entry.parts)
    code, out, err = run(capsys, "amend", output, "undo")
    assert (code, err) == (0, "")
    assert "Taken back: A changed list was merged into the file." in out
    assert output.read_bytes() == before
    _, out, _ = run(capsys, "from-list", wires, "-o", output)
    assert "W4 is new" in out
    assert "by hand" not in out
    assert output.read_bytes() == merged
