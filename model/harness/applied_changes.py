"""Changes of rows put into the text of a harness file: what a list, an answer and an amendment change alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Protocol

from model.harness.toml_edit import HarnessText, Value


class RowChange(Protocol):
    """One change of a harness file."""

    @property
    def table(self) -> str:
        """The table of the row."""
        ...

    @property
    def id(self) -> str:
        """The row by its id or name; empty for the build and the defaults, which are one row each."""
        ...

    @property
    def key(self) -> str:
        """The key that gets a value; empty where the whole row is meant."""
        ...

    @property
    def value(self) -> Any:  # noqa: ANN401 (whatever a row may hold)
        """What stands there from now on; None where key or row is taken out, a mapping where a whole row is added."""
        ...


def applied_text(text: str, changes: Iterable[RowChange], build: Mapping[str, Value] | None = None) -> str:
    """Give the text of a harness file with changes made, and then values put into its build.

    Raises
    ------
    FusewalkError
        Where a row that is to change is not there.
    """
    file = HarnessText(text)
    for change in changes:
        _apply(file, change)
    for key, value in (build or {}).items():
        file.set_build(key, value)
    return file.text


def _apply(file: HarnessText, change: RowChange) -> None:
    match change.table:
        case "build":
            file.set_build(change.key, change.value)
        case "defaults":
            file.set_default(change.key, change.value)
        case _ if change.key and change.value is None:
            file.unset(change.table, change.id, change.key)
        case _ if change.key:
            file.set(change.table, change.id, change.key, change.value)
        case _ if change.value is None:
            file.remove(change.table, change.id)
        case _:
            file.add(change.table, change.value)
