"""The order of rows: each place once, each plug once, where that can be."""

from __future__ import annotations

from model.plans.tour import Effort, Task, effort_of, in_order

PLACES = {"X1": "sill", "X2": "dash", "E1": "tail"}


def _order(*tasks: Task) -> list[tuple[str, str]]:
    return [(step.key, step.place) for step in in_order(tasks, PLACES.__getitem__)]


def test_place_with_most_rows_is_gone_to_first_and_once() -> None:
    """Three rows lie between two places each, and two of the places serve for all of them."""
    tasks = (Task("a", ("dash", "tail")), Task("b", ("dash", "sill")), Task("c", ("sill", "tail")))
    steps = in_order(tasks, PLACES.__getitem__)
    assert effort_of(steps, PLACES.__getitem__) == Effort(2, 2, 0, 0)
    assert {step.key for step in steps} == {"a", "b", "c"}


def test_lamp_is_unplugged_before_the_rows_that_need_it() -> None:
    """The row from the tail to the dash is read at the dash, after the tail, where its lamp was unplugged."""
    steps = in_order(
        (Task("lamp wire", ("dash", "tail"), needs=frozenset({"E1"})), Task("other", ("tail",))), PLACES.__getitem__
    )
    assert [step.key for step in steps] == ["other", "lamp wire"]
    assert steps[1].opens == ("E1",)
    assert steps[1].opened == frozenset({"E1"})
    assert effort_of(steps, PLACES.__getitem__).openings == 1


def test_contact_is_read_before_its_plug_is_opened() -> None:
    """A row across plug X2 wants it together; a row that needs it apart comes after."""
    steps = in_order(
        (Task("wire", ("dash",), needs=frozenset({"X2"})), Task("contact", ("dash",), mated=frozenset({"X2"}))),
        PLACES.__getitem__,
    )
    assert [(step.key, step.opens) for step in steps] == [("contact", ()), ("wire", ("X2",))]


def test_plug_is_put_together_again_where_two_rows_want_each_other_open() -> None:
    """Contacts of X1 and X2 each want the other plug apart: one is opened, closed again, and the other opened."""
    tasks = (
        Task("X1.1", ("sill",), needs=frozenset({"X2"}), mated=frozenset({"X1"})),
        Task("X2.1", ("dash",), needs=frozenset({"X1"}), mated=frozenset({"X2"})),
    )
    steps = in_order(tasks, PLACES.__getitem__)
    assert [(step.key, step.opens, step.closes) for step in steps] == [
        ("X1.1", ("X2",), ()),
        ("X2.1", ("X1",), ("X2",)),
    ]


def test_row_without_a_place_has_its_turn() -> None:
    """A loom whose places are not given has one place, the empty name."""
    assert _order(Task("a", ("",)), Task("b", ("",))) == [("a", ""), ("b", "")]


def test_effort_counts_each_return() -> None:
    """Going to the sill, the dash and the sill again are three stops at two places."""
    tasks = (Task("a", ("sill",)), Task("b", ("dash",)), Task("c", ("sill",)))
    steps = [in_order((task,), PLACES.__getitem__)[0] for task in tasks]
    assert effort_of(steps, PLACES.__getitem__) == Effort(3, 2, 0, 0)
