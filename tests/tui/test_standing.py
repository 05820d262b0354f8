"""What the screens look at: the harness, its condition, the volts read."""

from pathlib import Path

import pytest

from model.errors import ArgumentError, CircuitError
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from tui.standing import Standing, stand

BUGGY = Path(__file__).parent.parent.parent / "demo_builds" / "trail_buggy.toml"
BUZZER = """format = 1
build = { name = "Buzzer", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
relays = [ { id = "K1", contacts = "break" } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30" },
  { id = "W2", from = "K1.87a", to = "K1.86" },
  { id = "W3", from = "K1.85", to = "G1.-" },
]
"""


@pytest.fixture(scope="module")
def buggy() -> Harness:
    """Return the trail buggy."""
    return read_harness(BUGGY)


@pytest.fixture
def standing(buggy: Harness) -> Standing:
    """Return the trail buggy as it stands at first."""
    return stand(BUGGY, buggy)


def test_the_key_turns_round(standing: Standing, buggy: Harness) -> None:
    """From the last state it goes to the first, and back."""
    assert standing.condition.key == "off"
    assert standing.turned(-1).condition.key == "running"
    turned = standing
    for _ in buggy.key_names:
        turned = turned.turned(1)
    assert turned == standing


def test_what_is_solved_is_kept(standing: Standing) -> None:
    """A condition is solved when asked for, and known from then on."""
    assert standing.solved() is None
    solved = standing.solve()
    assert solved.survey is not None
    again = standing.solved()
    assert again is not None
    assert again.survey is solved.survey


def test_rest_is_no_setting(standing: Standing) -> None:
    """What is put back to rest, or back in, is forgotten; what follows the key is kept whatever it is set to."""
    set_once = standing.with_setting("S2", "side").with_setting("F15", "out")
    assert set_once.condition.settings == (("S2", "side"), ("F15", "out"))
    assert set_once.with_setting("S2", "off").with_setting("F15", "in").condition.settings == ()
    assert standing.with_setting("S22", "closed").condition.settings == (("S22", "closed"),)
    assert standing.with_setting("S22", "closed").without_setting("S22").condition.settings == ()
    assert set_once.turned(1).at_rest().condition == standing.turned(1).condition


def test_all_volts_follow_the_posts(standing: Standing) -> None:
    """The posts read as read in that condition; in others they follow from the emf, as a battery alone has them.

    At rest and with the key off next to nothing is drawn, so 12.3 V at the posts are the emf but for millivolts; in
    ignition the posts must lie below it and below what they have with the file's battery of 12.70 V.
    """
    read = standing.with_posts(12.3)
    assert (standing.posts_origin, read.posts_origin) == ("not read", "read")
    assert read.survey().settled.posts_volts == pytest.approx(12.3, abs=1e-5)
    ignition = read.turned(1).turned(1)
    assert ignition.posts_origin == "not read"
    assert 12.0 < ignition.survey().settled.posts_volts < 12.3
    assert ignition.with_posts(None).bench is standing.bench
    assert standing.turned(-2).condition.key == "crank"
    assert standing.turned(-2).posts_origin == "estimate"


@pytest.mark.parametrize("volts", [9.0, 13.5, 14.2])
def test_posts_read_while_charging_stand_as_read(standing: Standing, volts: float) -> None:
    """With the alternator on the posts read what was read there, whatever it holds them at of itself."""
    read = standing.turned(-1).with_posts(volts)
    assert read.condition.key == "running"
    assert read.solved() is not None
    assert read.survey().settled.posts_volts == pytest.approx(volts, abs=1e-5)
    assert read.turned(1).turned(-1).survey() is read.survey()


def test_posts_that_cannot_be_are_refused(standing: Standing) -> None:
    """Too many volts for any battery of the build, and posts of a battery that is out, are said so."""
    with pytest.raises(ArgumentError):
        standing.with_posts(99)
    with pytest.raises(CircuitError):
        standing.with_setting("G1", "out").with_posts(12)


def test_a_circuit_without_rest_is_solved_in_words() -> None:
    """A relay that cuts its own coil buzzes: it is solved, and said to."""
    solved = stand(Path("buzzer.toml"), read_harness_text(BUZZER, "buzzer.toml")).solve()
    assert solved.survey is not None
    assert solved.survey.settled.buzzing == ("K1",)


def test_a_walk_is_made_once(standing: Standing, buggy: Harness) -> None:
    """Asked for again it is the same."""
    from model.tracing.walk import find_element

    element = find_element(buggy, "M2")
    assert standing.walks.kept(element.name) is None
    assert standing.walks.walk(element) is standing.walks.walk(element)
    assert standing.walks.kept(element.name) is not None
