"""Waiting for an app to be done, by what it does and not by how busy the machine is."""

import unicodedata

from textual import events
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.message import Message
from textual.pilot import Pilot

OF_THE_PILOT = "textual.pilot"


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
        before = -1
        while before != self._heard:
            before = self._heard
            if not await pilot._wait_for_screen():
                return


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
