"""Which circuit of a load is asked for."""

from pathlib import Path

import pytest

from model.harness.harness import Harness
from model.harness.parts import Load
from model.harness.toml_file import read_harness
from model.tracing.find_circuit import circuits_as_asked

BUGGY = Path(__file__).parents[3] / "demo_builds" / "trail_buggy.toml"


@pytest.fixture(scope="module")
def buggy() -> Harness:
    """Read the buggy, whose tail clusters have tail, stop and indicator."""
    return read_harness(BUGGY)


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("E5 stop", "E5:stop"),
        ("brake light", "E5:stop"),
        ("left brake lights", "E5:stop"),
        ("turn signal", "E5:indicator"),
        ("tail left", "E5:tail"),
        ("E5", "E5:tail"),
    ],
)
def test_the_circuit_that_was_typed_comes_first(buggy: Harness, typed: str, first: str) -> None:
    """By its name or role, and by what else the trade calls it; else in the order of the file."""
    load = buggy.parts["E5"]
    assert isinstance(load, Load)
    assert circuits_as_asked(buggy, load, typed.split())[0].name == first


def test_a_load_of_one_circuit_has_that_one(buggy: Harness) -> None:
    """Whatever was typed."""
    load = buggy.parts["M2"]
    assert isinstance(load, Load)
    assert [one.name for one in circuits_as_asked(buggy, load, ["stop"])] == ["M2:load"]
