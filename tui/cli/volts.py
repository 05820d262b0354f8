"""``fusewalk volts``: the volts at every point of a harness in one condition."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from model.circuit.condition import OUT, Condition, make_condition
from model.circuit.survey import Survey, survey
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.records import Connector
from model.harness.toml_file import read_harness
from model.sheets.volts_sheet import is_estimate, volts_sheet
from model.units import number_typed
from model.words import clean
from tui.cli.forms import add_form_arguments
from tui.cli.review_arguments import Review, print_review

if TYPE_CHECKING:
    from model.sheets.review_sheet import ReviewSheet


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_condition_arguments(parser)
    add_form_arguments(parser)


def add_condition_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments that say in which condition the harness is."""
    parser.add_argument("--key", metavar="K", help="key state; the first of the file where none is given")
    parser.add_argument("--set", metavar="X=Y", action="append", default=[], help="set a switch, driver, charger, part")
    parser.add_argument("--pull", metavar="PART", action="append", default=[], help="a fuse, relay or other part out")
    parser.add_argument(
        "--unplug", metavar="PART", action="append", default=[], help="a plug apart or a part unplugged"
    )
    parser.add_argument("--fault", metavar="PART=FAULT", action="append", default=[], help="put a fault in")
    parser.add_argument(
        "--battery", metavar="V", type=volts_argument, help="volts read across the posts of the first battery"
    )


def volts_argument(typed: str) -> float:
    """Read volts as an argument, with a point or a comma."""
    try:
        return number_typed(typed)
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{clean(typed, 60)}” is no number of volts; write it as 12.4") from None


def condition_of(harness: Harness, arguments: argparse.Namespace) -> Condition:
    """Read the condition from the arguments of a command.

    Raises
    ------
    ArgumentError
        For anything that the harness does not have.
    """
    out = [f"{name}={OUT}" for name in arguments.pull]
    apart = [
        f"{name}={'apart' if isinstance(harness.parts.get(name), Connector) else OUT}" for name in arguments.unplug
    ]
    settings = (*arguments.set, *out, *apart)
    return make_condition(harness, arguments.key, settings, tuple(arguments.fault), arguments.battery)


def run(arguments: argparse.Namespace) -> int:
    """Print the volts and give the exit code."""
    harness = read_harness(arguments.file)
    found = survey(harness, condition_of(harness, arguments))
    review = Review(
        sheet=lambda: _sheet(found),
        csv=lambda: _csv(found),
        as_json=lambda: {"format": "fusewalk volts", **as_json(found)},
        text=lambda: volts_sheet(found),
        title="volts",
    )
    return print_review(review, arguments)


def _sheet(found: Survey) -> ReviewSheet:
    from model.sheets.volts_paper import volts_paper

    return volts_paper(found)


def _csv(found: Survey) -> str:
    from model.sheets.volts_paper import volts_csv

    return volts_csv(found)


def as_json(found: Survey) -> dict[str, Any]:
    """Give the survey as one JSON object; floating and unsettled points are 0."""
    settled = found.settled
    names = {node: settled.net.names[node] for node in settled.point_nodes}
    return {
        "key": settled.condition.key,
        "settings": settled.condition.by_name,
        "points": {name: round(float(settled.volts[node]), 6) + 0.0 for node, name in names.items()},
        "floating": [name for node, name in names.items() if node in settled.floating],
        "unsettled": [name for node, name in names.items() if node in settled.unsettled],
        "no_probe": [name for name in names.values() if may_be_probed(settled.net.harness, name) is not None],
        "buzzing": list(settled.buzzing),
        "one_of_several": settled.rests_one_at_a_time,
        "relays": settled.relays,
        "uncertain": list(settled.uncertain),
        "loads": {
            name: {
                "volts": round(load.volts, 6),
                "amps": round(load.amps, 6),
                "watts": round(load.watts, 6),
                "state": str(load.state),
            }
            for name, load in found.loads.items()
        },
        "fuses": {name: round(amps, 6) for name, amps in found.fuse_amps.items()},
        "blown": list(settled.blown),
        "cycling": list(settled.cycling),
        "from_before": found.from_before is not None,
        "posts": round(settled.posts_volts, 6),
        "estimate": is_estimate(settled),
    }
