"""A harness file made from lists is checked like any other; what no file may hold is taken out of it and told."""

from __future__ import annotations

from model.errors import Breach, FusewalkError, HarnessFileError
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_document
from model.harness.toml_text import toml_document, toml_text
from model.harness.wire_list_kinds import KEY_STATE_ROWS
from model.harness.wire_list_loom import Loom
from model.harness.wire_list_remark import Remark
from model.words import clean

_PASSES = 12
_REQUIRED = frozenset({"id", "name", "kind", "cavities", "feeds", "elements"})
"""Keys without which a row is none."""


def readable(loom: Loom, name: str) -> tuple[str, Harness]:
    """Give the text of a loom and the harness that is read in it.

    Parameters
    ----------
    name
        What the harness file is called.

    Raises
    ------
    FusewalkError
        Where nothing is left that can be read.
    """
    for _ in range(_PASSES):
        text = toml_text(loom.build, loom.defaults, loom.rows)
        try:
            document = toml_document(loom.build, loom.defaults, loom.rows)
            return text, read_harness_document(document, text, name)
        except HarnessFileError as error:
            breaches = error.breaches
        if not sum([_mend(loom, breach) for breach in breaches]):
            raise FusewalkError(breaches[0].text(name), do="Put that right in the list.")
    raise FusewalkError("the list holds too much that no harness file can.", name, "Put right what was told of it.")


def _mend(loom: Loom, breach: Breach) -> bool:
    """Take out what breaks a rule; tell whether anything was."""
    key = breach.key.partition(".")[0]
    if breach.table in ("build", "defaults"):
        target = loom.build if breach.table == "build" else loom.defaults
        if key not in target:
            return False
        _tell(loom, breach, f"{key} is left out")
        if key in ("name", "nominal_volts"):
            target[key] = {"name": "Loom", "nominal_volts": 12}[key]
        else:
            del target[key]
        return True
    rows = loom.rows.get(breach.table, [])
    name = "name" if breach.table in KEY_STATE_ROWS else "id"
    if breach.table == "key_states" and not rows:
        rows.append({"name": "at rest"})
        return True
    if breach.table == "batteries" and not rows:
        rows.append({"id": _free_id(loom)})
        _tell(loom, breach, "a battery is added")
        return True
    at = _place(rows, name, breach.id)
    if at is None:
        return False
    if key in rows[at] and key not in _REQUIRED:
        _tell(loom, breach, f"{key} is left out")
        del rows[at][key]
    else:
        _tell(loom, breach, "the row is left out")
        del rows[at]
    return True


def _place(rows: list[dict[str, object]], name: str, said: str) -> int | None:
    """Find the row that a breach is about: the last with its id, else the one with its number."""
    for at in range(len(rows) - 1, -1, -1):
        if clean(str(rows[at].get(name)), 60) == said:
            return at
    number = said.removeprefix("row ")
    return int(number) - 1 if number.isdigit() and 0 < int(number) <= len(rows) else None


def _free_id(loom: Loom) -> str:
    used = {str(row.get("id")) for rows in loom.rows.values() for row in rows}
    return next(f"G{number}" for number in range(1, len(used) + 2) if f"G{number}" not in used)


def _tell(loom: Loom, breach: Breach, done: str) -> None:
    line = loom.lines.get(breach.id, 0)
    spot = " ".join(word for word in (breach.id, breach.key) if word)
    loom.remarks.append(Remark(line, f"{spot}: {breach.found}; {breach.right}; {done}"))
