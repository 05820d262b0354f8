"""The cautions of a check, by what is done and not by its points alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.bench import Bench
from model.harness.supply import grounded_posts
from model.harness.toml_file import read_harness
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.inquiry import open_inquiry
from model.tracing.questions import cautions_of


@pytest.mark.parametrize(("kind", "is_warned"), [(CheckKind.BRIDGE, True), (CheckKind.VOLTS, False)])
def test_bridge_on_a_post_can_spark(kind: CheckKind, is_warned: bool) -> None:
    """A jumper lead clipped on the battery may spark there; the black probe of a voltmeter does not."""
    tractor = read_harness(Path(__file__).parents[3] / "demo_builds" / "field_tractor.toml")
    inquiry = open_inquiry(Bench(tractor), Complaint(("E1:load",)))
    check = Check(kind, inquiry.condition, red="E1.-", black=grounded_posts(tractor)[0], fuse_amps=10.0)
    assert (CAUTIONS[CautionKind.BATTERY_GAS].text in cautions_of(inquiry, check)) is is_warned
