"""The first screen of a harness: what the file holds."""

import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, ClassVar

from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from model.errors import FusewalkError
from model.words import plural
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.frame import Framed
from tui.text import lines, plain
from tui.widgets.bars import BarFacts


def read_tables(path: Path) -> dict[str, Any]:
    """Return a harness file as TOML tables.

    Raises
    ------
    FusewalkError
        Where there is no such file, or it is not TOML.
    """
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise FusewalkError("The file cannot be read.", str(path), error.strerror or "") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise FusewalkError("The file is not TOML.", str(path), str(error)) from error


class LoadsScreen(Framed[None]):
    """Shows how many rows each table of a harness file has."""

    PLACE = Place.LOADS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.LOADS)]
    AUTO_FOCUS = "#rows"

    def __init__(self, path: Path) -> None:
        super().__init__(BarFacts("", path.name))
        self.path = path
        self.counts: list[str] = []

    def body(self) -> Iterable[Widget]:
        """Return the list of tables."""
        with VerticalScroll(id="rows"):
            yield Static(plain("Reading the file."), id="counts")

    def on_mount(self) -> None:
        """Read the file aside."""
        self.aside(lambda: read_tables(self.path), self.show_tables)

    def show_tables(self, tables: dict[str, Any]) -> None:
        """Show what was read."""
        build = tables.get("build")
        name = build.get("name") if isinstance(build, dict) else None
        self.facts = BarFacts(str(name or self.path.stem), "the file")
        self.counts = [plural(len(rows), table.rstrip("s")) for table, rows in tables.items() if isinstance(rows, list)]
        self.query_one("#counts", Static).update(lines([plain(line) for line in self.counts]))

    def page(self) -> Page:
        """Return the list as text."""
        return Page(f"{self.path.stem} file", "\n".join(self.counts) + "\n")
