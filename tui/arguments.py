"""Arguments of the command line, refused in plain words: what is wrong, and how it is written."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence
from typing import NoReturn

from model.words import clean, nearest

WRONG_ARGUMENTS = 2
_MOST_CHARACTERS = 2000
_MISSING = re.compile(r"the following arguments are required: (?P<names>.+)")
_ONE_OF = re.compile(r"one of the arguments (?P<names>.+) is required")
_TOO_MANY = re.compile(r"unrecognized arguments: (?P<words>.+)", re.DOTALL)
_NO_CHOICE = re.compile(
    r"argument (?P<name>\S+): invalid choice: '?(?P<word>.*?)'? \(choose from (?P<rest>.+)\)", re.DOTALL
)
_NO_VALUE = re.compile(r"argument (?P<name>\S+): expected (?:one|at least one) argument")
_NO_WHOLE = re.compile(r"argument (?P<name>\S+): invalid int value: '?(?P<word>.*?)'?", re.DOTALL)
_CLASH = re.compile(r"argument (?P<name>\S+): not allowed with argument (?P<other>\S+)")
_UNCLEAR = re.compile(r"ambiguous option: (?P<word>\S+) could match (?P<names>.+)")
_UNFIT = re.compile(r"argument (?P<name>\S+): (?P<why>.+)", re.DOTALL)


class Arguments(argparse.ArgumentParser):
    """Arguments whose refusal is a plain sentence that holds nothing a terminal obeys.

    Options may stand before, between and behind the words of a command.
    """

    _is_between = False
    """Whether the words and the options are being told apart."""

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """Parse arguments; words that go on behind an option belong to those before it."""
        if self._is_between or not self._counts_words():
            return super().parse_known_args(args, namespace)
        self._is_between = True
        try:
            return super().parse_known_intermixed_args(args, namespace)
        finally:
            self._is_between = False

    def _counts_words(self) -> bool:
        """Tell whether there is a word that need not be there, or of which there may be many."""
        words = [action.nargs for action in self._actions if not action.option_strings]
        return argparse.PARSER not in words and any(word in ("?", "*", "+") for word in words)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the arguments and how they are written, and end with code 2."""
        told = f"{refusal(message, self._actions)} Use: {self.short_use()}; {self.prog} --help tells the rest."
        self.exit(WRONG_ARGUMENTS, f"{self.prog}: {clean(told, _MOST_CHARACTERS)}\n")

    def short_use(self) -> str:
        """Return how the command is written with what it cannot do without."""
        words = [self.prog]
        for action in self._actions:
            if action.option_strings:
                words += [_name_of(action)] if action.required else []
            else:
                words.append(_name_of(action) if action.required else f"[{_name_of(action)}]")
        return " ".join(words)


def refusal(message: str, actions: list[argparse.Action]) -> str:
    """Say in plain words what `argparse` says; what it says of nothing known here stands as it is.

    Parameters
    ----------
    message
        Of `argparse`, without the usage.
    actions
        The arguments that there are.
    """
    tellers: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
        (_MISSING, lambda found: _missing(found, actions)),
        (_ONE_OF, lambda found: f"One of {found['names'].replace(' ', ', ')} is missing."),
        (_TOO_MANY, lambda found: _too_many(found["words"], actions)),
        (_NO_CHOICE, lambda found: _no_choice(found, actions)),
        (_NO_VALUE, lambda found: f"{_shown(found['name'], actions)}: the value behind it is missing."),
        (
            _NO_WHOLE,
            lambda found: f"{_shown(found['name'], actions)}: “{clean(found['word'], 60)}” is no whole number.",
        ),
        (_CLASH, lambda found: f"{found['name']} and {found['other']} do not go together: give one of them."),
        (_UNCLEAR, lambda found: f"{found['word']} could be {found['names']}: write it out."),
        (_UNFIT, lambda found: f"{_shown(found['name'], actions)}: {found['why'].rstrip('.')}."),
    )
    for pattern, tell in tellers:
        found = pattern.fullmatch(message)
        if found is not None:
            return tell(found)
    return f"{message[:1].upper()}{message[1:].rstrip('.')}."


def _missing(found: re.Match[str], actions: list[argparse.Action]) -> str:
    names = [_shown(name, actions) for name in found["names"].split(", ")]
    return f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} missing."


def _too_many(words: str, actions: list[argparse.Action]) -> str:
    first = words.split(" ")[0]
    if not first.startswith("-"):
        return f"“{clean(words, 80)}” is more than is asked for; a name with a space in it wants quotes."
    near = nearest(first.partition("=")[0], (option for action in actions for option in action.option_strings))
    return f"There is no option {clean(first, 40)}.{f' Did you mean {near}?' if near else ''}"


def _no_choice(found: re.Match[str], actions: list[argparse.Action]) -> str:
    action = _action(found["name"], actions)
    choices = [str(choice) for choice in action.choices or ()] if action is not None else []
    near = nearest(found["word"], choices)
    do = f"Did you mean {near}?" if near else f"There are: {', '.join(choices) or found['rest']}."
    return f"{_shown(found['name'], actions, alone=True)} cannot be “{clean(found['word'], 60)}”. {do}"


def _action(name: str, actions: list[argparse.Action]) -> argparse.Action | None:
    """Return the argument that `argparse` calls by a name."""
    for action in actions:
        known = {"/".join(action.option_strings), *action.option_strings, action.dest, str(action.metavar)}
        if name in known:
            return action
    return None


def _shown(name: str, actions: list[argparse.Action], alone: bool = False) -> str:
    """Return an argument as it is typed, of an option with what stands behind it unless it is to stand alone."""
    action = _action(name, actions)
    if action is None:
        return name
    return action.option_strings[0] if alone and action.option_strings else _name_of(action)


def _name_of(action: argparse.Action) -> str:
    stands_for = action.metavar if isinstance(action.metavar, str) else action.dest.upper()
    if not action.option_strings:
        return stands_for
    return action.option_strings[0] if action.nargs == 0 else f"{action.option_strings[0]} {stands_for}"
