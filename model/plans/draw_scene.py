"""What the rows of a draw with the key off are made from: the loom on the bench, its review, what the limit leaves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.parts import Battery, Fuse
from model.harness.records import Busbar, Connector, GroundPoint, Joint, Splice, Wire
from model.harness.supply import grounded_post_of
from model.plans.crank_scene import Scene
from model.plans.plan import Limit
from model.review.draw import BankDraw, DrawReview, draw_review
from model.review.draw_figures import figure
from model.review.draw_flow import Flow
from model.tracing.names import either, id_and_label, point_name, wire_code
from model.tracing.nets import nets_of
from model.words import amps_text

LEAST_SPARE_SHARE = 0.1
"""What a fuse may carry beyond what is expected where the file itself uses the limit up, as a share of the limit."""

_METAL = (Wire, Joint, Busbar, Splice, Connector, GroundPoint, Battery, Fuse)


@dataclass
class DrawScene:
    """A loom with its draw as computed, and the rows as far as they are made."""

    scene: Scene

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self.scene.harness

    @cached_property
    def review(self) -> DrawReview:
        """The draw as computed."""
        return draw_review(self.scene.bench)

    @cached_property
    def flow(self) -> Flow:
        """Where the current goes once everything sleeps."""
        return Flow(self.scene.settled(self.review.asleep))

    @property
    def has_sleep(self) -> bool:
        """Tell whether anything may go to sleep."""
        return self.review.wait_minutes > 0

    @cached_property
    def spare_amps(self) -> float:
        """What the limit leaves beyond what the file draws: more at one place alone breaks the limit."""
        limit_amps = self.review.limit_amps
        return max(limit_amps - abs(self.review.asleep_amps), LEAST_SPARE_SHARE * limit_amps)

    def bank_limit(self, bank: BankDraw) -> Limit:
        """Give the limit of a bank: the published one, less what the other banks draw by the file."""
        limit = self.review.limit
        others_amps = sum(abs(other.asleep_amps) for other in self.review.banks if other is not bank)
        left_amps = self.review.limit_amps - others_amps
        computed = f"{amps_text(self.review.limit_amps)} in all less {amps_text(others_amps)} of the other batteries"
        is_shared = len(self.review.banks) > 1 and left_amps > 0
        most_amps = left_amps if is_shared else self.review.limit_amps
        return Limit(None, most_amps, limit.source, limit.source_kind, computed if is_shared else "")

    def most_amps(self, expected_amps: float) -> float:
        """Give what may flow in a place where so much is expected.

        Where the file itself uses the limit up, a place is not held to less than the limit of the whole draw.
        """
        most_amps = abs(expected_amps) + self.spare_amps
        return max(most_amps, self.review.limit_amps) if self.is_used_up else most_amps

    @property
    def is_used_up(self) -> bool:
        """Tell whether the file draws about as much as the limit, or more."""
        return self.review.limit_amps - abs(self.review.asleep_amps) < self.spare_amps

    @property
    def spare_words(self) -> str:
        """Say what the limit leaves; where the file draws about as much, or more, a share of it that counts as more."""
        review, spare = self.review, amps_text(self.spare_amps)
        drawn, limit = amps_text(abs(review.asleep_amps)), amps_text(review.limit_amps)
        if self.is_used_up:
            share = f"{100 * LEAST_SPARE_SHARE:.0f} %"
            return f"the file draws {drawn} of {limit} in all, so that {share} of these count: {spare}"
        return f"{limit} in all less {drawn} that the file draws leave {spare}"

    def posts(self, bank: BankDraw) -> tuple[str, ...]:
        """Name the grounded posts of a bank: everything that it gives comes back to them."""
        return tuple(dict.fromkeys(grounded_post_of(self.harness, battery) for battery in bank.batteries))

    def post_words(self, bank: BankDraw) -> str:
        """Name them in words."""
        return either((point_name(self.harness, post) for post in self.posts(bank)), "and")

    def bank_words(self, bank: BankDraw) -> str:
        """Name the batteries of a bank."""
        return either((id_and_label(self.harness, battery) for battery in bank.batteries), "and")

    def leads_words(self, bank: BankDraw) -> str:
        """Name the leads on the grounded posts: id, colour, size."""
        wires = [wire for post in self.posts(bank) for wire in wires_at(self.harness).get(post, ())]
        return ", ".join(f"{wire.id} {wire_code(self.harness, wire)}" for wire in wires)

    def unfused_parts(self, bank: BankDraw) -> dict[str, str]:
        """Map each part that hangs on a bank without a fuse to a point of it there; metal itself is none."""
        found: dict[str, str] = {}
        pieces = {self.flow.piece(f"{battery}.{sign}") for battery in bank.batteries for sign in "+-"} & self.flow.hot
        settled = self.scene.settled(self.review.asleep)
        for name in settled.net.names[: settled.net.point_count]:
            part_id, _, terminal = name.partition(".")
            part = self.harness.parts.get(part_id)
            if terminal and part is not None and not isinstance(part, _METAL) and self.flow.piece(name) in pieces:
                found.setdefault(part_id, name)
        return found

    @cached_property
    def feeding_fuses(self) -> frozenset[str]:
        """The fuses behind which further fuses may hang, whatever is switched."""
        nets = nets_of(self.harness)
        return frozenset(
            name for fuse in self.harness.fuses for name in nets.feeds.get(nets.upstream[fuse.id], frozenset())
        )

    @property
    def digit_millivolts(self) -> float:
        """What a hand meter just shows."""
        return figure("millivolt digit").value
