"""Entries of every kind, as tests put them into a record."""

from __future__ import annotations

import math
from datetime import datetime, timedelta, timezone
from typing import Any

from model.record_entries import (
    Alone,
    Amended,
    AnyEntry,
    Changed,
    Found,
    Mended,
    PickedUp,
    ReachedAfterAll,
    Reading,
    Skipped,
    Stopped,
    Struck,
    Superseded,
    Suspected,
    Taken,
    TraceStart,
    Unclear,
    Undone,
)

WHEN = datetime(2026, 5, 4, 18, 3, 11, tzinfo=timezone(timedelta(hours=2)))
TRACE = f"{WHEN.isoformat()} E1:dip"


def volts_entry(volts: float = 12.31, trace: str = TRACE) -> Reading:
    """Give a reading of volts at a fuse."""
    return Reading(when=WHEN, trace=trace, check="volts", red="F1.out", black="G1.-", key="ignition", volts=volts)


def every_kind() -> tuple[AnyEntry, ...]:
    """Give entries of every kind and with every kind of value."""
    spot: dict[str, Any] = {
        "when": WHEN,
        "trace": TRACE,
        "who": "Änne",
        "meter": "the yellow one",
        "ambient_celsius": -4.5,
    }
    at: dict[str, Any] = {"key": "ignition", "settings": {"S2": "head", "X 7.ü": "apart"}, "posts_volts": 12.52}
    band: dict[str, Any] = {"healthy": 12.31, "low": 11.9, "high": 12.6}
    return (
        TraceStart(
            **spot,
            **at,
            revision=3,
            loads=("E1:dip", "A2:75"),
            symptom="works-with-another",
            age="new",
            condition_posts_volts=12.4,
            works=("E4:load",),
            dead=("E5:load", "E6:load"),
            fuse="F2",
            other_load="P1:load",
            helper=False,
        ),
        Reading(
            **spot, **at, **band, check="volts", red="X1.front.1", black="G1.-", volts=12.0, verdict="good", step=1
        ),
        Reading(**spot, **at, **band, check="drop", red="F1.out", black="GND1", volts=(-0.1, 12.3), verdict="bad"),
        Reading(**spot, **at, check="ohms", red="A", black="B", ohms=math.inf, healthy=0.3, low=0.0, high=math.inf),
        Reading(**spot, **at, check="ohms", red="A", black="B", ohms=(1.2, math.inf), unasked=True),
        Reading(**spot, **at, check="amps", part="F1", amps=4.125),
        Reading(**spot, **at, check="amps", part="F1", millivolts=0.4, plan="first power", note="rings [crimped]"),
        Reading(**spot, **at, check="lamp", part="F1", watts=55.0, word="dim", healthy_words="dark, 0.4 A"),
        Reading(**spot, **at, check="bridge", red="A", black="B", fuse_amps=7.5, word="not cured"),
        Reading(**spot, **at, check="swap", part="K1", other="K2", word="cured"),
        Reading(**spot, **at, check="observe", load="E1:dip", word="glows"),
        Taken(**spot, **at, check="look", part="F1"),
        Skipped(**spot, **at, check="volts", red="A", black="B"),
        Unclear(**spot, **at, check="listen", part="K1"),
        Alone(**spot, **at, check="volts", red="A", black="B"),
        ReachedAfterAll(**spot, part="X1"),
        Struck(**spot, **at, place=0, check="volts", red="A", black="B"),
        Changed(**spot, **at, place=1, check="ohms", red="A", black="B", ohms=math.inf),
        Undone(**spot, undone=7),
        PickedUp(**spot),
        Found(
            **spot,
            group=(
                Suspected(part="W9", fault="touches", partner="BB2", probability=0.97),
                Suspected(part="X1.4", fault="open", probability=0.02),
            ),
            group_probability=0.99,
            steps=4,
            minutes=7.1,
            sentence="W9 touches BB2.",
            because=("0.02 V at F1", "dark"),
            repair="Cut, crimp.",
            cautions=("Battery off first.",),
        ),
        Mended(**spot, cured=True, part="W9", fault="touches", partner="BB2", repair="new wire laid"),
        Found(**spot, stopped="the file and the vehicle differ"),
        Stopped(**spot),
        Amended(
            **spot,
            revision=4,
            change="moved to a spare",
            before=3,
            kept="trailer.rev3.toml",
            sentence="The work of W2 is done by W6 now.",
            reason='broken "in the spine"',
            parts=("W2", "W6", "E1"),
            supersedes=(Superseded(old="W2", new="W6"),),
            ends=("W2.a at box, off its terminal: cap it",),
            readings=("E1.+ 12.4 V",),
        ),
        Amended(**spot, revision=3, change="undone", before=4, kept="trailer.rev4.undone.toml", undoes=4),
    )
