"""The order of rows: each place once, each plug once, where that can be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.plans.tour import Effort, Task, Tour, effort_of, in_order

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


PARTS = ("P1", "P2", "P3")
part_sets = st.frozensets(st.sampled_from(PARTS), max_size=2)
rows = st.lists(
    st.tuples(
        st.lists(st.sampled_from(("a", "b", "c", "d")), min_size=1, max_size=2, unique=True), part_sets, part_sets
    ),
    min_size=1,
    max_size=12,
)


@given(rows=rows)
def test_places_are_valued_as_if_each_were_valued_anew(
    rows: list[tuple[list[str], frozenset[str], frozenset[str]]],
) -> None:
    """Before each choice every place at which something is left has the value that it has at that moment."""
    tasks = [Task(str(number), tuple(at), needs, mated - needs) for number, (at, needs, mated) in enumerate(rows)]
    place_of = {"P1": "a", "P2": "b", "P3": "e"}.__getitem__
    chosen, plain = 0, Tour.best

    def checked(tour: Tour, gone_to: set[str]) -> str:
        nonlocal chosen
        chosen += 1
        place = plain(tour, gone_to)
        assert tour.values == {name: tour.value(name) for name in "abcde" if tour.is_wanted(name)}
        return place

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Tour, "best", checked)
        assert len(in_order(tasks, place_of)) == len(tasks)
    assert chosen


def test_hardly_any_place_is_valued_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 200 places with two rows to the next each, only those beside the one that one goes to are valued anew."""
    valued = 0
    plain = Tour.promise

    def counting(tour: Tour, place: str) -> tuple[int, int, int]:
        nonlocal valued
        valued += 1
        return plain(tour, place)

    monkeypatch.setattr(Tour, "promise", counting)
    tasks = [Task(f"{place}.{row}", (f"{place}", f"{place + 1}")) for place in range(200) for row in range(2)]
    assert len(in_order(tasks, PLACES.__getitem__)) == 400
    assert valued < 5 * 200
