"""An amendment as rows of a form: what is asked of the work, then why it was done, what was read, by whom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from model.amending import Why
from model.errors import FusewalkError
from model.harness.amendments import Amendment
from model.harness.harness import Harness
from model.tracing.amendment_forms import DOES, AmendField, AmendForm, amendment_of, form_of, kinds_for
from model.tracing.names import id_and_label
from model.words import clean
from tui.form_rows import FormLine
from tui.putting_in import said_of

REASON, READING, WHO = "reason of it", "reading after it", "done by"
_LONGEST = 1000
_HEADS = {
    "old": "failed wires",
    "spares": "spares",
    "left_on": "ends left on",
    "splice": "splice",
    "at": "along it, m",
    "to": "sits now at",
}
_ASKED = {
    REASON: "Why it was done.",
    READING: "What was read afterwards, in words: 12.4 V at M2 +.",
    WHO: "Who did it; letters of a name will do.",
}


@dataclass(frozen=True, slots=True)
class Told:
    """What is known of the work beforehand, from a trace.

    Attributes
    ----------
    readings
        What was read, each in words.
    """

    reason: str = ""
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a form comes to: an amendment, or why there is none."""

    amendment: Amendment | None
    words: str


def kind_rows(harness: Harness, forms: tuple[AmendForm, ...]) -> list[tuple[str, str, str]]:
    """Return forms to choose from: head, key and words of each."""
    return [
        (id_and_label(harness, one.part_id), str(place), f"{one.kind}: {DOES[one.kind]}")
        for place, one in enumerate(forms)
    ]


def forms_for(harness: Harness, part_id: str) -> tuple[AmendForm, ...]:
    """Return the forms of all kinds of work that fit a part."""
    return tuple(form_of(harness, kind, part_id) for kind in kinds_for(harness, part_id))


def amend_lines(form: AmendForm, stood: Mapping[str, str], values: Mapping[str, str], told: Told) -> list[FormLine]:
    """Return the rows of a form.

    Parameters
    ----------
    stood
        What the file has, by the keys of the fields.
    values
        What somebody has given.
    """
    return [*_asked(form, stood, values), *_besides(values, told)]


def _asked(form: AmendForm, stood: Mapping[str, str], values: Mapping[str, str]) -> Iterator[FormLine]:
    for one in form.fields:
        value = values.get(one.key, one.value)
        before = stood.get(one.key, "")
        is_changed = form.is_row and value.strip() != before
        was = f"In the file: {before or 'nothing'}." if is_changed else ""
        words = f"{one.words[:1].upper()}{one.words[1:]}."
        yield FormLine(
            one.key,
            _row_head(one) if form.is_row else _HEADS.get(one.key, one.key),
            value,
            "-",
            words,
            was,
            tuple((choice, "") for choice in one.choices),
            is_changed=is_changed,
        )


def _row_head(one: AmendField) -> str:
    words = one.key.replace("_", " ")
    return f"{words}, {one.unit}" if one.unit else words


def _besides(values: Mapping[str, str], told: Told) -> Iterator[FormLine]:
    yield FormLine("", "told in the record")
    known = {REASON: told.reason, READING: "; ".join(told.readings), WHO: ""}
    for key, words in _ASKED.items():
        yield FormLine(key, key, values.get(key, known[key]), "-", words)


def outcome_of(harness: Harness, form: AmendForm, values: Mapping[str, str]) -> Outcome:
    """Work out what a form comes to."""
    try:
        found = amendment_of(harness, form.filled(values))
    except FusewalkError as error:
        return Outcome(None, clean(f"{error.what} {error.do}".rstrip(), _LONGEST))
    return Outcome(found, clean(" ".join(said_of(found)), _LONGEST))


def why_of(values: Mapping[str, str], told: Told) -> Why:
    """Give why, what was read and who, as they stand in the form."""
    typed = values.get(READING)
    readings = told.readings if typed is None else tuple(filter(None, (one.strip() for one in typed.split(";"))))
    return Why(values.get(REASON, told.reason).strip(), readings, values.get(WHO, "").strip())
