"""Checks named in one line: no two alike, and in a list what tells them apart stands first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.circuit.condition import Condition
from model.tracing.checks import Check, CheckKind
from model.tracing.named_checks import at_rest_words, named_check, told_apart
from tests.model.tracing.rigs import demo

HARNESS = demo("trail_buggy")
USUAL = Condition("off", (("S2", "side"),))
LAMP = Check(CheckKind.LAMP, Condition("off", (("S2", "side"), ("F15", "out"))), part="F15", watts=21)


@pytest.mark.parametrize(
    ("settings", "begins"),
    [
        ((("S2", "side"), ("F15", "out")), "lamp in place of F15, "),
        (
            (("S2", "side"), ("F15", "out"), ("X1", "out")),
            "plug X1 (Bulkhead plug, body) apart: lamp in place of F15, ",
        ),
        ((("F15", "out"),), "S2 (Lighting switch) at rest: lamp in place of F15, "),
    ],
)
def test_what_tells_a_check_apart_stands_first(settings: tuple[tuple[str, str], ...], begins: str) -> None:
    """Before what is done; that the fuse is out, which all of them have, stands last; nothing is lost."""
    check = replace(LAMP, condition=Condition("off", settings))
    told, named = told_apart(HARNESS, check, USUAL), named_check(HARNESS, check, USUAL)
    assert told.startswith(begins)
    assert sorted(told.replace(": ", ", ", 1).split(", ")) == sorted(named.split(", "))


def test_another_key_state_stands_first() -> None:
    """It is what differs; in the usual one nothing stands before."""
    check = Check(CheckKind.VOLTS, USUAL.at_key("ignition"), "K1.30", "G1.-")
    assert told_apart(HARNESS, check, USUAL) == "key ignition: volts K1.30 to G1.-"
    assert told_apart(HARNESS, replace(check, condition=USUAL), USUAL) == "volts K1.30 to G1.-"


def test_what_is_usually_set_and_at_rest_is_named() -> None:
    """Only that."""
    assert at_rest_words(HARNESS, LAMP, USUAL) == ()
    assert at_rest_words(HARNESS, replace(LAMP, condition=Condition("off")), USUAL) == ("S2 (Lighting switch) at rest",)
