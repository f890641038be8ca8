"""What a terminal shows of the screens as the library paints them, and what it would show anew."""

from typing import Any

import pyte
import pytest
from textual._compositor import CompositorUpdate
from textual.app import App
from textual.screen import Screen

from tests.tui.quiet import quiet
from tests.tui.sparing import PAINT


class TerminalOf:
    """A terminal that every repaint of an app is written to, until `patch` is undone.

    The library may paint a frame between a change and its layout, and work out for it where all
    will lie. Here it always does.
    """

    def __init__(self, app: App[Any], patch: pytest.MonkeyPatch) -> None:
        self._app = app
        self._screen = pyte.Screen(*app.size)
        self._stream = pyte.Stream(self._screen)
        lay_out = Screen._refresh_layout

        def lay_out_late(screen: Screen[Any], *given: Any, **named: Any) -> None:
            if screen is app.screen and screen._compositor.root is not None:
                screen._compositor.update_widgets(screen._dirty_widgets)
                screen._compositor._full_map_invalidated = True
                assert screen._compositor.full_map
                PAINT(screen)
            lay_out(screen, *given, **named)

        patch.setattr(Screen, "_compositor_refresh", PAINT)
        patch.setattr(Screen, "_refresh_layout", lay_out_late)
        patch.setattr(App, "_display", self._display)
        app.screen.refresh()

    async def shown(self) -> list[str]:
        """The rows as they are, once the frame is there that the keys before led to."""
        await quiet(self._app)
        self._app.screen._on_timer_update()
        return [row.rstrip() for row in self._screen.display]

    def anew(self) -> list[str]:
        """The rows as they would be, were all of it painted anew."""
        compositor = self._app.screen._compositor
        return [strip.text.rstrip() for strip in compositor.render_strips()]

    def _display(self, screen: Screen[Any], update: Any) -> None:
        size = (self._screen.columns, self._screen.lines)
        if size != tuple(self._app.size):
            self._screen.resize(self._app.size.height, self._app.size.width)
        if screen is self._app.screen and isinstance(update, CompositorUpdate):
            self._stream.feed(update.render_segments(self._app.console))
