"""The faults that a part can have, as rows, and what one would see of one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from textual.content import Content

from model.circuit.faults import HIGH_OHMS, FaultKind
from model.circuit.survey import LoadState
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Battery, Module, Relay, Switch
from model.harness.places import place_of
from model.harness.records import Connector, Wire
from model.sheets.condition_words import setting_words
from model.tracing.what_if import Seen, WhatIf, fault_sites
from model.words import clean, ohms_text, plural
from tui.text import assembled, padded, width
from tui.widgets.rows import Row

_BETWEEN = "   "
_TURNS = " › "

_WORDS = {
    FaultKind.OPEN: "no contact at all",
    FaultKind.HIGH: f"{ohms_text(HIGH_OHMS)} too much, or typed",
    FaultKind.TO_BODY: "worn through onto the metal of the body",
    FaultKind.TOUCHES: "worn through onto another wire or point",
    FaultKind.ELSEWHERE: "its end is really on another point",
    FaultKind.SWAPPED: "the two have changed places",
    FaultKind.BLOWN: "its wire has melted",
    FaultKind.MISSING: "nothing in its clips",
    FaultKind.TOO_SMALL: "half the rating it should have",
    FaultKind.STUCK: "closed for good",
    FaultKind.SHORT: "bridged within",
    FaultKind.LOW_DRAW: "takes a quarter of its current",
    FaultKind.REVERSED: "put in the wrong way round",
    FaultKind.FLAT: "discharged, and weak within",
    FaultKind.NO_OUTPUT: "gives no current",
}


@dataclass(frozen=True, slots=True)
class Choice:
    """One fault at one site of the part."""

    site: str
    kind: FaultKind

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return f"{self.site} {self.kind}"


def fault_choices(harness: Harness, part_id: str) -> list[Choice]:
    """Return every fault of a part, site by site."""
    return [Choice(site, kind) for site, kinds in fault_sites(harness, part_id) for kind in kinds]


def choice_rows(harness: Harness, choices: list[Choice]) -> list[Row]:
    """Return faults as rows; the site stands in its first one."""
    names = {choice.site: site_words(harness, choice.site) for choice in choices}
    site_cells = min(max((width(name) for name in names.values()), default=0), 34)
    kind_cells = max((width(str(choice.kind)) for choice in choices), default=0)
    rows: list[Row] = []
    told = ""
    for choice in choices:
        name = names[choice.site] if choice.site != told else ""
        told = choice.site
        parts = (padded(name, site_cells), _BETWEEN, (padded(choice.kind, kind_cells), "bold"), _BETWEEN)
        rows.append(Row(assembled(*parts, _WORDS[choice.kind]), choice.key))
    return rows


def site_words(harness: Harness, site: str) -> str:
    """Say a fault site: ``K7:30-87 contact``, ``X2.6 cavity``, ``K7.87 its terminal in the plug``."""
    if ":" in site:
        part_id, _, inner = site.partition(":")
        return f"{site} {_inner_words(harness, part_id, inner)}".rstrip()
    if "/" in site:
        return f"{site} two cavities"
    part_id, _, terminal = site.partition(".")
    part = harness.parts.get(part_id)
    match part:
        case Connector() if terminal:
            return f"{site} cavity"
        case Battery() if terminal:
            return f"{site} post"
        case Wire() if terminal:
            return f"{site} its from end"
    return f"{site} seated terminal" if terminal else site


def _inner_words(harness: Harness, part_id: str, inner: str) -> str:
    match harness.parts.get(part_id):
        case Relay():
            return "" if inner == "coil" else "contact"
        case Switch():
            return "contact"
        case Module() as module:
            return "feed" if any(feed.terminal == inner for feed in module.feeds) else "driver or output"
    return "" if inner == SINGLE_ELEMENT else "circuit"


def seen_rows(harness: Harness, seen: WhatIf, buzzing: dict[str, tuple[str, ...]], cells: int) -> list[Row]:
    """Return what one would see, at most `cells` wide: fuses, buzzing and trouble, then the loads that change alike."""
    rows: list[Row] = []
    for sentence in _sentences(seen, buzzing):
        rows += [Row(line, can_be_marked=False) for line in assembled((sentence, "bold $caution")).wrap(max(cells, 8))]
    if rows:
        rows.append(Row(Content(""), can_be_marked=False))
    if not seen.loads:
        words = "No load changes what it does in any key state."
        rows += [Row(line, can_be_marked=False) for line in assembled(words).wrap(max(cells, 8))]
        return rows
    alike: dict[str, list[str]] = {}
    for name, states in seen.loads.items():
        alike.setdefault("; ".join(changes(harness, states)), []).append(name)
    names = {name: load_words(harness, name) for name in seen.loads}
    name_cells = min(max(width(words) for words in names.values()), max(cells * 3 // 5, 12))
    for change, loads in alike.items():
        rows += [Row(line, can_be_marked=False) for line in assembled((change, "bold")).wrap(max(cells, 8))]
        for name in loads:
            place = place_of(harness, name.partition(":")[0]).name
            line = assembled(padded(f"  {names[name]}", name_cells + 2), _BETWEEN, (clean(place), "$quiet"))
            rows.append(Row(line, f"load {name}"))
    return rows


def _sentences(seen: WhatIf, buzzing: dict[str, tuple[str, ...]]) -> Iterator[str]:
    for names, keys in _turned(seen.blown).items():
        yield f"{names} {'opens' if ',' not in names else 'open'} in {keys}."
    for names, keys in _turned(buzzing).items():
        yield f"{names} {'buzzes' if ',' not in names else 'buzz'} in {keys}."
    for key, trouble in seen.trouble.items():
        yield f"No answer in {clean(key, 40)}: {trouble}"


def _turned(by_key: dict[str, tuple[str, ...]]) -> dict[str, str]:
    """Gather the key states in which the same parts are named."""
    found: dict[str, list[str]] = {}
    for key, names in by_key.items():
        if names:
            found.setdefault(", ".join(names), []).append(clean(key, 40))
    return {names: ", ".join(keys) for names, keys in found.items()}


def load_words(harness: Harness, name: str) -> str:
    """Name a circuit of a load: ``E1 dip Left head lamp``."""
    part_id, _, circuit = name.partition(":")
    label = harness.parts[part_id].label
    return " ".join(word for word in (part_id, "" if circuit == SINGLE_ELEMENT else circuit, clean(label, 60)) if word)


def changes(harness: Harness, states: dict[str, Seen]) -> list[str]:
    """Say how a load changes, key states that change alike together: ``works › dead in ignition, running``.

    Where it should be off, what has to be set to see it is said too: it is not what the load itself needs.
    """
    found: dict[tuple[str, str], list[str]] = {}
    for key, seen in states.items():
        if seen.is_changed:
            is_asked = seen.healthy is not LoadState.OFF
            words = "" if is_asked or not seen.settings else f" with {_set_words(harness, seen.settings)}"
            found.setdefault((f"{seen.healthy}{_TURNS}{seen.faulty}", words), []).append(clean(key, 20))
    every = len(harness.key_states)
    return [
        f"{change} in {'every key state' if len(keys) == every > 1 else ', '.join(keys)}{words}"
        for (change, words), keys in found.items()
    ]


def _set_words(harness: Harness, settings: tuple[tuple[str, str], ...]) -> str:
    return ", ".join(setting_words(harness, name, clean(position, 40)) for name, position in settings)


def seen_text(harness: Harness, seen: WhatIf, buzzing: dict[str, tuple[str, ...]]) -> str:
    """Return what one would see as text."""
    lines = [row.content.plain.rstrip() for row in seen_rows(harness, seen, buzzing, 100)]
    return "\n".join([f"{plural(len(seen.loads), 'load')} would change.", "", *lines]) + "\n"
