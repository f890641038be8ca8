"""Temperatures of places, a day at a time."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from rounds.core.collection import WeatherDay
from rounds.core.log.effective import Corrections
from rounds.store.connect import LogbookFile
from rounds.store.log import withdrawals_of_places


def append_weather(
    file: LogbookFile, place_id: int, day: date, at_ms: int, min_c: float, max_c: float
) -> int:
    """Write the least and greatest temperature of a day, degC; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO weather VALUES (?,?,?,?,?,?)",
            (entry_id, place_id, day.toordinal(), at_ms, min_c, max_c),
        )
        return entry_id


class DayOfPlace(NamedTuple):
    """The least and greatest temperature of a place on a day, degC, to be written."""

    place_id: int
    day: date
    min_c: float
    max_c: float


def append_days(file: LogbookFile, days: Sequence[DayOfPlace], at_ms: int) -> None:
    """Write the temperatures of many days."""
    with file.writing_records() as connection:
        ids = file.next_ids(len(days))
        connection.executemany(
            "INSERT INTO weather VALUES (?,?,?,?,?,?)",
            (
                (entry_id, of.place_id, of.day.toordinal(), at_ms, of.min_c, of.max_c)
                for entry_id, of in zip(ids, days, strict=True)
            ),
        )


def weather_by_place(file: LogbookFile) -> dict[int, dict[date, WeatherDay]]:
    """What stands of the temperatures entered, by place and day; the newest of a day holds."""
    corrections = Corrections(withdrawals_of_places(file))
    found: dict[int, dict[date, WeatherDay]] = defaultdict(dict)
    with file.reading() as connection:
        for entry_id, place_id, day, min_c, max_c in connection.execute(
            "SELECT id, place_id, day, min_c, max_c FROM weather ORDER BY id"
        ):
            if corrections.stands(entry_id):
                entered = WeatherDay(entry_id, place_id, date.fromordinal(day), min_c, max_c)
                found[place_id][entered.day] = entered
    return found
