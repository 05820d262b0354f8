"""One fuse in at a time, the others out: the live clamp against the grounded one."""

from __future__ import annotations

from collections import deque
from dataclasses import replace

from model.circuit.condition import Condition
from model.harness.parts import Fuse
from model.harness.places import place_of
from model.plans.insulation_groups import Ground
from model.plans.insulation_reading import LEAST_ERRORS, Reading
from model.plans.insulation_rows import Head, blind_words, reading_row
from model.plans.limits import meter_error_ohms
from model.plans.plan import PlanRow
from model.tracing.names import either, id_and_label
from model.words import clean, ohms_text


def fitted_rows(ground: Ground, group: str) -> list[PlanRow]:
    """Give a row for each fuse that metal, closed contacts and other fuses join to a live post with all at rest.

    The fuses between it and the post are in with it.
    """
    rows: list[PlanRow] = []
    seen: set[str] = set()
    for post in ground.live_posts:
        for fuse_id, before in _chains(ground, post).items():
            if fuse_id not in seen:
                seen.add(fuse_id)
                rows += _fitted_row(ground, post, (*before, fuse_id), group)
    return rows


def _chains(ground: Ground, post: str) -> dict[str, tuple[str, ...]]:
    """Give the fuses between a live post and each fuse, the one at the post first."""
    loom = ground.loom
    fuse_of = {link.branch: link.part_id for link in loom.net.fuses}
    carries = loom.circuit(Condition(ground.harness.key_names[0])).carries
    closed = {contact.branch for contact in loom.contacts if carries[contact.branch]}
    closed |= {branch for mover in loom.net.movers for branch in mover.opens if carries[branch]}
    start = loom.node(post)
    found: dict[int, tuple[str, ...]] = {start: ()}
    waiting = deque([start])
    while waiting:
        node = waiting.popleft()
        if node in ground.nodes:
            continue
        for branch, far in loom.beside[node]:
            fuse_id = fuse_of.get(branch)
            if far in found or not (fuse_id or branch in closed or ground.is_metal(branch)):
                continue
            found[far] = (*found[node], fuse_id) if fuse_id else found[node]
            if fuse_id:
                waiting.append(far)
            else:
                waiting.appendleft(far)
    chains = {}
    for fuse in ground.harness.fuses:
        chain = found.get(loom.node(ground.load_side(fuse)), ())
        if chain and chain[-1] == fuse.id:
            chains[fuse.id] = chain[:-1]
    return chains


def _fitted_row(ground: Ground, post: str, chain: tuple[str, ...], group: str) -> list[PlanRow]:
    harness = ground.harness
    out = tuple(pair for pair in ground.at_rest.settings if pair[0] not in chain)
    reading = Reading(ground, post, Condition(harness.key_names[0], out)).as_taken()
    if reading.refusal is not None:
        return []
    fuse_id = chain[-1]
    named = id_and_label(harness, fuse_id)
    with_it = f", {' '.join(chain[:-1])} in too" if len(chain) > 1 else ""
    fitted = either([id_and_label(harness, one) for one in chain], "and")
    head = Head(
        f"fitted {fuse_id}",
        clean(f"Fit {named} alone{with_it}: live clamp to ground", 90),
        group,
        (fuse_id,),
        (f"Fit {fitted}, no other fuse; take out again afterwards. The meter's leads stay on the clamps.",),
    )
    place = clean(place_of(harness, fuse_id).name)
    row = replace(reading_row(reading, head, reading.to_unplug()), place=place)
    return [_judged_by_its_fuse(reading, row, harness.part_of(fuse_id, Fuse))]


def _judged_by_its_fuse(reading: Reading, row: PlanRow, fuse: Fuse) -> PlanRow:
    """Let a row tell where a short at the load side of its fuse reads under the limit."""
    ground = reading.ground
    shorted = reading.with_touch(ground.loom.node(ground.load_side(fuse)), reading.ends[1])
    enough = reading.ohms >= LEAST_ERRORS * meter_error_ohms(reading.ohms)
    if enough and shorted < reading.least_ohms:
        return replace(row, tells=True, blind="", opens=())
    blind = blind_words(reading, row.opens) or f"Whole and shorted it reads about {ohms_text(shorted)}."
    return replace(row, tells=False, blind=blind.replace(": the next row.", " for this row to tell."))
