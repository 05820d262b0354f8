"""Which load is meant by an id, a circuit or a label."""

from __future__ import annotations

import pytest

from model.errors import ArgumentError
from model.tracing.walk import find_element
from tests.model.tracing.rigs import rig, wires

FILAMENTS = (
    '{ name = "dip", from = "56b", to = "31", watts = 55 }, { name = "main", from = "56a", to = "31", watts = 60 }'
)
TWO_CIRCUITS = rig(
    f"""
loads = [
  {{ id = "E1", kind = "lamp", label = "Head lamp", elements = [ {FILAMENTS} ] }},
  {{ id = "E2", kind = "lamp", watts = 5, label = "Side lamp" }},
  {{ id = "E3", kind = "lamp", watts = 5 }},
  {{ id = "E4", kind = "lamp", watts = 5, label = "Twin" }},
  {{ id = "E5", kind = "lamp", watts = 5, label = "Twin" }},
]
"""
    + wires("G1.+ E1.56b", "E1.31 G1.-")
)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("E1:dip", "E1:dip"),
        ("E2", "E2:load"),
        ("E2:load", "E2:load"),
        ("side LAMP", "E2:load"),
        ("Head lamp main", "E1:main"),
    ],
)
def test_a_load_is_named_by_id_circuit_or_label(typed: str, name: str) -> None:
    """Capitals do not matter in a label; a circuit may follow it."""
    assert find_element(TWO_CIRCUITS, typed).name == name


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("E1", "Name one of them: E1:dip, E1:main."),
        ("Head lamp", "Name one of them: E1:dip, E1:main."),
        ("Twin", "Name one of them: E4:load, E5:load."),
        ("E9", "There is no load “E9”."),
        ("Hed lamp", "Did you mean Head lamp?"),
        ("E1:dop", "Did you mean E1:dip?"),
        ("", "There is no load “”."),
        (" ", "There is no load"),
    ],
)
def test_a_name_that_means_no_load_or_several_is_refused_with_what_to_type(typed: str, words: str) -> None:
    """Loads without a label are not meant by an empty name."""
    with pytest.raises(ArgumentError) as refused:
        find_element(TWO_CIRCUITS, typed)
    assert words in str(refused.value)
