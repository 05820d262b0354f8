"""Fuses that blew: which are known to be blown while a trace goes on, and which need a new one with the repair."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Protocol

from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from model.circuit.faults import Fault
from model.errors import ArgumentError, CircuitError
from model.harness.harness import Harness
from model.harness.parts import Fuse, FuseStyle
from model.tracing.checks import Check, CheckKind, Outcome, Word
from model.tracing.complaint import Complaint, Symptom
from model.tracing.fuse_words import fuse_fitting
from model.tracing.names import part_name

_SEEN_BLOWN = {(CheckKind.LOOK, Word.BAD), (CheckKind.NEW_FUSE, Word.BLOWS)}
_SEEN_WHOLE = {(CheckKind.LOOK, Word.GOOD), (CheckKind.NEW_FUSE, Word.HOLDS)}
_NOTHING_FLOWS = frozenset({CheckKind.LOOK, CheckKind.NEW_FUSE})


class Told(Protocol):
    """A check that was answered."""

    @property
    def check(self) -> Check:
        """The check."""
        ...

    @property
    def outcome(self) -> Outcome:
        """What came of it."""
        ...


def blown_fuses(harness: Harness, complaint: Complaint, answers: Iterable[Told]) -> tuple[str, ...]:
    """Name the fuses that are known to be blown: by the complaint or by what was seen, until a new one held."""
    found = dict.fromkeys([complaint.fuse] if complaint.symptom is Symptom.BLOWS_FUSE and complaint.fuse else [])
    for one in answers:
        if one.outcome.word is None or not isinstance(harness.parts.get(one.check.part), Fuse):
            continue
        what = (one.check.kind, one.outcome.word)
        if what in _SEEN_BLOWN:
            found[one.check.part] = None
        elif what in _SEEN_WHOLE:
            found.pop(one.check.part, None)
    return tuple(found)


def left_words(harness: Harness, check: Check, fuses: Iterable[str]) -> tuple[str, ...]:
    """Say of fuses known to be blown that a check is made with them so: ``fuse F13 (Dip beam) blown, no new one in``.

    Every reading is weighed so until a check has asked for a new fuse and that held. Nothing is said of a fuse that is
    out in the check or that the check itself is on, nor where no current matters.
    """
    words = []
    for fuse in _in_place(harness, check, fuses):
        is_breaker = fuse.style is FuseStyle.BREAKER
        words.append(f"{part_name(harness, fuse.id)} {'tripped, not reset' if is_breaker else 'blown, no new one in'}")
    return tuple(words)


def as_it_stands(harness: Harness, check: Check, fuses: Iterable[str]) -> Check:
    """Give a check with the fuses that are known to be blown out: what a sound circuit shows of it as things stand."""
    condition = check.condition
    for fuse in _in_place(harness, check, fuses):
        condition = condition.with_setting(fuse.id, OUT)
    return replace(check, condition=condition)


def renewed_words(harness: Harness, check: Check, fuses: Iterable[str]) -> tuple[str, ...]:
    """Say of fuses that blew what stands in their place when a repair is proved.

    Examples
    --------
    ``a new 20 A blade fuse, yellow, as fuse F13 (Dip beam)``
    """
    words = []
    for fuse in _in_place(harness, check, fuses):
        name = part_name(harness, fuse.id)
        is_breaker = fuse.style is FuseStyle.BREAKER
        words.append(f"{name} reset" if is_breaker else f"a new {fuse_fitting(harness, fuse)}, as {name}")
    return tuple(words)


def _in_place(harness: Harness, check: Check, fuses: Iterable[str]) -> list[Fuse]:
    if check.kind in _NOTHING_FLOWS:
        return []
    out = {name for name, value in check.condition.settings if value == OUT}
    left = [name for name in fuses if name not in out and name != check.part]
    return [harness.part_of(name, Fuse) for name in left]


def blown_with(bench: Bench, faults: Iterable[tuple[Fault, ...]], condition: Condition) -> tuple[str, ...]:
    """Name the fuses that blow where one of some sets of faults is there, and do not in the sound circuit.

    Parameters
    ----------
    faults
        Each set by itself; one that cannot be solved blows none.
    condition
        The one in which the complaint is seen; faults in it are left out.
    """
    sound = condition.healthy()
    found: dict[str, None] = {}
    for one in faults:
        try:
            settled = bench.survey(Condition(sound.key, sound.settings, one, sound.posts_volts)).settled
            whole = bench.survey(sound).settled.blown
        except (ArgumentError, CircuitError):
            continue
        found.update(dict.fromkeys(name for name in settled.blown if name not in whole))
    return tuple(found)


def new_fuse_steps(harness: Harness, fuses: Iterable[str]) -> tuple[str, ...]:
    """Say which fuses are renewed once what blew them is mended, none larger than the wires bear."""
    steps = []
    for name in fuses:
        fuse = harness.part_of(name, Fuse)
        if fuse.style is FuseStyle.BREAKER:
            steps.append(f"With all put together, reset {part_name(harness, name)}: this tripped it.")
        else:
            fitting = fuse_fitting(harness, fuse)
            steps.append(
                f"With all put together, fit as {part_name(harness, name)} one new {fitting}, never a larger one: "
                f"this blew the old one."
            )
    return tuple(steps)
