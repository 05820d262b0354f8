"""One long-lived ngspice process that solves one operating point after another."""

import os
import select
import shutil
import subprocess
import tempfile
from array import array
from pathlib import Path
from typing import IO

Element = tuple[str, int, int, float | str]
"""Name (its first letter is the kind: r, i or b), two nodes (0 is the reference), and a value.

The value of an `r` is ohms, of an `i` amperes from the first node through it to the second,
of a `b` an expression in amperes with `{a}` and `{b}` for the two node names.
"""

OPTIONS = ".options reltol=1e-9 abstol=1e-9 vntol=1e-6 gmin=1e-15 itl1=500 itl2=500"

LONGEST_SECONDS = 120.0
"""A process that has not answered by then hangs, and is ended."""


class NgspiceError(Exception):
    """ngspice found no operating point, or is gone."""


def is_installed() -> bool:
    """Tell whether there is an ngspice to run."""
    return shutil.which("ngspice") is not None


class Ngspice:
    """A running ngspice. Circuits of the same shape are altered in place, others read anew."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="against_ngspice_")
        self._netlist = Path(self._folder.name) / "loom.cir"
        self._result = Path(self._folder.name) / "loom.raw"
        self._process = subprocess.Popen(
            ["ngspice", "-n", "-p"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd=self._folder.name,
        )
        self._loaded: list[Element] = []
        self._node_of_row: list[int] = []
        self._count = 0
        self._ask(["set filetype=binary"])

    def close(self) -> None:
        """End the process and remove its folder."""
        if self._process.poll() is None:
            stdin, stdout = self._pipes()
            stdin.close()
            stdout.read()
            stdout.close()
            self._process.wait()
        self._folder.cleanup()

    def solve(self, elements: list[Element], node_count: int) -> list[float]:
        """Return the volts of each node against node 0.

        Parameters
        ----------
        elements
            The circuit. Every node must have a way to node 0, however many ohms it has.
        node_count
            Nodes, the reference included and two more at least; one that no element names gives 0.

        Raises
        ------
        NgspiceError
            Where no operating point was found.
        """
        altered = self._alterations(elements)
        if altered is None:
            self._read_anew(elements)
            altered = []
        self._loaded = elements
        reply = self._ask([*altered, "destroy all", "op", "write loom.raw"])
        if "No. of Data Rows : 1" not in reply:
            self._loaded = []
            raise NgspiceError("ngspice found no operating point: " + reply)
        return self._volts(node_count)

    def _pipes(self) -> tuple[IO[bytes], IO[bytes]]:
        stdin, stdout = self._process.stdin, self._process.stdout
        if stdin is None or stdout is None:
            raise NgspiceError("ngspice has no pipes")
        return stdin, stdout

    def _ask(self, commands: list[str]) -> str:
        stdin, stdout = self._pipes()
        self._count += 1
        mark = f"answered{self._count}\n".encode()
        stdin.write("\n".join([*commands, "echo "]).encode() + mark)
        stdin.flush()
        reply = b""
        while mark not in reply:
            ready, _, _ = select.select([stdout], [], [], LONGEST_SECONDS)
            more = os.read(stdout.fileno(), 1 << 16) if ready else b""
            if not more:
                self._process.kill()
                raise NgspiceError("ngspice ended or hangs: " + reply.decode("utf-8", "replace"))
            reply += more
        return reply.partition(mark)[0].decode("utf-8", "replace")

    def _alterations(self, elements: list[Element]) -> list[str] | None:
        if len(elements) != len(self._loaded):
            return None
        commands = []
        for new, old in zip(elements, self._loaded, strict=True):
            if new == old:
                continue
            if new[:3] != old[:3] or isinstance(new[3], str):
                return None
            commands.append(f"alter {new[0]} = {new[3]!r}")
        return commands

    def _read_anew(self, elements: list[Element]) -> None:
        self._netlist.write_text(_netlist_text(elements), encoding="utf-8")
        forget = ["destroy all", "remcirc"] if self._node_of_row else []
        self._ask([*forget, "source loom.cir"])
        self._node_of_row = []

    def _volts(self, node_count: int) -> list[float]:
        head, _, body = self._result.read_bytes().partition(b"Binary:\n")
        self._result.unlink()
        if not self._node_of_row:
            rows = head.decode("ascii").partition("Variables:\n")[2].splitlines()
            self._node_of_row = [int(row.split()[1][3:-1]) for row in rows]
        solved = array("d")
        solved.frombytes(body[: 8 * len(self._node_of_row)])
        volts = [0.0] * node_count
        for node, value in zip(self._node_of_row, solved, strict=True):
            volts[node] = value
        return volts


def _node(number: int) -> str:
    return f"n{number}" if number else "0"


def _netlist_text(elements: list[Element]) -> str:
    lines = ["* loom"]
    for name, first, second, value in elements:
        a, b = _node(first), _node(second)
        if isinstance(value, str):
            lines.append(f"{name} {a} {b} i = {value.format(a=a, b=b)}")
        else:
            lines.append(f"{name} {a} {b} {value!r}")
    return "\n".join([*lines, OPTIONS, ".end", ""])
