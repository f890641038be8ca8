"""Plants from a file: each row one plant, as it would be entered by hand."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rounds.core.collection import INSECTS_SEEN, START, Place, Plant
from rounds.errors import BadInput
from rounds.service.collection.plants import (
    PlantDetails,
    check_code,
    said_of_plant,
    say_touching,
    write_new_plant,
)
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow, Record
from rounds.service.exchange.rows import RowsOfFile
from rounds.service.exchange.trouble import Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import unknown

COLUMN_OF_FACT = {"pests": "pest"}


@dataclass(frozen=True, slots=True)
class Row:
    """One plant that may be written."""

    line: int
    code: str
    details: PlantDetails
    place: Place


class PlantsOfFile(RowsOfFile):
    """The plants of a file; they are kept as they are taken, as all plants of a logbook are."""

    def __init__(self, logbook: Logbook, moment: Moment, file: CsvFile) -> None:
        self._logbook = logbook
        self._moment = moment
        self._file = file
        self._rows: list[CsvRow] = []

    def take(self, record: Record) -> None:
        """Keep a row."""
        self._rows.append(self._file.row(record))

    def write(self, troubles: Troubles) -> int:
        """Write the plants the logbook does not hold yet; how many. InFile for faults.

        A plant held under the code is known where all that its row says was once said of it.
        """
        shelf = _Shelf(self._logbook, self._moment)
        for row in self._rows:
            with troubles.of_line(row.line):
                shelf.take(_read(shelf, row))
            if troubles.enough:
                break
        for met in shelf.rows:
            with troubles.of_line(met.line):
                shelf.take_touches(met)
        troubles.raise_any()
        shelf.say_touches()
        return len(shelf.new)


def _read(shelf: "_Shelf", row: CsvRow) -> Row:
    cells.check_text(row)
    details = PlantDetails(
        name=row.needed("name"),
        botanical_name=row.cell("botanical_name"),
        form=row.cell("form"),
        size=row.cell("size"),
        source=row.cell("source"),
        value=cells.number(row, "value"),
        clear_pot=cells.flag(row, "clear_pot"),
        note=row.cell("note"),
        dislikes=cells.several(row, "dislikes"),
        pests=cells.several(row, "pest"),
        touches=cells.several(row, "touches"),
        place=row.needed("place"),
        spot=row.cell("spot"),
        arrived=cells.day(row, "arrived"),
        already_here=bool(cells.flag(row, "already_here")),
        insects_seen=cells.flag(row, "insects_seen"),
    )
    code = check_code(row.needed("code"))
    return Row(row.line, code, details, shelf.place(row.needed("place")))


class _Shelf:
    """The plants held, and those of the file as they are met."""

    def __init__(self, logbook: Logbook, moment: Moment) -> None:
        self._logbook = logbook
        self._moment = moment
        found = logbook.collection()
        self._places = {place.name.casefold(): place for place in found.places.values()}
        self._plants = {plant.code.casefold(): plant for plant in found.plants.values()}
        self._met: dict[str, PlantDetails] = {}
        self._beside: dict[int, set[int]] = defaultdict(set)
        self.rows: list[Row] = []
        self.new: set[str] = set()

    def place(self, name: str) -> Place:
        """A place by name. BadInput, naming the nearest, if there is none."""
        place = self._places.get(name.casefold())
        if place is None:
            raise unknown("place", name, [p.name for p in self._places.values()], "place")
        return place

    def take(self, row: Row) -> None:
        """Write a plant that is new. BadInput where the code is taken by another one."""
        folded = row.code.casefold()
        if folded in self._met:
            if self._met[folded] != row.details:
                raise BadInput("plant-twice", code=row.code, field="code")
            return
        self._met[folded] = row.details
        held = self._plants.get(folded)
        if held is not None:
            self._check_same(held, row)
        else:
            self._plants[folded] = write_new_plant(
                self._logbook, self._moment, row.code, row.details, row.place
            )
            self.new.add(folded)
        self.rows.append(row)

    def take_touches(self, row: Row) -> None:
        """Keep whom a new plant touches. BadInput where a held one never touched them."""
        plant = self._plants[row.code.casefold()]
        others = {self._plant(code).id for code in row.details.touches or ()}
        if plant.id in others:
            raise BadInput("touches-itself", field="touches", code=row.code)
        if row.code.casefold() not in self.new:
            if not others <= _ever_touched(plant):
                raise _differs(row.code, "touches", row.details.touches or ())
            return
        for other in others:
            self._beside[plant.id].add(other)
            self._beside[other].add(plant.id)

    def say_touches(self) -> None:
        """Write who touches whom, once for each plant; touching is mutual."""
        by_id = {plant.id: plant for plant in self._plants.values()}
        for plant_id, others in self._beside.items():
            before = set(by_id[plant_id].touching(self._moment.day))
            say_touching(self._logbook, self._moment, plant_id, before | others)

    def _plant(self, code: str) -> Plant:
        plant = self._plants.get(code.casefold())
        if plant is None:
            raise unknown("plant", code, [p.code for p in self._plants.values()], "touches")
        return plant

    def _check_same(self, held: Plant, row: Row) -> None:
        for column, given, ever in self._said(held, row):
            if given not in ever:
                raise _differs(row.code, column, given)

    def _said(self, held: Plant, row: Row) -> Iterator[tuple[str, object, Sequence[object]]]:
        """By column: what the row says, and all values ever said of the plant held."""
        details = row.details
        for what, value in said_of_plant(self._logbook, details, new=False).items():
            if what != START:
                column = COLUMN_OF_FACT.get(what, what)
                yield column, value, [fact.value for fact in held.facts if fact.what == what]
        yield "place", row.place.id, [move.place_id for move in held.moves]
        if details.spot is not None:
            yield "spot", details.spot, [move.spot for move in held.moves]
        arrivals = [fact.value for fact in held.facts if fact.what == "arrived"]
        if details.arrived is not None:
            yield "arrived", details.arrived.isoformat(), arrivals
        if details.insects_seen is not None:
            starts = [fact.value == INSECTS_SEEN for fact in held.facts if fact.what == START]
            given = "yes" if details.insects_seen else "no"
            yield "insects_seen", given, ["yes" if seen else "no" for seen in starts or [False]]
        if details.already_here:
            yield "already_here", bool(arrivals), [False]


def _ever_touched(plant: Plant) -> set[int]:
    said = [fact.value for fact in plant.facts if fact.what == "touching"]
    return {int(other) for value in said for other in value.split()}


def _differs(code: str, column: str, given: object) -> BadInput:
    text = "; ".join(map(str, given)) if isinstance(given, tuple) else str(given)
    return BadInput("plant-differs", field=column, code=code, column=column, given=text)
