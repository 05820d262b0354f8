"""What somebody asks of a new circuit: answers as typed, read and held against the harness."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from model.cautions import crank_keys
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.parts import LoadKind
from model.review.pattern_questions import DROP_CRITICAL, DROP_OTHERS, Pattern, questions_of
from model.review.pattern_sizes import size_system
from model.review.wire_size import SizeSystem
from model.words import clean, nearest

_ACCESSORY_NAMES = frozenset({"accessory", "acc", "radio"})
_KIND_OF = {Pattern.SPEEDS: LoadKind.MOTOR, Pattern.SOCKET: LoadKind.SOCKET, Pattern.MODULE: LoadKind.ELECTRONICS}
_FLAGS = {"yes": True, "true": True, "no": False, "false": False}
_LONGEST_M = 100.0


class When:
    """Words for key states that every vehicle knows."""

    PERMANENT = "permanent"
    ACCESSORY = "accessory"
    IGNITION = "ignition"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a circuit.

    Attributes
    ----------
    amps, watts
        The rated current at the nominal volts, and its watts where those were given.
    switched_amps, asleep_amps
        Of a control unit: its switched feed; its permanent feed asleep.
    keys
        Key states in which it can work.
    drop_percent
        Of the nominal volts that may be lost out and back.
    answers
        All answers as typed; what is none of the questions is meant for a proposal.
    """

    pattern: Pattern
    kind: LoadKind
    amps: float
    watts: float | None
    switched_amps: float
    asleep_amps: float | None
    start_amps: float | None
    keys: tuple[str, ...]
    drop_percent: float
    is_critical: bool
    speeds: int
    system: SizeSystem
    answers: Mapping[str, str]

    def text(self, key: str) -> str:
        """Give an answer as typed; empty where there is none."""
        return self.answers.get(key, "").strip()

    def length_m(self, run: str) -> float | None:
        """Give the length of a run in metres; None where nobody gave it.

        Raises
        ------
        ArgumentError
            Where it is no length.
        """
        typed = self.text(f"{run}_length")
        return _number(f"{run}_length", typed, above_zero=False, most=_LONGEST_M) if typed else None

    def trunks(self, run: str) -> tuple[str, ...]:
        """Name the trunks of a run in order."""
        return tuple(name.strip() for name in self.text(f"{run}_via").split(",") if name.strip())

    @property
    def label(self) -> str:
        """What it is called."""
        kind = {LoadKind.ELECTRONICS: "Control unit"} if self.pattern is Pattern.MODULE else {}
        return self.text("label") or kind.get(self.kind, str(self.kind).capitalize())


def read_answers(harness: Harness, pattern: Pattern, answers: Mapping[str, str]) -> Asked:
    """Read what is asked of a circuit.

    Raises
    ------
    ArgumentError
        Where something needed is not answered, or an answer is none that fits.
    """
    given = {key: value for key, value in answers.items() if value.strip()}
    _refuse_missing(pattern, given)
    critical = _flag(given.get("critical", "no"))
    watts, amps = _rated(harness, pattern, given)
    for name in (name for key in given if key.endswith("_via") for name in given[key].split(",")):
        if name.strip() and name.strip() not in harness.trunks_by_name:
            raise ArgumentError(f"There is no trunk “{clean(name, 60)}”.", do=_near(name, harness.trunks_by_name))
    return Asked(
        pattern=pattern,
        kind=_kind(pattern, given),
        amps=amps,
        watts=watts,
        switched_amps=_number("switched_amps", given["switched_amps"]) if pattern is Pattern.MODULE else 0.0,
        asleep_amps=_optional(given, "asleep_amps"),
        start_amps=_optional(given, "start_amps"),
        keys=asked_keys(harness, given.get("when") or _default(pattern, "when")),
        drop_percent=_number("drop", given.get("drop", DROP_CRITICAL if critical else DROP_OTHERS), most=50.0),
        is_critical=critical,
        speeds=_speeds(given.get("speeds", "3")),
        system=_system(given["sizes"]) if "sizes" in given else size_system(harness),
        answers=given,
    )


def asked_keys(harness: Harness, typed: str) -> tuple[str, ...]:
    """Name the key states that somebody asks for, in the order in which the key turns.

    Parameters
    ----------
    typed
        ``permanent``: all of them. ``ignition``: all but the first and those called accessory. ``accessory``: all but
        the first and those in which the starter turns. Else names of key states parted by commas.

    Raises
    ------
    ArgumentError
        Where the file has none such.
    """
    names = harness.key_names
    wanted = [name.strip() for name in typed.split(",") if name.strip()]
    choices = {
        When.PERMANENT: names,
        When.ACCESSORY: tuple(name for name in names[1:] if name not in crank_keys(harness)),
        When.IGNITION: tuple(name for name in names[1:] if name.casefold() not in _ACCESSORY_NAMES),
    }
    if typed.strip().casefold() not in choices and wanted and all(name in names for name in wanted):
        return tuple(name for name in names if name in wanted)
    unknown = next((name for name in wanted if name not in names), typed)
    if typed.strip().casefold() not in choices:
        raise ArgumentError(f"There is no key state “{clean(unknown, 60)}”.", do=_near(unknown, when_words(harness)))
    found = choices[typed.strip().casefold()]
    if not found:
        raise ArgumentError(
            f"The file has no key state beside {clean(names[0], 40)}: nothing can work with the key on alone.",
            do="Add key_states first, or ask for permanent.",
        )
    return found


def when_words(harness: Harness) -> tuple[str, ...]:
    """List once each what can be asked for: the words that fit the file's key states, then those key states."""
    names = harness.key_names
    has_accessory = any(name.casefold() in _ACCESSORY_NAMES for name in names)
    words = [When.PERMANENT]
    if len(names) > 1:
        words += [When.ACCESSORY, When.IGNITION] if has_accessory else [When.IGNITION]
    return tuple(dict.fromkeys((*words, *names)))


def _refuse_missing(pattern: Pattern, given: Mapping[str, str]) -> None:
    needed = {question.key: question.words for question in questions_of(pattern) if question.is_needed}
    if {"watts", "amps"} <= needed.keys() and {"watts", "amps"} & given.keys():
        needed = {key: words for key, words in needed.items() if key not in ("watts", "amps")}
    missing = {key: words for key, words in needed.items() if key not in given}
    if missing:
        said = "; ".join(f"{key}, {words}" for key, words in missing.items())
        raise ArgumentError(f"Not answered yet: {said}.", do="Write each as key=value.")
    if pattern is not Pattern.MODULE and {"watts", "amps"} <= given.keys():
        raise ArgumentError("Both watts and amps are given.", do="Give one of them.")


def _default(pattern: Pattern, key: str) -> str:
    return next((one.default for one in questions_of(pattern) if one.key == key), When.PERMANENT)


def _kind(pattern: Pattern, given: Mapping[str, str]) -> LoadKind:
    if pattern in _KIND_OF:
        return _KIND_OF[pattern]
    typed = given.get("kind", str(LoadKind.LAMP))
    kinds = [str(kind) for kind in LoadKind if kind is not LoadKind.SOCKET]
    if typed not in kinds:
        raise ArgumentError(f"There is no kind of load “{clean(typed, 60)}”.", do=_near(typed, kinds))
    return LoadKind(typed)


def _rated(harness: Harness, pattern: Pattern, given: Mapping[str, str]) -> tuple[float | None, float]:
    if pattern is not Pattern.MODULE and "watts" in given:
        watts = _number("watts", given["watts"])
        return watts, watts / harness.build.nominal_volts
    return None, _number("amps", given["amps"])


def _optional(given: Mapping[str, str], key: str) -> float | None:
    return _number(key, given[key], above_zero=key != "asleep_amps") if key in given else None


def _number(key: str, typed: str, *, above_zero: bool = True, most: float = 100_000.0) -> float:
    """Read a number, with a decimal comma too and its unit behind it."""
    bare = re.sub(r"\s*(A|W|V|m|mm²|mm2|%)$", "", typed.strip()).replace(",", ".")
    try:
        number = float(bare)
    except ValueError:
        raise ArgumentError(f"“{clean(typed, 60)}” is no number for {key}.", do="Write it as 2.5.") from None
    if not math.isfinite(number) or number < 0 or (above_zero and number == 0) or number > most:
        raise ArgumentError(f"{clean(typed, 60)} cannot be {key}.", do=f"It is above 0 and at most {most:g}.")
    return number


def read_number(key: str, typed: str) -> float:
    """Read a number above zero that somebody gives in place of a proposal.

    Raises
    ------
    ArgumentError
        Where it is none.
    """
    return _number(key, typed)


def _flag(typed: str) -> bool:
    if typed.casefold() not in _FLAGS:
        raise ArgumentError(f"“{clean(typed, 60)}” is neither yes nor no.", do="Type yes or no.")
    return _FLAGS[typed.casefold()]


def _speeds(typed: str) -> int:
    if typed not in ("2", "3", "4"):
        raise ArgumentError(f"{clean(typed, 60)} is no number of speeds that a resistor pack gives.", do="2, 3 or 4.")
    return int(typed)


def _system(typed: str) -> SizeSystem:
    systems = {"metric": SizeSystem.METRIC, "mm²": SizeSystem.METRIC, "awg": SizeSystem.AWG}
    if typed.casefold() not in systems:
        raise ArgumentError(f"There are no sizes “{clean(typed, 60)}”.", do="metric or AWG.")
    return systems[typed.casefold()]


def _near(word: str, choices: Mapping[str, object] | tuple[str, ...] | list[str]) -> str:
    near = nearest(word, choices)
    if near is not None:
        return f"Did you mean {near}?"
    return f"There are: {', '.join(list(choices)[:12])}." if choices else ""
