"""What is complained of, read from words as typed on a command line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from model.circuit.bench import Bench
from model.circuit.condition import Condition, check_posts, make_condition
from model.errors import ArgumentError
from model.harness.harness import Element, Harness, all_elements, element_label
from model.harness.parts import Battery, Charger, Fuse
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.load_rows import load_needs
from model.tracing.walk import Walker, find_element
from model.tracing.working import working_condition
from model.words import clean, nearest

_LISTED_AT_MOST = 12

E = TypeVar("E", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Said:
    """A complaint as typed.

    Attributes
    ----------
    loads, works, dead, weak
        Each a load, one of its circuits, a module's feed, a battery or a charger, by id or label.
    symptom, age
        A word of :class:`Symptom` and of :class:`LoomAge`.
    key, settings
        The condition in which it was seen; settings each ``X=Y``.
    posts_volts
        Volts across the posts of the first battery: in that condition, at rest where none is said.
    fuse
        With ``blows-fuse``: which; the last one before the first load where none is said.
    other_load
        With ``works-with-another``: which.
    """

    loads: tuple[str, ...]
    symptom: str = str(Symptom.DEAD)
    age: str = str(LoomAge.OLD)
    key: str | None = None
    settings: tuple[str, ...] = ()
    posts_volts: float | None = None
    works: tuple[str, ...] = ()
    dead: tuple[str, ...] = ()
    fuse: str = ""
    other_load: str = ""
    has_helper: bool = True
    weak: tuple[str, ...] = ()


def complaint_of(bench: Bench, said: Said) -> Complaint:
    """Read a complaint.

    Raises
    ------
    ArgumentError
        For anything that the harness does not have, and for what does not go together, naming what is near.
    """
    harness = bench.harness
    symptom = _word(Symptom, said.symptom, "symptom")
    age = _word(LoomAge, said.age, "age of a loom")
    loads = _all_named(harness, said.loads)
    if not loads:
        raise ArgumentError("Nothing is complained of.", do="Name a load, a module's feed, a battery or a charger.")
    works, dead, weak = _seen_before(harness, said, loads)
    if said.posts_volts is not None:
        check_posts(harness, said.posts_volts)
    return Complaint(
        loads,
        symptom,
        age,
        _condition(bench, said, loads[0]),
        said.posts_volts,
        works,
        dead,
        _fuse(bench, said.fuse, symptom, loads[0]),
        _other_load(harness, said.other_load, symptom, loads),
        said.has_helper,
        weak,
    )


def _seen_before(
    harness: Harness, said: Said, loads: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Give the loads that were seen to work, dead and weak beside those complained of; none may be told as two."""
    works = _all_named(harness, said.works)
    dead, weak = (
        tuple(name for name in _all_named(harness, names) if name not in loads) for names in (said.dead, said.weak)
    )
    for name in works:
        if name in loads or name in dead:
            raise ArgumentError(
                f"{name} cannot both work and not.", do="Leave it out of --works, or name it there alone."
            )
    for name in weak:
        if name in works or name in dead:
            other = "works" if name in works else "dead"
            raise ArgumentError(f"{name} is told as weak and as {other}.", do="Name it once.")
    return works, dead, weak


def named_loads(harness: Harness, name: str) -> tuple[str, ...]:
    """Give the elements that a name means: every circuit of a load, one circuit or feed, a battery, a charger.

    Raises
    ------
    ArgumentError
        Where the harness has no such thing, or several parts go by that label.
    """
    folded = name.strip().casefold()
    sources: list[Battery | Charger] = [*harness.batteries, *harness.chargers]
    for by_label in (False, True):
        names = ((source.label if by_label else source.id).strip().casefold() for source in sources)
        found = [source.id for source, one in zip(sources, names, strict=True) if folded and one == folded]
        if len(found) == 1:
            return tuple(found)
        whole = _whole_loads(harness, folded, by_label=by_label)
        if len(whole) == 1:
            return next(iter(whole.values()))
    try:
        return (find_element(harness, name).name,)
    except ArgumentError as error:
        near = nearest(name, _every_name(harness))
        # a name that is there and yet refused is that of several
        if near is None or near.casefold() == folded:
            raise
        raise ArgumentError(error.what, do=f"Did you mean {near}?") from None


def one_load(harness: Harness, name: str) -> str:
    """Give the one element, battery or charger that a name means.

    Raises
    ------
    ArgumentError
        Where there is none, or there are several.
    """
    found = named_loads(harness, name)
    return found[0] if len(found) == 1 else find_element(harness, name).name


def _every_name(harness: Harness) -> list[str]:
    """List everything that can be complained of, by every name that it goes by."""
    elements = all_elements(harness)
    parts = [*dict.fromkeys(element.part_id for element in elements)]
    parts += [source.id for source in (*harness.batteries, *harness.chargers)]
    labels = [element_label(harness, element) for element in elements] + [harness.parts[one].label for one in parts]
    return [word for word in (*(element.name for element in elements), *parts, *labels) if word]


def _whole_loads(harness: Harness, folded: str, *, by_label: bool) -> dict[str, tuple[str, ...]]:
    """Map each load or module that goes by this id or label to all its circuits or feeds."""
    found: dict[str, tuple[str, ...]] = {}
    for element in all_elements(harness):
        part = harness.parts[element.part_id]
        if folded and (part.label if by_label else part.id).strip().casefold() == folded:
            found[part.id] = (*found.get(part.id, ()), element.name)
    return found


def _all_named(harness: Harness, names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for name in names for one in named_loads(harness, name)))


def _word(kind: type[E], typed: str, what: str) -> E:
    try:
        return kind(typed.strip().casefold())
    except ValueError:
        near = nearest(typed, list(kind))
        do = f"Did you mean {near}?" if near else f"There are: {', '.join(kind)}."
        raise ArgumentError(f"There is no {what} “{clean(typed)}”.", do=do) from None


def _condition(bench: Bench, said: Said, first: str) -> Condition | None:
    """Give the condition that was said: of settings alone in the key state in which the first load should work."""
    if said.key is None and not said.settings:
        return None
    key = said.key
    element = _element(bench.harness, first)
    if key is None and element is not None:
        key = working_condition(bench, element).condition.key
    return make_condition(bench.harness, key, said.settings)


def _element(harness: Harness, name: str) -> Element | None:
    return next((element for element in all_elements(harness) if element.name == name), None)


def _fuse(bench: Bench, typed: str, symptom: Symptom, first: str) -> str:
    harness = bench.harness
    if symptom is not Symptom.BLOWS_FUSE:
        if typed:
            raise ArgumentError("A fuse is named, but none is said to blow.", do="Add --symptom blows-fuse.")
        return ""
    name = typed or _last_fuse(bench, first)
    if isinstance(harness.parts.get(name), Fuse):
        return name
    ids = [fuse.id for fuse in harness.fuses]
    near = nearest(name, ids)
    listed = ", ".join(ids[:_LISTED_AT_MOST])
    do = f"Did you mean {near}?" if near else f"There are: {listed}." if ids else "The file has no fuse."
    raise ArgumentError(f"There is no fuse “{clean(name)}”." if name else "Which fuse blows is not said.", do=do)


def _last_fuse(bench: Bench, first: str) -> str:
    element = _element(bench.harness, first)
    if element is None:
        return ""
    walker = Walker(bench)
    return load_needs(walker, walker.walk(element)).fuse_id


def _other_load(harness: Harness, typed: str, symptom: Symptom, loads: tuple[str, ...]) -> str:
    if symptom is not Symptom.WORKS_WITH_ANOTHER:
        if typed:
            raise ArgumentError(
                "Another load is named, but nothing is said to work with it.", do="Add --symptom works-with-another."
            )
        return ""
    if not typed:
        raise ArgumentError("Which other load it works with is not said.", do="Add --with LOAD.")
    other = find_element(harness, typed).name
    if other in loads:
        raise ArgumentError(f"{other} is the load complained of itself.", do="Name the other load with --with.")
    return other
