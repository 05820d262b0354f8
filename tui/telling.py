"""A walk told as the harness stands: worked out once for all key states, in a thread, kept until something is set."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from model.errors import FusewalkError
from model.harness.harness import all_elements

if TYPE_CHECKING:
    from model.circuit.bench import Bench
    from model.circuit.condition import Condition
    from model.harness.harness import Element, Harness
    from model.tracing.rows import ToldWalk
    from model.tracing.walk import Walk
    from tui.standing import PostsRead, Standing


@dataclass(frozen=True)
class ToldFor:
    """What the expectations of a walk hang on, whatever the key.

    Attributes
    ----------
    at_rest_key
        The condition with the key in its first state.
    """

    bench: Bench
    at_rest_key: Condition
    posts: PostsRead | None


@dataclass(frozen=True)
class Told:
    """A walk told, or the sentence that says why it cannot be.

    Attributes
    ----------
    needs
        What the load needs, in words.
    """

    what_for: ToldFor | None
    walk: ToldWalk | None
    trouble: str = ""


def told_for(standing: Standing) -> ToldFor:
    """Return what the expectations hang on now."""
    first = standing.harness.key_names[0]
    return ToldFor(standing.bench, standing.condition.at_key(first), standing.posts)


def tell(standing: Standing, walk: Walk) -> Told:
    """Tell a walk as the harness stands, in every key state.

    Where the posts were read with the same settings, their key state has the narrower bands of a supply that is known.
    """
    from model.tracing.rows import tell_walk

    what_for, asked, bench = told_for(standing), standing.condition, standing.bench
    posts = standing.posts
    if posts is not None and posts.condition == asked.at_key(posts.condition.key):
        asked, bench = replace(posts.condition, posts_volts=posts.volts), standing.walks.bench
    try:
        return Told(what_for, tell_walk(bench, walk, asked))
    except FusewalkError as error:
        return Told(what_for, None, f"{error.what} {error.do}".rstrip())


def find_walk(standing: Standing, element: Element) -> Walk | FusewalkError:
    """Find the walk of an element, or return why there is none."""
    try:
        return standing.walks.walk(element)
    except FusewalkError as error:
        return error


def element_of(harness: Harness, name: str) -> Element | None:
    """Return the element of a load or the feed of a module by its name; None where there is none."""
    return next((element for element in all_elements(harness) if element.name == name), None)


def working_here(standing: Standing, walk: Walk) -> Condition:
    """Return the condition as it is now with what a load needs set besides."""
    working, now = walk.working.condition, standing.condition
    settings = {**now.by_name, **working.by_name}
    return replace(now, key=working.key, settings=tuple(settings.items()))
