"""Questions and findings of a trace as JSON objects, one a line."""

from __future__ import annotations

import json
import math
from typing import Any, TextIO, assert_never

from model.circuit.condition import Condition, setting_choices
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Charger, Load, Switch
from model.tracing.asking import Finding, Question
from model.tracing.checks import MEASURED, Check, CheckKind
from model.tracing.fault_words import singles_of
from model.tracing.suspects import NOT_SHOWN, Suspect

FORMAT = 1
_PARTNER_KEYS = {"elsewhere": "at"}


def write_line(out: TextIO, found: dict[str, Any]) -> None:
    """Write one object as one line and send it off; characters that the stream does not know as escapes of JSON."""
    in_utf_8 = (getattr(out, "encoding", None) or "").lower().replace("_", "-") in ("utf-8", "utf8")
    out.write(json.dumps(found, ensure_ascii=not in_utf_8, allow_nan=False) + "\n")
    out.flush()


def question_json(harness: Harness, question: Question) -> dict[str, Any]:
    """Give a question as line mode asks it.

    A number that the sound circuit does not hold, and ohms that are open, are null.
    """
    check = question.check
    found: dict[str, Any] = {"format": FORMAT, "step": question.step}
    if question.of > 1:
        found |= {"reading": question.reading, "of": question.of}
    found |= check_json(harness, check)
    found["posts"] = number_json(question.posts_volts)
    if check.kind in MEASURED:
        found["healthy"] = number_json(question.healthy)
        found |= {"low": number_json(question.low), "high": number_json(question.high)}
    else:
        found["healthy"] = question.healthy_words
    found["why"] = question.why
    found["minutes"] = round(question.minutes, 1)
    found["cautions"] = list(question.cautions)
    found["suspects"] = suspects_json(question.suspects)
    return found


def check_json(harness: Harness, check: Check) -> dict[str, Any]:
    """Give the kind of a check, its own fields, and the condition in which it is made."""
    settings = settings_json(harness, check.condition)
    return {"kind": str(check.kind), **_own_fields(harness, check), "key": check.condition.key, "settings": settings}


def _own_fields(harness: Harness, check: Check) -> dict[str, Any]:
    match check.kind:
        case CheckKind.VOLTS | CheckKind.DROP | CheckKind.OHMS:
            return {"red": check.red, "black": check.black}
        case CheckKind.AMPS | CheckKind.LISTEN | CheckKind.LOOK | CheckKind.NEW_FUSE:
            return {"part": check.part}
        case CheckKind.LAMP:
            where = {"part": check.part} if check.part else {"red": check.red, "black": check.black}
            return {"watts": number_json(check.watts), **where}
        case CheckKind.OBSERVE:
            return {"load": load_json(harness, check.load)}
        case CheckKind.BRIDGE:
            return {"from": check.red, "to": check.black, "fuse_amps": number_json(check.fuse_amps)}
        case CheckKind.SWAP:
            return {"part": check.part, "with": check.other}
        case _:
            assert_never(check.kind)


def load_json(harness: Harness, name: str) -> str:
    """Name a circuit by ``id:element``, one that has no elements by its id alone."""
    owner, _, circuit = name.partition(":")
    part = harness.parts.get(owner)
    return owner if circuit == SINGLE_ELEMENT and isinstance(part, Load) and not part.elements else name


def settings_json(harness: Harness, condition: Condition) -> dict[str, str]:
    """Give everything that is not at rest."""
    return {name: value for name, value in condition.by_name.items() if not _is_at_rest(harness, condition, name)}


def _is_at_rest(harness: Harness, condition: Condition, name: str) -> bool:
    value, part = condition.by_name[name], harness.parts.get(name)
    if isinstance(part, Switch):
        rest = part.follows.get(condition.key, setting_choices(harness, name)[0])
        return value == rest
    # whether a charger is on at rest is for the key state to say
    return not isinstance(part, Charger) and value in setting_choices(harness, name)[:1]


def suspects_json(suspects: tuple[Suspect, ...]) -> list[dict[str, Any]]:
    """Give suspects as the harness format spells them, a partner under ``with``, or ``at`` where an end really is.

    Of two faults at once each stands by itself, with the share of both. What the complaint does not show has no
    spelling there and is left out.
    """
    found: list[dict[str, Any]] = []
    for suspect in suspects:
        if suspect.fault == NOT_SHOWN:
            continue
        for single in singles_of(suspect):
            one: dict[str, Any] = {"part": single.part, "fault": single.fault}
            if single.partner:
                one[_PARTNER_KEYS.get(single.fault, "with")] = single.partner
            found.append(one | {"probability": round(suspect.probability, 4)})
    return found


def finding_json(harness: Harness, finding: Finding) -> dict[str, Any]:
    """Give the last line: the group that was found, or why the trace could not end with one."""
    group = () if finding.stopped else finding.group
    found: dict[str, Any] = {
        "finding": suspects_json(group),
        "group_probability": round(finding.group_probability, 4) if group else 0.0,
        "steps": finding.steps,
        "minutes": round(finding.minutes, 1),
        "repair": finding.repair,
        "cautions": list(finding.cautions),
        "prove": None if finding.prove is None else _prove_json(harness, finding.prove, finding),
    }
    if finding.stopped or not group:
        found["stopped"] = finding.stopped or "no group of suspects is left"
    return found


def _prove_json(harness: Harness, check: Check, finding: Finding) -> dict[str, Any]:
    found = check_json(harness, check)
    if check.kind in MEASURED:
        found |= {"low": number_json(finding.prove_low), "high": number_json(finding.prove_high)}
    return found


def number_json(number: float | None) -> float | None:
    """Give a number to five figures; None for what is not held, open or not a number."""
    if number is None or not math.isfinite(number):
        return None
    return float(f"{number:.5g}") + 0.0
