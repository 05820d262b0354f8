"""Why a check is asked for, and what its reading did, each in one plain sentence."""

from __future__ import annotations

from collections.abc import Sequence

from model.harness.harness import Harness
from model.tracing.answer_words import outcome_words
from model.tracing.asking import Outlook
from model.tracing.checks import Check, Outcome
from model.tracing.fault_words import singles_of, suspect_words
from model.tracing.names import either, id_and_label, point_name, site_part
from model.tracing.suspects import RECORD, Suspect
from model.words import plural

LONGEST = 140
"""Most characters of a reason, where its words leave a choice."""

_NAMED_AT_MOST = 2


def why_sentence(harness: Harness, outlooks: Sequence[Outlook], suspects_count: int, check: Check) -> str:
    """Say why a check is asked for: how many suspects there are, and what each of its likely answers would leave.

    Parameters
    ----------
    outlooks
        The likeliest first.
    suspects_count
        How many suspects are in play.

    Examples
    --------
    ``12 suspects: a reading near 12.3 V leaves 5, near 0 V leaves 7.``
    """
    head = plural(suspects_count, "suspect")
    told = list(dict.fromkeys(_outlook(one, suspects_count) for one in outlooks))
    if told and told[0].startswith("near "):
        told[0] = f"a reading {told[0]}"
    for count in range(len(told), 0, -1):
        sentence = f"{head}: {', '.join(told[:count])}."
        if count == 1 or len(sentence) <= LONGEST:
            return sentence
    return f"{head}: {_place_words(harness, check)} tells most for the work it takes."


def _outlook(outlook: Outlook, suspects_count: int) -> str:
    if outlook.left >= suspects_count:
        return f"{outlook.words} sets none aside"
    if outlook.left == 0:
        return f"{outlook.words} would fit none of them"
    return f"{outlook.words} leaves {outlook.left}"


def _place_words(harness: Harness, check: Check) -> str:
    if check.red:
        return point_name(harness, check.red)
    return id_and_label(harness, check.part or check.load.partition(":")[0])


def again_sentence(check: Check, outcome: Outcome) -> str:
    """Say why a check is asked for once more: its answer is what fits least.

    Examples
    --------
    ``Again: 0.10 A fits nothing else.``
    """
    return f"Again: {outcome_words(check, outcome)} fits nothing else."


def did_sentence(
    harness: Harness, check: Check, outcome: Outcome, before: Sequence[Suspect], after: Sequence[Suspect]
) -> str:
    """Say what a reading did: what it set aside, what it brought back, and how many are left.

    Parameters
    ----------
    before, after
        The suspects in play before and after the reading, the likeliest first.

    Examples
    --------
    ``12.30 V: sets aside fuse F5 and wire W9. 7 left.``
    ``12.10 V, in doubt: by itself it decides nothing.``
    """
    read = _capital(outcome_words(check, outcome))
    if outcome.in_doubt:
        return f"{read}: by itself it decides nothing."
    gone, back = _newly(harness, before, after), _newly(harness, after, before)
    left = f"{len(after) or 'None'} left."
    if before and not after:
        return f"{read}: no suspect explains it: read it again. {left}"
    said = []
    if gone:
        said.append(f"sets aside {_listed(harness, gone)}")
    if back:
        said.append(f"brings back {_listed(harness, back)}")
    if not said:
        kept = "the shares moved, no part is set aside" if before else "nothing was in play"
        return f"{read}: {kept}. {left}"
    return f"{read}: {'; '.join(said)}. {left}"


def _newly(harness: Harness, these: Sequence[Suspect], others: Sequence[Suspect]) -> list[Suspect]:
    """Give the suspects of the parts that are among these and with no fault among the others."""
    known = {part for one in others for part in _parts(harness, one)}
    return [one for one in these if known.isdisjoint(_parts(harness, one))]


def _parts(harness: Harness, suspect: Suspect) -> set[str]:
    return {site_part(harness, single.part) for single in singles_of(suspect)}


def _listed(harness: Harness, suspects: list[Suspect]) -> str:
    """Name suspects by part, the likeliest first, and count those that are too many to name."""
    if len(suspects) == 1:
        words = suspect_words(harness, suspects[0])
        return f"that {words}" if suspects[0].fault == RECORD else words
    singles = [single for one in suspects for single in singles_of(one)]
    parts = list(dict.fromkeys(site_part(harness, one.part) for one in singles if one.part))
    names = [id_and_label(harness, part_id) for part_id in parts[:_NAMED_AT_MOST]]
    more = len(parts) - len(names)
    if more > 0:
        names.append(f"{more} more")
    return either(names, "and") or plural(len(suspects), "suspect")


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
