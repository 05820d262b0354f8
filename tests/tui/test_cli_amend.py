"""``fusewalk amend`` from the shell: what it says, what it writes, and what it refuses."""

import json
from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from tests.model.harness.test_amendments import LOOM
from tui.__main__ import main

_README = Path(__file__).parents[2] / "README.md"
_BUGGY = Path(__file__).parents[2] / "demo_builds/trail_buggy.toml"


@pytest.fixture
def path(tmp_path: Path) -> str:
    """Give the file of the trailer."""
    path = tmp_path / "trailer.toml"
    path.write_text(LOOM, encoding="utf-8")
    return str(path)


WORKS = [
    ["spare", "W2,W3", "W6,W7", "--left-on", "W2.a"],
    ["splice", "W3", "J2", "--at", "0,2"],
    ["replaced", "E1", "watts=10"],
    ["differs", "W3", "colour=GN", "size=1,5", "note="],
    ["ground", "GND2", "nose"],
    ["add", "wires", "id=W20", "from=F1.out", "to=J1", "size=1.5"],
    ["remove", "E1"],
]


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work[0])
def test_each_work_makes_a_revision_and_undo_takes_it_back(
    path: str, work: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """The answer names the new revision and where the old one is; undo brings back the same text."""
    assert main(["amend", path, *work, "--reason", "for a test", "--who", "Kim"]) == 0
    assert "The file is revision 4; revision 3 is kept in trailer.rev3.toml." in capsys.readouterr().out
    assert read_harness(Path(path)).build.revision == 4
    assert main(["amend", path, "undo"]) == 0
    assert Path(path).read_text(encoding="utf-8") == LOOM


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work[0])
def test_trying_changes_nothing(path: str, work: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """It says what would be done; no file is touched and none is made."""
    assert main(["amend", path, *work, "--try"]) == 0
    assert capsys.readouterr().out.endswith("Nothing is changed.\n")
    assert Path(path).read_text(encoding="utf-8") == LOOM
    assert [one.name for one in Path(path).parent.iterdir()] == ["trailer.toml"]


@pytest.mark.parametrize(
    ("work", "words"),
    [
        (["replaced", "E1", "wats=10"], "Did you mean watts?"),
        (["replaced", "E1", "watts=much"], "does not fit watts"),
        (["replaced", "E1", "watts"], "names no value"),
        (["replaced", "E9", "watts=10"], "There is no part E9"),
        (["differs", "W3", "size=thick"], "a size is mm²"),
        (["add", "wirse", "id=W20"], "Did you mean wires?"),
        (["undo"], "tells of no amendment"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    path: str, work: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, a sentence that helps, the file as it was."""
    assert main(["amend", path, *work]) == 2
    assert words in capsys.readouterr().err
    assert Path(path).read_text(encoding="utf-8") == LOOM


def test_a_spare_that_is_thinner_or_ends_next_to_it_is_told(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What the file cannot decide is said before anything is crimped: half a metre of wire lies from nose to tail."""
    text = LOOM.replace(
        '"W7", from = "X1.tail.4", to_location = "tail"', '"W7", from = "X1.tail.4", to_location = "nose"'
    )
    text = text.replace("size = 1, length = 0.6", "size = 1, length = 0.5")
    Path(path).write_text(text.replace('"WH", size = 1.5', '"WH", size = 0.5'), encoding="utf-8")
    main(["amend", path, "spare", "W2,W3", "W6,W7", "--try"])
    told = capsys.readouterr().out
    assert "W6 has 0.5 mm², W2 had 1" in told
    assert "W7 ends at nose by the file, the terminal is at tail" in told


def test_the_answer_as_json(path: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One object with what the record holds."""
    main(["amend", path, "spare", "W2,W3", "W6,W7", "--json", "--reading", "E1.+ 12.4 V"])
    found = json.loads(capsys.readouterr().out)
    assert found["change"] == "moved to a spare"
    assert found["supersedes"] == [{"old": "W2", "new": "W6"}, {"old": "W3", "new": "W7"}]
    assert (found["revision"], found["readings"], found["recorded"]) == (4, ["E1.+ 12.4 V"], True)


def test_the_examples_of_the_readme_fit_the_buggy(capsys: pytest.CaptureFixture[str]) -> None:
    """Each work as it is printed there is one that the demo build takes; nothing is changed."""
    line = next(one for one in _README.read_text(encoding="utf-8").splitlines() if "`fusewalk amend FILE" in one)
    printed = line.partition("what was changed on the loom: ")[2].partition(". ")[0].split(", `")
    works = [one.strip("`").split() for one in printed]
    assert [work[0] for work in works] == ["spare", "splice", "replaced", "ground", "add", "remove", "differs"]
    for work in works:
        assert main(["amend", str(_BUGGY), *work, "--try"]) == 0, work
        assert "It would be so:" in capsys.readouterr().out
