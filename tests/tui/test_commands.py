"""The one registry of commands."""

import re

import pytest

from tui.commands import COMMANDS, FOOT_MOST, Place, bindings_of, commands_of, foot_of

SCREENS = [Place.OPEN, Place.LOADS, Place.WALK, Place.KEYS, Place.CARD]
NAMED_KEYS = {"enter", "escape", "tab", "space", "up", "down", "left", "right", "question_mark", "slash"}


def test_ids_are_unique() -> None:
    """No two commands have one name."""
    ids = [command.id for command in COMMANDS]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("place", Place)
def test_no_key_does_two_things_in_one_place(place: Place) -> None:
    """A key is one command."""
    keys = [key for command in commands_of(place) for key in command.keys]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.id)
def test_keys_reach_the_program_in_every_terminal(command: object) -> None:
    """Letters, digits, arrows, Enter, Esc, Tab, space, ? and / alone; no modifier, and capital O is the entry's."""
    keys = command.keys  # type: ignore[attr-defined]
    assert keys
    for key in keys:
        assert key in NAMED_KEYS or re.fullmatch(r"[A-Za-z0-9]", key)
        assert key != "O"


@pytest.mark.parametrize("place", Place)
def test_the_bottom_line_is_short(place: Place) -> None:
    """Six keys at most in the bottom line."""
    assert len(foot_of(place)) <= FOOT_MOST


@pytest.mark.parametrize("place", Place)
def test_every_place_can_be_explained_and_left(place: Place) -> None:
    """? explains each place, and Esc leads out of it."""
    keys = {key: command.action for command in commands_of(place) for key in command.keys}
    assert keys["question_mark"] == ("back" if place is Place.HELP else "app.explain")
    assert keys["escape"] == "back"


@pytest.mark.parametrize("place", SCREENS)
def test_every_screen_can_be_explained_searched_and_left(place: Place) -> None:
    """?, / and q work on every screen; ? stands first in the bottom line."""
    assert {"help", "find", "quit", "back"} <= {command.id for command in commands_of(place)}
    assert foot_of(place)[0] == ("?", "help")


def test_bindings_carry_all_keys() -> None:
    """Textual gets each key with its action, and shows none of them itself."""
    bindings = {binding.key: binding for binding in bindings_of(Place.WALK)}
    assert bindings["k,right"].action == "turn_key(1)"
    assert not any(binding.show for binding in bindings.values())
