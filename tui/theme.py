"""The program's own looks: dark, light, the terminal's palette, and none.

Hues only help: every state is a word and a sign first. They stay apart in lightness or hue for eyes without the cones
for red, for green or for blue; each has a contrast of 4.5:1 or more on its ground (WCAG 2.2, success criterion 1.4.3).
"""

from textual.theme import Theme

from tui.terminal import Look

HUES = ("feed", "ground", "suspect", "caution", "quiet")
"""What is coloured: live rows of the feed, the way to ground, suspects, cautions, and what may stay back."""

_DARK = {
    "feed": "#F2C14E",
    "ground": "#7CC7F2",
    "suspect": "#E79BD0",
    "caution": "#FF9E64",
    "quiet": "#A9B1B4",
    "rule": "#78838A",
    "mark": "#F4F1E8",
    "mark-text": "#0E1113",
}
_LIGHT = {
    "feed": "#7D5A00",
    "ground": "#004C86",
    "suspect": "#7B1E63",
    "caution": "#8F1D14",
    "quiet": "#4A5357",
    "rule": "#6A7479",
    "mark": "#14181A",
    "mark-text": "#FBFAF5",
}
_TERMINAL = {
    "feed": "ansi_yellow",
    "ground": "ansi_cyan",
    "suspect": "ansi_magenta",
    "caution": "ansi_bright_red",
    "quiet": "ansi_default",
    "rule": "ansi_default",
    "mark": "ansi_default",
    "mark-text": "ansi_default",
}


def _stock_variables(own: dict[str, str]) -> dict[str, str]:
    """Return our hues, and the variables of textual's widgets in the same hues."""
    return own | {
        "block-cursor-background": own["mark"],
        "block-cursor-foreground": own["mark-text"],
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": own["mark"],
        "block-cursor-blurred-foreground": own["mark-text"],
        "block-cursor-blurred-text-style": "none",
        "border": own["rule"],
        "border-blurred": own["rule"],
        "input-cursor-background": own["mark"],
        "input-cursor-foreground": own["mark-text"],
        "scrollbar": own["rule"],
        "scrollbar-hover": own["quiet"],
        "scrollbar-active": own["quiet"],
    }


def _painted(name: str, own: dict[str, str], ground: str, signs: str, dark: bool) -> Theme:
    """Return a theme of fixed colours on one flat ground."""
    return Theme(
        name=name,
        primary=own["ground"],
        secondary=own["quiet"],
        accent=own["feed"],
        success=own["ground"],
        warning=own["feed"],
        error=own["caution"],
        foreground=signs,
        background=ground,
        surface=ground,
        panel=ground,
        boost=ground,
        dark=dark,
        variables=_stock_variables(own)
        | {
            "text": signs,
            "text-muted": own["quiet"],
            "text-disabled": own["quiet"],
            "scrollbar-background": ground,
            "scrollbar-background-hover": ground,
            "scrollbar-background-active": ground,
            "scrollbar-corner-color": ground,
        },
    )


def _palette(name: str) -> Theme:
    """Return a theme that leaves every colour to the terminal."""
    return Theme(
        name=name,
        primary="ansi_cyan",
        secondary="ansi_default",
        accent="ansi_yellow",
        success="ansi_cyan",
        warning="ansi_yellow",
        error="ansi_bright_red",
        foreground="ansi_default",
        background="ansi_default",
        surface="ansi_default",
        panel="ansi_default",
        boost="ansi_default",
        ansi=True,
        variables=_stock_variables(_TERMINAL)
        | {
            "block-cursor-text-style": "reverse",
            "block-cursor-blurred-text-style": "reverse",
            "input-cursor-text-style": "reverse",
            "ansi-background": "ansi_default",
            "ansi-foreground": "ansi_default",
            "scrollbar-background": "ansi_default",
            "scrollbar-background-hover": "ansi_default",
            "scrollbar-background-active": "ansi_default",
        },
    )


THEMES: dict[Look, Theme] = {
    Look.DARK: _painted("fusewalk-dark", _DARK, "#0E1113", "#F4F1E8", dark=True),
    Look.LIGHT: _painted("fusewalk-light", _LIGHT, "#FBFAF5", "#14181A", dark=False),
    Look.TERMINAL: _palette("fusewalk-terminal"),
    Look.PLAIN: _palette("fusewalk-plain"),
}
"""The theme of each look."""
