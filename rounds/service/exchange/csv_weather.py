"""Temperatures from a file: each row one day of one place."""

from collections.abc import Mapping
from datetime import date

from rounds.core.collection import Place
from rounds.errors import BadInput
from rounds.service.collection.plants import check_range
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow
from rounds.service.exchange.trouble import Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, read_day
from rounds.service.logbook.named import unknown
from rounds.store import weather
from rounds.store.held import held_weather

Entered = tuple[Place, date, float, float]


def import_weather(logbook: Logbook, moment: Moment, file: CsvFile) -> int:
    """Write the days the logbook does not hold yet; how many were written. InFile for faults.

    A day held with the same temperatures is known, also where they were corrected or taken back
    since; with others it is a fault.
    """
    by_name = {p.name.casefold(): p for p in logbook.collection().places.values()}
    held = held_weather(logbook.file)
    standing = logbook.collection().weather
    taken = {(place, day) for place, days in standing.items() for day in days}
    troubles = Troubles(file.name)
    new: list[Entered] = []
    for row in file.rows:
        with troubles.of_line(row.line):
            place, day, min_c, max_c = entered = _read(by_name, row)
            if (min_c, max_c) not in held[place.id, day]:
                if (place.id, day) in taken:
                    raise _known(place, day)
                new.append(entered)
                held[place.id, day].add((min_c, max_c))
                taken.add((place.id, day))
        if troubles.enough:
            break
    troubles.raise_any()
    with logbook.file.writing():
        for place, day, min_c, max_c in new:
            weather.append_weather(logbook.file, place.id, day, moment.at_ms, min_c, max_c)
    return len(new)


def _read(by_name: Mapping[str, Place], row: CsvRow) -> Entered:
    cells.check_text(row)
    name = row.needed("place")
    place = by_name.get(name.casefold())
    if place is None:
        raise unknown("place", name, [p.name for p in by_name.values()], "place")
    day = read_day(row.needed("day"), "day")
    min_c, max_c = cells.needed_number(row, "min_c"), cells.needed_number(row, "max_c")
    check_range(min_c, max_c)
    return place, day, min_c, max_c


def _known(place: Place, day: date) -> BadInput:
    return BadInput("weather-known", place=place.name, day=day, field="day")
