"""A screen looked at as it is drawn: its lines, its colours as finally composed, and what does not fit in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from rich.color import Color as RichColor
from rich.color import ColorSystem
from rich.style import Style
from textual.app import App
from textual.color import Color
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from model.sheets.wire_paint import bands_of
from tui.text import FRAME_RIGHT, PAINT
from tui.widgets.face import FaceView

LINES = frozenset(map(chr, range(0x2500, 0x25A0)))
"""Box drawings and blocks (Unicode 2500 to 259F): they part the screen and say nothing."""


@dataclass(frozen=True)
class Drawn:
    """A piece of a line in one style.

    Attributes
    ----------
    ink, ground
        As they are seen: reverse video taken into account.
    """

    text: str
    ink: Color
    ground: Color

    @property
    def is_line(self) -> bool:
        """Whether it holds nothing but what parts the screen."""
        return set(self.text) - {" "} <= LINES

    @property
    def is_paint(self) -> bool:
        """Whether it is a cell in the colour of a wire, which is no sign at all."""
        return set(self.text) == {PAINT} and self.ink == self.ground


def is_named(paint: Drawn, behind: Sequence[Drawn]) -> bool:
    """Tell whether the code behind the painted cells names their colour."""
    words = next((one.text.split() for one in behind if not one.is_line), [])
    bands = bands_of(words[0].lstrip(FRAME_RIGHT).rstrip(":,;.")) if words else None
    return paint.ink in [Color.parse(shade) for shade in bands or ()]


def drawn_lines(app: App[Any]) -> list[list[Drawn]]:
    """Return what stands on the screen, line by line, without what is blank."""
    strips = app.screen._compositor.render_strips()
    return [
        [_drawn(segment.text, segment.style or Style()) for segment in strip if segment.text.strip()]
        for strip in strips
    ]


def _drawn(text: str, style: Style) -> Drawn:
    assert style.color is not None, text
    assert style.bgcolor is not None, text
    ink, ground = _seen(style.color), _seen(style.bgcolor)
    return Drawn(text, ground, ink) if style.reverse else Drawn(text, ink, ground)


def _seen(colour: RichColor) -> Color:
    return Color(*colour.get_truecolor())


def linear(channel: float) -> float:
    """Return a channel of sRGB (0 to 1) as light (IEC 61966-2-1)."""
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def luminance(colour: Color) -> float:
    """Return the relative luminance of WCAG 2.2."""
    red, green, blue = (linear(channel) for channel in colour.normalized)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Color, other: Color) -> float:
    """Return the contrast ratio of WCAG 2.2."""
    dark, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dark + 0.05)


def in_256(colour: Color) -> Color:
    """Return the colour of a 256-colour terminal that a colour is shown as."""
    shown = RichColor.from_rgb(*colour.rgb).downgrade(ColorSystem.EIGHT_BIT)
    return _seen(shown)


def weak(app: App[Any]) -> list[str]:
    """List what has less contrast than 4.5:1, lines than 3:1 (WCAG 2.2, 1.4.3 and 1.4.11); in 256 colours too."""
    found = []
    faces = [widget.region for widget in app.screen.query(FaceView)]
    for row, line in enumerate(drawn_lines(app)):
        # on the face of a plug the cavity stands before the paint, and the colour in the row of the cavity
        on_face = any(face.y <= row < face.bottom for face in faces)
        for place, piece in enumerate(line):
            if piece.is_paint and (on_face or is_named(piece, line[place + 1 :])):
                continue
            least = 3.0 if piece.is_line else 4.5
            ratios = [contrast(piece.ink, piece.ground), contrast(in_256(piece.ink), in_256(piece.ground))]
            if min(ratios) < least:
                found.append(f"{piece.text.strip()!r}: {piece.ink.hex} on {piece.ground.hex}, {min(ratios):.2f}")
    return found


def cut_lines(app: App[Any]) -> list[str]:
    """List the lines in which a text has been cut for want of room."""
    texts = ["".join(piece.text for piece in line) for line in drawn_lines(app)]
    return [text.strip() for text in texts if "…" in text]


def cut_texts(app: App[Any]) -> Iterator[str]:
    """Name the texts of which not all lines have room; what scrolls is left out."""
    for widget in app.screen.query(Static):
        if not widget.is_on_screen or _scrolls(widget):
            continue
        words = widget.visual
        if isinstance(words, Content) and widget.content_size.width > 0:
            needed = len(words.wrap(widget.content_size.width)) if words.plain else 0
            if needed > widget.content_size.height:
                yield f"#{widget.id}: {words.plain}"


def _scrolls(widget: Widget) -> bool:
    return any(isinstance(one, VerticalScroll) for one in widget.ancestors)
