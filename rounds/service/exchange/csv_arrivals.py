"""Deliveries from a file: each row some like plants that came from one source on one day."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from rounds.errors import BadInput
from rounds.service.arrival.delivery import Delivery
from rounds.service.arrival.enter import checked, enter
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow, Record
from rounds.service.exchange.rows import RowsOfFile
from rounds.service.exchange.trouble import Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, read_day


@dataclass(frozen=True, slots=True)
class Row:
    """One delivery, and the noon of the day it came."""

    line: int
    moment: Moment
    delivery: Delivery


class ArrivalsOfFile(RowsOfFile):
    """The deliveries of a file; they are few, and are kept as they are taken."""

    columns: ClassVar[Mapping[str, str]] = {"codes": "code"}

    def __init__(self, logbook: Logbook, moment: Moment, file: CsvFile) -> None:
        self._logbook = logbook
        self._who = moment.who
        self._file = file
        self._rows: list[Row] = []

    def take(self, record: Record) -> None:
        """Keep a row. BadInput where it cannot be read."""
        self._rows.append(_read(self._file.row(record), self._who))

    def write(self, troubles: Troubles) -> int:
        """Write the deliveries the logbook does not hold yet; how many.

        One is known where as many plants of its source, day and name are entered.
        """
        written = 0
        for row in self._rows:
            with troubles.of_line(row.line):
                written += self._write(row)
            if troubles.enough:
                break
        troubles.raise_any()
        return written

    def _write(self, row: Row) -> bool:
        delivery, day = row.delivery, row.moment.day
        of = checked(self._logbook, day, delivery)
        if len(of.known) == delivery.units:
            return False
        if of.known:
            raise BadInput(
                "delivery-differs",
                source=delivery.source,
                day=day,
                held=len(of.known),
                units=delivery.units,
                field="units",
            )
        if of.room is None:
            raise BadInput("delivery-needs-place", field="place")
        enter(self._logbook, row.moment, of)
        return True


def _read(row: CsvRow, who: str | None) -> Row:
    cells.check_text(row)
    row.needed("units")
    delivery = Delivery(
        units=cells.count(row, "units"),
        source=row.needed("source"),
        opened=cells.count(row, "opened"),
        seconds=cells.number(row, "seconds"),
        found=cells.several(row, "found") or (),
        codes=cells.several(row, "code") or (),
        name=row.cell("name"),
        botanical_name=row.cell("botanical_name"),
        place=row.cell("place"),
        form=row.cell("form"),
        size=row.cell("size"),
        value=cells.number(row, "value"),
        pests=cells.several(row, "pest"),
        note=row.cell("note"),
    )
    moment = local_noon(read_day(row.needed("arrived"), "arrived"), row.cell("who") or who)
    return Row(row.line, moment, delivery)
