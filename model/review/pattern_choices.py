"""What there is to choose from for each question of a pattern, taken from the harness."""

from __future__ import annotations

from dataclasses import dataclass

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.parts import LoadKind
from model.review.pattern_asked import When, asked_keys
from model.review.pattern_feeds import FeedKind, FeedPoint, Feeds, feeds_of, tied_to_ground
from model.review.pattern_questions import Pattern, Question, questions_of
from model.review.pattern_words import keys_words
from model.tracing.names import id_and_label
from model.words import amps_text, clean

_FEEDS = frozenset({"feed", "control", "switched_feed"})
_PLACES = frozenset({"at", "switch_at", "relay_at", "pack_at"})


@dataclass(frozen=True, slots=True)
class Choice:
    """An answer that a question may have, and what it means."""

    value: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """A question with what there is to choose from; nothing where any number or word will do."""

    question: Question
    choices: tuple[Choice, ...]


def open_questions(bench: Bench, pattern: Pattern) -> tuple[OpenQuestion, ...]:
    """List what a pattern asks, each with its choices from the harness."""
    feeds = feeds_of(bench)
    return tuple(OpenQuestion(one, _choices(bench.harness, feeds, one.key)) for one in questions_of(pattern))


def _choices(harness: Harness, feeds: Feeds, key: str) -> tuple[Choice, ...]:
    if key == "kind":
        return tuple(Choice(str(kind)) for kind in LoadKind if kind is not LoadKind.SOCKET)
    if key == "when":
        return _states(harness)
    if key in _FEEDS:
        return tuple(Choice(clean(one.name, 60), _feed_words(harness, one)) for one in feeds.offered)
    if key in _PLACES:
        return tuple(Choice(clean(place.name, 60)) for place in harness.locations)
    if key == "ground":
        grounds = [one for one in harness.grounds if tied_to_ground(harness, one.id)]
        return tuple(Choice(one.id, clean(f"{one.label}, {one.location}".strip(", "), 80)) for one in grounds)
    if key.endswith("_via"):
        return tuple(Choice(clean(trunk.name, 60)) for trunk in harness.trunks)
    return ()


def _states(harness: Harness) -> tuple[Choice, ...]:
    found: list[Choice] = []
    for word in (When.PERMANENT, When.ACCESSORY, When.IGNITION):
        try:
            found.append(Choice(word, keys_words(harness, asked_keys(harness, word))))
        except ArgumentError:
            continue
    return tuple(found)


def _feed_words(harness: Harness, one: FeedPoint) -> str:
    owner = one.name.partition(".")[0]
    label = id_and_label(harness, owner).removeprefix(owner).strip(" ()") if owner in harness.parts else ""
    moved = "" if one.keys == one.moved_keys else ", with an isolator or switch moved"
    room = f", room for {amps_text(one.room_amps or 0.0)} more" if one.kind is FeedKind.FUSE else ""
    said = f"{one.kind}{f' {label}' if label else ''}: feed {keys_words(harness, one.moved_keys)}{moved}{room}"
    return clean(said, 160)
