"""The marked row of a list in full, where the list has no room for all of it."""

from textual.widgets import Static

from tui.text import assembled


class WholeRow(Static):
    """Stands below a list, and takes lines only where the marked row is cut."""

    DEFAULT_CSS = "WholeRow { height: auto; max-height: 4; padding: 0 1; display: none; }"

    def tell(self, words: str) -> None:
        """Say what the list has no room for; nothing where it has."""
        self.display = bool(words)
        self.update(assembled(words))
