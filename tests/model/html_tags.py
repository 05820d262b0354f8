"""An HTML file read for the tests of sheets: its tags, its links and its text."""

from __future__ import annotations

from html.parser import HTMLParser

VOID = {"meta", "br", "col", "img"}


class Tags(HTMLParser):
    """Collects tags, links and text, and sees that every tag is closed."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.links: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open a tag."""
        self.tags.append(tag)
        self.links += [str(value) for name, value in attrs if name in ("src", "href")]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Keep the text."""
        if "style" not in self.open:
            self.text += data


def parsed(html: str) -> Tags:
    """Read an HTML file."""
    tags = Tags()
    tags.feed(html)
    tags.close()
    assert tags.open == []
    return tags
