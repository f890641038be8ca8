"""Today as it is memoised: made once, the same object for all until something is written."""

from dataclasses import replace
from datetime import date

from rounds.core.collection import Plant
from rounds.service.day.day import Day
from rounds.service.day.work import DayWork
from rounds.service.inference.day import collection_on
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, seen_status

MOST_READ = 500
"""plants that are read where somebody waits for it; each takes some 2 ms on a slow machine"""


def day_of(logbook: Logbook, on: date | None = None) -> Day:
    """A day, today if none is named: what is known of it without working anything out.

    Nothing is written. It is the same until something else is; a fuller one takes its place
    with `take`. Of a large collection it is unread until then: even reading takes a while.
    """
    on = on or logbook.clock.today()
    return logbook.made_at_stamp(("day", on), lambda: _at_hand(DayWork(logbook, on)))


def _at_hand(work: DayWork) -> Day:
    return work.day if work.day.here > MOST_READ else work.known()


def day_after(logbook: Logbook, shown: Day) -> Day:
    """The day to show in place of one: itself until there is a fuller one, or it is another.

    Unlike `day_of` it reads nothing while nothing was written.
    """
    found = logbook.made(("day", logbook.clock.today()))
    if isinstance(found, Day):
        return found
    return shown if shown.stamp == logbook.stamp() else day_of(logbook)


def planned_day(logbook: Logbook, on: date, minutes: float | None = None) -> Day:
    """A day with its plan, worked out where it is not kept; for so many minutes if given."""
    return logbook.made_at_stamp(
        ("planned", on, minutes), lambda: DayWork(logbook, on, minutes).planned()
    )


def record_of(logbook: Logbook, plant: Plant, on: date | None = None) -> PlantRecord:
    """One plant at the end of a day, today if none is named; read with the others, once."""
    return collection_on(logbook, on or logbook.clock.today()).record(plant.id)


def status_on(day: Day, record: PlantRecord) -> PlantStatus:
    """The status of a plant on a day; of one that is not here, what its log alone says."""
    return (day.statuses or {}).get(record.plant.id) or seen_status(record)


def take(logbook: Logbook, day: Day) -> bool:
    """Memoise a day made by another thread; False where the file has changed since."""
    stamp = logbook.stamp()
    if day.stamp.written != stamp.written:
        return False
    logbook.keep_made(("day", day.on), stamp, replace(day, stamp=stamp))
    return True
