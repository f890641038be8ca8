"""Waiting for an app to be done, by what it does and not by how busy the machine is."""

import asyncio
import unicodedata
from typing import Any
from unittest.mock import patch

from textual import events
from textual.app import App
from textual.geometry import Size
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.message_pump import MessagePump
from textual.screen import Screen

MOST_LAID_OUT = 50
"""times; what asks to be laid out anew each time it is would do so for ever"""
FOR_OTHERS_SECONDS = 0.001
"""at a time, while a part of the app waits for a thread"""


async def quiet(app: App[Any]) -> None:
    """Until each part of the app waits for its next message; at once where it fails or ends.

    The pilot's own pause waits until the process takes little time, at least a fiftieth of a
    second and three of them for a key: that is slow, and on a busy machine it is wrong. Layouts
    and callbacks that the library keeps for its next frame, up to a sixtieth of a second later,
    are done at once.
    """
    laid_out = 0
    while True:
        await _idle_loop()
        if not app.is_running or app._exception is not None:
            return
        parts = (app, *app.screen.walk_children(with_self=True))
        if not all(map(_waits_for_a_message, parts)):
            await asyncio.sleep(FOR_OTHERS_SECONDS)
        elif laid_out < MOST_LAID_OUT and _waits_for_a_frame(app.screen):
            laid_out += 1
            app.screen._on_timer_update()
        else:
            return


async def resize(app: App[Any], width: int, height: int) -> None:
    """Another size of terminal, to which the library would lay out a moment later."""
    size = Size(width, height)
    app._driver._size = size  # type: ignore[union-attr]
    app.post_message(events.Resize(size, size))
    await quiet(app)
    app._check_resize()
    await quiet(app)


async def resize_front(app: App[Any], width: int, height: int) -> None:
    """Another size for the screen in front; those behind keep theirs, to which it goes back."""
    size = Size(width, height)
    app._driver._size = app._size = size  # type: ignore[union-attr]
    with patch.object(type(app), "_background_screens", ()):
        app.screen.post_message(events.Resize(size, size))
        await quiet(app)


async def _idle_loop() -> None:
    """Until everything that can go on now has; what waits for time or a thread waits on."""
    ready = asyncio.get_running_loop()._ready  # type: ignore[attr-defined]
    await asyncio.sleep(0)
    while ready:
        await asyncio.sleep(0)


def _waits_for_a_message(part: MessagePump) -> bool:
    """Whether a part has done all it was told; true of one that has ended."""
    if part._closing or part._closed:
        return True
    queue: Any = part._message_queue
    return queue.empty() and bool(queue.ready_event._waiters)


def _waits_for_a_frame(screen: Screen[Any]) -> bool:
    return bool(screen._layout_required or screen._scroll_required or screen._callbacks)


def key_event(key: str) -> events.Key:
    """The event of a key by its name or character, as the pilot makes it."""
    if len(key) == 1 and not key.isalnum():
        key = _character_to_key(key)
    try:
        name = _get_unicode_name_from_key(REPLACED_KEYS.get(key, key))
        return events.Key(key, unicodedata.lookup(name))
    except KeyError:
        return events.Key(key, key if len(key) == 1 else None)
