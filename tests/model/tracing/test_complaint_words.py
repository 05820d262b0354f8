"""A complaint read from the words of a command line."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import ArgumentError
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.complaint_words import Said, complaint_of, named_loads, one_load
from tests.model.tracing.rigs import demo, rig, wires

BUGGY = demo("trail_buggy")


def read(*loads: str, **said: object) -> Complaint:
    """Read a complaint about the buggy."""
    return complaint_of(Bench(BUGGY), Said(loads, **said))  # type: ignore[arg-type]


NAMES = [
    ("M2", ("M2:load",)),
    ("M2:load", ("M2:load",)),
    (" fuel pump ", ("M2:load",)),
    ("E1:dip", ("E1:dip",)),
    ("left head lamp dip", ("E1:dip",)),
    ("E1", ("E1:dip", "E1:main", "E1:side")),
    ("Left head lamp", ("E1:dip", "E1:main", "E1:side")),
    ("A2:75", ("A2:75",)),
    ("A2", ("A2:75", "A2:30")),
    ("G1", ("G1",)),
    ("battery", ("G1",)),
    ("alternator, 70 a", ("G2",)),
]


@pytest.mark.parametrize(("name", "elements"), NAMES)
def test_a_load_is_named_in_any_of_its_ways(name: str, elements: tuple[str, ...]) -> None:
    """By id, circuit, feed or label; one of several circuits is all of them."""
    assert named_loads(BUGGY, name) == elements


def test_one_load_is_asked_for_where_only_one_fits() -> None:
    """A load of several circuits is none; a battery is one."""
    assert [one_load(BUGGY, name) for name in ("horn", "E1:dip", "G1")] == ["P1:load", "E1:dip", "G1"]
    with pytest.raises(ArgumentError, match="Name one of them: E1:dip, E1:main, E1:side"):
        one_load(BUGGY, "E1")


def test_what_is_not_typed_is_as_the_format_of_the_lines_says() -> None:
    """Dead, an old loom, the working condition, a helper, nothing else told."""
    assert read("M2") == Complaint(("M2:load",), Symptom.DEAD, LoomAge.OLD)


def test_several_loads_are_one_complaint_each_named_once() -> None:
    """In the order typed."""
    assert read("P1", "M2", "Horn").loads == ("P1:load", "M2:load")


def test_everything_typed_is_taken_over() -> None:
    """Each flag in its place; what is complained of is not told as dead again."""
    found = read(
        "M2", symptom="Weak", age="new", key="ignition", settings=("S16=set",), posts_volts=12.5,
        works=("P1",), dead=("E1:dip", "M2"), weak=("Radiator fan", "M2"), has_helper=False,
    )  # fmt: skip
    assert found == Complaint(
        ("M2:load",), Symptom.WEAK, LoomAge.NEW, Condition("ignition", (("S16", "set"),)), 12.5,
        ("P1:load",), ("E1:dip",), "", "", False, named_loads(BUGGY, "Radiator fan"),
    )  # fmt: skip


def test_a_key_state_alone_leaves_everything_else_at_rest() -> None:
    """What is not set is at rest, as everywhere."""
    assert read("P1", symptom="stays-on", key="off").condition == Condition("off")


def test_settings_alone_stand_in_the_key_state_in_which_the_load_should_work() -> None:
    """The fuel pump primes from ignition on; a battery has no such state and takes the first."""
    assert read("M2", settings=("S2=head",)).condition == Condition("ignition", (("S2", "head"),))
    assert read("G1", settings=("S2=head",)).condition == Condition("off", (("S2", "head"),))


def test_a_fuse_that_blows_is_named_or_is_the_last_before_the_load() -> None:
    """The walk of the pump passes F20 last, by the file's wires."""
    walk_fuses = [fuse.id for fuse in BUGGY.fuses]
    found = read("M2", symptom="blows-fuse").fuse
    assert found in walk_fuses
    assert read("M2", symptom="blows-fuse", fuse=found).fuse == found


def test_the_last_fuse_is_the_one_next_to_the_load() -> None:
    """Two fuses in line: the second."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 30 }, { id = "F2", amps = 10 } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
        + wires("G1.+ F1.in", "F1.out F2.in", "F2.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    )
    assert complaint_of(Bench(harness), Said(("E1",), symptom="blows-fuse")).fuse == "F2"


def test_the_other_load_belongs_to_its_symptom() -> None:
    """Named by label too."""
    found = read("M2", symptom="works-with-another", other_load="horn")
    assert (found.symptom, found.other_load) == (Symptom.WORKS_WITH_ANOTHER, "P1:load")


WRONG: list[tuple[tuple[str, ...], dict[str, object], str]] = [
    ((), {}, "Nothing is complained of."),
    (("M99",), {}, "There is no load “M99”."),
    (("Fuel pum",), {}, "Did you mean Fuel pump?"),
    (("",), {}, "There is no load “”."),
    (("batery",), {}, "Did you mean Battery?"),
    (("K7",), {}, "There is no load “K7”."),
    (("M2",), {"symptom": "ded"}, "There is no symptom “ded”. Did you mean dead?"),
    (("M2",), {"symptom": "x"}, "There are: dead, weak, stays-on"),
    (("M2",), {"age": "yung"}, "Did you mean young?"),
    (("M2",), {"key": "igntion"}, "Did you mean ignition?"),
    (("M2",), {"settings": ("S2=hed",)}, "Did you mean head?"),
    (("M2",), {"posts_volts": 90.0}, "cannot read 90 V"),
    (("M2",), {"posts_volts": float("nan")}, "cannot read nan V"),
    (("M2",), {"works": ("P9",)}, "There is no load “P9”."),
    (("M2",), {"works": ("fuel pump",)}, "M2:load cannot both work and not."),
    (("M2",), {"works": ("P1",), "dead": ("P1",)}, "P1:load cannot both work and not."),
    (("M2",), {"weak": ("P1",), "works": ("P1",)}, "P1:load is told as weak and as works."),
    (("M2",), {"weak": ("P1",), "dead": ("P1",)}, "P1:load is told as weak and as dead."),
    (("M2",), {"weak": ("P9",)}, "There is no load “P9”."),
    (("M2",), {"fuse": "F3"}, "Add --symptom blows-fuse."),
    (("M2",), {"fuse": "F2o", "symptom": "blows-fuse"}, "There is no fuse “F2o”. Did you mean F2"),
    (("G1",), {"symptom": "blows-fuse"}, "Which fuse blows is not said."),
    (("M2",), {"other_load": "P1"}, "Add --symptom works-with-another."),
    (("M2",), {"symptom": "works-with-another"}, "Add --with LOAD."),
    (("M2",), {"symptom": "works-with-another", "other_load": "M2"}, "is the load complained of itself"),
]


def test_a_label_of_two_loads_names_neither() -> None:
    """Their ids are told."""
    harness = rig(
        'loads = [ { id = "E1", label = "Lamp", kind = "lamp", watts = 5 }, '
        '{ id = "E2", label = "Lamp", kind = "lamp", watts = 5 } ]\n'
    )
    with pytest.raises(ArgumentError, match="Name one of them: E1:load, E2:load"):
        named_loads(harness, "lamp")


@pytest.mark.parametrize("case", range(len(WRONG)))
def test_what_does_not_fit_is_refused_with_what_is_near(case: int) -> None:
    """As an `ArgumentError`, before anything is traced."""
    loads, said, words = WRONG[case]
    with pytest.raises(ArgumentError) as refused:
        read(*loads, **said)
    assert words in str(refused.value)
