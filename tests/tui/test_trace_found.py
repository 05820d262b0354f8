"""The finding in paragraphs: who is named where many are left."""

from dataclasses import replace

import pytest

from model.tracing.asking import Finding
from model.tracing.complaint import Complaint
from model.tracing.repair import finding_sentence, only_part
from model.tracing.suspects import RECORD, Suspect
from tests.tui.line_trace import FOUND, IGNITION, buggy
from tui.line_sentences import finding_sentences
from tui.trace_found_words import finding_paragraphs
from tui.trace_run import Seen

MANY = tuple(Suspect(f"W{number}", "open", "", 0.1) for number in range(10, 19))


def told(finding: Finding, *, names_all: bool = False) -> list[str]:
    """Give every line of a finding."""
    seen = Seen(buggy(), Complaint(("M2:load",)), IGNITION, finding, (), {}, "", 0.0, None, (), "", None)
    return [line for _, words, _ in finding_paragraphs(seen, finding, names_all=names_all) for line in words]


@pytest.mark.parametrize(("count", "more"), [(5, ""), (6, "and 1 more: y lists them"), (9, "and 4 more: y lists them")])
def test_five_are_named_and_the_others_counted(count: int, more: str) -> None:
    """The key that lists them stands behind; up to five are all named."""
    lines = told(replace(FOUND, group=MANY[:count]))
    assert sum(line.startswith("10 %  wire W1") for line in lines) == min(count, 5)
    assert [line for line in lines if "more:" in line] == ([more] if more else [])


def test_one_of_several_has_its_place_in_the_list_in_place_of_a_long_sentence() -> None:
    """A sentence of five suspects would fill a small window before anything else is said."""
    at = Seen(buggy(), Complaint(("M2:load",)), IGNITION, FOUND, (), {}, "", 0.0, None, (), "", None)
    many = finding_paragraphs(at, replace(FOUND, group=MANY))
    assert many[0][0].startswith("It is one of these")
    assert all(", broken; " in line for line in many[0][1][:5])
    assert many[0][1][-1].endswith("of all that it may be.")
    assert finding_paragraphs(at, FOUND)[0][0] == FOUND.sentence


def test_shares_stand_in_line() -> None:
    """One figure and two end in one column, so that what they are of begins in one."""
    group = tuple(Suspect(f"W{number}", "open", "", share) for number, share in ((10, 0.5), (11, 0.06), (12, 0.001)))
    lines = [line for line in told(replace(FOUND, group=group, others=group)) if "wire W1" in line]
    assert [line[:8] for line in lines] == ["50 %  wi", " 6 %  wi", "<1 %  wi"] * 2


def test_a_page_that_is_kept_names_them_all() -> None:
    """There no key lists them."""
    lines = told(replace(FOUND, group=MANY), names_all=True)
    assert sum(line.startswith("10 %  wire W1") for line in lines) == 9
    assert not any("more:" in line for line in lines)


def test_the_sentence_of_the_finding_names_five() -> None:
    """And says how many more there are."""
    sentence = finding_sentence(buggy(), MANY)
    assert sentence.count("wire W1") == 5
    assert sentence.endswith("; or 4 more.")
    assert finding_sentence(buggy(), MANY[:5]).count("wire W1") == 5


def test_faults_of_one_part_are_headed_by_its_name() -> None:
    """A wire broken at 98 % and one of poor crimps at 1 % are one wire: that is what one looks for."""
    at = Seen(buggy(), Complaint(("M2:load",)), IGNITION, FOUND, (), {}, "", 0.0, None, (), "", None)
    faults = tuple(Suspect("W10", fault, "", share) for fault, share in (("open", 0.98), ("high", 0.01)))
    heading, lines, _ = finding_paragraphs(at, replace(FOUND, group=faults))[0]
    assert heading.startswith("Wire W10, ")
    assert [line.split()[0] for line in lines[:2]] == ["98", "1"]
    assert only_part(buggy(), faults).startswith("wire W10")
    said = " ".join(finding_sentences(buggy(), replace(FOUND, group=faults)))
    assert "It is a fault of wire W10, " in said


@pytest.mark.parametrize(
    "group",
    [
        (Suspect("W10", "open", "", 0.9), Suspect("W11", "open", "", 0.1)),
        (Suspect("W10", "open", "", 0.9), Suspect("", RECORD, "", 0.1)),
        (),
    ],
)
def test_what_is_of_several_parts_has_no_one_name(group: tuple[Suspect, ...]) -> None:
    """Nor has what is no fault of a part at all."""
    assert only_part(buggy(), group) == ""
