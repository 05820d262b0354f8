"""The plan of a draw with the key off: how much leaves the battery, and through which fuse."""

from __future__ import annotations

from model.caution_words import CAUTIONS, CautionKind
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.plans.crank_and_charge import rest_rows
from model.plans.crank_scene import Scene
from model.plans.draw_rows import bank_rows, end_rows, fuse_rows, unfused_rows
from model.plans.draw_scene import DrawScene
from model.plans.plan import Plan, PlanKind
from model.review.draw import BankDraw
from model.words import amps_text, clean, drop_text

_CAUTIONS = (CautionKind.BATTERY_GAS, CautionKind.UNFUSED, CautionKind.FUSE_RATING, CautionKind.SUPPLY_OFF)


def draw_plan(harness: Harness) -> Plan:
    """Make the plan that finds what a vehicle draws with the key off.

    Raises
    ------
    CircuitError
        Where the circuit finds no rest with the key off.

    Notes
    -----
    The whole draw is judged by service literature (Ford 2023, 50 mA), of a vehicle in which no electronics draw by a
    judgement. A fuse, or a part without one, is bad where it carries so much beyond the file that it alone brings the
    whole over the limit.
    """
    draw = DrawScene(Scene(harness))
    scene = draw.scene
    banks = [bank for bank in draw.review.banks if not _is_refused(draw, bank)]
    rows = [
        *rest_rows(scene),
        *(row for bank in banks for row in bank_rows(draw, bank)),
        *fuse_rows(draw),
        *(row for bank in banks for row in unfused_rows(draw, bank)),
        *(row for bank in banks for row in end_rows(draw, bank)),
    ]
    for row in rows:
        scene.add(row)
    return Plan(
        kind=PlanKind.DRAW,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=tuple(scene.rows),
        about=_about(draw),
        cautions=tuple(CAUTIONS[kind].text for kind in _CAUTIONS),
        left_out=tuple(dict.fromkeys(scene.left_out)),
    )


def _is_refused(draw: DrawScene, bank: BankDraw) -> bool:
    """Tell whether nobody may put a meter in the lead of a bank, and say so."""
    refusals = [may_be_probed(draw.harness, post) for post in draw.posts(bank)]
    reason = next((one.reason for one in refusals if one is not None), "")
    if reason:
        draw.scene.left_out.append(f"Draw of {draw.bank_words(bank)}: {reason}")
    return bool(reason)


def _about(draw: DrawScene) -> tuple[str, ...]:
    review = draw.review
    digit = drop_text(draw.digit_millivolts / 1000.0)
    said = [
        "Finds what the battery loses with the key off. By the file "
        f"{amps_text(abs(review.asleep_amps))} leave it once everything sleeps; at most "
        f"{amps_text(review.limit_amps)} may.",
        "Once everything sleeps no fuse is pulled: millivolts across each seated fuse, on the two test points of its "
        f"back, tell its current. The display ends at {digit}; where a fuse cannot show what counts, its row says so.",
        "A fuse whose ohms are not those of its kind reads wrong: what stands out is checked by a clamp.",
    ]
    if review.unsettled:
        said.append(f"At rest the circuit by the file does not stand still: {', '.join(review.unsettled)}. Mend that.")
    if review.shorted:
        said.append("By the file metal joins the posts of a battery: leave its cable off, and mend that first.")
    if not draw.harness.fuses:
        said.append("This loom has no fuse, so that only what hangs on the battery itself is read.")
    return tuple(said)
