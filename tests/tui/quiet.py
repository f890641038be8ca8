"""Waiting for an app to be done, by what it does and not by how busy the machine is."""

import unicodedata
from typing import Any

from textual import events
from textual.app import App
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.message import Message
from textual.pilot import Pilot
from textual.widget import Widget

OF_THE_PILOT = "textual.pilot"

MOST_ASKED = 50
"""times; what is not seen may stay to be laid out for ever"""


class Quiet:
    """An app is quiet once each of its parts has answered and none heard anything else meanwhile.

    The pilot's own pause waits until the process takes little time, at least a fiftieth of a
    second and three of them for a key: that is slow, and on a busy machine it is wrong.
    """

    def __init__(self) -> None:
        self._heard = 0

    def hear(self, message: Message) -> None:
        """A part of the app is given a message; that it is asked to answer is none."""
        if not (isinstance(message, events.Callback) and _asks_for_an_answer(message)):
            self._heard += 1

    async def wait(self, pilot: Pilot[None]) -> None:
        """Until nothing is left to be done; at once where the app has failed."""
        before, asked = -1, 0
        while before != self._heard or (asked < MOST_ASKED and _is_to_be_laid_out(pilot.app)):
            before, asked = self._heard, asked + 1
            if not await pilot._wait_for_screen():
                return


def _is_to_be_laid_out(app: App[Any]) -> bool:
    """Whether the library has not yet found an idle moment for the new height of a part."""
    return any(part._layout_required for part in (app.screen, *app.screen.walk_children(Widget)))


def _asks_for_an_answer(message: events.Callback) -> bool:
    return getattr(getattr(message.callback, "func", None), "__module__", "") == OF_THE_PILOT


def key_event(key: str) -> events.Key:
    """The event of a key by its name or character, as the pilot makes it."""
    if len(key) == 1 and not key.isalnum():
        key = _character_to_key(key)
    try:
        name = _get_unicode_name_from_key(REPLACED_KEYS.get(key, key))
        return events.Key(key, unicodedata.lookup(name))
    except KeyError:
        return events.Key(key, key if len(key) == 1 else None)
