"""What the whole test suite shares: its options, which tests wait for them, and how many processes run it."""

import os
from pathlib import Path

import pytest

MOST_PROCESSES = 8

# processes enough run the tests: more threads in each would only get in their way
os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the options of the suite."""
    group = parser.getgroup("fusewalk")
    group.addoption("--slow", action="store_true", help="run the tests marked slow as well")
    group.addoption("--thorough", action="store_true", help="run what a quicker test does for some for every one")
    group.addoption("--every-fault", action="store_true", help="take every single fault, not a sample")
    group.addoption("--every-kill", action="store_true", help="kill the program on its screen 500 times, not 10")
    group.addoption("--every-trace", action="store_true", help="trace several times as many hidden faults")


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Run single files in this process, directories in two processes a core: waiting for a screen costs nothing."""
    if all(Path(word.partition("::")[0]).is_file() for word in config.args):
        return 0
    return min(2 * (os.cpu_count() or 1), MOST_PROCESSES)


LONGEST_FILES = ("test_trace_bounds.py", "test_traces.py", "test_many_faults.py", "test_symptoms.py")
"""They begin first, so that no core waits for one of them at the end."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Put the longest files first, and leave out what takes long unless it is asked for."""
    items.sort(key=lambda item: item.path.name not in LONGEST_FILES)
    for name in ("slow", "thorough"):
        if not config.getoption(f"--{name}"):
            skip = pytest.mark.skip(reason=f"{name}: runs with --{name}")
            for item in items:
                if item.get_closest_marker(name) is not None:
                    item.add_marker(skip)
    if not config.getoption("--slow"):
        _leave_out_later_cases(items)


def _leave_out_later_cases(items: list[pytest.Item]) -> None:
    """Leave the first few cases of each test that is marked so."""
    skip = pytest.mark.skip(reason="first_few: all cases run with --slow")
    taken: dict[str, int] = {}
    for item in items:
        marker = item.get_closest_marker("first_few")
        if marker is None:
            continue
        test = item.nodeid.partition("[")[0]
        taken[test] = taken.get(test, 0) + 1
        if taken[test] > marker.args[0]:
            item.add_marker(skip)
