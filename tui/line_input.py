"""Lines of an input stream, whatever bytes come: too long, no text, none at all."""

from __future__ import annotations

from typing import BinaryIO

from model.errors import AnswerError

MOST_BYTES = 65536
"""No answer is as long as this; what is longer is left out unread."""

_MARK = "\ufeff"


class LineInput:
    """The lines of a stream, one after another.

    Parameters
    ----------
    stream
        Where the bytes come from; None where there is no input at all.
    """

    def __init__(self, stream: BinaryIO | None) -> None:
        self._stream = stream
        self._is_first = True

    def read(self) -> str | None:
        """Give the next line without its end, None at the end of the input.

        Raises
        ------
        AnswerError
            Where a line is too long, or is not UTF-8. The next call gives the line behind it.
        """
        if self._stream is None:
            return None
        raw = self._stream.readline(MOST_BYTES)
        if not raw:
            return None
        was_first, self._is_first = self._is_first, False
        if len(raw) == MOST_BYTES and not raw.endswith(b"\n"):
            self._pass_over()
            raise AnswerError(f"That line is longer than {MOST_BYTES} bytes.", do="Answer in one short line.")
        try:
            line = raw.decode("utf-8")
        except UnicodeDecodeError:
            raise AnswerError("That line is not UTF-8.", do="Send the answer as UTF-8.") from None
        # some systems put the mark in front of what they pipe
        return (line.removeprefix(_MARK) if was_first else line).rstrip("\r\n")

    def _pass_over(self) -> None:
        assert self._stream is not None
        while True:
            raw = self._stream.readline(MOST_BYTES)
            if not raw or raw.endswith(b"\n"):
                return
