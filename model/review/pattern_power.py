"""What a new circuit hangs on, and the size of its wires."""

from __future__ import annotations

from collections.abc import Iterable

from model.errors import ArgumentError
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import FeedPoint, best_feed, next_best_feed
from model.review.pattern_fuse import Need
from model.review.pattern_proposal import FILE, SIZE_BASIS, Reason
from model.review.pattern_sizes import Sizing, bears_amps, least_area_mm2, sized
from model.review.pattern_words import keys_words
from model.units import parse_size
from model.words import amps_text, drop_text, size_text


def choose_feed(draft: Draft, key: str, what: str, keys: tuple[str, ...], place: str) -> FeedPoint | None:
    """Propose what a circuit hangs on so that it has feed in some key states; None where nothing has feed in all.

    Raises
    ------
    ArgumentError
        Where the one that was given does not exist.
    """
    offered = draft.feeds.offered
    found = best_feed(offered, keys, place)
    chosen = found or next_best_feed(offered, keys)
    if chosen is None and not draft.asked.text(key):
        return None
    if chosen is None:
        chosen = draft.feeds.named(draft.asked.text(key))
    said = f"{chosen.kind} with feed {keys_words(draft.harness, chosen.moved_keys)}"
    taken = draft.feeds.named(draft.name(key, what, chosen.name, Reason(said, FILE)))
    if set(taken.moved_keys) != set(keys):
        extra = [one for one in taken.moved_keys if one not in keys]
        missing = [one for one in keys if one not in taken.moved_keys]
        if extra:
            draft.remark(f"{taken.name} has feed in {', '.join(extra)} too, where it is not asked for.")
        if missing:
            draft.remark(f"{taken.name} has no feed in {', '.join(missing)}, where it is asked for.")
    return taken


def power_size(draft: Draft, key: str, need: Need, rating_amps: float | None, runs: Iterable[str]) -> float | str:
    """Propose the size of the wires that carry a load's current, by its length out and back, drop and fuse.

    Raises
    ------
    ArgumentError
        Where no wire that is sold serves.
    """
    length_m = sum(draft.run_m(run) for run in runs)
    budget_volts = draft.tuning.drop_volts if draft.tuning.drop_volts is not None else draft.allowed_drop_volts
    wanted = Sizing(
        need.amps,
        length_m,
        budget_volts,
        rating_amps or 0.0,
        need.in_bundle,
        least_area_mm2(draft.harness),
        draft.asked.system,
    )
    found = sized(wanted)
    if found is None:
        raise ArgumentError(
            f"No wire that is sold carries {amps_text(need.amps)} over {length_m:g} m out and back with "
            f"{drop_text(budget_volts)} lost.",
            do="Allow more drop, or bring the load nearer.",
        )
    why = (
        f"{amps_text(need.amps)} over {length_m:.3g} m out and back: {drop_text(found.drop_volts)} of the "
        f"{drop_text(budget_volts)} left for it; bears {amps_text(bears_amps(found.size, in_bundle=need.in_bundle))}"
        f"{' in a bundle' if need.in_bundle else ''}, the fuse has {rating_amps or 0:g} A"
    )
    size = draft.size(key, f"size of the wires of {need.label}", found.size, Reason(why, SIZE_BASIS))
    draft.size_drop_volts = found.drop_volts
    _remark_size(draft, key, size, rating_amps, in_bundle=need.in_bundle)
    return size


def guarded_size(draft: Draft, key: str, need: Need, rating_amps: float | None) -> float | str:
    """Propose the size of wires that carry little over a short way: the thinnest that bears its fuse.

    Raises
    ------
    ArgumentError
        Where no wire that is sold does.
    """
    asked = draft.asked
    least = least_area_mm2(draft.harness)
    wanted = Sizing(need.amps, 1.0, draft.allowed_drop_volts, rating_amps or 0.0, need.in_bundle, least, asked.system)
    found = sized(wanted)
    if found is None:
        raise ArgumentError(
            f"No wire that is sold bears the {rating_amps:g} A before {need.label}.",
            do="Share the load out over several circuits.",
        )
    bears = amps_text(bears_amps(found.size, in_bundle=need.in_bundle))
    why = f"carries {amps_text(need.amps)}; bears {bears}, the fuse has {rating_amps or 0:g} A"
    size = draft.size(key, f"size of the wires of {need.label}", found.size, Reason(why, SIZE_BASIS))
    _remark_size(draft, key, size, rating_amps, in_bundle=need.in_bundle)
    return size


def _remark_size(draft: Draft, key: str, size: float | str, rating_amps: float | None, *, in_bundle: bool) -> None:
    bears = bears_amps(size, in_bundle=in_bundle)
    if rating_amps is not None and rating_amps > bears:
        draft.remark(
            f"{key}: this wire bears {amps_text(bears)}{' in a bundle' if in_bundle else ''}, less than its fuse of "
            f"{rating_amps:g} A: shorted it may glow before the fuse opens."
        )
    area_mm2 = parse_size(size).area_mm2
    least_mm2 = least_area_mm2(draft.harness)
    if area_mm2 < least_mm2 - 1e-9:
        draft.remark(f"{key}: {size_text(area_mm2)} mm² is thinner than the {least_mm2:g} mm² that ISO 10133 asks for.")
