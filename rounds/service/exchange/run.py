"""Read a file of any kind into the logbook, in one transaction."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rounds.service.exchange.csv_file import CsvFile
from rounds.service.exchange.csv_looks import import_looks
from rounds.service.exchange.csv_plants import import_plants
from rounds.service.exchange.csv_weather import import_weather
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment


@dataclass(frozen=True, slots=True)
class Imported:
    """What came of a file, in rows."""

    kind: str
    rows: int
    written: int


_IMPORTS: Mapping[str, Callable[[Logbook, Moment, CsvFile], int]] = {
    "looks": import_looks,
    "plants": import_plants,
    "weather": import_weather,
}


def import_file(logbook: Logbook, moment: Moment, file: CsvFile) -> Imported:
    """Write what the logbook does not hold yet.

    Raises:
        InFile: something in it is wrong; nothing was written.
    """
    with logbook.file.writing():
        written = _IMPORTS[file.kind](logbook, moment, file)
    return Imported(file.kind, len(file.rows), written)
