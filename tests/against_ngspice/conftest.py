"""The one ngspice that all comparisons share."""

import os
from collections.abc import Iterator

import pytest

from tests.against_ngspice.ngspice_run import Ngspice, is_installed


@pytest.fixture(scope="session")
def ngspice() -> Iterator[Ngspice]:
    """Give a running ngspice; where there is none skip, in a CI run fail."""
    if not is_installed():
        if os.environ.get("CI"):
            pytest.fail("ngspice is not installed, and a CI run must compare with it")
        pytest.skip("ngspice is not installed")
    running = Ngspice()
    yield running
    running.close()
