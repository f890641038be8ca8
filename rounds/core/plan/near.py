"""Who stands how near a find: what touches it, the same spot or the next, its bench, its place."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product

from rounds.core.collection import Move, Place, Plant
from rounds.core.plan.claims import NEAREST, Exposed, Exposure
from rounds.core.quarantine.past import Made

DAY = timedelta(days=1)
LAST_NUMBER = re.compile(r"([0-9]+)[^0-9]*$")

Places = Mapping[int, Place]


@dataclass(frozen=True, slots=True)
class Find:
    """A plant with insects, and the days on which they were found lately."""

    plant: Plant
    found_on: Sequence[date]
    """in order"""
    found_at: Made | None = None
    """the look at which something was found last; None where no order of the day is known"""


@dataclass(frozen=True, slots=True)
class GoneOver:
    """When a plant was gone over last."""

    on: date
    since: Made | None = None
    """the look of that day from which on all of it was looked at; None where that is not known"""


def exposure_of(
    plant: Plant, finds: Iterable[Find], places: Places, seen: GoneOver | None, on: date
) -> Exposure | None:
    """What a plant was exposed to since it was gone over last; None where that is nothing.

    Args:
        plant: which.
        finds: on plants, its own among them.
        places: by id.
        seen: when it was gone over last: finds up to then count no more, those made later on the
            same day do.
        on: the day asked about.
    """
    met = [
        (NEAREST.index(how), -day.toordinal(), find.plant.code, day)
        for find in finds
        if find.plant.id != plant.id
        for day in find.found_on
        if seen is None or _is_since(find, day, seen)
        if (how := nearness(find.plant, plant, day, on, places)) is not None
    ]
    if not met:
        return None
    nearest, _, code, found_on = min(met)
    since = max(plant.first_day, min(day for *_, day in met))
    return Exposure(NEAREST[nearest], code, found_on, since)


def _is_since(find: Find, day: date, seen: GoneOver) -> bool:
    """Whether the finds of a day on a plant came after another was gone over."""
    if day != seen.on or day != find.found_on[-1]:
        return day > seen.on
    if find.found_at is None or seen.since is None:
        return False
    return find.found_at > seen.since


def nearness(
    source: Plant, other: Plant, found_on: date, on: date, places: Places
) -> Exposed | None:
    """How near a plant stood to a find, or stands to it now; None where it never was near.

    Who is put apart on the day of the find stood among the others up to it.
    """
    first = max(source.first_day, other.first_day)
    met = [
        nearness_on(source, other, day, places)
        for day in (found_on - DAY, found_on, on)
        if day >= first
    ]
    if found_on >= first:
        met += _in_course(source, other, found_on, places)
    return _nearest(met)


def nearness_in_course(source: Plant, other: Plant, day: date, places: Places) -> Exposed | None:
    """How near two plants stood at any time of a day on which both were there."""
    met = _in_course(source, other, day, places)
    if day > max(source.first_day, other.first_day):
        met.append(nearness_on(source, other, day - DAY, places))
    return _nearest([*met, nearness_on(source, other, day, places)])


def _in_course(source: Plant, other: Plant, day: date, places: Places) -> list[Exposed | None]:
    """How near each spot of a day is to each of another plant: either may be moved on it."""
    return [
        nearness_of_spots(here, there, day, places)
        for here, there in product(_stood(source, day), _stood(other, day))
    ]


def _nearest(met: Iterable[Exposed | None]) -> Exposed | None:
    return min((near for near in met if near), key=NEAREST.index, default=None)


def _stood(plant: Plant, day: date) -> list[Move]:
    """Every spot at which a plant stood in the course of a day: it may be moved on it."""
    that_day = [move for move in plant.moves if move.day == day]
    before = plant.move_on(day - DAY) if plant.first_day < day else None
    return [before, *that_day] if before else that_day


def nearness_on(source: Plant, other: Plant, day: date, places: Places) -> Exposed | None:
    """How near two plants stood on a day; None where they did not."""
    here, there = source.move_on(day), other.move_on(day)
    if other.id in source.touching(day):
        return "touching"
    return None if here is None or there is None else nearness_of_spots(here, there, day, places)


def nearness_of_spots(here: Move, there: Move, day: date, places: Places) -> Exposed | None:
    """How near two plants that do not touch stand on a day, each put by its move."""
    if here.place_id == there.place_id and _are_next(here, there):
        return "spot"
    bench = places[here.place_id].bench(day)
    if bench is not None and bench == places[there.place_id].bench(day):
        return "bench"
    return "place" if here.place_id == there.place_id else None


def _are_next(here: Move, there: Move) -> bool:
    """The same spot, or one whose number is one more or less: spot 3 and spot 4, A3 and A4."""
    one, other = _parts(here.spot), _parts(there.spot)
    if one is None or other is None or one[0] != other[0]:
        return False
    if one[1] is None or other[1] is None:
        return one[1] == other[1]
    return abs(one[1] - other[1]) <= 1


def _parts(spot: str | None) -> tuple[str, int | None] | None:
    """What was typed for a spot, before its last number, and that number."""
    typed = " ".join((spot or "").casefold().split())
    if not typed:
        return None
    found = LAST_NUMBER.search(typed)
    if found is None:
        return typed, None
    return typed[: found.start()].strip(), int(found[1])
