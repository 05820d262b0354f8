"""Sound files with their rows, keys, values and bytes changed: whatever comes of it is taken, or refused in words."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from model.errors import FusewalkError
from model.harness.toml_file import read_harness_text
from tests.fuzz.commands import OTHERS, SHEETS, assert_lawful, run
from tests.fuzz.mutations import mutated_harness
from tests.fuzz.targets import TARGETS, noise, read_as_harness

RANDOMS = st.randoms(use_true_random=False)
TIMES = {"harness": 6, "wires": 6, "record": 40, "lines": 6}
QUICK = tuple(words for words in (*OTHERS, *SHEETS) if words.split()[0] not in ("trace", "loads", "feeds", "fuses"))
"""Commands that take little time on any vehicle."""
quickly = settings(deadline=None, max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture])
at_length = settings(quickly, max_examples=40)


@pytest.mark.parametrize("target", TARGETS)
def test_changed_bytes_break_no_law(target: str) -> None:
    """Bytes cut out, doubled and put in: every reader keeps its laws."""

    @settings(quickly, max_examples=TIMES[target])
    @given(RANDOMS)
    def broken(random: Random) -> None:
        TARGETS[target](noise(target, random))

    broken()


@pytest.mark.slow
@pytest.mark.parametrize("target", TARGETS)
def test_more_changed_bytes_break_no_law(target: str) -> None:
    """The same, five times as often."""

    @settings(quickly, max_examples=5 * TIMES[target])
    @given(RANDOMS)
    def broken(random: Random) -> None:
        TARGETS[target](noise(target, random))

    broken()


@quickly
@given(RANDOMS)
def test_a_changed_structure_breaks_no_law(random: Random) -> None:
    """Rows, keys, numbers and points of a build exchanged: it is read or told."""
    read_as_harness(mutated_harness(random).encode())


@pytest.mark.slow
@at_length
@given(RANDOMS)
def test_commands_bear_a_changed_structure(tmp_path: Path, random: Random) -> None:
    """Where what was changed is still a harness, a command on it writes words."""
    text = mutated_harness(random)
    try:
        harness = read_harness_text(text, "changed.toml")
    except FusewalkError:
        return
    file = tmp_path / "changed.toml"
    file.write_text(text, encoding="utf-8")
    name, *rest = random.choice(QUICK).split()
    load = harness.loads[0].id if harness.loads else "E1"
    arguments = [name, str(file), *({"FILE": str(file), "LOAD": load}.get(word, word) for word in rest)]
    assert_lawful(arguments, run(arguments))
