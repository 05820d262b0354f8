"""What a row's record finds wrong with it, in the words of the person who typed the row."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic_core import ErrorDetails

from model.harness.draft import found_at, value_at
from model.harness.fields import LEAST, MOST
from model.harness.toml_lines import TomlPath
from model.words import clean, nearest

_ABOVE_ZERO = "is a finite number above zero"
_NOT_BELOW_ZERO = "is a finite number, zero or above"
_SHARE = "is a share of the nominal volts, above zero and at most 2: 0.6 for 60 %"
_NAME = "holds letters, digits and + - _ alone, at most 60 of them"
_ID = "starts with a letter and holds letters, digits, - and _ alone, at most 60 of them"
_TEXT = "is text in quotes"
_POINT = 'is a point in quotes, such as "F1.out"'
_FLAG = "is true or false"
_TEXTS = 'is a list of texts, such as ["ignition", "running"]'
_GROUPS = "is a list of groups of terminals, such as [[30, 87]]"
_TABLE_OF_GROUPS = "is a table from each position to groups of terminals, such as { off = [], on = [[1, 2]] }"

_TAKES: dict[str, str] = {
    "id": f"an id {_ID}",
    "inside": f"an id {_ID}",
    "body": f"an id {_ID}",
    "superseded_by": f"an id {_ID}",
    "name": "a name is text in quotes and not empty",
    "nominal_volts": "the nominal volts are a number from 4 to 60",
    "ambient_celsius": "the temperature is a number of degrees Celsius from -60 to 200",
    "revision": "a revision is a whole number, zero or above",
    "date": "a date is text in quotes",
    "size": 'a size is above zero, in mm², or a gauge such as "AWG 16" or "AWG 1/0"',
    "length": f"a length in metres {_NOT_BELOW_ZERO}",
    "ohms": f"a resistance in ohms {_ABOVE_ZERO}",
    "coil_ohms": f"a resistance in ohms {_ABOVE_ZERO}",
    "volts": f"a voltage {_ABOVE_ZERO}",
    "emf": f"a voltage {_ABOVE_ZERO}",
    "charged_emf": f"a voltage {_ABOVE_ZERO}",
    "at": f"a voltage {_ABOVE_ZERO}",
    "amps": f"a current in amperes {_ABOVE_ZERO}",
    "start_amps": f"a current in amperes {_ABOVE_ZERO}",
    "cold_amps": f"a current in amperes {_ABOVE_ZERO}",
    "asleep_amps": f"a current in amperes {_NOT_BELOW_ZERO}",
    "watts": f"a power in watts {_ABOVE_ZERO}",
    "amp_hours": f"a capacity in ampere hours {_ABOVE_ZERO}",
    "reserve_minutes": f"a time in minutes {_ABOVE_ZERO}",
    "asleep_after_minutes": f"a time in minutes {_ABOVE_ZERO}",
    "pull_in": f"it {_SHARE}",
    "drop_out": f"it {_SHARE}",
    "cut_out": f"it {_SHARE}",
    "cut_in": f"it {_SHARE}",
    "starts_at": "it is a share of the rated volts, above zero and at most 2: 0.5 for half",
    "terminal": f"a terminal {_NAME}",
    "terminals": f"terminals are a list of names such as [30, 75]; each {_NAME}",
    "delicate": f"delicate terminals are a list of names; each {_NAME}",
    "coil_diode": f"a terminal {_NAME}",
    "halves": f'halves are two names such as ["plug", "socket"]; a half\'s name is not a number and {_NAME}',
    "from": f"this end {_POINT}",
    "to": f"this end {_POINT}",
    "bus": "a bus is the id of a busbar in quotes",
    "reference": f"the reference {_POINT}",
    "positions": f"it {_TABLE_OF_GROUPS}",
    "contacts": 'contacts are "make", "break", "changeover", or { rest = [], pulled = [[30, 87]] }: lists of groups',
    "rest": _TEXT,
    "pulled": f"it {_GROUPS}",
    "coils": "coils are a list with at least one row such as { from = 50, to = 31, ohms = 0.7 }",
    "elements": 'elements are a list of rows such as { name = "dip", from = "56b", to = "31", watts = 55 }',
    "feeds": "feeds are a list with at least one row such as { terminal = 30, amps = 1 }",
    "drivers": 'drivers are a list of rows such as { terminal = "pump", pulls = "ground", when = ["running"] }',
    "outputs": 'outputs are a list of rows such as { terminal = "5V", volts = 5 }',
    "exciter": 'an exciter is a table such as { terminal = "D+", ohms = 6 }',
    "cavities": "the cavities are a whole number from 1 to 10000",
    "face": "a face is a list of rows of cavity numbers, such as [[1, 2], [3, 0]]",
    "pins": "pins are a table from each terminal to a cavity number of 1 or above, such as { 30 = 1, 87 = 2 }",
    "exposure": 'exposure is a list of words, such as ["wet", "hot"]',
    "follows": 'it is a table from key states to positions, such as { running = "open" }',
    "works_with": 'it is a table from switches to positions, such as { S2 = "head" }, or a list of such tables',
    "via": 'it is a list of trunks, such as ["spine"]',
    "active": f"it {_TEXTS}",
    "works_in": f"it {_TEXTS}",
    "when": f"it {_TEXTS}",
    "ground": f"a ground terminal {_NAME}",
}
"""What each key takes, whatever is wrong with it."""

_IN_TABLE: dict[tuple[str, str], str] = {
    **{
        ("defaults", key): f"a resistance in ohms {_ABOVE_ZERO}"
        for key in ("crimp", "contact", "switch", "relay", "ground", "chassis", "joint")
    },
    (
        "resistors",
        "ohms",
    ): f'a resistance {_ABOVE_ZERO}, or a table such as {{ rest = "half", empty = 250, half = 120 }}',
    ("outputs", "volts"): "a voltage is a finite number",
    ("connectors", "rest"): 'rest is "mated" or "apart"',
}
"""What a key takes where that depends on its table or inner rows."""

_IN_ROWS = {
    **{
        (rows, end): f"a terminal {_NAME}"
        for rows in ("elements", "coils", "drivers", "outputs")
        for end in ("from", "to")
    },
    ("elements", "name"): f"an element's name {_NAME}",
    ("contacts", "rest"): f"it {_GROUPS}",
    ("outputs", "volts"): "a voltage is a finite number",
}
"""What a key takes within rows of a row."""

_CHOICES = re.compile(r"'([^']*)'")


def takes(table: str, path: TomlPath) -> str | None:
    """Say what the key at a path of a row takes; None where no words are known for it."""
    keys = [part for part in path if isinstance(part, str)]
    for outer in ("positions", "pins", "follows", "works_with"):
        if outer in keys:
            return _TAKES[outer]
    if len(keys) > 1 and (keys[-2], keys[-1]) in _IN_ROWS:
        return _IN_ROWS[keys[-2], keys[-1]]
    for key in reversed(keys):
        found = _IN_TABLE.get((table, key)) or _TAKES.get(key)
        if found:
            return found
    return None


@dataclass(frozen=True, slots=True)
class RowFault:
    """One thing that a record refuses.

    Attributes
    ----------
    path
        Where it stands in the row.
    meant
        Path of the key that an unknown key was probably meant to be; empty elsewhere.
    """

    path: TomlPath
    found: str
    right: str
    meant: TomlPath = ()


def row_faults(
    table: str, typed: Mapping[str, object], errors: list[ErrorDetails], keys: Mapping[str, list[str]]
) -> list[RowFault]:
    """List each thing that a record refuses, once.

    Parameters
    ----------
    table
        The table of the row.
    typed
        The row as it stands in the file.
    errors
        What pydantic found.
    keys
        The keys that may stand in the row, under "", and in its inner rows, under the name of each.
    """
    places = [(*_place(typed, error), error) for error in errors]
    places = [(path, is_guess or error["type"] == "too_short", error) for path, is_guess, error in places]
    faults: dict[TomlPath, RowFault] = {}
    for path, is_guess, error in places:
        if is_guess and any(other[: len(path)] == path != other for other, _, _ in places):
            continue
        faults.setdefault(path, _fault(table, typed, path, error, keys))
    meant = {fault.meant for fault in faults.values() if fault.meant}
    return [fault for fault in faults.values() if fault.path not in meant]


def _place(typed: Mapping[str, object], error: ErrorDetails) -> tuple[TomlPath, bool]:
    """Give the path in the row that an error is about, and whether it is one of several readings of a value."""
    path: TomlPath = ()
    at: object = typed
    is_guess = False
    loc = error["loc"]
    for depth, part in enumerate(loc):
        if (isinstance(at, dict) and part in at) or (isinstance(at, list) and isinstance(part, int) and part < len(at)):
            at = at[part]  # type: ignore[index]
            path = (*path, part)
        elif depth == len(loc) - 1 and error["type"] == "missing":
            path = (*path, part)
        else:
            is_guess = True
    return path, is_guess


def _fault(
    table: str, typed: Mapping[str, object], path: TomlPath, error: ErrorDetails, keys: Mapping[str, list[str]]
) -> RowFault:
    kind = error["type"]
    if kind == "missing":
        return RowFault(path, f"no {path[-1]}", takes(table, path) or "it is needed")
    found = found_at(typed, path)
    if kind == "extra_forbidden":
        return _unknown_key(table, path, found, keys)
    if kind in ("enum", "literal_error"):
        return RowFault(path, found, _one_of(value_at(typed, path), error))
    right = takes(table, path) or _by_kind(kind)
    return RowFault(path, found, f"{right}{_bounds(value_at(typed, path))}")


def _bounds(value: object) -> str:
    """Say of a number that is finite, and not below zero, why it is none of a vehicle's all the same."""
    if isinstance(value, bool) or not isinstance(value, int | float) or value in (math.inf, -math.inf):
        return ""
    if value > MOST:
        return "; no vehicle has more than 1e12 of anything"
    return "; no vehicle has less than 1e-9 of anything" if 0 < value < LEAST else ""


def _unknown_key(table: str, path: TomlPath, found: str, keys: Mapping[str, list[str]]) -> RowFault:
    """Say which key was meant, or which there are."""
    inner = next((part for part in reversed(path[:-1]) if isinstance(part, str)), "")
    choices = keys.get(inner, keys[""])
    near = nearest(clean(str(path[-1]), 60), choices)
    place = inner or table
    if near:
        return RowFault(path, found, f"there is no such key in {place}; did you mean {near}?", (*path[:-1], near))
    return RowFault(path, found, f"there is no such key in {place}; it takes {', '.join(choices)}")


def _one_of(value: object, error: ErrorDetails) -> str:
    context: dict[str, Any] = error.get("ctx", {})
    choices = _CHOICES.findall(str(context.get("expected", "")))
    listed = f"it is one of: {', '.join(choices)}"
    near = nearest(clean(value, 60), choices) if isinstance(value, str) else None
    return f"{listed}; did you mean {near}?" if near else listed


def _by_kind(kind: str) -> str:
    match kind:
        case "bool_type":
            return f"it {_FLAG}"
        case "string_type":
            return f"it {_TEXT}"
        case "float_type" | "finite_number" | "greater_than":
            return f"it {_ABOVE_ZERO}"
        case "model_type" | "dict_type":
            return "it is a table, such as { id = ... }"
        case "tuple_type":
            return "it is a list in [ ]"
    return "it cannot be read"
