"""No text reaches a widget but through tui.text: read from the source itself."""

import ast
from pathlib import Path

import pytest

import tui

SOURCES = sorted(Path(next(iter(tui.__path__))).rglob("*.py"))
PARSING = {
    "Static",
    "Label",
    "Button",
    "Checkbox",
    "Option",
    "Collapsible",
    "TabPane",
    "update",
    "add_row",
    "add_columns",
}
FORBIDDEN = {"notify", "from_markup", "Markdown"}


def name_of(call: ast.Call) -> str:
    """Return the bare name of what is called."""
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def texts_in(source: str) -> list[str]:
    """Return the calls that would hand a bare string to something that reads markup."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        bare = [each for each in node.args if isinstance(each, ast.JoinedStr | ast.BinOp | ast.Constant)]
        is_text = any(not isinstance(each, ast.Constant) or isinstance(each.value, str) for each in bare)
        if name_of(node) in FORBIDDEN or (name_of(node) in PARSING and is_text):
            found.append(f"line {node.lineno}: {name_of(node)}")
    return found


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_no_bare_string_is_given_to_a_widget(path: Path) -> None:
    """Every text is made in tui.text before a widget gets it; notify and markup are not used at all."""
    assert texts_in(path.read_text(encoding="utf-8")) == []


def test_a_bare_string_would_be_found() -> None:
    """The search finds what it is for."""
    assert texts_in('Static(f"{name}")\nLabel("a" + b)\nself.notify(x)\nStatic(plain(x))') == [
        "line 1: Static",
        "line 2: Label",
        "line 3: notify",
    ]
