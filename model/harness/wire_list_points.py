"""The end of a wire in words becomes a part and a terminal: ``K1:30``, ``X2 4``, ``Fuel pump +``, ``chassis``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import NamedTuple

from model.harness.harness import CHASSIS
from model.harness.wire_list_cells import fold, number_of
from model.harness.wire_list_kinds import kind_of_id, kind_of_words
from model.harness.wire_list_remark import ListRefusedError
from model.harness.wire_list_rows import EndWords
from model.tables import table_rows

_ID = r"[A-Za-z]{1,4}[ _-]?\d{1,4}[A-Za-z]?"
_PIN = r"(?:pin|cavity|cav|terminal|term|contact|klemme|kl|kammer|kontakt|pol|anschluss|t)(?:\.|(?![a-z.]))"
_TERMINAL = r"[A-Za-z0-9+_-]+"
_DOTTED = re.compile(rf"([A-Za-z][A-Za-z0-9_-]*)\.({_TERMINAL})(?:\.({_TERMINAL}))?")
_SPLIT = re.compile(rf"({_ID})\s*(?:[ :/.\-,(#]+\s*(?:{_PIN}\s*)?|{_PIN}\s*)({_TERMINAL})\)?", re.IGNORECASE)
_THREE = re.compile(rf"({_ID})\s*[:/.\- ]+({_TERMINAL})\s*[:/.\- ]+({_TERMINAL})", re.IGNORECASE)
_POST = re.compile(rf"({_ID})\s*([+-])", re.IGNORECASE)
_WORD_ID = re.compile(r"\b[A-Za-z]{1,4}\d{1,4}\b")
_PARTED = re.compile(r"[ _-](?<=[A-Za-z].)(?=\d)")
_NOT_IN_TERMINAL = re.compile(r"[^A-Za-z0-9+_-]+")
_SPACED = re.compile(r" (?<=[A-Za-z].)(?=\d)")
_NOT_IN_ID = re.compile(r"[^A-Za-z0-9_-]")
_ALONE = re.compile(_ID, re.IGNORECASE)
_WITH_LABEL = re.compile(rf"({_ID})[\s:,(\-]+(.*[A-Za-z]{{3}}.*)", re.IGNORECASE)
_LABELLED = re.compile(
    rf"([^\W\d_][^\d_]{{2,}}?)[\s(]+([A-Z]{{1,4}}\d{{1,4}}[a-z]?)\)?(?:[ .:/-]+(?:{_PIN}\s*)?({_TERMINAL}))?"
)
_LETTERS = {"fuse": "F", "sicherung": "F", "relay": "K", "relais": "K", "splice": "J"}
_SIGN = r"(?:[ -]|\s*(?:#|no\.?|nr\.?)\s*)?"
_NUMBERED = re.compile(
    rf"({'|'.join(_LETTERS)}){_SIGN}(\d{{1,3}})(?:[ .:/-]+(?:{_PIN}\s*)?({_TERMINAL}))?", re.IGNORECASE
)
_NUMBERED_IN = re.compile(rf"\b({'|'.join(_LETTERS)}){_SIGN}(\d{{1,3}})\b", re.IGNORECASE)
_UNDERSCORED = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:_[A-Za-z0-9-]+)+")
_RATING = re.compile(r"[\s,(]+(\d+(?:[.,]\d+)?)\s*(A|W| a| w|[Aa]mps?|[Ww]atts?)\)?$")
_GROUND = re.compile(r"(?:gnd|ground|earth|masse|massepunkt|ground point|earth point)[ _-]?(\d+)", re.IGNORECASE)
_LABEL_TERMINAL = re.compile(rf"(.*?\S)[\s:/.,(\-]+(?:({_PIN})\s*)?([A-Za-z0-9+-]+)\)?", re.IGNORECASE)
_TERMINAL_WORDS = frozenset(
    {"out", "output", "input", "com", "common", "pos", "neg", "plus", "minus", "anode", "cathode"}
)
_TERMINAL_WORDS |= {"aus", "ein", "eingang", "ausgang", "gnd", "ground", "masse", "kathode", "feed", "acc", "start"}
"""Words of three letters and more that name a terminal of a part, and not the part."""
_PLUS = frozenset({"+", "plus", "pos", "positive", "positiv", "live"})
_MINUS = frozenset({"-", "minus", "neg", "negative", "negativ"})
_BATTERY_POSTS = {
    "b+": "+",
    "b-": "-",
    "bat+": "+",
    "bat-": "-",
    "batt+": "+",
    "batt-": "-",
    "bat +": "+",
    "bat -": "-",
}
_CHASSIS_WORDS = frozenset(
    {"chassis", "body", "frame", "ground", "earth", "gnd", "masse", "karosserie", "rahmen", "fahrgestell"}
    | {
        "vehicle body",
        "body ground",
        "chassis ground",
        "chassis earth",
        "frame ground",
        "karosseriemasse",
        "hull",
        "car body",
    }
)


class Named(NamedTuple):
    """What the words of an end name.

    Attributes
    ----------
    part
        Id as written, ``CHASSIS``, or empty where only a label names the part.
    terminal, half
        As written; empty where nothing is said.
    watts, amps
        A rating that stands behind the part; 0 where none does.
    """

    part: str
    label: str = ""
    terminal: str = ""
    half: str = ""
    watts: float = 0.0
    amps: float = 0.0


@dataclass(slots=True)
class Known:
    """The parts that are known by now: ids by their letters in any case, ids by label, sure points.

    Attributes
    ----------
    signed
        Labels that end in a sign of their own: ``Switched +`` is then no post of a part ``Switched``.
    two_ended
        Names, folded, whose last word is an end of the part wherever they stand: ``Main fuse in``.
    """

    ids: dict[str, str] = field(default_factory=dict)
    labels: dict[str, str] = field(default_factory=dict)
    points: set[str] = field(default_factory=set)
    signed: set[str] = field(default_factory=set)
    two_ended: frozenset[str] = frozenset()

    def id_of(self, written: str) -> str:
        """Give the id that is meant, in the capitals in which it was written first; empty where it is new."""
        return self.ids.get(_bare(written), "")

    def note(self, part_id: str, label: str = "") -> None:
        """Take a part as known from here on."""
        self.ids.setdefault(_bare(part_id), part_id)
        if label:
            self.labels.setdefault(fold(label), part_id)
        if label.endswith(("+", "-")):
            self.signed.add(label.casefold())

    def by_label(self, text: str) -> str:
        """Give the id of the part whose label the whole text is; a sign behind a label is a post."""
        is_post = text.endswith(("+", "-")) and text.casefold() not in self.signed
        return "" if is_post else self.labels.get(fold(text), "")


def _bare(written: str) -> str:
    """Give an id for comparing: any case; a space, line or dash between letters and digits counts nothing."""
    return _PARTED.sub("", written).casefold()


def named(end: EndWords, known: Known) -> Named | None:
    """Read the words of one end; None for a free one."""
    text = end.text.strip().strip("[]")
    if not text:
        return None
    if end.pin:
        found = _part_alone(text, known)
        half = found.half or (found.terminal if found.part != CHASSIS else "")
        return Named(found.part, found.label, end.pin.strip(), half, found.watts, found.amps)
    return _whole(text, known)


def _part_alone(text: str, known: Known) -> Named:
    """Read a cell that names a part alone, its terminal standing in another."""
    exact = known.id_of(text)
    if exact:
        return Named(exact)
    if known.by_label(text):
        return Named(known.by_label(text))
    dotted = _DOTTED.fullmatch(text)
    if dotted and not dotted[3]:
        return Named(dotted[1], half=dotted[2])
    if _ALONE.fullmatch(text) and (" " not in text or kind_of_id(text)):
        return Named(_written_id(text))
    found = _whole(text, known)
    return Named(found.part, found.label or ("" if found.part else text), "", found.half, found.watts, found.amps)


def _whole(text: str, known: Known) -> Named:
    """Read a cell that names part and terminal together."""
    if text in known.points or known.id_of(text):
        return _exact(text, known)
    if known.by_label(text):
        return Named(known.by_label(text))
    if fold(text) in _CHASSIS_WORDS:
        return Named(CHASSIS)
    rating = _RATING.search(text)
    if rating and rating.start():
        return _rated(_whole(text[: rating.start()].strip(), known), rating)
    dotted = _DOTTED.fullmatch(text)
    if dotted:
        half, terminal = (dotted[2], dotted[3]) if dotted[3] else ("", dotted[2])
        labelled = known.labels.get(fold(dotted[1])) if fold(dotted[1]) in known.two_ended else None
        return Named(labelled or _chassis_or(dotted[1]), terminal=terminal, half=half)
    if _UNDERSCORED.fullmatch(text):
        return Named(text)
    ground = _GROUND.fullmatch(text)
    if ground:
        return Named(f"GND{ground[1]}")
    return _numbered(text) or _by_signs(text) or _behind_a_label(text) or _by_label(text, known)


def ids_in(text: str) -> set[str]:
    """Give everything in an end that looks like the id of a part: ``F3``, and what ``fuse 3`` stands for."""
    found = {one.casefold() for one in _WORD_ID.findall(text)}
    found |= {f"{_LETTERS[fold(one[1])]}{one[2]}".casefold() for one in _NUMBERED_IN.finditer(text)}
    return found | {f"gnd{one[1]}" for one in _GROUND.finditer(text)}


def _numbered(text: str) -> Named | None:
    """Read a word and a number in place of an id: ``fuse 3 out``; None where it is something else."""
    found = _NUMBERED.fullmatch(text)
    if found is None:
        return None
    terminal = found[3] or ""
    label = terminal if _is_label_word(terminal) else ""
    return Named(f"{_LETTERS[fold(found[1])]}{found[2]}", label, "" if label else terminal)


def _is_label_word(word: str) -> bool:
    """Tell whether a word behind an id is what the part is called, and no terminal."""
    return bool(re.fullmatch("[A-Za-z]{3,}", word)) and word.casefold() not in _TERMINAL_WORDS


def _behind_a_label(text: str) -> Named | None:
    """Read an id that stands behind a word: ``fuse F3``, ``Stecker X2 4``; None where none does."""
    found = _LABELLED.fullmatch(text)
    if found is None or kind_of_id(found[2]) is None:
        return None
    label = found[1].strip()
    return Named(found[2], label if " " in label else "", found[3] or "")


def _exact(text: str, known: Known) -> Named:
    part_id = known.id_of(text)
    if part_id:
        return Named(part_id)
    part, _, rest = text.partition(".")
    half, _, terminal = rest.rpartition(".")
    return Named(part, terminal=terminal, half=half)


def _rated(found: Named, rating: re.Match[str]) -> Named:
    try:
        value = number_of(rating[1])
    except ListRefusedError:
        return found
    if not value:
        return found
    watts, amps = (value, found.amps) if rating[2].casefold().startswith("w") else (found.watts, value)
    return Named(found.part, found.label, found.terminal, found.half, watts, amps)


def rated_words(found: Named, words: str) -> Named:
    """Give what an end names with the rating that stands among the words behind it."""
    rating = _RATING.search(f" {words.strip()}")
    return _rated(found, rating) if rating else found


def _chassis_or(written: str) -> str:
    return CHASSIS if fold(written) in _CHASSIS_WORDS else _written_id(written)


def _by_signs(text: str) -> Named | None:
    """Read an id with a sign, a space or a word before its terminal; None where the text does not begin with an id."""
    post = _POST.fullmatch(text)
    if post:
        return Named(_written_id(post[1]), terminal=post[2])
    if _ALONE.fullmatch(text):
        return Named(_written_id(text)) if " " not in text or kind_of_id(text) else None
    split = _SPLIT.fullmatch(text)
    if split and not _is_label_word(split[2]):
        return Named(_written_id(split[1]), terminal=split[2])
    three = _THREE.fullmatch(text)
    if three and not re.fullmatch(_PIN, three[2], re.IGNORECASE) and not _is_label_word(three[3]):
        return Named(_written_id(three[1]), terminal=three[3], half=three[2])
    if split and ":" in text:
        return Named(_written_id(split[1]), terminal=split[2])
    labelled = _WITH_LABEL.fullmatch(text)
    if labelled:
        label, terminal = _label_and_terminal(labelled[2].rstrip(")").strip())
        return Named(_written_id(labelled[1]), label, terminal)
    return None


def _written_id(written: str) -> str:
    """Give an id as a harness file takes it."""
    numbered = _NUMBERED.fullmatch(written.strip())
    if numbered and not numbered[3]:
        return f"{_LETTERS[fold(numbered[1])]}{numbered[2]}"
    plain = _SPACED.sub("", written.strip())
    plain = _NOT_IN_ID.sub("_", plain)[:60]
    if _ALONE.fullmatch(plain) and plain[:1].islower():
        plain = plain.upper()
    return plain if plain[:1].isalpha() and plain[:1].isascii() else f"P_{plain}"[:60]


def _by_label(text: str, known: Known) -> Named:
    post = _BATTERY_POSTS.get(text.casefold())
    if post:
        return Named("", "Battery", post)
    label, terminal = name_and_end(text)
    if not terminal or fold(label) not in known.two_ended:
        label, terminal = _label_and_terminal(text)
    part_id = known.labels.get(fold(label), "") or (known.id_of(label) if fold(label) in known.two_ended else "")
    return Named(part_id, "" if part_id else label, terminal)


@lru_cache(maxsize=50_000)
def name_and_end(text: str) -> tuple[str, str]:
    """Part the last word, in small letters, from what stands before it and from a rating behind it; empty if alone."""
    rating = _RATING.search(text)
    split = _LABEL_TERMINAL.fullmatch(text[: rating.start()].strip() if rating else text)
    return (split[1], split[3].casefold()) if split else (text, "")


def _label_and_terminal(text: str) -> tuple[str, str]:
    """Part a label from the terminal behind it; a bare small number belongs to the label: ``Lamp 2``."""
    split = _LABEL_TERMINAL.fullmatch(text)
    if split is None:
        plain = text[:-1].strip()
        return (plain, text[-1]) if text[-1:] in "+-" and plain else (text, "")
    label, pin, last = split[1], split[2], split[3]
    if last.casefold() in _PLUS:
        return label, "+"
    if last.casefold() in _MINUS:
        return label, "-"
    if pin or last in _stamped():
        return label, last
    tables: tuple[str, ...] = ()
    if last.isdigit():
        tables = ("connectors", "modules")
    elif last in ("L", "R") and _turns(label):
        tables = ("switches",)
    kind = kind_of_words(label) if tables else None
    return (label, last) if kind is not None and kind.table in tables else (text, "")


def _turns(label: str) -> bool:
    """Tell whether a switch is that of the indicators: its L and R are terminals, and no second switch."""
    return any(word.startswith(("indicator", "turn", "blinker", "winker", "stalk")) for word in fold(label).split())


@cache
def _stamped() -> frozenset[str]:
    """Give the numbers of DIN 72552 that cannot be taken for the second or third of several parts."""
    return frozenset(row["terminal"] for row in table_rows("terminals") if len(row["terminal"]) > 1)


def is_plus(terminal: str) -> bool:
    """Tell whether a terminal's word means the fed one of two."""
    return terminal.casefold() in _PLUS or terminal.casefold() in {"b+", "p", "in", "feed", "v+", "vcc"}


def is_minus(terminal: str) -> bool:
    """Tell whether a terminal's word means the ground one of two."""
    return terminal.casefold() in _MINUS or terminal.casefold() in {
        "b-",
        "n",
        "31",
        "gnd",
        "ground",
        "earth",
        "masse",
        "v-",
        "e",
    }


def as_terminal(written: str) -> str:
    """Give a terminal's name as a harness file takes it."""
    return _NOT_IN_TERMINAL.sub("_", written.strip()).strip("_")[:60] or "1"


def cavity_of(terminal: str, names: Mapping[str, int]) -> int:
    """Give the cavity that a word names: a number, or a letter by its place; 0 where it is neither."""
    if terminal in names:
        return names[terminal]
    digits = re.fullmatch(r"(?:pin|cav)?[_ ]?0*(\d{1,4})", terminal, re.IGNORECASE)
    if digits and 1 <= int(digits[1]) <= 500:
        return int(digits[1])
    return ord(terminal.upper()) - 64 if re.fullmatch("[A-Za-z]", terminal) else 0
