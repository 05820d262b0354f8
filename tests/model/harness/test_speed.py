"""What reading costs: little for a file, nothing for what it does not use, bounded for a file full of breaches."""

import subprocess
import sys

import pytest

from model.errors import HarnessFileError
from model.harness.toml_file import read_harness_text

WIRES = 10_000


def large_loom() -> str:
    """Write a loom of ten thousand wires between splices."""
    splices = "\n".join(f'  {{ id = "J{number}" }},' for number in range(WIRES // 2 + 1))
    wires = "\n".join(
        f'  {{ id = "W{number}", from = "J{number // 2}", to = "J{number // 2 + 1}", colour = "RD/BK", size = 1.5 }},'
        for number in range(WIRES)
    )
    head = 'format = 1\nbuild = { name = "Large", nominal_volts = 12 }\nkey_states = [ { name = "off" } ]\n'
    return f'{head}batteries = [ {{ id = "G1" }} ]\nsplices = [\n{splices}\n]\nwires = [\n{wires}\n]\n'


def test_ten_thousand_wires_are_read() -> None:
    """A megabyte of wires is read and checked as a whole."""
    text = large_loom()
    harness = read_harness_text(text, "large.toml")
    assert len(harness.wires) == WIRES


@pytest.mark.slow
def test_ten_thousand_breaches_are_told() -> None:
    """A file in which every wire is wrong is told in full, guesses at what was meant included."""
    text = large_loom().replace('from = "J', 'from = "Q')
    with pytest.raises(HarnessFileError) as caught:
        read_harness_text(text, "large.toml")
    assert len(caught.value.breaches) == WIRES
    assert caught.value.breaches[-1].right == "there is no part with this id; did you mean J4999?"


def test_reading_loads_nothing_that_it_does_not_use() -> None:
    """A fresh interpreter that reads a harness has neither the solver's nor the screen's libraries in it."""
    heavy = ("numpy", "scipy", "networkx", "textual", "rich", "difflib", "tomli_w")
    script = f"import sys, model.harness.toml_file; print([name for name in {heavy!r} if name in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
