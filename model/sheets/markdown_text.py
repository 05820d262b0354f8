"""Text as Markdown takes it."""


def escaped(text: str) -> str:
    """Give text so that Markdown shows it as it stands, in a cell of a table too."""
    return "".join(f"\\{sign}" if sign in "\\`*_{}[]<>#|~!&" else sign for sign in text)
