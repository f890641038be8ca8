"""Nothing that was seen on the screen is ever lost, however the program ends.

`ROUNDS_KILLS=1000` kills as often; fifty times otherwise.
"""

import os
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rounds import words

KILLS = int(os.environ.get("ROUNDS_KILLS", "50"))
SENT = 60
"""keys at once, so that more wait at each moment at which it is killed"""
SEED = 20260504
OFF = re.compile(rf"{words.say('round.kinds.removed')} +(\d+)(?!.*saved)")
ZONE = re.compile(r"> ([a-z ]+?) {2,}")


def _off(screen: str) -> int | None:
    found = [OFF.search(line[54:]) for line in screen.splitlines() if len(line) > 54]
    return next((int(match.group(1)) for match in found if match), None)


def _zone(screen: str) -> str | None:
    found = ZONE.search(screen)
    return found.group(1) if found else None


def test_painted_is_on_disk_and_disk_was_sent_through_every_kill(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
) -> None:
    """kill -9 amid a flood of keys, once so many are on disk; each next start stands there."""
    chance = random.Random(SEED)
    on_disk, zone, unpainted = 0, None, 0
    for _ in range(KILLS):
        window = terminal("--db", str(small_logbook))
        window.wait_for(lambda text: "enter  " in text, "today")
        window.send("\r")
        shown = window.wait_for(lambda text: _off(text) is not None, "the round")
        assert _off(shown) == on_disk
        assert zone in (None, _zone(shown))
        zone = _zone(shown)
        window.send("f" * SENT)
        wanted = on_disk + chance.randint(1, SENT // 2)
        window.wait_until(lambda n=wanted: counted_on_disk(small_logbook) >= n, "on disk")
        window.kill()
        painted, before = _off(window.text()), on_disk
        on_disk = counted_on_disk(small_logbook)
        assert painted is not None
        assert painted <= on_disk <= before + SENT
        unpainted += on_disk > painted
    # else the kills never fell between a commit and its paint, and nothing was tried
    assert unpainted > 0, "no kill left a row on disk that was not painted"
