"""Every command run on a harness file inside the test's own process, and the laws that hold for all that is written."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from html.parser import HTMLParser
from io import BytesIO, StringIO, TextIOWrapper
from pathlib import Path

from model.words import clean
from tui.__main__ import main

FORMS = ("", "--markdown", "--html", "--csv", "--json")
SHEETS = (
    "changes FILE", "connectors", "continuity", "crank-and-charge", "cut-list", "draw", "feeds", "findings",
    "first-power", "fuses", "fuses --card", "glance", "grounds", "insulation", "labels", "live", "live --by place",
    "loads", "record", "wirelist", "wirelist --parts",
)  # fmt: skip
"""Commands that have every form."""
OTHERS = (
    "check", "volts", "volts --json", "walk LOAD", "walk LOAD --markdown", "walk LOAD --json", "find lamp front",
    "find lamp --json", "trace LOAD --sheet", "trace LOAD --html", "glance --svg", "circuit",
    "circuit switched watts=5 --try", "amend remove LOAD --try",
)  # fmt: skip
VOID = frozenset({"meta", "br", "col", "img", "path", "rect", "line", "circle", "polyline"})
ALLOWED = frozenset(
    {"html", "head", "body", "title", "style", "h1", "h2", "h3", "p", "ul", "ol", "li", "span", "div", "table", "thead"}
    | {"tbody", "tr", "th", "td", "colgroup", "svg", "g", "text", "tspan", "defs", "desc", "figure", "figcaption"}
    | {"strong", "em", "b", "section", "main", "header", "footer", "br", "col", "meta", "polygon", "small", "caption"}
    | {"dl", "dt", "dd", "pre"}
    | VOID
)
_FORMULA = re.compile(r"[=+@\t\r＝＋－＠-]")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?(e[+-]?\d+)?")


@dataclass(frozen=True)
class Told:
    """What a command wrote, and its exit code."""

    code: int
    out: str
    err: str


def run(arguments: list[str]) -> Told:
    """Run a command as a shell does; anything but an exit code goes through."""
    out, err = TextIOWrapper(BytesIO(), encoding="utf-8", newline="\n"), StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code: object = main(arguments)
        except SystemExit as left:
            code = left.code
    out.flush()
    assert isinstance(code, int)
    return Told(code, out.buffer.getvalue().decode("utf-8"), err.getvalue())


def command_lines(file: Path, load: str, forms: tuple[str, ...] = FORMS) -> Iterator[list[str]]:
    """Give every command on a file, each in every form that it has."""
    for words in (*OTHERS, *(f"{sheet} {form}" for sheet in SHEETS for form in forms)):
        name, *rest = words.split()
        shown = [{"FILE": str(file), "LOAD": load}.get(word, word) for word in rest]
        yield [name, str(file), *shown]


def assert_lawful(arguments: list[str], told: Told) -> None:
    """Hold what a command wrote against the laws of the form that it is in."""
    assert told.code in (0, 1, 2), (arguments, told.err)
    assert_no_escapes(told.err)
    if told.code:
        return
    words = set(arguments)
    if "--csv" in words:
        assert_no_escapes(told.out.replace("\r\n", "\n"))
        assert_no_formulas(told.out)
        return
    assert_no_escapes(told.out)
    if words & {"--html", "--svg"}:
        assert_only_shown(told.out)
    elif "--markdown" in words:
        assert_no_markdown(told.out)
    elif "--json" in words:
        json.loads(told.out)


def assert_no_escapes(text: str) -> None:
    """Check that nothing in a text is obeyed by a terminal, turns the direction of writing, or hides."""
    for line in text.split("\n"):
        assert clean(line, len(line)) == line, ascii(line[:400])


def assert_no_formulas(text: str) -> None:
    """Check that no cell of comma-separated values is taken for a formula, whatever separator is looked for."""
    for separator in ",;\t":
        for row in csv.reader(StringIO(text, newline=""), delimiter=separator):
            for cell in row if separator == "," else row[:1]:
                assert not _FORMULA.match(cell.lstrip(' "')) or _NUMBER.fullmatch(cell), ascii(cell)


class _Shown(HTMLParser):
    """Sees that a page has the tags that sheets have, closed, and nothing in them that runs or fetches."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open a tag."""
        assert tag in ALLOWED, tag
        for name, value in attrs:
            assert not name.startswith("on"), (tag, name)
            assert name not in ("src", "href", "xlink:href") or str(value).startswith(("data:", "#")), (tag, value)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open a tag that is closed by itself."""
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last."""
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_comment(self, data: str) -> None:
        """Let no remark stand but our own."""
        assert data.strip().startswith("Fusewalk"), data


def assert_only_shown(html: str) -> None:
    """Check that a page or drawing shows what stands in it and does nothing."""
    page = _Shown()
    page.feed(html)
    page.close()
    assert page.open == []


def assert_no_markdown(text: str) -> None:
    """Check that nothing of a file is markup of Markdown: no tag, link, picture, code, head, or cell of its own."""
    is_fenced, is_indented, is_listed, was_blank = False, False, False, True
    for number, line in enumerate(text.split("\n")):
        if is_fenced or line == "```text":
            assert not line.lstrip().startswith("```") or line == ("```" if is_fenced else "```text"), (number, line)
            is_fenced = line != "```"
            continue
        if not line.strip():
            was_blank = True
            continue
        is_indented = line.startswith("    ") and (is_indented or (was_blank and not is_listed))
        was_blank = False
        if is_indented:
            continue
        is_listed = re.match(r"[-*+] |\d+\. ", line) is not None
        bare = re.sub(r"\\[!-/:-@\[-`{-~]", "", line)
        assert "<" not in bare or bare.startswith(("<!-- Fusewalk", "<br")), (number, line)
        assert "`" not in bare, (number, line)
        assert "](" not in bare, (number, line)
        assert "![" not in bare, (number, line)
    assert not is_fenced
    _assert_square_tables(text)


def _assert_square_tables(text: str) -> None:
    width = 0
    for line in text.split("\n"):
        bars = re.sub(r"\\.", "", line).count("|") if line.startswith("|") else 0
        assert not bars or not width or bars == width, line
        width = bars
