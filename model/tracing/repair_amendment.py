"""The repair of what a trace has found as an amendment of the file: what would be put in, filled in beforehand."""

from __future__ import annotations

from model.circuit.faults import FaultKind
from model.harness.amendments import AmendmentKind
from model.harness.harness import Harness
from model.harness.records import GroundPoint, Wire
from model.tracing.amendment_forms import AmendForm, form_of, kinds_for
from model.tracing.asking import Finding
from model.tracing.fault_words import is_of_a_part, singles_of
from model.tracing.names import site_part
from model.tracing.spare import spares_for
from model.tracing.suspects import RECORD, Suspect
from model.tracing.wire_repair import is_made_anew

_WHOLE_AGAIN = frozenset({FaultKind.TO_BODY, FaultKind.TOUCHES})


def repair_forms(harness: Harness, finding: Finding) -> tuple[AmendForm, ...]:
    """Give what may have been done about a finding, the likeliest first; nothing where it names no part.

    Parameters
    ----------
    finding
        How a trace ended. Of several suspects the likeliest part comes first, then the others.
    """
    forms: list[AmendForm] = []
    for suspect in (one for group in finding.group for one in singles_of(group)):
        forms += _of_suspect(harness, suspect)
    return tuple({(one.kind, one.part_id): one for one in reversed(forms)}.values())[::-1]


def _of_suspect(harness: Harness, suspect: Suspect) -> list[AmendForm]:
    part_id = site_part(harness, suspect.part) if is_of_a_part(suspect) else ""
    if part_id not in harness.parts:
        return []
    kinds = kinds_for(harness, part_id)
    likely = _likely(harness, part_id, suspect)
    ordered = [*(kind for kind in likely if kind in kinds), *(kind for kind in kinds if kind not in likely)]
    return [_form(harness, kind, part_id, suspect) for kind in ordered if kind is not AmendmentKind.REMOVED]


def _likely(harness: Harness, part_id: str, suspect: Suspect) -> tuple[AmendmentKind, ...]:
    """Name the kinds of work that mend a suspect, the likeliest first."""
    part = harness.parts[part_id]
    if suspect.fault in (RECORD, FaultKind.ELSEWHERE):
        return (AmendmentKind.DIFFERS,)
    if isinstance(part, GroundPoint):
        return (AmendmentKind.GROUND_MOVED, AmendmentKind.REPLACED)
    if not isinstance(part, Wire):
        return (AmendmentKind.REPLACED, AmendmentKind.DIFFERS)
    if spares_for(harness, part) and suspect.fault not in _WHOLE_AGAIN:
        return (AmendmentKind.TO_SPARE, AmendmentKind.SPLICED, AmendmentKind.REPLACED)
    if is_made_anew(harness, part):
        return (AmendmentKind.REPLACED, AmendmentKind.SPLICED, AmendmentKind.TO_SPARE)
    return (AmendmentKind.SPLICED, AmendmentKind.REPLACED, AmendmentKind.TO_SPARE)


def _form(harness: Harness, kind: AmendmentKind, part_id: str, suspect: Suspect) -> AmendForm:
    form = form_of(harness, kind, part_id)
    if kind is not AmendmentKind.DIFFERS or suspect.fault != FaultKind.ELSEWHERE:
        return form
    key = "from" if suspect.part.endswith(".a") else "to"
    return form.filled({key: suspect.partner}) if suspect.partner.partition(".")[0] in harness.parts else form
