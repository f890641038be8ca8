"""What a round has looked at."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, Protocol

from rounds.core.log.effective import Corrections, EffectiveLook, effective_log
from rounds.core.walks import Round
from rounds.service.logbook.book import Logbook
from rounds.store import log

OPENED = "opened-by-find"
"""Reason of a closed look: its zone was looked at with the whole plant until a find opened it.

Its turn is still to come.
"""

REST_OF_PLANT = "rest-of-plant"
"""Why a look was closed: together with the rest of its plant, with which it shared the seconds."""

SET_ASIDE = "set-aside"
"""Why a look was closed: another plant was opened meanwhile, and it is gone back to.

With something counted it stands as it is; else it is no evidence.
"""

END: "Until" = "end"
TOMORROW: "Until" = "tomorrow"
Until = Literal["end", "tomorrow"]
"""To when a plant is put off: the end of the round, or the next day."""

PUT_OFF_BECAUSE = ("no-time", "still-wet", "needs-help", "no-access")
"""Why a plant is put off, in the order of their numbers."""

_PUT_OFF: dict[str, Until] = {"put-off-to-end": END, "put-off-to-tomorrow": TOMORROW}


@dataclass(frozen=True, slots=True)
class PutOff:
    """That a plant was put off in a round; `why` is empty where nobody said."""

    until: Until
    why: str

    @property
    def reason(self) -> str:
        """As the look at hand is closed for it."""
        code = next(code for code, until in _PUT_OFF.items() if until == self.until)
        return f"{code} {self.why}".strip()


class Closed(Protocol):
    """A look, as far as it says why it was closed."""

    @property
    def reason(self) -> str | None:
        """Why."""


def put_off_by(look: Closed) -> PutOff | None:
    """What a look that was closed to put its plant off says of that."""
    code, _, why = (look.reason or "").partition(" ")
    until = _PUT_OFF.get(code)
    return PutOff(until, why) if until is not None else None


def put_off_to_tomorrow(looks: Iterable[Closed]) -> PutOff | None:
    """That a plant was put off to tomorrow, by the looks of a day at it that stand."""
    said = [put_off for look in looks if (put_off := put_off_by(look)) is not None]
    return said[-1] if said and said[-1].until == TOMORROW else None


def looks_of(logbook: Logbook, walk: Round) -> dict[int, list[EffectiveLook]]:
    """The closed looks of a round that stand, by plant."""
    by_plant = log.entries_by_plant(logbook.file, walk.day, walk.day)
    return {
        plant_id: [
            look
            for look in effective_log(entries, walk.day)
            if look.round_id == walk.id and not look.is_open
        ]
        for plant_id, entries in by_plant.items()
    }


def gone_on_with(logbook: Logbook, walk: Round) -> dict[int, int]:
    """The looks of a round that had been set aside, by id, each with the id it went on under first.

    What was looked at meanwhile has a lower one than that, though it was begun later.
    """
    found: dict[int, int] = {}
    for entries in log.entries_by_plant(logbook.file, walk.day, walk.day).values():
        corrections = Corrections(entries.withdrawals)
        for look in entries.looks:
            against = corrections.against(look.id)
            heir = corrections.heir(look.id)
            if look.reason == SET_ASIDE and against and against.replaced_by and heir:
                found[heir] = max(found.get(heir, 0), against.replaced_by)
    return found
