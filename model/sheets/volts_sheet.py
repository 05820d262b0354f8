"""The volts of a harness in one condition as text: points, loads, relays and fuses in columns."""

from __future__ import annotations

from model.cautions import crank_keys
from model.circuit.settle import Settled
from model.circuit.survey import Survey
from model.harness.hazards import may_be_probed
from model.sheets.columns import padded, wrapped
from model.sheets.condition_words import condition_words
from model.sheets.settled_words import settled_words
from model.words import amps_text, volts_text

_LEFT = frozenset({"state"})


def volts_sheet(found: Survey) -> str:
    """Give what a survey found as text."""
    settled = found.settled
    harness = settled.net.harness
    nodes = settled.point_nodes
    lines = wrapped(f"{harness.build.name}: {condition_words(harness, settled.condition)}.")
    lines.append(f"The posts of the first battery have {volts_text(settled.posts_volts)} V.")
    lines += [line for remark in survey_remarks(found) for line in wrapped(remark)]
    points = [[settled.net.names[node], point_words(settled, node)] for node in nodes]
    lines += [line for refusal in refusals(settled) for line in wrapped(refusal)]
    loads = [
        [name, volts_text(load.volts), amps_text(load.amps), str(load.state)] for name, load in found.loads.items()
    ]
    relays = [[name, "pulled in" if pulled else "at rest"] for name, pulled in settled.relays.items()]
    fuses = [
        [name, amps_text(amps), "blown" if name in settled.blown else ""] for name, amps in found.fuse_amps.items()
    ]
    lines += _table(["point", "volts"], points)
    lines += _table(["load", "volts", "amps", "state"], loads)
    lines += _table(["relay", "state"], relays)
    lines += _table(["fuse", "amps", "state"], fuses)
    return "\n".join(line.rstrip() for line in lines)


def _table(heads: list[str], rows: list[list[str]]) -> list[str]:
    """Lay rows out in columns, figures to the right; nothing where there are no rows."""
    if not rows:
        return []
    cells = [max(len(words) for words in column) for column in zip(heads, *rows, strict=True)]
    is_right = [place > 0 and head not in _LEFT for place, head in enumerate(heads)]
    laid = [
        "  ".join(padded(word, width, right=right) for word, width, right in zip(row, cells, is_right, strict=True))
        for row in [heads, *rows]
    ]
    return ["", *laid]


def point_words(settled: Settled, node: int) -> str:
    """Give the volts of a node as text, or the word that stands in their place."""
    if may_be_probed(settled.net.harness, settled.net.names[node]) is not None:
        return "no probe"
    if node in settled.unsettled:
        return "unsettled"
    if node in settled.floating:
        return "floating"
    return volts_text(float(settled.volts[node]))


def refusals(settled: Settled) -> list[str]:
    """Say why some points are never to be probed, once for each part that is the reason."""
    harness = settled.net.harness
    found = (may_be_probed(harness, settled.net.names[node]) for node in settled.point_nodes)
    by_origin = {refusal.origin: refusal.reason for refusal in found if refusal is not None}
    return list(by_origin.values())


def survey_remarks(found: Survey) -> list[str]:
    """Say in sentences what the figures alone do not: relays that buzz, fuses that open, another end, an estimate."""
    settled = found.settled
    lines = settled_words(settled)
    if found.from_before is not None:
        other = found.from_before
        differing = [name for name, on in other.relays.items() if on != settled.relays[name]]
        where = f" ({', '.join(differing)} otherwise)" if differing else ""
        lines.append(f"Reached from the key state before it, it ends differently{where}.")
    if is_estimate(settled):
        lines.append("While the engine is cranked the volts are an estimate: give what the posts read.")
    return lines


def is_estimate(settled: Settled) -> bool:
    """Tell whether the starter may turn while nobody has read the posts."""
    condition = settled.condition
    return condition.posts_volts is None and condition.key in crank_keys(settled.net.harness)
