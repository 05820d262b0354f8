"""The line on top and the line at the bottom of every screen, drawn from what they are told and nothing else."""

from dataclasses import dataclass

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from model.words import clean, volts_text
from tui.text import assembled, fit, lines, plain, width

_GAP = 3
_KEY_STATE_MOST = 14
_DOING_LEAST = 8


@dataclass(frozen=True, slots=True)
class BarFacts:
    """What the line on top says.

    Attributes
    ----------
    vehicle
        The name of the build; empty where none is open.
    doing
        What is being done, or the load it is done to.
    key_state
        The key state in words; empty where none matters.
    posts_volts
        Volts across the battery posts; None where they are not known.
    posts_origin
        How the volts are known: ``read``, ``not read``, ``estimate``.
    """

    vehicle: str = ""
    doing: str = ""
    key_state: str = ""
    posts_volts: float | None = None
    posts_origin: str = ""


def top_line(facts: BarFacts, cells: int) -> Content:
    """Return the line on top, at most `cells` wide.

    What has to go first goes first: how the volts are known, words that explain, the vehicle, then the end of what is
    being done. The key state and the volts stay.
    """
    for left, right in _top_choices(facts):
        gap = cells - width("".join(left)) - (_GAP if all(left) else 0) - width("".join(right))
        if gap >= (_GAP if any(right) else 0):
            return _top_row(left, right, gap)
    right = _rights(facts, short=True)[-1]
    doing = fit(facts.doing or facts.vehicle, max(cells - _GAP - width("".join(right)), _DOING_LEAST))
    gap = max(cells - width(doing) - width("".join(right)), 1)
    return _top_row(("", doing), right, gap)


def fault_line(fault: str, cells: int) -> str:
    """Return the line that says which fault is put in and which key takes it out."""
    key = f"{' ' * _GAP}X takes it out"
    return fit(f"what if: {fault}", max(cells - width(key), _DOING_LEAST)) + key


def bottom_line(keys: list[tuple[str, str]], cells: int) -> Content:
    """Return the line at the bottom, at most `cells` wide: keys with their words, the last ones left out first."""
    for count in range(len(keys), 0, -1):
        for gap in (_GAP, 2):
            taken = sum(width(f"{key} {word}") for key, word in keys[:count]) + gap * (count - 1)
            if taken <= cells:
                return Content(" " * gap).join(
                    [assembled((key, "bold $feed"), f" {word}") for key, word in keys[:count]]
                )
    return Content("")


class TopBar(Widget):
    """The line on top: vehicle, what is being done, key state in words, volts at the posts."""

    facts: reactive[BarFacts] = reactive(BarFacts())

    def render(self) -> Content:
        """Return the line cut to the width there is."""
        return top_line(self.facts, self.content_size.width)


class FaultLine(Widget):
    """Which fault is put in, on every screen for as long as it is: then no figure is that of the sound vehicle."""

    fault: reactive[str] = reactive("")

    def watch_fault(self, fault: str) -> None:
        """Take a line only where there is a fault."""
        self.display = bool(fault)

    def render(self) -> Content:
        """Return the line cut to the width there is; the key stays."""
        cells = self.content_size.width
        return assembled((fault_line(self.fault, cells), "bold $suspect"))


class BottomBar(Widget):
    """The line at the bottom: at most six keys, a step of the first steps above them, or one thing just said."""

    step: reactive[str] = reactive("", layout=True)
    keys: reactive[tuple[tuple[str, str], ...]] = reactive(())
    said: reactive[str] = reactive("", layout=True)

    def __init__(self, keys: list[tuple[str, str]]) -> None:
        super().__init__()
        self.set_reactive(BottomBar.keys, tuple(keys))

    def render(self) -> Content:
        """Return what has been said, wrapped, else the keys."""
        if self.said:
            return plain(self.said) if len(self.said) <= 200 else Content(clean(self.said, limit=1000))
        keys = bottom_line(list(self.keys), self.content_size.width)
        return lines([assembled((self.step, "$feed")), keys]) if self.step else keys


def _top_choices(facts: BarFacts) -> list[tuple[tuple[str, str], tuple[str, str]]]:
    """Return the ways to say it all, the fullest first."""
    full, alone = (facts.vehicle, facts.doing), ("", facts.doing or facts.vehicle)
    lefts = [full, alone] if facts.vehicle and facts.doing else [alone]
    return [(left, right) for left in lefts for right in _rights(facts, short=left is not full)]


def _rights(facts: BarFacts, short: bool) -> list[tuple[str, str]]:
    """Return the ways to say key state and volts, the fullest first."""
    state = fit(facts.key_state.upper(), _KEY_STATE_MOST) if short else clean(facts.key_state.upper())
    key, bare = (f"key {state}", state) if state else ("", "")
    if facts.posts_volts is None:
        return [(key, ""), (bare, "")] if short else [(key, "")]
    volts = f"{volts_text(facts.posts_volts)} V"
    joint = "," if facts.posts_origin == "not read" else ""
    told = f"{volts}{joint} {facts.posts_origin}".rstrip()
    between = "  " if state else ""
    fullest = [(key, f"{between} posts {told}"), (key, f"{between}{told}"), (key, f"{between}{volts}")]
    return [*fullest, (bare, f"{between}{volts}")] if short else fullest


def _top_row(left: tuple[str, str], right: tuple[str, str], gap: int) -> Content:
    """Return the parts in one row, the right ones at the end of it."""
    vehicle, doing = left
    between = " " * _GAP if vehicle and doing else ""
    return assembled((vehicle, "$quiet"), between, (doing, "bold"), " " * gap, (right[0], "bold $feed"), right[1])
