"""A complaint as a person would tell it."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.condition import Condition
from model.harness.harness import Harness, all_elements, element_label
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.condition_words import key_words, settings_words
from model.tracing.names import either, id_and_label
from model.words import clean

_DOES = {
    Symptom.DEAD: "does nothing",
    Symptom.WEAK: "works weakly",
    Symptom.STAYS_ON: "stays on",
    Symptom.BLOWS_FUSE: "blows its fuse",
    Symptom.WORKS_WITH_ANOTHER: "works when it should not",
    Symptom.COMES_AND_GOES: "comes and goes",
}
_DO = {
    Symptom.DEAD: "do nothing",
    Symptom.WEAK: "work weakly",
    Symptom.STAYS_ON: "stay on",
    Symptom.BLOWS_FUSE: "blow their fuse",
    Symptom.WORKS_WITH_ANOTHER: "work when they should not",
    Symptom.COMES_AND_GOES: "come and go",
}
_AGES = {
    LoomAge.OLD: "It worked for years.",
    LoomAge.YOUNG: "It worked lately; the loom is young.",
    LoomAge.NEW: "It has never worked; the loom is new.",
}
_NAME_CHARACTERS = 60


def complaint_sentences(harness: Harness, complaint: Complaint, condition: Condition) -> tuple[str, ...]:
    """Tell a complaint in a few sentences: what does not work, when that is seen, what others do, how old the loom is.

    Parameters
    ----------
    condition
        The one in which it is seen.
    """
    names = [complained_name(harness, name) for name in complaint.loads]
    does = (_DOES if len(names) == 1 else _DO)[complaint.symptom]
    if complaint.symptom is Symptom.BLOWS_FUSE:
        does = f"{does}, {id_and_label(harness, complaint.fuse)}"
    other = f": {complained_name(harness, complaint.other_load)} alone is switched on" if complaint.other_load else ""
    when = [key_words(harness, condition), *settings_words(harness, condition)]
    said = ", ".join(word for word in when if word)
    return (
        f"{either(names, 'and')} {does}{other}.",
        *((f"Seen with {said}.",) if said else ()),
        *_others(harness, complaint),
        _AGES[complaint.age],
    )


def _others(harness: Harness, complaint: Complaint) -> Iterator[str]:
    """Tell what other loads were seen to do before the first check, a sentence each for those that do the same."""
    for (one, several), names in (
        (("works", "work"), complaint.works),
        ((_DOES[Symptom.WEAK], _DO[Symptom.WEAK]), complaint.weak),
        ((_DOES[Symptom.DEAD], _DO[Symptom.DEAD]), complaint.dead),
    ):
        if names:
            named = either([complained_name(harness, name) for name in names], "and")
            yield f"Of the others {named} {one if len(names) == 1 else several}."


def complained_name(harness: Harness, name: str) -> str:
    """Name what is complained of by its label, its own name behind it: ``Fuel pump (M2)``."""
    element = next((one for one in all_elements(harness) if one.name == name), None)
    if element is None:
        part = harness.parts.get(name)
        label = clean(part.label, _NAME_CHARACTERS).strip() if part is not None else ""
        return f"{label} ({name})" if label else clean(name, _NAME_CHARACTERS)
    label = clean(element_label(harness, element), _NAME_CHARACTERS).strip()
    short = clean(name.removesuffix(":load"), _NAME_CHARACTERS)
    return f"{label} ({short})" if label and label != short else short
