"""The repair that a trace has found, put into the file: filled in beforehand, the trace goes on as it was."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from tui.amend_lines import Told
from tui.amending_screens import ask_amendment, stay_amended

if TYPE_CHECKING:
    from tui.screens.frame import Framed
    from tui.trace_run import Seen, TraceRun

_READINGS_MOST = 6


def amend_repair(screen: Framed[Any], seen: Seen, run: TraceRun, proof: tuple[str, ...]) -> None:
    """Ask what was done about a finding, and put it into the file.

    Parameters
    ----------
    proof
        What was read after the repair, in words.
    """
    from model.tracing.asking import Finding
    from model.tracing.repair_amendment import repair_forms

    standing, finding = screen.fusewalk.standing, seen.now
    if standing is None or not isinstance(finding, Finding):
        return
    if standing.harness.build.revision != seen.harness.build.revision or standing.harness != seen.harness:
        screen.say("The file has been amended since this trace was begun: the part's card amends it further.")
        return
    forms = repair_forms(seen.harness, finding)
    if not forms:
        screen.say("No part was found that could be amended: amend by the card of a part.")
        return
    told = Told(finding.sentence, (*finding.because[:_READINGS_MOST], *proof))
    ask_amendment(screen.fusewalk, standing, forms, told, partial(stay_amended, screen.fusewalk), run.beside)
