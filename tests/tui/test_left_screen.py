"""What still comes for a screen that has been left."""

from tests.tui.on_screen import until
from tests.tui.test_frame import Sample
from tui.app import FusewalkApp


async def test_what_waits_for_the_layout_of_a_left_screen_is_dropped() -> None:
    """A window that changes as a screen goes lays that out no more: its widgets are gone."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        screen = Sample()
        await app.push_screen(screen)
        called: list[str] = []
        app.pop_screen()
        screen.call_after_refresh(called.append, "left")
        app.screen.call_after_refresh(called.append, "here")
        await until(pilot, lambda: "here" in called)
        await pilot.pause()
        assert called == ["here"]
