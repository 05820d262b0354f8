"""What a pulled fuse does, in sentences: what dies and what lives on by what, and what is charged no longer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.harness.harness import Harness, all_elements
from model.review.condition_said import condition_said
from model.review.fuse_pulled import Pulled
from model.review.fuse_use import FuseUse
from model.sheets.load_words import load_words
from model.tracing.names import either, id_and_label

_NAMED_AT_MOST = 14
_OTHERS_AT_MOST = 6


def pulled_words(harness: Harness, use: FuseUse) -> Iterator[str]:
    """Say what dies where a fuse is pulled, and what works all the same because something else feeds it."""
    said: dict[str, list[Pulled]] = {}
    for pulled in use.pulled:
        said.setdefault(condition_said(harness, pulled.condition), []).append(pulled)
    for words, alike in said.items():
        yield from _pulled(harness, use, words, alike)
    yield from _uncharged(harness, use)
    if use.uncharged:
        return
    if use.pulled and not any(one.dies or one.weak or one.wakes or one.alive for one in use.pulled):
        yield "Pulled: nothing that works changes."
    if not use.pulled and not use.feeds.is_spare:
        yield "Pulled: no load that works hangs on it."


def short_dies(harness: Harness, use: FuseUse) -> str:
    """Name in few words what dies without a fuse: parts by id, apart those that live on in another setting.

    Of many those are named that live, where they are fewer; else the first.
    """
    alive = frozenset(use.alive)
    always = list(dict.fromkeys(_part(name) for name in use.dies if name not in alive))
    some = dict.fromkeys(part for name in use.dies if name in alive and (part := _part(name)) not in always)
    words = [_few(harness, always), f"in some settings only: {', '.join(some)}" if some else ""]
    words += [
        f"{one.battery_id} is no longer charged by {either(list(one.charger_ids), 'and')}" for one in use.uncharged
    ]
    return "; ".join(filter(None, words)) or "nothing"


def _few(harness: Harness, parts: list[str]) -> str:
    """Name parts; of many the others, where they are few, else the first ones and how many more."""
    if len(parts) <= _NAMED_AT_MOST:
        return ", ".join(parts)
    every = dict.fromkeys(element.part_id for element in all_elements(harness))
    others = [name for name in every if name not in parts]
    if len(others) <= _OTHERS_AT_MOST:
        return f"all but {', '.join(others)}" if others else "every load"
    return f"{', '.join(parts[:_NAMED_AT_MOST])} and {len(parts) - _NAMED_AT_MOST} more"


def _part(name: str) -> str:
    return name.partition(":")[0]


def _uncharged(harness: Harness, use: FuseUse) -> Iterator[str]:
    by_charger: dict[tuple[str, ...], list[str]] = {}
    for one in use.uncharged:
        by_charger.setdefault(one.charger_ids, []).append(id_and_label(harness, one.battery_id))
    for charger_ids, batteries in by_charger.items():
        chargers = either([id_and_label(harness, one) for one in charger_ids], "and")
        verb = "is" if len(batteries) == 1 else "are"
        yield f"Pulled: {either(batteries, 'and')} {verb} no longer charged by {chargers}."


def _pulled(harness: Harness, use: FuseUse, condition: str, alike: list[Pulled]) -> Iterator[str]:
    """Say what conditions that are said in the same words give together."""
    head = f"Pulled ({condition}):"
    dies = _once(one.dies for one in alike)
    weak = _once(one.weak for one in alike)
    wakes = _once(one.wakes for one in alike)
    drops = _once(one.drops for one in alike)
    falls = either([id_and_label(harness, name) for name in drops], "and")
    relays = f", as {falls} {'fall' if len(drops) > 1 else 'falls'} off" if drops else ""
    if dies:
        yield f"{head} {_loads(harness, dies)} {'dies' if len(dies) == 1 else 'die'}{relays}."
    if weak:
        yield f"{head} weak is then {_loads(harness, weak)}."
    if wakes:
        yield f"{head} {_loads(harness, wakes)} {'comes' if len(wakes) == 1 else 'come'} on."
    by: dict[tuple[tuple[str, ...], bool], list[str]] = {}
    for stays in (stays for one in alike for stays in one.alive):
        by.setdefault((stays.by[:1], stays.name in use.dies), []).append(stays.name)
    for (fuses, is_mixed), alive in by.items():
        fed = f"fed through {fuses[0]}" if fuses else "fed by a way without a fuse"
        so = " in this setting" if is_mixed else ""
        yield f"{head} {_loads(harness, alive)} {'stays' if len(alive) == 1 else 'stay'} alive{so}, {fed}."


def _loads(harness: Harness, names: Iterable[str]) -> str:
    return either(list(dict.fromkeys(load_words(harness, name) for name in names)), "and")


def _once(names: Iterable[tuple[str, ...]]) -> list[str]:
    return list(dict.fromkeys(name for some in names for name in some))
