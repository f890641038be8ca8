"""Temperatures from a file: each row one day of one place."""

from collections.abc import Mapping
from datetime import date

from rounds.core.collection import Place
from rounds.errors import BadInput
from rounds.service.collection.plants import check_range
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow, Record
from rounds.service.exchange.rows import RowsOfFile
from rounds.service.exchange.trouble import Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, read_day
from rounds.service.logbook.named import unknown
from rounds.store.held import held_weather
from rounds.store.weather import DayOfPlace, append_days


class WeatherOfFile(RowsOfFile):
    """The temperatures of a file; what is new is kept, as all temperatures of a logbook are.

    A day held with the same temperatures is known, also where they were corrected or taken back
    since; with others it is a fault.
    """

    def __init__(self, logbook: Logbook, moment: Moment, file: CsvFile) -> None:
        self._logbook = logbook
        self._moment = moment
        self._file = file
        found = logbook.collection()
        self._places = {place.name.casefold(): place for place in found.places.values()}
        self._held = held_weather(logbook.file)
        self._taken = {(place, day) for place, days in found.weather.items() for day in days}
        self._new: list[DayOfPlace] = []

    def take(self, record: Record) -> None:
        """Keep a row that is new. BadInput where it cannot be read, or another one is held."""
        place, day, min_c, max_c = _read(self._places, self._file.row(record))
        of_day = (place.id, day)
        if (min_c, max_c) in self._held[of_day]:
            return
        if of_day in self._taken:
            raise _known(place, day)
        self._new.append(DayOfPlace(place.id, day, min_c, max_c))
        self._held[of_day].add((min_c, max_c))
        self._taken.add(of_day)

    def write(self, troubles: Troubles) -> int:
        """Write the days the logbook does not hold yet; how many."""
        if self._new:
            append_days(self._logbook.file, self._new, self._moment.at_ms)
        return len(self._new)


def _read(by_name: Mapping[str, Place], row: CsvRow) -> tuple[Place, date, float, float]:
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
