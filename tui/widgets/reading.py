"""The line in which a check is answered: a number as it is typed with how it is understood, or words to choose from."""

from __future__ import annotations

from dataclasses import dataclass

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from tui.text import Part, assembled

NONE_CHOSEN = -1
"""In place of the number of a word: Enter alone answers nothing."""

_NAME_CELLS = 8
_GAP = "   "


@dataclass(frozen=True, slots=True)
class Answering:
    """What the line shows.

    Attributes
    ----------
    typed
        What has been typed so far; empty while letters are commands.
    understood
        How it is understood, or what to do where nothing has been typed.
    wrong
        Why it cannot be taken; empty where it can.
    choices
        The words to choose from where the check is answered with a word.
    chosen
        Which of them Enter takes; `NONE_CHOSEN` where it takes none yet.
    at
        Where the number is for, where that is not what was asked.
    """

    typed: str = ""
    understood: str = ""
    wrong: str = ""
    choices: tuple[str, ...] = ()
    chosen: int = NONE_CHOSEN
    at: str = ""


class ReadingLine(Widget):
    """Shows the answer as it is being given."""

    DEFAULT_CSS = "ReadingLine { height: auto; max-height: 6; padding: 0 1; }"

    answering: reactive[Answering] = reactive(Answering(), layout=True)

    def render(self) -> Content:
        """Return the line for the width there is."""
        return Content("\n").join(answer_lines(self.answering, self.content_size.width or self.app.size.width - 2))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Return how many lines it takes."""
        return len(answer_lines(self.answering, width))


def numbers_words(count: int) -> str:
    """Say which numbers the words have: ``1 or 2``, ``1 to 3``."""
    return "1 or 2" if count == 2 else f"1 to {count}"


def turned(chosen: int, way: int, count: int) -> int:
    """Give the next of so many words (1) or the one before (-1), the first or the last where none is chosen."""
    if chosen == NONE_CHOSEN:
        return 0 if way > 0 else count - 1
    return (chosen + way) % count


def answer_lines(answering: Answering, cells: int) -> list[Content]:
    """Return the answer as it is being given in lines of at most so many cells."""
    if answering.choices:
        refused = [] if answering.chosen != NONE_CHOSEN else _refused(answering.typed)
        words = [_choice(answering, place) for place in range(len(answering.choices))]
        return _wrap_parts("answer", [*refused, *words, _how_to_choose(answering)], cells)
    entry: list[Part] = [(f"{answering.typed}_", "bold reverse")] if answering.typed else []
    told: Part = (answering.wrong, "bold $caution") if answering.wrong else (answering.understood, "")
    if answering.typed and not answering.wrong:
        told = (f"{answering.understood}{_GAP}Enter takes it", "bold")
    at: list[Part] = [(f"at {answering.at}, not asked for", "$feed")] if answering.at else []
    return _wrap_parts("read", [assembled(part) for part in (*entry, *at, told) if _has_words(part)], cells)


def _choice(answering: Answering, place: int) -> Content:
    words = f"{place + 1} {answering.choices[place]}"
    return assembled((f"› {words}", "bold reverse")) if place == answering.chosen else assembled(f"  {words}")


def _refused(typed: str) -> list[Content]:
    """Say of a reading that was typed where a word is asked that it is no answer; nothing where none was."""
    return [assembled((f"{typed}_", "bold reverse"), ("  no answer here", "bold $caution"))] if typed else []


def _how_to_choose(answering: Answering) -> Content:
    if answering.chosen != NONE_CHOSEN:
        return assembled(("Enter takes it", "$quiet"))
    first = "Esc, then " if answering.typed else ""
    return assembled((f"{first}{numbers_words(len(answering.choices))}, then Enter", "$quiet"))


def _has_words(part: Part) -> bool:
    return bool(part[0] if isinstance(part, tuple) else part)


def _wrap_parts(name: str, parts: list[Content], cells: int) -> list[Content]:
    """Put parts beside a name, as many in a line as fit; a part that is longer than a line is wrapped."""
    room = max(cells - _NAME_CELLS, 8)
    pieces = [line for part in parts for line in (part.wrap(room) if part.cell_length > room else [part])]
    rows: list[list[Content]] = [[]]
    for piece in pieces:
        used = sum(one.cell_length + len(_GAP) for one in rows[-1])
        if rows[-1] and used + piece.cell_length > room:
            rows.append([])
        rows[-1].append(piece)
    lines = []
    for place, row in enumerate(rows):
        head: Part = (f"{'' if place else name:<{_NAME_CELLS}}", "$quiet")
        lines.append(assembled(head, Content(_GAP).join(row)))
    return lines
