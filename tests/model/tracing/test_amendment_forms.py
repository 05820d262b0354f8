"""What is asked of somebody who amends a part, and the repair of a finding filled in beforehand."""

from pathlib import Path

import pytest

from model.errors import ArgumentError
from model.harness.amendment_kinds import found_different, ground_moved, removed, replaced, spliced
from model.harness.amendment_spare import moved_to_spare
from model.harness.amendments import Amendment, AmendmentKind
from model.harness.applied_changes import SetKey
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.tracing.amendment_forms import AmendForm, amendment_of, form_of, kinds_for
from model.tracing.asking import Finding
from model.tracing.repair_amendment import repair_forms
from model.tracing.suspects import RECORD, Suspect

BUGGY = Path(__file__).parent.parent.parent.parent / "demo_builds/trail_buggy.toml"


@pytest.fixture(scope="module")
def buggy() -> Harness:
    """Read the trail buggy."""
    return read_harness(BUGGY)


def filled(harness: Harness, kind: AmendmentKind, part_id: str, **values: str) -> Amendment:
    """Fill in a form."""
    return amendment_of(harness, form_of(harness, kind, part_id).filled(values))


def suspected(*suspects: Suspect) -> Finding:
    """Give a finding of some suspects."""
    return Finding(suspects, 1.0, 3, 10.0, sentence="It is found.")


def test_each_kind_of_part_is_offered_the_work_that_fits_it(buggy: Harness) -> None:
    """A wire can be spliced, a ground moved; a spare does no work that could be moved; anything can be replaced."""
    always = (AmendmentKind.REPLACED, AmendmentKind.DIFFERS, AmendmentKind.REMOVED)
    assert kinds_for(buggy, "F5") == always
    assert kinds_for(buggy, "GND2") == (AmendmentKind.GROUND_MOVED, *always)
    assert kinds_for(buggy, "W25")[:2] == (AmendmentKind.TO_SPARE, AmendmentKind.SPLICED)
    assert kinds_for(buggy, "W184") == (AmendmentKind.SPLICED, *always)
    assert kinds_for(buggy, "Q99") == ()
    with pytest.raises(ArgumentError):
        form_of(buggy, AmendmentKind.SPLICED, "F5")


def test_a_form_as_it_is_proposed_moves_the_work_to_the_best_spare(buggy: Harness) -> None:
    """The spare that the repair names stands there already."""
    assert filled(buggy, AmendmentKind.TO_SPARE, "W25") == moved_to_spare(buggy, ["W25"], ["W184"])
    left_on = filled(buggy, AmendmentKind.TO_SPARE, "W25", left_on="W25.a")
    assert left_on == moved_to_spare(buggy, ["W25"], ["W184"], left_on=["W25.a"])


def test_the_way_on_through_the_plug_is_offered_to_choose(buggy: Harness) -> None:
    """Both wires of the feed by both spares: the form has it for either row, and it says what it saves."""
    old, spares, _ = form_of(buggy, AmendmentKind.TO_SPARE, "W25").fields
    assert old.choices == ("W25", "W25, W26")
    assert spares.choices[:2] == ("W184", "W184, W185")
    assert "W25, W26 by W184, W185 leave every pin in its cavity" in old.words
    whole = filled(buggy, AmendmentKind.TO_SPARE, "W25", old=old.choices[1], spares=spares.choices[1])
    assert whole == moved_to_spare(buggy, ["W25", "W26"], ["W184", "W185"])
    assert not whole.remarks


def test_what_is_typed_is_what_the_command_would_make(buggy: Harness) -> None:
    """Splice, ground, taking out, and values of a row, of which only the changed ones are put in."""
    assert filled(buggy, AmendmentKind.SPLICED, "W25", splice="J77", at="0,4 m") == spliced(
        buggy, "W25", "J77", from_end_m=0.4
    )
    assert filled(buggy, AmendmentKind.GROUND_MOVED, "GND2", to="battery tray") == ground_moved(
        buggy, "GND2", "battery tray"
    )
    assert filled(buggy, AmendmentKind.REMOVED, "F5") == removed(buggy, "F5")
    assert filled(buggy, AmendmentKind.REPLACED, "F5") == replaced(buggy, "F5", {})
    different = filled(buggy, AmendmentKind.DIFFERS, "W9", size="4", colour="", label="to the relay")
    assert different == found_different(buggy, "W9", {"size": 4, "colour": None, "label": "to the relay"})


def test_a_plain_wire_is_not_asked_for_a_plug(buggy: Harness) -> None:
    """Housing, pins and picture say nothing of a wire; a relay is asked for its pins; a size has its unit."""
    wire = {one.key: one for one in form_of(buggy, AmendmentKind.REPLACED, "W9").fields}
    assert wire.keys().isdisjoint({"inside", "picture", "pins", "face", "location"})
    assert (wire["size"].unit, wire["length"].unit) == ("mm²", "m")
    assert {"inside", "pins"} <= {one.key for one in form_of(buggy, AmendmentKind.REPLACED, "K7").fields}
    lamp = {one.key: one.words for one in form_of(buggy, AmendmentKind.REPLACED, "E5").fields}
    assert "one of watts, amps and ohms will do" in lamp["amps"]


def test_what_does_not_fit_is_refused_in_plain_words(buggy: Harness) -> None:
    """What a figure counts, with an example; of a choice what there is, and what was meant."""
    with pytest.raises(ArgumentError, match=r"length: it wants a number of metres, such as 1\.5\."):
        filled(buggy, AmendmentKind.REPLACED, "W9", length="0.31.5")
    with pytest.raises(ArgumentError, match=r"hazard: it is one of: .* did you mean fuel\? Type it once more\.$"):
        filled(buggy, AmendmentKind.REPLACED, "E5", hazard="fule")


@pytest.mark.parametrize("part_id", ["W9", "K7", "F5", "GND2", "G1", "X2"])
def test_a_form_that_nobody_has_touched_changes_nothing(buggy: Harness, part_id: str) -> None:
    """Every value of a row is shown as it would be typed: taken as it stands it is the same."""
    assert filled(buggy, AmendmentKind.REPLACED, part_id).changes == ()
    with pytest.raises(ArgumentError):
        filled(buggy, AmendmentKind.DIFFERS, part_id)


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        (AmendmentKind.SPLICED, {"splice": ""}),
        (AmendmentKind.SPLICED, {"at": "far"}),
        (AmendmentKind.DIFFERS, {"length": "long"}),
        (AmendmentKind.TO_SPARE, {"spares": "W9"}),
    ],
)
def test_what_does_not_fit_is_refused_in_words(buggy: Harness, kind: AmendmentKind, values: dict[str, str]) -> None:
    """An empty id, a word for a number, a wire that is no spare."""
    with pytest.raises(ArgumentError):
        filled(buggy, kind, "W25", **values)


def forms(harness: Harness, *suspects: Suspect) -> list[tuple[AmendmentKind, str]]:
    """Name what is offered for suspects."""
    return [(one.kind, one.part_id) for one in repair_forms(harness, suspected(*suspects))]


def test_a_broken_wire_goes_to_its_spare_first(buggy: Harness) -> None:
    """The spare that spares_for names for W25, through the same trunks, is filled in; the other ways follow."""
    found = repair_forms(buggy, suspected(Suspect("W25", "open", "", 1.0)))
    assert [one.kind for one in found[:3]] == [AmendmentKind.TO_SPARE, AmendmentKind.SPLICED, AmendmentKind.REPLACED]
    assert amendment_of(buggy, found[0]) == moved_to_spare(buggy, ["W25"], ["W184"])


def test_the_work_is_that_of_the_fault(buggy: Harness) -> None:
    """A chafed wire is spliced, a ground moved, a fuse replaced; a file that was wrong is mended; both of a pair."""
    assert forms(buggy, Suspect("W25", "to body", "", 1.0))[0] == (AmendmentKind.SPLICED, "W25")
    assert forms(buggy, Suspect("GND2", "high", "", 1.0))[0] == (AmendmentKind.GROUND_MOVED, "GND2")
    assert forms(buggy, Suspect("F5", "blown", "", 1.0))[0] == (AmendmentKind.REPLACED, "F5")
    both = forms(buggy, Suspect("F5", "blown", "", 0.6), Suspect("GND2", "high", "", 0.4))
    assert both.index((AmendmentKind.REPLACED, "F5")) < both.index((AmendmentKind.GROUND_MOVED, "GND2"))
    assert forms(buggy, Suspect("", RECORD, "", 1.0)) == []


def test_an_end_that_sits_elsewhere_is_filled_in_where_it_was_found(buggy: Harness) -> None:
    """The point that the trace found the end on stands in the row; the end that was meant is changed."""
    found = repair_forms(buggy, suspected(Suspect("W9.b", "elsewhere", "K1.85", 1.0)))[0]
    assert found.kind is AmendmentKind.DIFFERS
    assert SetKey("wires", "W9", "to", "K1.85") in amendment_of(buggy, found).changes


def test_a_splice_gets_an_id_that_is_free() -> None:
    """J1 is taken: J2 is proposed."""
    text = """format = 1
build = { name = "Two", nominal_volts = 12 }
key_states = [ { name = "on" } ]
batteries = [ { id = "G1" } ]
splices = [ { id = "J1" } ]
wires = [ { id = "W1", from = "G1.+", to = "J1" }, { id = "W2", from = "J1", to = "G1.-" } ]
"""
    form: AmendForm = form_of(read_harness_text(text, "x"), AmendmentKind.SPLICED, "W1")
    assert form.fields[0].value == "J2"
