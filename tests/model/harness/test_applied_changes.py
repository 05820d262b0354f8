"""Changes of rows put into a file."""

from model.harness.applied_changes import AddRow, DropKey, DropRow, SetKey, applied_text

TEXT = """# mine
format = 1
build = { name = "Cart", nominal_volts = 12 }  # the cart
fuses = [
  { id = "F1", note = "Assumed: amps.", amps = 10 },
  { id = "F2", amps = 5 },
]
"""


def test_every_sort_of_change_is_made_and_the_rest_stays() -> None:
    """A key is set and taken out, a row added and taken out, build and defaults set; comments stay."""
    changes = (
        SetKey("fuses", "F1", "amps", 15.0),
        DropKey("fuses", "F1", "note"),
        DropRow("fuses", "F2"),
        AddRow("fuses", {"id": "F3", "amps": 20}),
        SetKey("build", "", "nominal_volts", 24),
        SetKey("defaults", "", "size", 1.5),
    )
    assert applied_text(TEXT, changes, {"revision": 2}) == (
        "# mine\nformat = 1\ndefaults = { size = 1.5 }\n"
        'build = { name = "Cart", nominal_volts = 24, revision = 2 }  # the cart\n'
        'fuses = [\n  { id = "F1", amps = 15.0 },\n  { id = "F3", amps = 20 },\n]\n'
    )
