"""Another revision on the bench: what was set stays set as far as that still has it."""

from dataclasses import replace
from pathlib import Path

from model.circuit.faults import Fault, FaultKind
from model.harness.toml_file import read_harness_text
from tests.tui.builds import LAMP
from tui.restand import stood_anew
from tui.standing import stand

PATH = Path("lamp.toml")


def test_key_and_settings_stay_and_faults_go() -> None:
    """The key stays turned and the fuse out; a fault that was only asked about is not in the new revision."""
    harness = read_harness_text(LAMP, "x")
    before = stand(PATH, harness).turned(1).with_setting("F1", "out").with_fault(Fault("W3", FaultKind.OPEN))
    after = stood_anew(before, PATH, replace(harness))
    assert after.condition.key == "ignition"
    assert after.condition.settings == (("F1", "out"),)
    assert after.condition.faults == ()


def test_what_the_revision_does_not_have_is_at_rest() -> None:
    """A key state and a fuse that are gone."""
    harness = read_harness_text(LAMP, "x")
    before = stand(PATH, harness).turned(1).with_setting("F1", "out")
    other = LAMP.replace('"ignition"', '"run"').replace("ignition =", "run =").replace("F1", "F2")
    after = stood_anew(before, PATH, read_harness_text(other, "x"))
    assert (after.condition.key, after.condition.settings) == ("off", ())
