"""Posts that were read with all at rest: where they are too low all else misleads, and the battery is charged first."""

from __future__ import annotations

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.costs import Costs
from model.tracing.folding import Fold
from model.tracing.in_doubt import may_be_read_again
from model.tracing.inquiry import is_flat, read_at_rest

_LOW_IN_DOUBT = "Again: were the battery so low, it would have to be charged before all else."


def are_flat(harness: Harness, complaint: Complaint, belief: Belief) -> bool:
    """Tell whether the posts are too low at rest, by what was said before the first check or by a reading."""
    said, low = complaint.posts_volts, _low_at_rest(harness, belief)
    if said is not None and read_at_rest(harness, complaint) and is_flat(harness, said):
        return True
    return low is not None and not low.outcome.in_doubt


def low_again(harness: Harness, state: Fold, belief: Belief, costs: Costs) -> tuple[Check, str] | None:
    """Give the check of posts that read too low at rest, where that is in doubt, and why it is made again."""
    low = _low_at_rest(harness, belief)
    return None if low is None or not may_be_read_again(state, low, costs) else (low.check, _LOW_IN_DOUBT)


def _low_at_rest(harness: Harness, belief: Belief) -> Evidence | None:
    """Give the last answer at the posts with all at rest, where they are too low."""
    rest = Condition(harness.key_names[0])
    read = [one for one in belief.answers if one.check.condition == rest and _is_posts(harness, one.check)]
    return read[-1] if read and is_flat(harness, abs(read[-1].outcome.value)) else None


def _is_posts(harness: Harness, check: Check) -> bool:
    first = harness.batteries[0].id
    return check.kind is CheckKind.VOLTS and {check.red, check.black} == {f"{first}.+", f"{first}.-"}
