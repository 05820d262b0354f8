"""Every function that looks for a defect."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from model.review.defects.adrift import no_way_home
from model.review.defects.asked import figures_assumed, hazard_suggested
from model.review.defects.at_rest import heavy_at_rest
from model.review.defects.backfeed import backfeed
from model.review.defects.coil_volts import relay_weak
from model.review.defects.draw import draw_above_limit
from model.review.defects.drivers import coil_without_diode, diode_reversed
from model.review.defects.drop import lamp_under_its_volts, volts_lost
from model.review.defects.ends import double_crimp, half_joined, lone_splice, wire_ends_nowhere
from model.review.defects.feed import no_feed_in_any_setting
from model.review.defects.fuses import fuse_above_wire, must_not_fail_together
from model.review.defects.ground import no_path_to_ground
from model.review.defects.ratings import contact_over_rating, fuse_blows, heavy_contact
from model.review.defects.relays import ends_differ, relay_buzzes, relay_latches
from model.review.defects.shared_ground import ground_lifted
from model.review.defects.shorted import feed_not_searched
from model.review.defects.spares import spare_in_use
from model.review.defects.unfused import fed_with_no_fuse, fuse_far_from_source
from model.review.defects.wrong_state import wrong_state
from model.review.finding import Finding
from model.review.review_scene import ReviewScene

Defect = Callable[[ReviewScene], Iterator[Finding]]

ON_PAPER: tuple[Defect, ...] = (
    double_crimp,
    figures_assumed,
    half_joined,
    hazard_suggested,
    lone_splice,
    wire_ends_nowhere,
)
"""Those that solve nothing: they hold for a loom that is shorted too."""

DEFECTS: tuple[Defect, ...] = (
    draw_above_limit,
    fed_with_no_fuse,
    feed_not_searched,
    fuse_above_wire,
    fuse_far_from_source,
    ground_lifted,
    lamp_under_its_volts,
    no_way_home,
    must_not_fail_together,
    no_feed_in_any_setting,
    no_path_to_ground,
    volts_lost,
    backfeed,
    coil_without_diode,
    contact_over_rating,
    diode_reversed,
    double_crimp,
    ends_differ,
    figures_assumed,
    fuse_blows,
    half_joined,
    hazard_suggested,
    heavy_at_rest,
    heavy_contact,
    lone_splice,
    relay_buzzes,
    relay_latches,
    relay_weak,
    spare_in_use,
    wire_ends_nowhere,
    wrong_state,
)
