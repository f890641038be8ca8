"""What was removed before the first round: one typed line, such as P01 axils 3 8:30."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import unknown, zone_named

AGO = timedelta(hours=1)
"""How long before now a removal is kept where no time is typed; an assumption, and shown."""

LONGEST_COUNT = 5
"""Most digits of a count."""


@dataclass(frozen=True, slots=True)
class Removal:
    """So many insects removed from one zone of a plant, at a local time of today."""

    plant: Plant
    zone: str
    count: int
    at: datetime


def removals_on(logbook: Logbook, plants: Iterable[Plant], day: date) -> tuple[Removal, ...]:
    """The removals of a day, from the log: what was found alive, as it was entered."""
    found = [
        Removal(plant, look.zone, look.live(), datetime.fromtimestamp(look.began_at))
        for plant in plants
        for look in record_of(logbook, plant, day).today
        if look.live()
    ]
    return tuple(sorted(found, key=lambda removal: removal.at))


def read_removal(logbook: Logbook, plants: Sequence[Plant], line: str) -> Removal:
    """Plant, zone, how many, and if wanted when. BadInput where the line does not say so."""
    parts = line.split()
    at = _earlier(logbook) if ":" not in parts[-1] else _at(logbook, parts.pop())
    count = parts.pop() if parts else ""
    is_count = count.isascii() and count.isdigit() and len(count) <= LONGEST_COUNT
    if not is_count or int(count) == 0 or len(parts) < 2:
        raise BadInput("no-removal", given=line, field="line")
    # names and zones may both have several words: the longest name that is one wins
    for length in range(len(parts) - 1, 0, -1):
        plant = plant_named(plants, " ".join(parts[:length]))
        if plant is not None:
            zone = _zone(logbook, plant, " ".join(parts[length:]))
            return Removal(plant, zone, int(count), at)
    raise unknown("plant", parts[0], [plant.code for plant in plants], "line")


def enter_removal(logbook: Logbook, removal: Removal, who: str | None) -> None:
    """Write it as a look of earlier today whose seconds nobody knows: none are credited."""
    instant = removal.at.astimezone()
    entered = LookEntered((removal.zone,), 0.0, {"removed": removal.count})
    moment = Moment(logbook.clock.today(), instant, who)
    enter_look(logbook, moment, removal.plant.code, entered)


def plants_named(plants: Sequence[Plant], line: str) -> list[Plant]:
    """The plants of a typed line: codes or names, between commas or, of codes, blanks.

    BadInput for one that is not there.
    """
    found: list[Plant] = []
    for part in filter(None, (part.strip() for part in line.split(","))):
        whole = plant_named(plants, part)
        for word in [part] if whole else part.split():
            plant = whole or plant_named(plants, word)
            if plant is None:
                raise unknown("plant", word, [plant.code for plant in plants], "line")
            found.append(plant)
    return list(dict.fromkeys(found))


def plant_named(plants: Sequence[Plant], given: str) -> Plant | None:
    """The plant of a code or of a name, or the only one whose name begins so; None without one.

    BadInput where several have the name.
    """
    folded = given.casefold()
    for plant in plants:
        if plant.code.casefold() == folded:
            return plant
    names = [(plant, (plant.fact("name", date.max) or "").casefold()) for plant in plants]
    called = [plant for plant, name in names if name == folded]
    begun = called or [plant for plant, name in names if name.startswith(folded)]
    if len(begun) > 1:
        codes = ", ".join(plant.code for plant in begun[:4])
        raise BadInput("several-plants", given=given, codes=codes, field="line")
    return begun[0] if begun else None


def _zone(logbook: Logbook, plant: Plant, given: str) -> str:
    """A zone of the plant by its word or code, or by how only one of them begins."""
    zones = [zone.zone for zone in logbook.body_on(plant)(logbook.clock.today()).zones]
    return zone_named(zones, given, "line")


def _earlier(logbook: Logbook) -> datetime:
    """An hour ago on the local clock, but not yesterday."""
    local = logbook.clock.now().astimezone()
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    return max(midnight, local - AGO).replace(tzinfo=None)


def _at(logbook: Logbook, given: str) -> datetime:
    """A time of today on the local clock. BadInput for one that is none, or still to come."""
    hour, _, minute = given.partition(":")
    try:
        at = datetime.combine(logbook.clock.today(), time(int(hour), int(minute)))
    except ValueError:
        raise BadInput("no-time", given=given, field="line") from None
    if at > logbook.clock.now().astimezone().replace(tzinfo=None):
        raise BadInput("time-to-come", given=given, field="line")
    return at
