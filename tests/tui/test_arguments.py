"""Wrong arguments and wrong files, as somebody types them the first time."""

from pathlib import Path

import pytest

from model.errors import FusewalkError, HarnessFileError
from model.harness.near_file import no_such_file
from model.harness.toml_file import read_harness
from model.harness.wire_list_sheet import read_list_bytes
from tests.tui.builds import LAMP, build
from tui.__main__ import COMMANDS, main
from tui.arguments import Arguments

LIST = "id,from,to,colour,size\nW1,G1.+,F1.in,RD,2.5\n"


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Run the command with arguments that argparse refuses, and return what is said."""
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.endswith("\n")
    return err.rstrip("\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["walk"], "fusewalk walk: FILE and LOAD are missing. Use: fusewalk walk FILE LOAD; "),
        (["walk", "a.toml"], "fusewalk walk: LOAD is missing. Use: fusewalk walk FILE LOAD; "),
        (["from-list", "a.csv"], "fusewalk from-list: -o FILE is missing. Use: fusewalk from-list WIRES [PARTS] -o F"),
        (["--hlep"], "fusewalk: There is no option --hlep. Did you mean --help? Use: fusewalk [FILE]; "),
        (["volts", "a.toml", "--zebra=3"], "fusewalk volts: There is no option --zebra=3. Use: fusewalk volts FILE; "),
        (["walk", "a.toml", "fuel", "pump"], "fusewalk walk: “pump” is more than is asked for; a name with a space"),
        (["amend", "a.toml", "remvoe", "E5"], "fusewalk amend: WORK cannot be “remvoe”. Did you mean remove? "),
        (["amend", "a.toml", "zebra"], "fusewalk amend: WORK cannot be “zebra”. There are: spare, splice, "),
        (["loads", "a.toml", "-o"], "fusewalk loads: -o FILE: the value behind it is missing. "),
        (["loads", "a.toml", "--csv", "--json"], "fusewalk loads: --json and --csv do not go together: give one "),
        (["volts", "a.toml", "--battery", "x"], "fusewalk volts: --battery V: “x” is no number of volts; write it as"),
        (["volts", "a.toml", "--battery", "\x1b[2J"], "fusewalk volts: --battery V: “[2J” is no number of volts; "),
        (["find", "a.toml", "pump", "--most", "x"], "fusewalk find: --most N: “x” is no whole number. Use: "),
    ],
)  # fmt: skip
def test_wrong_arguments_are_told_in_plain_words(
    capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    """What is wrong, how it is written, and where the rest stands; nothing of it is obeyed by a terminal."""
    said = refused(capsys, *words)
    assert said.startswith(told)
    assert said.endswith(" --help tells the rest.")
    assert "\x1b" not in said


def test_a_word_longer_than_any_name_is_no_command(capsys: pytest.CaptureFixture[str]) -> None:
    """No file can have it, so nobody has to ask whether there is one."""
    assert main(["a" * 300, "b.toml"]) == 2
    assert capsys.readouterr().err.startswith("fusewalk: There is no command “aaa")


def test_what_argparse_says_of_nothing_known_stands_as_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    """A message of another kind is still a sentence."""
    with pytest.raises(SystemExit):
        Arguments(prog="fusewalk").error("something new")
    assert capsys.readouterr().err == "fusewalk: Something new. Use: fusewalk; fusewalk --help tells the rest.\n"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("lamp.tmol", "lamp.tmol: there is no such file. Did you mean {folder}/lamp.toml?"),
        ("LAMP.TOML", "LAMP.TOML: there is no such file. Did you mean {folder}/lamp.toml?"),
        ("zebra", "zebra: there is no such file. Check its name and directory."),
        ("none/lamp.toml", "none/lamp.toml: there is no such file. There is no directory {folder}/none either: check"),
        ("folder", "folder: this is a directory. Give the harness file in it."),
    ],
)  # fmt: skip
def test_a_file_that_is_not_there(tmp_path: Path, typed: str, told: str) -> None:
    """The nearest name beside it is named, else what to look at."""
    build(tmp_path, LAMP, "lamp.toml")
    (tmp_path / "folder").mkdir()
    with pytest.raises(FusewalkError) as raised:
        read_harness(tmp_path / typed)
    assert str(raised.value).startswith(f"{tmp_path}/{told.format(folder=tmp_path)}")


def test_a_directory_that_nobody_may_read_is_no_trouble(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the names beside it cannot be had, nothing is guessed."""

    def refuse(_: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", refuse)
    assert no_such_file(tmp_path / "a.toml").do == "Check its name and directory."


def test_a_list_in_place_of_a_harness_file(tmp_path: Path) -> None:
    """It is told which command makes a harness file of it."""
    path = build(tmp_path, LIST, "wires.csv")
    with pytest.raises(HarnessFileError, match=r"this is a wire list: fusewalk from-list LIST.csv -o LOOM.toml"):
        read_harness(path)


@pytest.mark.parametrize("line", ["format = 1", "  format=2  # the second\r"])
def test_a_harness_file_in_place_of_a_list(tmp_path: Path, line: str) -> None:
    """It is not taken apart as if its lines were wires."""
    path = build(tmp_path, f"# mine\n{line}\nbuild = {{ name = 'x' }}\n")
    with pytest.raises(FusewalkError, match=r"this is a harness file and no list. Give the list; fusewalk wirelist"):
        read_list_bytes(path)
    assert read_list_bytes(build(tmp_path, LIST, "wires.csv")) == LIST.encode()


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("wlak", "fusewalk: There is neither a file nor a command “wlak”. Did you mean fusewalk walk FILE LOAD?\n"),
        ("zebra", "fusewalk: zebra: there is no such file. Check its name and directory.\n"),
    ],
)
def test_one_wrong_word(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, word: str, told: str
) -> None:
    """On a terminal no screen opens for a file that is not there; a word near a command was meant as one."""
    monkeypatch.setattr("tui.terminal.why_no_screen", lambda *_: "")
    assert main([word]) == 2
    assert capsys.readouterr().err == told


@pytest.mark.parametrize("cells", [50, 80, 200])
def test_the_help_lists_every_command(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, cells: int
) -> None:
    """How it is written and what it is for, in lines that the terminal has room for."""
    monkeypatch.setenv("COLUMNS", str(cells))
    with pytest.raises(SystemExit):
        main(["--help"])
    out = capsys.readouterr().out
    told = " ".join(out.split())
    for name, words in COMMANDS.items():
        assert f"fusewalk {name} " in told
        assert words in told
    assert max(map(len, out.splitlines())) <= cells


@pytest.mark.parametrize(
    "typed",
    [
        ["f.toml", "W9", "a=1", "b=2", "--try"],
        ["f.toml", "--try", "W9", "a=1", "b=2"],
        ["f.toml", "W9", "a=1", "--try", "b=2"],
        ["f.toml", "W9", "--try", "a=1", "b=2"],
    ],
)
def test_options_stand_between_words(typed: list[str]) -> None:
    """Where they stand changes nothing: what goes on behind one belongs to the words before it."""
    parser = Arguments(prog="x")
    parser.add_argument("file")
    parser.add_argument("part", nargs="?")
    parser.add_argument("values", nargs="*", default=[])
    parser.add_argument("--try", dest="only_try", action="store_true")
    found = parser.parse_args(typed)
    assert (found.file, found.part, found.values, found.only_try) == ("f.toml", "W9", ["a=1", "b=2"], True)


def test_a_command_takes_an_option_between_its_words(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A wire is replaced on trial, the new size typed behind the option."""
    assert main(["amend", str(build(tmp_path, LAMP)), "replaced", "W1", "--try", "size=2.5"]) == 0
    assert "size 2.5" in capsys.readouterr().out
