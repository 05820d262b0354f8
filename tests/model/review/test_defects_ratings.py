"""Contacts over their rating, heavy contacts without a resistance, fuses that blow in use."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, findings, wires

ENDS = ("G1.+ F1.in", "F1.out S1.1", "S1.2 X1.plug.1", "X1.socket.1 K1.30", "K1.87 E1.+", "E1.- G1.-", "G1.- CHASSIS")
COIL = ("F1.out K1.86", "K1.85 CHASSIS")


def _heater(*, switch: str = "", plug: str = "", relay: str = "") -> str:
    return (
        f'fuses = [ {{ id = "F1", amps = 30 }} ]\nswitches = [ {{ id = "S1", label = "Heater"{switch} }} ]\n'
        f'connectors = [ {{ id = "X1", cavities = 2{plug} }} ]\nrelays = [ {{ id = "K1", ohms = 0.01{relay} }} ]\n'
        'loads = [ { id = "E1", kind = "heater", amps = 12 } ]\n'
    )


@pytest.mark.parametrize(
    ("rows", "part", "point", "gravity"),
    [
        (_heater(), None, "", None),
        (_heater(switch=", amps = 13"), None, "", None),
        (_heater(switch=", amps = 11"), "S1", "S1.1", Gravity.WEARS),
        (_heater(switch=", amps = 8"), "S1", "S1.1", Gravity.DANGER),
        (_heater(plug=", amps = 11"), "X1", "X1.plug.1", Gravity.WEARS),
        (_heater(relay=", amps = 11"), "K1", "K1.30", Gravity.WEARS),
    ],
)
def test_a_contact_over_its_rating_is_told(rows: str, part: str | None, point: str, gravity: Gravity | None) -> None:
    """Switch, cavity and relay contact are held to the rating that the file gives, and to none where it gives none.

    Hand calculation: 12.70 V over the 1 ohm of the heater and 0.03 to 0.06 ohm of the way is 12.1 to 12.3 A: 1.11 times
    11 A, 1.5 times 8 A.
    """
    found = findings(HEAD + rows + wires(*ENDS, *COIL, more="size = 6, length = 0.3"), FindingRule.OVER_RATING)
    assert [one.part_ids for one in found] == ([(part,)] if part else [])
    for one in found:
        assert one.gravity is gravity
        assert point in one.points
        assert one.value == pytest.approx(12.2, abs=0.2)
        assert one.unit == "A"


def test_the_other_contacts_over_the_rating_of_a_part_are_named_with_the_worst() -> None:
    """A switch is told once, with the worst of its contacts and the others."""
    text = """
fuses = [ { id = "F1", amps = 30 } ]
switches = [ { id = "S1", amps = 3, terminals = ["C", "1", "2"], positions = { off = [], on = [["C", "1", "2"]] } } ]
loads = [ { id = "E1", kind = "heater", amps = 5 }, { id = "E2", kind = "heater", amps = 4 } ]
"""
    ends = ("G1.+ F1.in", "F1.out S1.C", "S1.1 E1.+", "S1.2 E2.+", "E1.- G1.-", "E2.- G1.-", "G1.- CHASSIS")
    (one,) = findings(HEAD + text + wires(*ends), FindingRule.OVER_RATING)
    assert one.sentence.startswith("S1:C-1 of S1 carries")
    assert one.sentence.endswith("So does S1:C-2.")


@pytest.mark.parametrize(
    ("more", "joint", "parts"),
    [
        ("", "", ("F1", "N1")),
        ("", ", ohms = 0.0002", ("F1",)),
        ("defaults = { joint = 0.0002 }", "", ("F1",)),
    ],
)
def test_what_carries_most_without_a_resistance_of_its_own_is_asked_for(
    more: str, joint: str, parts: tuple[str, ...]
) -> None:
    """Over 60 A a fuse, joint or contact without ohms is asked for, one finding for all; a default typed is enough."""
    text = f"""
{more}
fuses = [ {{ id = "F1", amps = 150, style = "link" }} ]
loads = [ {{ id = "M1", kind = "motor", ohms = 0.1 }}, {{ id = "M2", kind = "motor", ohms = 0.3 }} ]
joints = [ {{ id = "N1", from = "M1.-", to = "G1.-"{joint} }}, {{ id = "N2", from = "M2.-", to = "G1.-" }} ]
"""
    ends = ("G1.+ F1.in", "F1.out M1.+", "G1.+ M2.+", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends, more="size = 50, length = 0.3"), FindingRule.HEAVY_CONTACT)
    assert [tuple(sorted(one.part_ids)) for one in found] == [parts]
    assert found[0].value == pytest.approx(110, abs=6)


@pytest.mark.parametrize(
    ("amps", "switched", "gravity"),
    [(12.0, False, None), (14.0, False, Gravity.FAILS), (14.0, True, Gravity.FAILS)],
)
def test_a_fuse_that_blows_in_use_is_told(amps: float, switched: bool, gravity: Gravity | None) -> None:
    """A fuse of 10 A opens above 13.5 A (ISO 8820-3: within half an hour at 135 %): its own heater never works.

    Hand calculation: a heater of 12 A at 12 V takes 12.70 A at rest-charge less its wires' share, one of 14 A 14.6 A.
    """
    text = f"""
fuses = [ {{ id = "F1", amps = 10 }} ]
switches = [ {{ id = "S1" }} ]
loads = [ {{ id = "E1", kind = "heater", amps = {amps} }} ]
"""
    ends = ("G1.+ F1.in", "F1.out S1.1", f"{'S1.2' if switched else 'F1.out'} E1.+", "E1.- G1.-", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends, more="size = 10, length = 0.1"), FindingRule.FUSE_BLOWS)
    assert [one.gravity for one in found] == ([gravity] if gravity else [])
    for one in found:
        assert one.part_ids == ("F1", "E1")
        assert one.value == pytest.approx(14.5, abs=0.4)
        assert "opens in time above 13.5 A" in one.sentence


@pytest.mark.parametrize("ends_at", ["S1.2", "F1.out"])
def test_a_rating_that_was_assumed_is_told_as_that(ends_at: str) -> None:
    """A list named the fuse without a rating: that the assumed one opens says nothing of the fuse that is fitted."""
    text = """
fuses = [ { id = "F1", amps = 10, note = "Assumed: amps." } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "heater", amps = 14 } ]
"""
    ends = ("G1.+ F1.in", "F1.out S1.1", f"{ends_at} E1.+", "E1.- G1.-", "G1.- CHASSIS")
    for note, is_assumed in (('"Assumed: amps."', True), ('"Assumed: style."', False)):
        file = HEAD + text.replace('"Assumed: amps."', note) + wires(*ends, more="size = 10, length = 0.1")
        (found,) = findings(file, FindingRule.FUSE_BLOWS)
        assert ("Its rating is assumed and was never read" in found.sentence) is is_assumed
        assert ("Read the rating on the fuse that is fitted" in found.do) is is_assumed


def test_with_everything_on_an_assumed_rating_is_told_as_that_too() -> None:
    """Three lamps together pass 1.35 × 7.5 A, which nobody has read on the fuse."""
    lamps = _lamps(7.5, 20).replace("amps = 7.5", 'amps = 7.5, note = "Assumed: amps."')
    (found,) = findings(HEAD + lamps + wires(*LAMP_ENDS, more="size = 2.5, length = 0.3"), FindingRule.FUSE_BLOWS)
    assert "Its rating is assumed and was never read" in found.sentence
    assert found.do.startswith("Read the rating on the fuse")


def _lamps(fuse_amps: float, switch_amps: float) -> str:
    return f"""
fuses = [ {{ id = "F1", amps = {fuse_amps} }} ]
switches = [ {{ id = "S1", label = "Lamps", amps = {switch_amps} }}, {{ id = "S2" }} ]
loads = [ {{ id = "E1", kind = "lamp", watts = 55 }}, {{ id = "E2", kind = "lamp", watts = 55 }},
 {{ id = "E3", kind = "lamp", watts = 21 }} ]
""".replace(",\n ", ", ")


LAMP_ENDS = ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "S1.2 E2.+", "F1.out S2.1", "S2.2 E3.+", "E1.- CHASSIS",
             "E2.- CHASSIS", "E3.- CHASSIS", "G1.- CHASSIS")  # fmt: skip


def test_a_fuse_too_small_for_two_lamps_is_told_with_them_and_their_switch_is_still_looked_at() -> None:
    """Two lamps of 55 W take 9.2 A at 12 V, over 1.35 × 5 A: no other cause is told, and the switch of 5 A is.

    A third lamp on the same fuse works by itself and is no part of it.
    """
    found = findings(HEAD + _lamps(5, 5) + wires(*LAMP_ENDS, more="size = 2.5, length = 0.3"))
    (blows,) = (one for one in found if one.rule is FindingRule.FUSE_BLOWS)
    assert blows.gravity is Gravity.FAILS
    assert blows.part_ids == ("F1", "E1", "E2")
    assert FindingRule.NO_FEED not in [one.rule for one in found]
    (over,) = (one for one in found if one.rule is FindingRule.OVER_RATING)
    assert over.part_ids == ("S1",)
    assert over.value == pytest.approx(9.4, abs=0.4)
    assert "S1 (Lamps) on" in over.sentence


def test_a_fuse_that_blows_only_with_everything_on_works_badly() -> None:
    """Lamps of 9.2 A and of 1.75 A together pass 1.35 × 7.5 A = 10.1 A, either by itself does not."""
    found = findings(
        HEAD + _lamps(7.5, 20) + wires(*LAMP_ENDS, more="size = 2.5, length = 0.3"), FindingRule.FUSE_BLOWS
    )
    assert [(one.gravity, one.part_ids) for one in found] == [(Gravity.WEARS, ("F1",))]
    assert found[0].value == 10.1


def test_what_a_short_blows_is_not_laid_to_the_loads_behind_the_fuse() -> None:
    """A switch that joins feed to frame opens the fuse: the lamp behind it asks for less than that holds."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", terminals = ["1", "2", "3"], positions = { off = [], on = [["1", "2", "3"]] } } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
"""
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "S1.3 CHASSIS", "E1.- CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends, more="size = 2.5, length = 3.0"), FindingRule.FUSE_BLOWS)
    assert [one.part_ids for one in found] == [("F1",)]
