"""The rows of a draw with the key off: the meter in, awake, the wait, asleep, each fuse, what has no fuse."""

from __future__ import annotations

from collections.abc import Iterator

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.harness.metal import wires_at
from model.harness.parts import Fuse
from model.harness.places import NO_PLACE_WORDS, place_of, place_words
from model.plans.draw_scene import DrawScene
from model.plans.plan import Limit, Measure, PlanRow
from model.plans.row_words import titled
from model.plans.stages import place_ranks
from model.review.draw import BankDraw, FuseDraw
from model.review.draw_figures import figure
from model.review.draw_flow import NEXT_TO_NOTHING_AMPS
from model.review.draw_fuse import fuse_ohms
from model.tables import SourceKind
from model.tracing.names import id_and_label, part_name, point_name, wire_code
from model.tracing.nets import nets_of
from model.words import amps_text, clean, drop_text

AT_THE_END = "At the end"
WITHOUT_FUSE = "What hangs on the battery without a fuse"

_AWAKE_BLIND = "Awake, control units draw what they like for some minutes: the row asleep judges the draw."


def bank_rows(scene: DrawScene, bank: BankDraw) -> Iterator[PlanRow]:
    """Give the rows of the ammeter in the lead of a bank: in, awake, the wait, asleep."""
    name = bank.batteries[0]
    yield _meter_in(scene, bank)
    if not scene.has_sleep:
        yield _draw(scene, bank, f"draw {name}", "draw at rest", is_asleep=True)
        return
    yield _draw(scene, bank, f"draw awake {name}", "draw awake", is_asleep=False)
    yield _wait(scene, bank)
    yield _draw(scene, bank, f"draw asleep {name}", "draw asleep", is_asleep=True, after=meter_key(bank))


def wait_key(bank: BankDraw) -> str:
    """Give the key of the row that starts the clock of a bank anew where something woke."""
    return f"wait {bank.batteries[0]}"


def meter_key(bank: BankDraw) -> str:
    """Give the key of the row whose answer starts the clock of a bank."""
    return f"meter in {bank.batteries[0]}"


def _head(scene: DrawScene, bank: BankDraw) -> str:
    return f"The meter in the lead of {scene.post_words(bank)}"


def _meter_in(scene: DrawScene, bank: BankDraw) -> PlanRow:
    posts, harness = scene.posts(bank), scene.harness
    condition = scene.review.awake
    wanted = (CAUTIONS[CautionKind.BATTERY_GAS], CAUTIONS[CautionKind.AMMETER])
    cautions = dict.fromkeys(one.text for one in (*cautions_for(harness, posts, condition), *wanted))
    return PlanRow(
        key=meter_key(bank),
        title=titled(f"meter in at {scene.bank_words(bank)}, everything off and shut"),
        group=_head(scene, bank),
        measure=Measure.SEEN,
        condition=condition,
        place=clean(place_of(harness, bank.batteries[0]).name),
        expect_words="in, nothing woken",
        before=_meter_words(scene, bank),
        cautions=tuple(cautions),
    )


def _shut_words(scene: DrawScene) -> tuple[str, ...]:
    chargers = ", ".join(id_and_label(scene.harness, name) for name in scene.review.chargers_off)
    return (
        "Key out, everything off. Shut doors and lids; where you have to reach in, turn the latch by hand until it "
        "clicks, so that its switch takes the lid for shut and nothing wakes.",
        *([f"Off and unplugged: {chargers}."] if chargers else []),
    )


def _meter_words(scene: DrawScene, bank: BankDraw) -> tuple[str, ...]:
    most = amps_text(figure("ammeter").value)
    post, leads = scene.post_words(bank), scene.leads_words(bank)
    if not _goes_in_line(bank):
        flows_amps = max(abs(bank.awake_amps), abs(bank.asleep_amps))
        return (
            *_shut_words(scene),
            f"By the file {amps_text(flows_amps)} flow there with the key off, more than the {most} socket bears: put "
            f"no meter in line. A DC clamp, zeroed there, around all leads of {post} at once{leads and f' ({leads})'}.",
        )
    several = " Where there are several posts, one after the other, and add." if len(scene.posts(bank)) > 1 else ""
    return (
        f"Never crank with the meter in, and switch nothing on that draws over {most}: jumper on first.",
        *_shut_words(scene),
        f"In line: DC A, red lead in the {most} socket. Lay a jumper with a fuse of {most} across the joint, one clip "
        f"on {post}, one on the clamps of all its leads{f' ({leads})' if leads else ''}. With the jumper on lift the "
        "clamps off; put the meter between post and clamps; then take the jumper off: the supply is never broken."
        f"{several}",
        "Or leave everything bolted and lay a DC clamp for milliamperes, zeroed there, around all those leads at once.",
    )


def _goes_in_line(bank: BankDraw) -> bool:
    """Tell whether the socket of a meter bears what a bank gives by the file."""
    return max(abs(bank.awake_amps), abs(bank.asleep_amps)) <= figure("ammeter").value


def _draw(
    scene: DrawScene, bank: BankDraw, key: str, words: str, *, is_asleep: bool, after: str = "", group: str = ""
) -> PlanRow:
    amps = bank.asleep_amps if is_asleep else bank.awake_amps
    most = figure("ammeter")
    limit = scene.bank_limit(bank) if is_asleep else Limit(None, most.value, most.source, most.source_kind)
    return PlanRow(
        key=key,
        title=titled(f"{words}, {scene.bank_words(bank)}"),
        group=group or _head(scene, bank),
        measure=Measure.AMPS,
        condition=scene.review.asleep if is_asleep else scene.review.awake,
        place=clean(place_of(scene.harness, bank.batteries[0]).name),
        expect=round(abs(amps), 7),
        limit=limit,
        covers=bank.batteries,
        tells=is_asleep,
        blind="" if is_asleep else _AWAKE_BLIND,
        after=after,
        wait_minutes=scene.review.wait_minutes if after else 0.0,
        anew=wait_key(bank) if after == meter_key(bank) else "",
        most_amps=most.value if _goes_in_line(bank) else None,
        before=_over(scene, amps) if is_asleep else (),
    )


def _over(scene: DrawScene, amps: float) -> tuple[str, ...]:
    """Say where by its own file a sound loom draws more than the limit."""
    limit = scene.review.limit
    if abs(amps) <= scene.review.limit_amps:
        return ()
    most = amps_text(scene.review.limit_amps)
    return (f"By its own file the sound loom draws {amps_text(abs(amps))} here, over {most} ({limit.source}).",)


def _wait(scene: DrawScene, bank: BankDraw) -> PlanRow:
    review, harness = scene.review, scene.harness
    longest = figure("longest wait")
    names = ", ".join(id_and_label(harness, name) for name in review.sleepers)
    whose = f"By the file {names} sleep after that." if names and not review.wait_source else ""
    if review.wait_source:
        whose = f"The file does not give it: {review.wait_minutes:g} min are those of {review.wait_source}."
    return PlanRow(
        key=wait_key(bank),
        title=f"Wait {review.wait_minutes:g} min, touch nothing",
        group=_head(scene, bank),
        measure=Measure.SEEN,
        condition=review.asleep,
        place=clean(place_of(harness, bank.batteries[0]).name),
        expect_words="nothing woken meanwhile",
        after=meter_key(bank),
        wait_minutes=review.wait_minutes,
        anew=wait_key(bank),
        before=(
            f"{whose} Some vehicles take up to {longest.value:g} min ({longest.source}): while the amperes still fall, "
            "wait on. Whatever wakes it, a door, the key, a remote key nearby, starts the clock anew: "
            "answer bad then.".strip(),
        ),
    )


def fuse_rows(scene: DrawScene) -> Iterator[PlanRow]:
    """Give the millivolts across every seated fuse, those of one place together, as the file lists places."""
    ranks = place_ranks(scene.harness)
    draws = {draw.fuse_id: draw for draw in scene.review.fuses}

    def rank(fuse: Fuse) -> int:
        return ranks.get(clean(place_of(scene.harness, fuse.id).name), len(ranks))

    for fuse in sorted(scene.harness.fuses, key=rank):
        yield _fuse_row(scene, fuse, draws[fuse.id])


def _fuse_row(scene: DrawScene, fuse: Fuse, draw: FuseDraw) -> PlanRow:
    harness, ohms = scene.harness, fuse_ohms(fuse)
    place = place_of(harness, fuse.id)
    amps = abs(draw.asleep_amps)
    most_amps = scene.most_amps(amps)
    expect, most = ohms.millivolts(amps), ohms.millivolts(most_amps)
    can_show = most - expect >= scene.digit_millivolts
    limit = scene.review.limit
    # a sound fuse at the edge of its band, and a meter a digit off, are not bad
    high = most * (1.0 + ohms.band_share) + scene.digit_millivolts
    computed = (
        f"{_most_words(scene, most_amps, amps, 'fuse')}, at {1000 * ohms.cold_ohms:.3g} mΩ and "
        f"{100 * ohms.band_share:.0f} %, and a digit of the meter"
    )
    red, black = _sides(scene, fuse, draw)
    return PlanRow(
        key=f"fuse {fuse.id}",
        title=titled(f"{id_and_label(harness, fuse.id)}{_rating(fuse)}, seated"),
        group=f"Fuses, {place_words(place) if place else NO_PLACE_WORDS}",
        measure=Measure.MILLIVOLTS,
        condition=scene.review.asleep,
        red=red,
        black=black,
        place=clean(place.name),
        expect=round(expect, 6),
        limit=Limit(None, high, limit.source, SourceKind.JUDGEMENT, computed),
        covers=(fuse.id,),
        tells=can_show,
        blind="" if can_show else _blind(scene, fuse, ohms.amps(scene.digit_millivolts), most_amps - amps),
        fuse=ohms,
        before=_fuse_before(fuse),
        cautions=tuple(one.text for one in cautions_for(harness, (red, black), scene.review.asleep)),
    )


def _most_words(scene: DrawScene, most_amps: float, amps: float, what: str) -> str:
    """Say what may flow in a place, and where that comes from."""
    limit = scene.review.limit_amps
    if scene.is_used_up and most_amps <= limit:
        return f"{amps_text(limit)} of the whole draw"
    return f"{scene.spare_words} beyond the {amps_text(amps)} of this {what}"


def _sides(scene: DrawScene, fuse: Fuse, draw: FuseDraw) -> tuple[str, str]:
    """Give red and black, so that what is drawn reads positive."""
    nets = nets_of(scene.harness)
    sides = nets.upstream[fuse.id], nets.downstream[fuse.id]
    is_turned = (draw.asleep_amps < -NEXT_TO_NOTHING_AMPS) is not (scene.harness.build.ground_side == "positive")
    return sides[::-1] if is_turned else sides


def _rating(fuse: Fuse) -> str:
    return "" if fuse.amps is None else f", {fuse.amps:g} A {fuse.style}"


def _blind(scene: DrawScene, fuse: Fuse, digit_amps: float, counts_amps: float) -> str:
    behind = "on the fuses behind it, or " if fuse.id in scene.feeding_fuses else ""
    digit = drop_text(scene.digit_millivolts / 1000.0)
    return (
        f"One digit, {digit}, is {amps_text(digit_amps)} on this fuse, more than the {amps_text(counts_amps)} "
        f"that count: what it carries shows {behind}by a clamp."
    )


def _fuse_before(fuse: Fuse) -> tuple[str, ...]:
    if fuse.ohms is not None or fuse.style == "blade":
        return ()
    band = figure("other fuse band").value / 100.0
    return (
        f"What a {fuse.style} fuse resists is not known: it is reckoned as a blade fuse of its rating, so that the "
        f"true amperes may be {100 / (1 + band):.0f} % to {100 / (1 - band):.0f} % of those said.",
    )


def unfused_rows(scene: DrawScene, bank: BankDraw) -> Iterator[PlanRow]:
    """Give the amperes of each part that hangs on a bank without a fuse: generator, starter, winch."""
    drawn: dict[str, float] = {}
    for one in bank.unfused:
        owner = one.name.partition(":")[0]
        drawn[owner] = drawn.get(owner, 0.0) + one.asleep_amps
    for part_id, point in scene.unfused_parts(bank).items():
        yield _unfused_row(scene, part_id, point, drawn.get(part_id, 0.0))


def _unfused_row(scene: DrawScene, part_id: str, point: str, amps: float) -> PlanRow:
    harness, limit = scene.harness, scene.review.limit
    wires = ", ".join(f"{wire.id} {wire_code(harness, wire)}" for wire in wires_at(harness).get(point, ()))
    most_amps = scene.most_amps(amps)
    computed = _most_words(scene, most_amps, amps, "part")
    place = place_of(harness, part_id)
    off = f"lift {wires or 'its lead'} off {point_name(harness, point)}"
    return PlanRow(
        key=f"unfused {part_id}",
        title=titled(f"{part_name(harness, part_id)}: what it draws by no fuse"),
        group=WITHOUT_FUSE,
        measure=Measure.AMPS,
        condition=scene.review.asleep,
        red=point,
        place=clean(place.name),
        expect=round(amps, 7),
        limit=Limit(None, most_amps, limit.source, SourceKind.JUDGEMENT, computed),
        covers=(part_id,),
        before=(
            "A DC clamp for milliamperes, zeroed there. Without one: grounded clamp off, "
            f"{off} and cover it, grounded clamp on with the meter in again; what the whole falls by is its draw.",
        ),
        cautions=tuple(one.text for one in cautions_for(harness, (point,), scene.review.asleep)),
    )


def end_rows(scene: DrawScene, bank: BankDraw) -> Iterator[PlanRow]:
    """Give the last rows of a bank: woken once more, and the draw when it sleeps again."""
    name, harness = bank.batteries[0], scene.harness
    place = clean(place_of(harness, name).name)
    woken = PlanRow(
        key=f"woken {name}",
        title=titled(f"everything back in, woken once and shut again, {scene.bank_words(bank)}"),
        group=AT_THE_END,
        measure=Measure.SEEN,
        condition=scene.review.awake,
        place=place,
        expect_words="all in, off and shut",
        before=(
            "Jumper on, everything back as it was, fuses of the same rating. Turn the key on and off, open a door and "
            "shut it; then jumper off, with the meter in. After the last row: jumper on, clamps on and tight, jumper "
            "off, and the red lead back in the volts socket.",
        ),
        cautions=(CAUTIONS[CautionKind.AMMETER].text, CAUTIONS[CautionKind.FUSE_RATING].text),
    )
    yield woken
    after = woken.key if scene.has_sleep else ""
    words = "last draw, asleep again" if scene.has_sleep else "last draw"
    yield _draw(scene, bank, f"last draw {name}", words, is_asleep=True, after=after, group=AT_THE_END)
