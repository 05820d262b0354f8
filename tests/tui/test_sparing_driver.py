"""What signals ask of the driver is done once nothing else is under way."""

import asyncio
from queue import Queue
from threading import Event

from tui.sparing_driver import _soon


async def test_what_a_signal_asks_for_waits_for_what_is_under_way() -> None:
    """A signal that comes while something is handed to the writer: writing at once would wait for the lock for good."""
    written: Queue[str] = Queue()
    is_done = Event()

    def handler() -> None:
        written.put("given back")
        is_done.set()

    with written.mutex:
        _soon(handler)
    assert not is_done.is_set()
    await asyncio.sleep(0)
    assert is_done.is_set()


def test_where_no_event_loop_runs_it_is_done_at_once() -> None:
    """Before the program has begun and after it has ended."""
    is_done = Event()
    _soon(is_done.set)
    assert is_done.is_set()
