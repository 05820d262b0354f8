"""The walks of a harness, each made once, whoever asks and from whichever thread."""

from __future__ import annotations

from threading import RLock
from typing import TYPE_CHECKING

from model.circuit.bench import Bench
from model.harness.harness import Element

if TYPE_CHECKING:
    from model.tracing.walk import Walk, Walker


class Walks:
    """The walks of one harness, kept by the name of their element.

    What finds walks is imported with the first one: it costs more than the rest of the start.

    Parameters
    ----------
    bench
        Where conditions are solved, with the battery as the file has it.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._kept: dict[str, Walk] = {}
        self._lock = RLock()
        self._walker: Walker | None = None

    @property
    def walker(self) -> Walker:
        """What makes the walks."""
        with self._lock:
            if self._walker is None:
                from model.tracing.walk import Walker

                self._walker = Walker(self.bench)
            return self._walker

    def kept(self, element_name: str) -> Walk | None:
        """Give a walk that has been made before, without waiting for one that is being made."""
        return self._kept.get(element_name)

    def walk(self, element: Element) -> Walk:
        """Give the walk of an element; only one is made at a time."""
        with self._lock:
            found = self._kept.get(element.name)
            if found is None:
                found = self._kept[element.name] = self.walker.walk(element)
            return found
