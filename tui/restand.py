"""The screens put on another revision of their harness: what was set stays set as far as that still has it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from model.circuit.condition import Condition, setting_choices
from model.harness.harness import CHASSIS, Harness
from tui.standing import Standing, stand

if TYPE_CHECKING:
    from tui.app import FusewalkApp


def stood_anew(before: Standing | None, path: Path, harness: Harness) -> Standing:
    """Put a harness on the bench, with key and settings as they were where it still has them; without any fault."""
    standing = stand(path, harness)
    if before is None:
        return standing
    old = before.condition
    key = old.key if old.key in harness.key_names else harness.key_names[0]
    settings = tuple((name, value) for name, value in old.settings if _can_be(harness, name, value))
    return standing.with_condition(Condition(key, settings=settings))


def _can_be(harness: Harness, name: str, value: str) -> bool:
    return name.partition(".")[0] in harness.parts and value in setting_choices(harness, name)


def show_revision(app: FusewalkApp, harness: Harness, part_id: str = "", said: str = "") -> None:
    """Go back to the loads on another revision of the file, and on to the card of a part where one is named.

    Screens over the loads know the revision before: they are left.
    """
    from tui.screens.card import CardScreen
    from tui.screens.loads import LoadsScreen

    before = app.standing
    assert before is not None
    app.standing = stood_anew(before, before.path, harness)
    while any(isinstance(screen, LoadsScreen) for screen in app.screen_stack[:-1]):
        app.pop_screen()
    if part_id and (part_id in harness.parts or part_id == CHASSIS):
        card = CardScreen(part_id)
        app.push_screen(card)
        card.call_after_refresh(card.say, said)
    else:
        app.call_later(app.say, said)
