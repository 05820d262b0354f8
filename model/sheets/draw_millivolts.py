"""What millivolts across the fuses of a loom mean in amperes, as a table to take along."""

from __future__ import annotations

from model.harness.harness import Harness
from model.review.draw_fuse import FuseOhms, fuse_ohms
from model.sheets.review_sheet import Column, Grid, Section
from model.words import amps_text, drop_text, ohms_text

READ_MILLIVOLTS = (0.1, 0.3, 1.0, 3.0, 10.0)

_COLUMNS = (
    Column("fuses", width_mm=30),
    Column("cold", is_figure=True, width_mm=18),
    *(Column(drop_text(one / 1000.0), is_figure=True, width_mm=18) for one in READ_MILLIVOLTS),
    Column("right within", is_figure=True),
)


def millivolts_section(harness: Harness) -> Section | None:
    """Give the table, a row for each kind of fuse that the loom has; None where it has no fuse."""
    kinds: dict[tuple[str, FuseOhms], list[str]] = {}
    for fuse in harness.fuses:
        rating = "thermal" if fuse.amps is None else f"{fuse.amps:g} A {fuse.style}"
        given = ", ohms of the file" if fuse.ohms is not None else ""
        kinds.setdefault((f"{rating}{given}", fuse_ohms(fuse)), []).append(fuse.id)
    if not kinds:
        return None
    ordered = sorted(kinds, key=lambda kind: -kind[1].cold_ohms)
    return Section(
        "What millivolts across a seated fuse mean",
        grid=Grid(_COLUMNS, tuple(_cells(name, ohms) for name, ohms in ordered)),
        notes=(
            "Cold ohms of medium blade fuses by rating (ISO 8820-3 type C, makers' sheets, from memory; those of 40 A "
            "published); a rating not among them 70 mV over the rating. From 30 % of its rating on a fuse is warm and "
            "resists more: that is in the figures.",
        ),
    )


def _cells(name: str, ohms: FuseOhms) -> tuple[str, ...]:
    read = (amps_text(ohms.amps(one)) for one in READ_MILLIVOLTS)
    return (name, ohms_text(ohms.cold_ohms), *read, f"{100.0 * ohms.band_share:.0f} %")
