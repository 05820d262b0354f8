"""What mends what was found: the finding in a sentence, the work in sentences, what to heed, and how it is proved."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from model.cautions import CAUTIONS, CautionKind, cautions_for
from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from model.circuit.faults import FaultKind
from model.harness.fields import Hazard
from model.harness.harness import Harness
from model.harness.hazards import NEVER_PROBED, hazards_of_part, hazards_of_point
from model.harness.parts import Fuse, Module
from model.harness.places import NO_PLACE_WORDS
from model.harness.records import Wire
from model.tracing.blown_fuses import blown_with, new_fuse_steps
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.fault_words import is_of_a_part, is_of_the_list, singles_of, suspect_place, suspect_words
from model.tracing.fuse_words import fitting_of
from model.tracing.merged_steps import merged
from model.tracing.names import either, id_and_label, part_name, site_part, site_parts, site_points
from model.tracing.part_repair import part_steps
from model.tracing.proof import fault_of, proof_of
from model.tracing.suspects import RECORD, UNKNOWN, Suspect
from model.tracing.wire_repair import BATTERY_OFF, wire_steps
from model.words import clean

NAMED_AT_MOST = 5
"""So many suspects are named in a sentence; the others are counted."""

_PUT_BACK = "Put back what was taken apart."
_POWER_BACK = "Put back what was taken apart, then connect battery and chargers again, the grounded post's cable last."
_IN_ORDER = "Do the work in this order, and look at the load after each part of it."
_IN_ORDER_OFF = (
    "Do the work in this order. After each part of it put back what was taken apart, connect the battery again, and "
    "look at the load: where it works, stop there; else the battery comes off again."
)
_TAKEN_APART = re.compile(r"\b(unplug|undo|pull|apart)\b", re.IGNORECASE)
_TIMES = "Then try it at least five times, and work what shares its plug, its fuse or its trunk as well."


@dataclass(frozen=True, slots=True)
class Repair:
    """What to do about what was found.

    Attributes
    ----------
    sentence
        The finding: part, fault and place; of several suspects all of them.
    steps
        The work, each step a sentence or two, in the order in which it is done.
    cautions
        Full sentences that stand before the work, the gravest first.
    prove
        The check whose reading proves the repair.
    asks_why
        True where the work does not end the trace: a fuse that blew did so for a reason.
    """

    sentence: str
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    prove: Check
    asks_why: bool

    @property
    def text(self) -> str:
        """The work in one paragraph."""
        return " ".join(self.steps)


def asks_why(suspect: Suspect) -> bool:
    """Tell whether a suspect is an effect whose cause has still to be traced: a blown fuse."""
    return suspect.fault == FaultKind.BLOWN


def repair_of(bench: Bench, group: tuple[Suspect, ...], complaint: Complaint, condition: Condition) -> Repair:
    """Say what mends a group of suspects and how it is proved.

    Parameters
    ----------
    group
        The likeliest first; those that no check tells apart or that the same work mends.
    condition
        The one in which the complaint is seen.

    Raises
    ------
    ValueError
        Where the group is empty.
    """
    if not group:
        raise ValueError("a repair needs at least one suspect")
    harness = bench.harness
    singles = tuple(dict.fromkeys(one for suspect in group for one in singles_of(suspect)))
    prove = proof_of(bench, group[0], complaint, condition)
    work = _steps(harness, singles)
    return Repair(
        finding_sentence(harness, group),
        (*work, *_new_fuses(bench, group, prove, condition), *_put_back(work), _TIMES),
        repair_cautions(harness, singles),
        prove,
        any(asks_why(suspect) for suspect in singles),
    )


def finding_sentence(harness: Harness, group: tuple[Suspect, ...]) -> str:
    """Say what was found and where in one sentence; of many suspects the likeliest, and how many more there are."""
    every = list(dict.fromkeys(_all_at_place(harness, suspect) for suspect in group))
    if len(every) == 1:
        return f"{_capital(every[0])}."
    return f"Either {'; or '.join(_first(every))}."


def only_part(harness: Harness, group: tuple[Suspect, ...]) -> str:
    """Name the part that all suspects are faults of; empty where they are of several, or of none."""
    singles = [one for suspect in group for one in singles_of(suspect)]
    if not singles or not all(is_of_a_part(one) for one in singles):
        return ""
    parts = {name for one in singles for name in site_parts(harness, one.part)}
    return part_name(harness, parts.pop()) if len(parts) == 1 else ""


def _first(words: list[str]) -> list[str]:
    """Give the first of some names, and the number of the others in place of their names."""
    more = len(words) - NAMED_AT_MOST
    return words if more <= 0 else [*words[:NAMED_AT_MOST], f"{more} more"]


def _all_at_place(harness: Harness, suspect: Suspect) -> str:
    """Say what is wrong and where; of two faults at once both, each with its place."""
    singles = [_at_place(harness, one) for one in singles_of(suspect)]
    return singles[0] if len(singles) == 1 else f"both {', and '.join(singles)}"


def _at_place(harness: Harness, suspect: Suspect) -> str:
    words = suspect_words(harness, suspect)
    if not is_of_a_part(suspect):
        return words
    place = suspect_place(harness, suspect)
    joining = "" if place.startswith("from ") or place == NO_PLACE_WORDS else "at "
    return f"{words}, {joining}{place}"


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _steps(harness: Harness, group: tuple[Suspect, ...]) -> tuple[str, ...]:
    """Say the work part by part, the likeliest first; what several faults share only once."""
    by_part: dict[str, list[Suspect]] = {}
    for suspect in group:
        by_part.setdefault(_worked_on(harness, suspect), []).append(suspect)
    each = [(one, merged([work_steps(harness, fault) for fault in one])) for one in _with_one_work(harness, by_part)]
    if len(each) == 1:
        return _if_not_cured(each[0][1])
    opening = BATTERY_OFF if any(BATTERY_OFF in work for _, works in each for work in works) else ""
    steps = [_IN_ORDER_OFF, opening] if opening else [_IN_ORDER]
    for suspects, works in each:
        named = either(_first(list(dict.fromkeys(suspect_words(harness, one) for one in suspects))))
        heading = f"For {named}" if is_of_a_part(suspects[0]) else "If none of this mends it"
        own = _if_not_cured((tuple(step for step in works[0] if step != opening), *works[1:]), is_off=bool(opening))
        steps.append(f"{heading}: {_lowered(own[0])}")
        steps += own[1:]
    return tuple(steps)


def _if_not_cured(works: tuple[tuple[str, ...], ...], *, is_off: bool = False) -> tuple[str, ...]:
    """Tell works on one part one after another, each but the first for what the one before has not cured.

    Whether it has shows once all is put back and the battery on.

    Parameters
    ----------
    is_off
        True where the battery came off before the first of them.
    """
    steps = list(works[0])
    for before, work in pairwise(works):
        back = (_POWER_BACK,) if is_off else _put_back(before)
        steps += [*back, f"If that does not cure it: {_lowered(work[0])}", *work[1:]]
    return tuple(steps)


def _put_back(work: tuple[str, ...]) -> tuple[str, ...]:
    """Say what goes back before the load can be looked at; nothing where nothing came off."""
    if any("battery off" in step for step in work):
        return (_POWER_BACK,)
    return (_PUT_BACK,) if any(_TAKEN_APART.search(step) for step in work) else ()


def _lowered(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"


def _worked_on(harness: Harness, suspect: Suspect) -> str:
    """Name the part that the work on a suspect is on; two faults of one relay or wire have one."""
    return site_part(harness, suspect.part) if is_of_a_part(suspect) else suspect.fault


def _with_one_work(harness: Harness, by_part: dict[str, list[Suspect]]) -> Iterator[list[Suspect]]:
    """Give the suspects of each part, with those of other parts that the very same work mends."""
    by_work: dict[frozenset[tuple[str, ...]], list[Suspect]] = {}
    for suspects in by_part.values():
        by_work.setdefault(frozenset(work_steps(harness, one) for one in suspects), []).extend(suspects)
    yield from by_work.values()


def borrowed_steps(harness: Harness, swaps: Iterable[Check]) -> tuple[str, ...]:
    """Say of relays that cured the complaint in the place of another that they go back, and what that told."""
    return tuple(
        f"{_capital(part_name(harness, one.other))} in its place cured it: what fails is "
        f"{id_and_label(harness, one.part)} or its socket. Put {clean(one.other)} back where it belongs."
        for one in swaps
    )


def _new_fuses(bench: Bench, group: tuple[Suspect, ...], prove: Check, condition: Condition) -> tuple[str, ...]:
    """Say which fuses the likeliest suspects blow: without new ones the repair proves nothing.

    What the work on a suspect or the proof fits anew anyhow is not said twice.
    """
    singles = [singles_of(suspect) for suspect in group[:NAMED_AT_MOST]]
    faults = [tuple(fault for fault in map(fault_of, each) if fault is not None) for each in singles]
    fitted = {site_part(bench.harness, one.part) for suspect in group for one in singles_of(suspect)}
    if prove.kind is CheckKind.NEW_FUSE:
        fitted.add(prove.part)
    blown = blown_with(bench, [one for one in faults if one], condition)
    return new_fuse_steps(bench.harness, [name for name in blown if name not in fitted])


def work_steps(harness: Harness, suspect: Suspect) -> tuple[str, ...]:
    """Say in sentences what mends one suspect."""
    refused = _refusal(harness, suspect)
    if refused:
        return (refused,)
    part_id = site_part(harness, suspect.part)
    if is_of_the_list(suspect):
        try:
            kind = FaultKind(suspect.fault)
        except ValueError:
            return (f"Look at {part_name(harness, part_id)} and all that ends on it.",)
        part = harness.parts.get(part_id)
        if isinstance(part, Wire):
            return wire_steps(harness, part, suspect.part, kind, suspect.partner)
        return part_steps(harness, suspect.part, kind)
    if suspect.fault == UNKNOWN:
        return (
            BATTERY_OFF,
            f"Look at {part_name(harness, part_id)} closely: it behaves as no fault on the list would make it.",
            "Unplug it, look at its plug and terminals, and try one that is known to be good.",
        )
    if suspect.fault == RECORD:
        return (
            "Follow the circuit on the vehicle wire by wire, colour and cavity at each end, beside the file.",
            "Write what stands there into the file, and trace again: the readings do not fit the file as it is.",
        )
    return ("Look at the complaint again: none of the suspects left would show it.",)


def _refusal(harness: Harness, suspect: Suspect) -> str:
    """Say why the part is left alone where an airbag, a belt tensioner or high voltage is on it."""
    hazards = _hazards(harness, suspect) & NEVER_PROBED
    if not hazards:
        return ""
    kind = CautionKind.RESTRAINT if Hazard.RESTRAINT in hazards else CautionKind.HIGH_VOLTAGE
    named = either(id_and_label(harness, part_id) for part_id in site_parts(harness, suspect.part))
    return f"Do no work on {named} yourself. {CAUTIONS[kind].text}"


def _hazards(harness: Harness, suspect: Suspect) -> frozenset[Hazard]:
    if not is_of_a_part(suspect):
        return frozenset()
    found = [hazard for point in _points(harness, suspect) for hazard in hazards_of_point(harness, point)]
    for part_id in site_parts(harness, suspect.part):
        if part_id in harness.parts:
            found += hazards_of_part(harness, part_id)
    return frozenset(found)


def _points(harness: Harness, suspect: Suspect) -> tuple[str, ...]:
    """Name the points that the work on a suspect touches, those of what a wire touches among them."""
    if not is_of_a_part(suspect):
        return ()
    points = [*site_points(harness, suspect.part)]
    if suspect.partner:
        points += site_points(harness, suspect.partner)
    return tuple(dict.fromkeys(point for point in points if _is_known(harness, point)))


def _is_known(harness: Harness, point: str) -> bool:
    return point.partition(".")[0] in harness.parts


def repair_cautions(harness: Harness, group: Iterable[Suspect]) -> tuple[str, ...]:
    """Choose the cautions that stand before the work, the gravest first, in full sentences."""
    suspects = tuple(group)
    points = dict.fromkeys(point for suspect in suspects for point in _points(harness, suspect))
    work = [step for suspect in suspects for step in work_steps(harness, suspect)]
    condition = Condition(harness.key_names[0])
    for suspect in suspects:
        part_id = site_part(harness, suspect.part)
        part = harness.parts.get(part_id)
        keeps_rating = isinstance(part, Fuse) and fitting_of(harness, part).thinnest is None
        if keeps_rating or isinstance(part, Module):
            condition = condition.with_setting(part_id, OUT)
    kinds = {caution.kind for caution in cautions_for(harness, points, condition)}
    if any("battery off" in step for step in work):
        kinds |= {CautionKind.BATTERY_ORDER, CautionKind.POWER_OFF}
    return tuple(caution.text for kind, caution in CAUTIONS.items() if kind in kinds)
