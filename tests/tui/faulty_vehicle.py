"""A vehicle with a fault in it, that answers the questions of line mode by solving its circuit one at a time."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from model.circuit.condition import Condition, parse_setting
from model.circuit.faults import Fault, parse_fault
from model.circuit.meter import read_lamp, read_ohms, read_volts
from model.circuit.settle import Settled, settle
from model.circuit.survey import LoadState, Survey, survey
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.toml_file import read_harness
from model.tracing.asking import Question
from model.tracing.checks import MEASURED, WORDS_OF, CheckKind, Word

ROOT = Path(__file__).parents[2]
_MOST_QUESTIONS = 60
_SEEN = {
    LoadState.WORKS: "works",
    LoadState.UNASKED: "works",
    LoadState.WEAK: "weak",
    LoadState.GLOWS: "glows",
    LoadState.DEAD: "dead",
    LoadState.OFF: "dead",
}
WORDS: dict[CheckKind, Callable[[dict[str, Any]], Word]] = {
    CheckKind.OBSERVE: lambda said: Word(said["load"]),
    CheckKind.LISTEN: lambda said: Word.PULLS if said["pulls"] else Word.SILENT,
    CheckKind.LOOK: lambda said: Word.GOOD if said["good"] else Word.BAD,
    CheckKind.LAMP: lambda said: Word(said["lamp"]),
    CheckKind.NEW_FUSE: lambda said: Word.HOLDS if said["holds"] else Word.BLOWS,
    CheckKind.SWAP: lambda said: Word.CURED if said["cured"] else Word.NOT_CURED,
}


@dataclass
class Traced:
    """What came of a trace run as a process.

    Attributes
    ----------
    asked
        Its questions, in order.
    last
        Its last line.
    """

    asked: list[dict[str, Any]] = field(default_factory=list)
    last: dict[str, Any] = field(default_factory=dict)
    code: int = -1
    errors: str = ""

    def found(self) -> set[tuple[str, str]]:
        """Give part and fault of each suspect of the finding."""
        return {(one["part"], one["fault"]) for one in self.last["finding"]}


class FaultyVehicle:
    """Answers questions.

    Parameters
    ----------
    fault
        As a command line spells it.
    """

    def __init__(self, path: Path, fault: str) -> None:
        self.harness: Harness = read_harness(path)
        self.fault: Fault = parse_fault(self.harness, fault)
        self.is_mended = False

    def answer(self, question: dict[str, Any]) -> dict[str, Any]:
        """Answer a question by its kind; what cannot be tried here cannot be reached."""
        condition = self._condition(question)
        match question["kind"]:
            case "volts" | "drop":
                volts = read_volts(self.harness, condition, question["red"], question["black"]) or 0.0
                return {"volts": round(volts, 4 if question["kind"] == "drop" else 2)}
            case "ohms":
                ohms = read_ohms(self.harness, condition, question["red"], question["black"])
                return {"ohms": None if ohms is None else round(ohms, 2)}
            case "amps":
                return {"amps": round(abs(self._survey(condition).fuse_amps[question["part"]]), 2)}
            case "lamp":
                ends = (f"{question['part']}.in", f"{question['part']}.out") if "part" in question else None
                red, black = ends or (question["red"], question["black"])
                return {"lamp": str(read_lamp(self.harness, condition, red, black, watts=question["watts"]).light)}
            case "observe":
                return {"load": _SEEN[self._survey(condition).loads[self._element(question["load"])].state]}
            case "listen":
                return {"pulls": self._settle(condition).relays[question["part"]]}
            case "look":
                return {"good": self._looks_good(question["part"], condition)}
            case "new fuse":
                return {"holds": self._new_fuse_holds(question["part"], question)}
            case "swap":
                return {"cured": self.fault.site.partition(":")[0] == question["part"]}
            case _:
                return {"skip": True}

    def _condition(self, question: dict[str, Any]) -> Condition:
        typed: Iterable[tuple[str, str]] = question["settings"].items()
        settings = tuple(parse_setting(self.harness, f"{name}={value}") for name, value in typed)
        return Condition(question["key"], settings, () if self.is_mended else (self.fault,))

    def _new_fuse_holds(self, part: str, question: dict[str, Any]) -> bool:
        """Put a new fuse in: where the old one was all that was wrong, nothing is wrong from here on."""
        self.is_mended = self.is_mended or self.fault.site == part
        return part not in self._settle(self._condition(question)).blown

    def _survey(self, condition: Condition) -> Survey:
        return survey(self.harness, condition)

    def _settle(self, condition: Condition) -> Settled:
        return settle(self.harness, condition)

    def _element(self, name: str) -> str:
        return name if ":" in name else f"{name}:{SINGLE_ELEMENT}"

    def _looks_good(self, part: str, condition: Condition) -> bool:
        is_bad = self.fault.site == part and not self.is_mended
        return not is_bad and part not in self._settle(condition).blown


def keys_for(question: Question, vehicle: FaultyVehicle) -> tuple[str, ...]:
    """Return the keys that answer a check with what the vehicle shows."""
    check = question.check
    asked = {
        name: getattr(check, name)
        for name in ("red", "black", "part", "load", "other", "watts")
        if getattr(check, name)
    }
    said = vehicle.answer(
        {"kind": str(check.kind), "key": check.condition.key, "settings": check.condition.by_name, **asked}
    )
    if "skip" in said:
        return ("n",)
    if check.kind not in MEASURED:
        return (str(WORDS_OF[check.kind].index(WORDS[check.kind](said)) + 1), "enter")
    number = next(iter(said.values()))
    unit = "V" if check.kind is CheckKind.DROP else ""
    return (*("OL" if number is None else f"{number}{unit}"), "enter")


def trace_in_process(path: Path, words: Iterable[str], vehicle: FaultyVehicle) -> Traced:
    """Run ``fusewalk trace --json`` as a process of its own, and answer all that it asks."""
    found = Traced()
    command = [sys.executable, "-m", "tui", "trace", str(path), *words, "--json"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, cwd=ROOT, encoding="utf-8", **pipes) as process:  # type: ignore[call-overload]
        while len(found.asked) < _MOST_QUESTIONS:
            line = process.stdout.readline()
            if not line:
                break
            said = json.loads(line)
            if "finding" in said:
                found.last = said
                break
            found.asked.append(said)
            process.stdin.write(json.dumps(vehicle.answer(said)) + "\n")
            process.stdin.flush()
        rest, found.errors = process.communicate()
        assert rest == ""
        found.code = process.returncode
    return found
