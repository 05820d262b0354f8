"""``fusewalk volts``: the volts at every point of a harness in one condition."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from model.circuit.condition import OUT, Condition, make_condition
from model.circuit.settle import Settled
from model.circuit.survey import Survey, survey
from model.harness.harness import Harness
from model.harness.records import Connector
from model.harness.toml_file import read_harness
from model.sheets.settled_words import settled_words
from model.words import amps_text, plural, volts_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.add_argument("file", type=Path, help="harness file")
    add_condition_arguments(parser)
    parser.add_argument("--json", action="store_true", help="one JSON object in place of a table")


def add_condition_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the arguments that say in which condition the harness is."""
    parser.add_argument("--key", metavar="K", help="key state; the first of the file where none is given")
    parser.add_argument("--set", metavar="X=Y", action="append", default=[], help="set a switch, driver, charger, part")
    parser.add_argument("--pull", metavar="PART", action="append", default=[], help="a fuse, relay or other part out")
    parser.add_argument(
        "--unplug", metavar="PART", action="append", default=[], help="a plug apart or a part unplugged"
    )
    parser.add_argument("--fault", metavar="PART=FAULT", action="append", default=[], help="put a fault in")
    parser.add_argument("--battery", metavar="V", type=float, help="volts read across the posts of the first battery")


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
    if arguments.json:
        print(json.dumps(as_json(found), ensure_ascii=False))
    else:
        print("\n".join(as_lines(found)))
    return 0


def as_json(found: Survey) -> dict[str, Any]:
    """Give the survey as one JSON object; unplugged and floating points are 0."""
    settled = found.settled
    names = settled.net.names[: settled.net.point_count]
    return {
        "key": settled.condition.key,
        "settings": settled.condition.by_name,
        "points": {name: round(float(settled.volts[node]), 6) + 0.0 for node, name in enumerate(names)},
        "floating": [name for node, name in enumerate(names) if node in settled.floating],
        "unsettled": [name for node, name in enumerate(names) if node in settled.unsettled],
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
    }


def as_lines(found: Survey) -> list[str]:
    """Give the survey as lines of text: points, loads, fuses, and what a reader must know beside them."""
    settled = found.settled
    harness = settled.net.harness
    names = settled.net.names[: settled.net.point_count]
    width = max(len(name) for name in names)
    lines = [f"{harness.build.name}: key {settled.condition.key}, posts {volts_text(settled.posts_volts)} V"]
    lines += [f"  {name} {value}" for name, value in settled.condition.settings]
    lines += [f"  fault {fault.spelled()}" for fault in settled.condition.faults]
    lines += remarks(found)
    lines += ["", f"{'point':<{width}}  {'volts':>9}"]
    lines += [f"{name:<{width}}  {point_words(settled, node):>9}" for node, name in enumerate(names)]
    load_width = max((len(name) for name in found.loads), default=4)
    lines += ["", f"{'load':<{load_width}}  {'volts':>7}  {'amps':>8}  state"]
    for name, load in found.loads.items():
        row = f"{name:<{load_width}}  {volts_text(load.volts):>7}  {amps_text(load.amps):>8}  {load.state}"
        lines.append(row)
    fuse_width = max((len(name) for name in found.fuse_amps), default=4)
    lines += ["", f"{'fuse':<{fuse_width}}  {'amps':>8}"]
    for name, amps in found.fuse_amps.items():
        word = "  blown" if name in settled.blown else ""
        lines.append(f"{name:<{fuse_width}}  {amps_text(amps):>8}{word}")
    return lines


def point_words(settled: Settled, node: int) -> str:
    """Give the volts of a node as text, or the word that stands in their place."""
    if node in settled.unsettled:
        return "unsettled"
    if node in settled.floating:
        return "floating"
    return volts_text(float(settled.volts[node]))


def remarks(found: Survey) -> list[str]:
    """Say in sentences what the figures alone do not: buzzing, uncertain relays, fuses that opened, another end."""
    settled = found.settled
    lines = settled_words(settled)
    if found.from_before is not None:
        other = found.from_before
        differing = [name for name, on in other.relays.items() if on != settled.relays[name]]
        where = f" ({', '.join(differing)} otherwise)" if differing else ""
        lines.append(f"Reached from the key state before it, it ends differently{where}.")
    if lines:
        lines.insert(0, f"{plural(len(lines), 'remark')}:")
    return lines
