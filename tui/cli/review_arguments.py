"""What the commands of the review share: the form of the sheet and where it goes."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, assert_never

from tui.cli.forms import Form
from tui.cli.output import write_json
from tui.cli.sheet_file import form_of, write_sheet

if TYPE_CHECKING:
    from model.sheets.review_sheet import ReviewSheet


@dataclass(frozen=True, slots=True)
class Review:
    """A review in all its forms; each is made only where it is asked for.

    Attributes
    ----------
    html
        Where its HTML is not that of the sheet.
    text
        Where its text is not that of the sheet.
    title
        What a text of its own is called where it goes into a file: it begins with what it is, so that it may be
        written over.
    """

    sheet: Callable[[], ReviewSheet]
    csv: Callable[[], str]
    as_json: Callable[[], dict[str, Any]]
    html: Callable[[], str] | None = None
    text: Callable[[], str] | None = None
    title: str = ""


def print_review(review: Review, arguments: Namespace) -> int:
    """Print a review, or write it where the arguments say, and give the exit code.

    Raises
    ------
    FusewalkError
        Where it cannot be written, or must not be.
    """
    form = form_of(arguments.form, arguments.output)
    if form is Form.JSON and arguments.output is None:
        write_json(review.as_json())
        return 0
    made = _made(form, review)
    if form is Form.TEXT and review.title and arguments.output is not None:
        from model.sheets.review_sheet import HEAD

        made = f"{HEAD}, {review.title}\n{made}"
    return write_sheet(made, arguments)


def _made(form: Form, review: Review) -> str:
    match form:
        case Form.TEXT:
            from model.sheets.review_text import review_text

            return review_text(review.sheet()) if review.text is None else review.text()
        case Form.MARKDOWN:
            from model.sheets.review_markdown import review_markdown

            return review_markdown(review.sheet())
        case Form.HTML:
            from model.sheets.review_html import review_html

            return review_html(review.sheet()) if review.html is None else review.html()
        case Form.CSV:
            return review.csv()
        case Form.JSON:
            return json.dumps(review.as_json(), ensure_ascii=False, allow_nan=False)
    assert_never(form)
