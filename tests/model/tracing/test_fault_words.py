"""What may be wrong, in words: every fault of the format, and what is no fault of a part."""

from __future__ import annotations

import pytest

from model.circuit.faults import fault_kinds
from model.harness.toml_file import read_harness_text
from model.tracing.fault_words import suspect_place, suspect_words
from model.tracing.repair import work_steps
from model.tracing.suspects import NOT_SHOWN, RECORD, UNKNOWN, Suspect
from model.words import clean
from tests.model.tracing.every_fault import every_fault
from tests.model.tracing.loom_with_spares import loom
from tests.model.tracing.rigs import DEMO_NAMES, demo
from tests.tui.hostile_build import hostile_build


def words(part: str, fault: str, partner: str = "", build: str = "") -> str:
    """Word a suspect of the loom, or of a demo build."""
    return suspect_words(demo(build) if build else loom(), Suspect(part, fault, partner, 0.5))


@pytest.mark.parametrize(
    ("part", "fault", "partner", "said"),
    [
        ("W4", "open", "", "wire W4, GN/BU 1.5, broken"),
        ("W4", "high", "", "wire W4, GN/BU 1.5, poor crimp or few strands left"),
        ("W4", "to body", "", "wire W4, GN/BU 1.5, chafed to the body"),
        ("W4", "touches", "W5", "wire W4, GN/BU 1.5, touches wire W5, BK 1.5"),
        (
            "W4",
            "elsewhere",
            "E1.-",
            "wire W4, GN/BU 1.5, ends at E1 (Work lamp) terminal -, wire side in place of "
            "E1 (Work lamp) terminal +, wire side",
        ),
        ("X1.4", "open", "", "plug X1: cavity 4 makes no contact"),
        ("X2.1", "high", "", "plug X2 (Nose plug): cavity 1 makes poor contact"),
        ("X1.3/4", "swapped", "", "X1.3 and X1.4 swapped"),
        ("X1.4/X2.1", "swapped", "", "X1.4 and X2.1 swapped"),
        ("F1", "blown", "", "fuse F1 (Lamp) blown"),
        ("F1", "missing", "", "fuse F1 (Lamp) missing"),
        ("F1", "too small", "", "fuse F1 (Lamp): a smaller one stands in its place"),
        ("K1:coil", "open", "", "relay K1 (Lamp relay): its coil is open"),
        ("K1:30-87", "open", "", "relay K1 (Lamp relay): contact 30-87 does not close"),
        ("K1:30-87", "stuck", "", "relay K1 (Lamp relay): contact 30-87 sticks closed"),
        ("S1:1-2", "high", "", "switch S1 (Push): contact 1-2 is burnt"),
        ("GND1", "open", "", "ground point GND1 makes no contact"),
        ("E1:load", "low draw", "", "lamp E1 (Work lamp) worn, takes too little current"),
        ("G1.+", "open", "", "the battery's positive post has no contact with its clamp"),
        ("G1", "flat", "", "battery G1 flat"),
        ("K1.87", "open", "", "K1.87 (Lamp relay) not seated in its socket"),
        ("E1.+", "high", "", "E1.+ (Work lamp) loose in its plug"),
        ("K1", UNKNOWN, "", "an unknown fault in relay K1 (Lamp relay)"),
        ("", RECORD, "", "the file is untrue here"),
        ("", NOT_SHOWN, "", "something that this complaint does not show"),
    ],
)
def test_a_suspect_is_a_short_noun_phrase(part: str, fault: str, partner: str, said: str) -> None:
    """Part by id and label, a wire by its colour and size, and what is wrong."""
    assert words(part, fault, partner) == said


@pytest.mark.parametrize("build", DEMO_NAMES)
def test_every_fault_of_the_demo_builds_has_words_and_a_place(build: str) -> None:
    """No fault's words are its bare name, none repeat another's of the same site, and each is somewhere."""
    harness = demo(build)
    seen: dict[str, tuple[str, str]] = {}
    for suspect in every_fault(harness):
        said = suspect_words(harness, suspect)
        assert said
        assert said == clean(said)
        assert seen.setdefault(said, (suspect.part, suspect.fault)) == (suspect.part, suspect.fault)
        assert suspect_place(harness, suspect)


@pytest.mark.parametrize(
    ("build", "site", "kind", "said"),
    [
        ("field_tractor", "S3.2", "open", "S3.2 (Foot starter switch) loose where it is bolted, no contact"),
        ("field_tractor", "S3.1", "high", "S3.1 (Foot starter switch) loose where it is bolted, poor contact"),
        ("trail_buggy", "S15.1", "open", "S15.1 (Thermo switch, radiator) not seated in its plug"),
    ],
)
def test_what_is_bolted_is_in_no_plug(build: str, site: str, kind: str, said: str) -> None:
    """A strap without a wire bolts it as a thick cable does: it is undone and cleaned, not unplugged."""
    harness = demo(build)
    suspect = Suspect(site, kind, "", 0.5)
    assert suspect_words(harness, suspect) == said
    mended = " ".join(work_steps(harness, suspect))
    assert ("nplug" in mended) is ("plug" in said)
    assert ("Undo terminal" in mended) is (site.startswith("S3"))


def test_a_wires_place_runs_from_end_to_end_through_its_trunks() -> None:
    """A free end is where the file says that it lies."""
    row = '  { id = "W20", from = "X1.plug.2", to_location = "nose", via = ["sill"], length = 2, size = 1 },\n'
    place = suspect_place(loom(row), Suspect("W20", "open", "", 0.5))
    assert place == "from box, behind a panel to nose, two screws, through sill"


def test_two_plugs_exchanged_are_in_both_places() -> None:
    """The cavities of two plugs lie in two places."""
    place = suspect_place(loom(), Suspect("X1.4/X2.1", "swapped", "", 0.5))
    assert place == "box, behind a panel and nose, two screws"


def test_hostile_labels_never_reach_the_words_uncleaned() -> None:
    """Escape bytes, direction marks and line ends go; every fault of every part still has words."""
    harness = read_harness_text(hostile_build(), "hostile.toml")
    for suspect in every_fault(harness):
        assert fault_kinds(harness, suspect.part)
        for said in (suspect_words(harness, suspect), suspect_place(harness, suspect)):
            assert said == clean(said, 1000)
            assert said
