"""Tests of what the file says of an element of a load."""

from __future__ import annotations

from model.harness.harness import Harness, all_elements
from model.harness.toml_file import read_harness_text
from model.tracing.rated import is_critical, rated_rows, role_of, works_in_of, works_with_of

LOOM = """
format = 1
build = { name = "Bench", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" } ]
batteries = [ { id = "G1" } ]
switches = [ { id = "S1", positions = { off = [], on = [["1", "2"]] } } ]
modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 1.0 } ] } ]

[[loads]]
id = "E1"
kind = "lamp"
role = "head"
critical = true
works_in = ["on"]
works_with = { S1 = "on" }
elements = [
  { name = "dip", from = "56b", to = "31", watts = 55, role = "dip", works_in = ["off", "on"] },
  { name = "main", from = "56a", to = "31", watts = 60 },
]
"""


def _harness() -> Harness:
    return read_harness_text(LOOM, "bench.toml")


def test_an_element_says_before_its_load() -> None:
    """What the dipped beam says of itself stands; what it leaves out, and all of the main beam, is the lamp's."""
    harness = _harness()
    elements = {one.name: one for one in all_elements(harness)}
    dip, main = elements["E1:dip"], elements["E1:main"]
    assert (role_of(harness, dip), role_of(harness, main)) == ("dip", "head")
    assert (works_in_of(harness, dip), works_in_of(harness, main)) == (("off", "on"), ("on",))
    assert works_with_of(harness, dip) == works_with_of(harness, main) == {"S1": "on"}
    assert is_critical(harness, dip)
    assert is_critical(harness, main)


def test_the_file_rates_no_feed_of_a_module() -> None:
    """A control unit's feed has no row that rates it: no role, no key states, not critical."""
    harness = _harness()
    feed = next(one for one in all_elements(harness) if one.part_id == "A1")
    assert rated_rows(harness, feed) == ()
    assert (role_of(harness, feed), works_in_of(harness, feed), works_with_of(harness, feed)) == ("", None, None)
    assert not is_critical(harness, feed)
