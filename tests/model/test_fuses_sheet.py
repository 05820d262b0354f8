"""The sheet of the fuses and the card for the lid, in words."""

from __future__ import annotations

import csv
import json
from io import StringIO

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.review.finding import FindingRule
from model.review.findings import find_all
from model.review.fuse_use import Concern
from model.sheets.columns import cell_width
from model.sheets.fuse_pulled_words import pulled_words, short_dies
from model.sheets.fuse_remarks import current_words, start_words, wire_words
from model.sheets.fuses_json import fuses_json
from model.sheets.fuses_sheet import CSV_COLUMNS, fuses_csv, fuses_sheet, number_key
from model.sheets.lid_card import NO_LARGER, NO_LARGER_MARKED, card_feeds, lid_card, lid_card_html, lid_card_json
from model.sheets.review_html import review_html
from model.sheets.review_markdown import review_markdown
from model.sheets.review_text import review_text
from tests.model.html_tags import parsed
from tests.model.review.fuse_rigs import BEHIND, RELAYED, TWO_FEEDS, demo_uses, short_wires, stiff_rig, uses_of
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig


def text_of(harness: Harness) -> str:
    """Print the fuses of a harness, every line end a space."""
    return " ".join(review_text(fuses_sheet(harness, uses_of(harness).values())).split())


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_sheet_has_a_section_for_every_fuse_in_80_columns(name: str) -> None:
    """Each fuse has its head; no line is wider than a terminal; nothing is called safe."""
    harness, uses = demo(name), demo_uses(name)
    printed = review_text(fuses_sheet(harness, uses))
    heads = [line for line in printed.splitlines() if line.startswith("F")]
    for fuse in harness.fuses:
        assert any(line.startswith(f"{fuse.id} (") and ": " in line for line in heads), fuse.id
    assert max(cell_width(line) for line in printed.splitlines()) <= 80
    assert "safe" not in printed.casefold()


def test_what_a_fuse_feeds_is_said() -> None:
    """A link that feeds only fuses, a fuse with a load, and a spare way."""
    printed = text_of(stiff_rig(BEHIND))
    assert "Feeds only further fuses: F2 and F3; 1 load in all behind it." in printed
    assert "Feeds E1." in printed
    assert "Feeds nothing: a spare way, or its wire is not in the file." in printed


def test_what_dies_and_what_stays_alive_is_said() -> None:
    """With F1 out the lamps burn on through F2; the fuse of a coil kills by its relay, and wakes."""
    assert "Pulled (everything at rest): E1 and E2 stay alive, fed through F2." in text_of(stiff_rig(TWO_FEEDS))
    relayed = text_of(stiff_rig(RELAYED))
    assert "Pulled (everything at rest): E1 dies, as K1 falls off." in relayed
    assert "Pulled (everything at rest): E2 comes on." in relayed


def test_the_current_is_said_with_its_share_and_its_condition() -> None:
    """1.75 A through 10 A are 17 % (1.745 A by the milliohms of the fuse), at rest."""
    assert "Carries at most 1.75 A, 17 % of its rating, everything at rest." in text_of(stiff_rig(BEHIND))


def test_a_fuse_over_its_wire_is_thought_over_with_the_largest_that_may_be_fitted() -> None:
    """0.5629 mm² bears 12 A (JIS C 3406 AV): before it no more than 10 A."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 30 } ]\nloads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-", size=0.5629)
    )
    printed = text_of(harness)
    assert "bears 12 A (catalogue, JIS C 3406 AV, one wire in free air), less than the rating." in printed
    assert "Fit a fuse of at most 10 A, or a smaller one of its own for the thin branch." in printed


def test_a_smaller_fuse_is_not_offered_where_the_loads_ask_for_more() -> None:
    """11 A through a wire that bears 12 A behind 30 A: the 10 A that it bears would not carry them."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 30 } ]\nloads = [ { id = "E1", kind = "heater", amps = 11 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-", size=0.5629)
    )
    printed = text_of(harness)
    assert "Fit a thicker wire, or a fuse of its own of at most 10 A for the thin branch" in printed
    assert "Fit a fuse of at most" not in printed


@pytest.mark.slow
@pytest.mark.parametrize(("name", "fuse_id"), [("trail_buggy", "F18"), ("harbour_launch", "F36")])
def test_the_fuse_sheet_and_the_findings_ask_for_the_same_rating_in_the_same_words(name: str, fuse_id: str) -> None:
    """What a finding says to fit, up to its amperes, stands in the sheet too."""
    harness = demo(name)
    every = [one for one in find_all(Bench(harness)) if one.rule is FindingRule.WIRE_BEARS_LESS]
    found = next(one for one in every if fuse_id in one.part_ids)
    use = next(one for one in demo_uses(name) if one.fuse.id == fuse_id)
    assert found.do.partition(":")[0].rstrip(".") in wire_words(harness, use)


def test_a_guessed_start_is_thought_over_only_where_it_is_far_from_what_the_fuse_bears() -> None:
    """The launch: 206 and 712 % by kind for 0.2 and 0.02 s are no concern; a motor of four times 9.6 A on 10 A is.

    At 370 % a medium blade fuse opens between 0.03 and 0.5 s (ISO 8820-3 type C): 0.2 s is over their mean, 0.12 s.
    """
    for use in demo_uses("harbour_launch"):
        assert Concern.MAY_OPEN_AT_START not in use.concerns
    motor = (
        'fuses = [ { id = "F1", amps = 10 } ]\nloads = [ { id = "M1", kind = "motor", amps = 9.6, at = 12.7 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out M1.+", "M1.- G1.-")
    )
    use = uses_of(rig(motor, batteries='{ id = "G1", emf = 12.7, ohms = 1e-6 }'))["F1"]
    assert use.start is not None
    assert not use.start.is_given
    assert use.start.amps > 35
    assert Concern.MAY_OPEN_AT_START in use.concerns


@pytest.mark.slow
def test_a_charge_fuse_says_what_is_charged_no_longer_and_that_its_most_is_not_known() -> None:
    """The buggy's F3 kills no load: the battery is without its alternator then."""
    harness = demo("trail_buggy")
    use = next(one for one in demo_uses("trail_buggy") if one.fuse.id == "F3")
    assert short_dies(harness, use) == "G1 is no longer charged by G2"
    said = ["Pulled: G1 (Battery) is no longer charged by G2 (Alternator, 70 A)."]
    assert list(pulled_words(harness, use)) == said
    assert "What an empty battery takes while it is charged is not known" in current_words(harness, use)


@pytest.mark.slow
def test_all_that_dies_is_named_and_what_lives_in_another_setting_stands_apart() -> None:
    """No list of the long text ends in a count; of F10 the front indicators stand apart, with the switch that does."""
    harness = demo("trail_buggy")
    uses = {use.fuse.id: use for use in demo_uses("trail_buggy")}
    for use in uses.values():
        assert not any(" more" in words for words in pulled_words(harness, use))
    assert short_dies(harness, uses["F10"]).endswith("in some settings only: E3, E23, E4, E24")
    assert short_dies(harness, uses["F1"]) == "every load"
    assert short_dies(harness, uses["F12"]).endswith(" more")
    lives = [words for words in pulled_words(harness, uses["F10"]) if "stay alive in this setting" in words]
    assert len(lives) == 1
    assert lives[0].startswith("Pulled (key in ignition, S7 (Hazard switch) on): Left front indicator (E3),")
    assert lives[0].endswith("fed through F17.")


def test_what_only_cranking_carries_and_what_no_table_has_is_said_in_plain_words() -> None:
    """F4 carries nothing but the solenoid; over 600 % the standard has no shortest time."""
    harness = demo("trail_buggy")
    start = next(use for use in demo_uses("trail_buggy") if use.fuse.id == "F4")
    assert current_words(harness, start).endswith("while cranking, and nothing else than that.")
    launch = next(use for use in demo_uses("harbour_launch") if use.fuse.id == "F30")
    assert "opens at that within 0.1 s; how soon is not in the standard" in start_words(demo("harbour_launch"), launch)


def test_an_opening_time_is_a_band_with_its_source_and_only_a_may() -> None:
    """A fan that starts with 28 A, 187 % of 15 A, for 0.2 s: 0.15 to 50 s by ISO 8820-3, so it may open."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 15 } ]\n'
        'loads = [ { id = "M1", kind = "motor", amps = 8, start_amps = 28 } ]\n'
        + short_wires("G1.+ F1.in", "F1.out M1.+", "M1.- G1.-")
    )
    printed = text_of(harness)
    assert "no sooner than 0.15 s and no later than 50 s (ISO 8820-3 type C, operating times). It may open" in printed
    assert "as the file gives it" in printed


def test_a_restraint_behind_a_fuse_is_left_to_its_maker() -> None:
    """A caution before everything: nothing is measured there."""
    harness = stiff_rig(
        'fuses = [ { id = "F1", amps = 10 } ]\n'
        'loads = [ { id = "A9", kind = "electronics", amps = 1, hazard = "restraint" } ]\n'
        + short_wires("G1.+ F1.in", "F1.out A9.+", "A9.- G1.-")
    )
    sheet = fuses_sheet(harness, uses_of(harness).values())
    assert any("A9, marked restraint: nothing is measured there" in words for words in sheet.cautions)


def test_every_form_says_every_fuse() -> None:
    """Markdown, HTML that fetches nothing and closes its tags, CSV with a row a fuse, JSON that JSON can hold."""
    harness, uses = demo("trail_buggy"), demo_uses("trail_buggy")
    sheet = fuses_sheet(harness, uses)
    tags = parsed(review_html(sheet))
    assert (tags.open, tags.links) == ([], [])
    rows = list(csv.DictReader(StringIO(fuses_csv(harness, uses))))
    assert tuple(rows[0]) == CSV_COLUMNS
    found = json.loads(json.dumps(fuses_json(harness, uses), allow_nan=False))
    assert found["format"] == "fusewalk fuses"
    ids = [fuse.id for fuse in harness.fuses]
    assert [row["fuse"] for row in rows] == [one["id"] for one in found["fuses"]] == sorted(ids, key=number_key)
    markdown = review_markdown(sheet)
    for fuse_id in ids:
        assert f"| {fuse_id} " in markdown
        assert f"{fuse_id} (" in tags.text


def test_json_has_the_figures_of_the_review() -> None:
    """Amperes, what dies and what it feeds stand there as numbers and ids; 1.5 mm² in a bundle bears 17.2 A."""
    found = fuses_json(demo("field_tractor"), demo_uses("field_tractor"))
    plough = next(one for one in found["fuses"] if one["id"] == "F4")
    assert (plough["amps"], plough["style"], plough["colour"], plough["fit_at_most_amps"]) == (30, "glass", None, 15)
    assert plough["least_in_bundle"]["bears_amps"] == pytest.approx(0.75 * plough["thinnest_wire"]["bears_amps"])
    assert (plough["dies"], list(plough["loads"])) == (["E6:load"], ["E6:load"])
    assert plough["most"]["amps"] == pytest.approx(25 / 6.75, rel=0.1)


def test_fuses_stand_by_their_numbers() -> None:
    """F2 before F10, and a letter behind the number after it."""
    assert sorted(["F10", "F2", "F2a", "F1"], key=number_key) == ["F1", "F2", "F2a", "F10"]


def test_a_file_without_fuses_says_so() -> None:
    """There is a sheet and a card all the same."""
    harness = stiff_rig("")
    assert "The file has no fuse." in text_of(harness)
    assert "The file has no fuse." in review_text(lid_card(harness, ()))
    assert "The file has no fuse." in lid_card_html(harness, ())


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_card_has_every_fuse_once_with_its_rating_and_colour_word(name: str) -> None:
    """By place; each says that no larger fuse goes in."""
    harness, uses = demo(name), demo_uses(name)
    tags = parsed(lid_card_html(harness, uses))
    assert (tags.open, tags.links) == ([], [])
    assert tags.tags.count("tr") == len(harness.fuses)
    places = {fuse.location for fuse in harness.fuses}
    rules = tags.text.count(NO_LARGER) + tags.text.count(NO_LARGER_MARKED)
    assert rules == tags.tags.count("h1") == len(places)
    found = lid_card_json(harness, uses)
    cells = {one["fuse"]: one for place in found["places"] for one in place["fuses"]}
    assert set(cells) == {fuse.id for fuse in harness.fuses}
    for use in uses:
        assert cells[use.fuse.id]["rating"] == f"{use.fuse.amps:g} A"
        assert cells[use.fuse.id]["colour"] == (use.colour or cells[use.fuse.id]["colour"])


def test_the_card_of_a_small_box_is_a_postcard_and_of_a_large_one_twice_that() -> None:
    """A6 is 105 by 148 mm, A5 148 by 210 mm (ISO 216)."""
    assert "size: 105mm 148mm" in lid_card_html(demo("field_tractor"), demo_uses("field_tractor"))
    assert "size: 148mm 210mm" in lid_card_html(demo("trail_buggy"), demo_uses("trail_buggy"))


def test_what_a_fuse_feeds_takes_one_line_of_the_card() -> None:
    """Loads by label, the others counted; fuses by id; a spare way is called so."""
    harness = demo("trail_buggy")
    said = {use.fuse.id: card_feeds(harness, use) for use in demo_uses("trail_buggy")}
    assert max(map(len, said.values())) <= 56
    assert said["F11"] == "fuses F30, F31, F32, F33"
    assert said["F15"].startswith("Left head lamp side, Right head lamp side")
    assert said["F17"].startswith("Left front indicator")
    assert card_feeds(stiff_rig(BEHIND), uses_of(stiff_rig(BEHIND))["F3"]) == "spare, feeds nothing"


def test_a_card_cuts_a_list_of_fuses_between_two_of_them_and_counts_the_rest() -> None:
    """A link before 30 fuses: whole ids as far as the line goes, and how many more; one alone is one fuse."""
    for count in (1, 2, 30):
        behind = "".join(f'{{ id = "F{n}", amps = 5, bus = "BB2" }}, ' for n in range(101, 101 + count))
        harness = stiff_rig(
            'busbars = [ { id = "BB2" } ]\n'
            f'fuses = [ {{ id = "F1", amps = 50, style = "link" }}, {behind}]\n'
            + short_wires("G1.+ F1.in", "F1.out BB2")
        )
        said = card_feeds(harness, uses_of(harness)["F1"])
        names, _, more = said.removeprefix("fuses " if count > 1 else "fuse ").partition(" + ")
        assert "..." not in said
        assert len(said) <= 56
        left = int(more.removesuffix(" more") or 0)
        assert names.split(", ") == [f"F{n}" for n in range(101, 101 + count - left)]


@pytest.mark.parametrize(
    ("name", "fuse_id", "mark"),
    [
        ("field_tractor", "F4", "at most 15 A"),
        ("harbour_launch", "F36", "at most 10 A"),
        ("trail_buggy", "F18", "7.5 A"),
    ],
)
def test_the_card_does_not_ask_for_a_rating_that_the_wires_do_not_bear(name: str, fuse_id: str, mark: str) -> None:
    """Each form marks the fuse that the findings condemn, and says of its box nowhere that the rating guards."""
    harness, uses = demo(name), demo_uses(name)
    found = lid_card_json(harness, uses)
    marks = {one["fuse"]: one["for its wires"] for place in found["places"] for one in place["fuses"]}
    assert [one for one in marks if marks[one]] == [fuse_id]
    assert mark in marks[fuse_id]
    assert marks[fuse_id].endswith("for its wires: see findings")
    assert found["caution"] == NO_LARGER_MARKED
    printed = " ".join(review_text(lid_card(harness, uses)).split())
    assert NO_LARGER_MARKED in printed
    assert NO_LARGER not in printed
    assert mark in parsed(lid_card_html(harness, uses)).text
    assert "at most" not in lid_card_html(stiff_rig(BEHIND), tuple(uses_of(stiff_rig(BEHIND)).values()))


def test_a_card_names_more_where_its_page_has_room_and_tell_tales_last() -> None:
    """With few others the link names its twelve fuses; in the full panel lamps stand before what is counted."""
    harness, uses = demo("trail_buggy"), demo_uses("trail_buggy")
    rows = [one for place in lid_card_json(harness, uses)["places"] for one in place["fuses"]]
    feeds = {one["fuse"]: one["feeds"] for one in rows}
    assert feeds["F1"] == "fuses F10, F11, F12, F13, F14, F15, F16, F17, F18, F19, F22, F23"
    assert feeds["F43"].count(", ") == 4
    for name in ("F17", "F46"):
        assert "Left front indicator, " in feeds[name]
        assert "Right front indicator" in feeds[name]
        assert "tell-tale" not in feeds[name]


def test_a_fuse_that_holds_the_charge_relay_is_not_on_the_way_of_the_current() -> None:
    """F1 feeds the coil of K1 and K1 joins G2 to G1 and its charger: G2 goes uncharged, by no current through F1."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 5 } ]\nrelays = [ { id = "K1" } ]\n'
        'chargers = [ { id = "G3", volts = 14, ohms = 0.05 } ]\n'
        + short_wires(
            *("G3.+ G1.+", "G3.- G1.-", "G1.+ F1.in", "F1.out K1.86", "K1.85 G1.-"),
            *("G1.+ K1.30", "K1.87 G2.+", "G2.- G1.-"),
        ),
        batteries=", ".join(f'{{ id = "{one}", emf = 12, charged_emf = 13, ohms = 0.01 }}' for one in ("G1", "G2")),
        states='{ name = "off" }, { name = "running", charging = true }',
    )
    use = uses_of(harness)["F1"]
    assert short_dies(harness, use) == "G2 is no longer charged by G3"
    assert "empty battery" not in current_words(harness, use)
