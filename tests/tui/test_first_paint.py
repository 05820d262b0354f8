"""What the first screen may import."""

import subprocess
import sys

SCRIPT = """
import asyncio, sys
from tui.app import FusewalkApp

async def first_screen():
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.pause()
    assert app.return_code in (0, None)

asyncio.run(first_screen())
print(sorted({"numpy", "scipy", "networkx", "pandas", "markdown_it", "hypothesis"} & set(sys.modules)))
"""


def test_the_first_screen_imports_nothing_heavy() -> None:
    """Neither numpy, scipy, networkx nor a Markdown parser is loaded when the first screen stands."""
    told = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
