"""A program that adds to a record until it is ended: started by the tests of kills and locks.

Arguments: the harness file, and at which write to stop half through (0 for never). Each entry that was added is
told on standard output as its number; ``half`` where a write stands still.
"""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path

from model.record import Record
from model.record_entries import Reading

WHEN = datetime(2026, 5, 4, 18, 3, 11, tzinfo=UTC)


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def main() -> None:
    """Add entries for ever."""
    harness, stop_at = Path(sys.argv[1]), int(sys.argv[2])
    record = Record.open(harness, WHEN)
    _say("held" if record.held_by else "open")
    write = os.write
    writes = 0

    def half(descriptor: int, content: bytes) -> int:
        nonlocal writes
        writes += 1
        if writes != stop_at:
            return write(descriptor, content)
        write(descriptor, content[: len(content) // 2])
        _say("half")
        sys.stdin.read()
        raise AssertionError("ended before")

    os.write = half  # type: ignore[assignment]
    while True:
        entry = Reading(when=WHEN, trace=f"by {os.getpid()}", check="volts", red="F1.out", black="G1.-", volts=12.31)
        _say(f"{record.append(entry).number}")


if __name__ == "__main__":
    main()
