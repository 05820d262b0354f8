"""Every fuse as it is used: colour, key states, wires, and what is to be thought over."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness_text
from model.review.fed_points import Fed
from model.review.finding import FindingRule
from model.review.findings import find_all
from model.review.fuse_use import Concern, fuse_review
from model.sheets.fuse_remarks import current_words
from model.tracing.wire_bears import thinnest_behind
from tests.benchmarks.looms import loom_text
from tests.model.review.fuse_rigs import BEHIND, KEY_SWITCH, KEYS, demo_uses, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig

STYLES = '{ id = "F1", amps = 10 }, { id = "F2", amps = 10, style = "glass" }, { id = "F3", amps = 60 }, '
MORE = '{ id = "F4", style = "thermal" }, { id = "F5", amps = 12 }, { id = "F6", amps = 30, style = "breaker" }'


def test_only_a_blade_fuse_of_a_standard_rating_has_a_colour() -> None:
    """10 A red, 60 A blue (type E); glass, thermal, breaker and a blade of 12 A have none in ISO 8820-3."""
    uses = uses_of(stiff_rig(f"fuses = [ {STYLES}{MORE} ]\n"))
    assert {name: use.colour for name, use in uses.items()} == {
        "F1": "red",
        "F2": "",
        "F3": "blue",
        "F4": "",
        "F5": "",
        "F6": "",
    }


def test_a_fuse_behind_the_key_is_fed_where_the_key_feeds_it() -> None:
    """On terminal 75: fed in accessory and ignition, not off and not while cranking; on 30 in all four."""
    harness = stiff_rig(
        f'fuses = [ {{ id = "F1", amps = 20 }}, {{ id = "F2", amps = 5 }} ]\nswitches = [ {KEY_SWITCH} ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out S0.30", "S0.75 F2.in", "F2.out E1.+", "E1.- G1.-"),
        states=KEYS,
    )
    uses = uses_of(harness)
    rest, none = Fed.AT_REST, Fed.NONE
    assert list(uses["F1"].fed.values()) == [rest, rest, rest, rest]
    assert list(uses["F2"].fed.values()) == [none, rest, rest, none]
    assert uses["F2"].loads[0].works_in == ("accessory", "ignition")


def test_a_fuse_behind_an_isolator_is_fed_once_that_is_on() -> None:
    """At rest the isolator is open; with it on the fuse is fed: neither at rest nor none."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 5 } ]\nswitches = [ { id = "S1", label = "Isolator" } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + short_wires("G1.+ S1.1", "S1.2 F1.in", "F1.out E1.+", "E1.- G1.-")
    )
    assert uses_of(harness)["F1"].fed == {"off": Fed.MOVED}


def test_a_fuse_that_nothing_reaches_is_never_fed() -> None:
    """Its in is on no wire: no key state feeds it, and that is told."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 5 } ]\nloads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + short_wires("F1.out E1.+", "E1.- G1.-")
    )
    use = uses_of(harness)["F1"]
    assert use.fed == {"off": Fed.NONE}
    assert use.concerns == (Concern.NEVER_FED,)


def test_a_fuse_larger_than_its_thinnest_wire_bears_is_told_and_no_larger_one_offered() -> None:
    """0.5629 mm² bears 12 A by the catalogue (JIS C 3406 AV): before it 30 A are too large, 10 A are offered."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 30 } ]\nloads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-", size=0.5629)
    )
    use = uses_of(harness)["F1"]
    assert use.thinnest is not None
    assert use.thinnest.amps == pytest.approx(12)
    assert (use.concerns, use.fit_at_most_amps) == ((Concern.WIRE_UNDER_RATING,), 10)


@pytest.mark.parametrize(("via", "fit"), [("", 15), (', via = ["rear run"]', 10)])
def test_a_wire_in_a_bundle_asks_for_the_fuse_that_the_findings_ask_for(via: str, fit: float) -> None:
    """1 mm² bears 17.5 A alone and 13.1 A, three quarters, in a trunk (a judgement): 15 A before the one, 10 A else."""
    harness = stiff_rig(
        'trunks = [ { name = "rear run", length = 1 } ]\nfuses = [ { id = "F1", amps = 15 } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\nwires = [ { id = "W1", from = "G1.+", to = "F1.in" }, '
        f'{{ id = "W2", from = "F1.out", to = "E1.+", size = 1{via} }}, {{ id = "W3", from = "E1.-", to = "G1.-" }} ]\n'
    )
    use = uses_of(harness)["F1"]
    found = [one for one in find_all(Bench(harness)) if one.rule is FindingRule.WIRE_BEARS_LESS]
    assert use.fit_at_most_amps == fit
    assert (use.concerns == (Concern.BUNDLE_UNDER_RATING,)) is bool(via)
    assert [f"at most {fit} A" in one.do for one in found] == [True] * bool(via)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_fuse_of_a_demo_build_is_offered_larger_than_its_wire_bears(name: str) -> None:
    """Whatever is offered, each wire behind the fuse bears it, and it is never larger than the file's."""
    harness = demo(name)
    for use in demo_uses(name):
        assert use.fit_at_most_amps is not None
        assert use.fuse.amps is not None
        assert use.fit_at_most_amps <= use.fuse.amps
        if use.fuse.id in thinnest_behind(harness):
            assert use.fit_at_most_amps <= thinnest_behind(harness)[use.fuse.id].amps


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_fuse_of_a_demo_build_is_fed_in_some_key_state_and_has_a_current(name: str) -> None:
    """One row a fuse in the order of the file; none without a source."""
    harness = demo(name)
    uses = demo_uses(name)
    assert [use.fuse for use in uses] == list(harness.fuses)
    for use in uses:
        assert set(use.fed) == set(harness.key_names)
        assert any(fed is not Fed.NONE for fed in use.fed.values())
        assert use.most is not None


@pytest.mark.slow
def test_indicators_hang_on_the_ignition_by_the_stalk_and_on_the_battery_by_the_hazard_switch() -> None:
    """The buggy's F46 feeds them through S5 and kills them there, F17 through S7: each carries its share alone."""
    uses = {use.fuse.id: use for use in demo_uses("trail_buggy")}
    assert uses["F17"].feeds.meets == ("F46",)
    for name in ("F17", "F46"):
        assert {"E3:load", "E4:load"} <= set(uses[name].dies)
        most = uses[name].most
        assert most is not None
        # two lamps of 21 W a side: 3.5 A by the stalk, 7 A with all four
        assert most.amps == pytest.approx(3.5 if name == "F46" else 7.0, rel=0.06)


@pytest.mark.parametrize(
    "rows",
    ["", BEHIND, 'wires = [ { id = "W1", from = "G1.+" } ]\n', 'fuses = [ { id = "F1", amps = 5 } ]\n'],
    ids=["no fuse", "small", "one wire", "a fuse alone"],
)
def test_a_file_with_little_in_it_is_reviewed_all_the_same(rows: str) -> None:
    """No fuse, no load, one wire: there is a row a fuse and nothing else."""
    harness = rig(rows)
    assert len(fuse_review(Bench(harness))) == len(harness.fuses)


def test_where_relays_buzz_the_rest_is_still_told() -> None:
    """A relay that cuts its own coil never rests: the fuse is there, with the current that it has without the relay."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 5 } ]\nrelays = [ { id = "K1", contacts = "break" } ]\n'
        + short_wires("G1.+ F1.in", "F1.out K1.30", "K1.87a K1.86", "K1.85 G1.-")
    )
    use = uses_of(harness)["F1"]
    assert use.feeds.coils == ("K1",)
    assert use.most is not None
    assert use.most.condition.by_name == {"K1": "out"}
    assert "What never rests, or blows at rest, was left out there." in current_words(harness, use)


def test_loads_that_only_together_open_the_main_fuse_still_work_and_die_with_their_own() -> None:
    """Three heaters of 10 A, each on a switch and a fuse, behind a link of 15 A: all on ask for 30 A, 200 %.

    Each works by itself; the link is told with what they ask for; each fuse kills its own.
    """
    rows = (1, 2, 3)
    harness = stiff_rig(
        'busbars = [ { id = "BB1" } ]\nfuses = [ { id = "F0", amps = 15, style = "link" }, '
        + ", ".join(f'{{ id = "F{n}", amps = 15, bus = "BB1" }}' for n in rows)
        + " ]\nswitches = [ "
        + ", ".join(f'{{ id = "S{n}" }}' for n in rows)
        + " ]\nloads = [ "
        + ", ".join(f'{{ id = "E{n}", kind = "heater", amps = 10 }}' for n in rows)
        + " ]\n"
        + short_wires(
            "G1.+ F0.in",
            "F0.out BB1",
            *(end for n in rows for end in (f"F{n}.out S{n}.1", f"S{n}.2 E{n}.+", f"E{n}.- G1.-")),
        )
    )
    uses = uses_of(harness)
    assert uses["F0"].most is not None
    assert uses["F0"].most.amps == pytest.approx(30, rel=0.05)
    assert Concern.LOADS_OPEN_IT in uses["F0"].concerns
    for n in rows:
        assert [(one.name, one.works_in) for one in uses[f"F{n}"].loads] == [(f"E{n}:load", ("off",))]
        assert uses[f"F{n}"].dies == (f"E{n}:load",)
        assert uses[f"F{n}"].concerns == ()


def test_a_load_that_opens_its_own_fuse_works_in_no_key_state() -> None:
    """10 A on 5 A: the fuse opens, and nothing is said to work behind it."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 5 } ]\nloads = [ { id = "E1", kind = "heater", amps = 10 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-")
    )
    assert [load.works_in for load in uses_of(harness)["F1"].loads] == [()]


@pytest.mark.slow
def test_a_thousand_wires_are_reviewed_together() -> None:
    """173 fuses, of which over a hundred kill something: none is left out for their number."""
    uses = fuse_review(Bench(read_harness_text(loom_text(1000), "loom.toml")))
    assert len(uses) > 150
    assert sum(bool(use.dies) for use in uses) > 100
