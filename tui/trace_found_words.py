"""How a trace ended, in paragraphs."""

from __future__ import annotations

from collections.abc import Iterable

from model.tracing.answer_words import expect_words
from model.tracing.asking import Finding
from model.tracing.blown_fuses import blown_fuses, renewed_words
from model.tracing.check_words import check_sentence
from model.tracing.fault_words import suspect_place
from model.tracing.repair import NAMED_AT_MOST, only_part
from model.words import plural
from tui.trace_run import Seen
from tui.trace_step import minutes_words
from tui.trace_why_rows import share_text, suspect_lines

Paragraph = tuple[str, list[str], str]
"""A heading, sentences, and the style they are drawn in."""

_OTHERS_SHOWN = 6
_ONE_OF = "It is one of these: no check in reach tells them apart, or one repair mends them all"


def finding_paragraphs(seen: Seen, finding: Finding, *, names_all: bool = False) -> list[Paragraph]:
    """Return the fault, what says so, cautions before what to do, and how to prove it.

    Parameters
    ----------
    names_all
        True of a page that is kept: there no key lists the suspects that are not named.
    """
    paragraphs: list[Paragraph] = []
    if finding.stopped:
        paragraphs.append((f"{finding.stopped[:1].upper()}{finding.stopped[1:]}".rstrip(".") + ".", [], ""))
    share = [f"{share_text(finding.group_probability)} of all that it may be."] if finding.group else []
    if len(finding.group) > 1:
        told = _suspects(seen, finding, len(finding.group) if names_all else NAMED_AT_MOST)
        paragraphs.append((_heading(seen, finding), [*told, *share], ""))
    elif finding.sentence:
        paragraphs.append((finding.sentence, share, ""))
    if finding.because:
        paragraphs.append(("What says so", [f"· {words}" for words in finding.because], ""))
    if finding.repair:
        paragraphs += [("Before it", list(finding.cautions), "$caution")] if finding.cautions else []
        paragraphs.append(("What to do", [finding.repair], ""))
    paragraphs += _proof(seen, finding)
    if finding.others:
        told = _in_line(suspect_lines(seen.harness, finding.others, _OTHERS_SHOWN))
        heading = "What it may also be" if finding.group else "What may still be wrong"
        paragraphs.append((heading, told, ""))
    work = f"{plural(finding.steps, 'check')}, {minutes_words(finding.minutes)}." if finding.steps else ""
    return [*paragraphs, *([("", [work], "$quiet")] if work else [])]


def _heading(seen: Seen, finding: Finding) -> str:
    """Name the part where all that is left are faults of one; else say why several are left."""
    part = only_part(seen.harness, finding.group)
    if not part:
        return _ONE_OF
    return f"{part[:1].upper()}{part[1:]}: which of its faults it is no check in reach tells, or one repair mends them"


def _suspects(seen: Seen, finding: Finding, most: int) -> list[str]:
    """Name the likeliest of the group, each with share and place, and say how to see the others."""
    group = finding.group[:most]
    named = zip(group, suspect_lines(seen.harness, group, most), strict=True)
    told = _in_line((share, f"{words}; {suspect_place(seen.harness, one)}") for one, (share, words) in named)
    more = len(finding.group) - len(told)
    return [*told, *([f"and {more} more: y lists them"] if more > 0 else [])]


def _in_line(rows: Iterable[tuple[str, str]]) -> list[str]:
    """Set shares right in line before what they are of."""
    told = list(rows)
    cells = max((len(share) for share, _ in told), default=0)
    return [f"{share:>{cells}}  {words}" for share, words in told]


def proof_band(seen: Seen, finding: Finding) -> str:
    """Return the band that proves the repair, in words; empty of a check answered with a word."""
    if finding.prove is None or finding.prove_low is None or finding.prove_high is None:
        return ""
    return expect_words(seen.harness, finding.prove, finding.prove_low, finding.prove_high)


def _proof(seen: Seen, finding: Finding) -> list[Paragraph]:
    if finding.prove is None:
        return []
    band = proof_band(seen, finding)
    fuses = blown_fuses(seen.harness, seen.complaint, seen.answers)
    besides = renewed_words(seen.harness, finding.prove, fuses)
    asked = check_sentence(seen.harness, finding.prove, seen.complaint.loads, besides)
    return [("How to prove it", [asked, *([f"It has to be {band}."] if band else [])], "")]
