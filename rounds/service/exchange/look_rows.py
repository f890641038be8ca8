"""Read and check rows of looks, once for all rows whose check would come out the same."""

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date
from operator import itemgetter
from typing import get_args

from rounds.core.body import Body
from rounds.core.collection import Plant
from rounds.core.log.entries import Outcome
from rounds.errors import BadInput
from rounds.service.entries.looks import (
    KINDS,
    LONGEST_SECONDS,
    WHOLE,
    LookEntered,
    check_look,
    pest_counted,
)
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow, Record
from rounds.service.exchange.look_times import LookTimes
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import unknown

OUTCOMES: tuple[str, ...] = get_args(Outcome)
HIDDEN = "cannot-see"

CHECKED_BY = ("zone", *KINDS, "stage", "unpotted", "outcome", "pest", "who")
"""Columns on which `Checked` depends; besides, on the plant as it was that day."""

MOST_KEPT = 4096
"""Most checks memoised for plants that are alike."""


@dataclass(frozen=True, slots=True)
class Checked:
    """The result of a check, shared by all rows that agree in what was checked."""

    zones: tuple[tuple[str, float], ...]
    """with their reference seconds"""
    whole_seconds: float
    whole_plant: bool
    tallies: tuple[tuple[str, str | None, str, int], ...]
    """kind, stage, pest and count"""
    unpotted: bool
    outcome: str
    who: str | None
    most_seconds: float


@dataclass(frozen=True, slots=True)
class AsItWas:
    """A plant on the days from `first` to before `until`, when nothing new was said of it."""

    plant_id: int
    first: date
    until: date
    checks: dict[object, Checked]
    """by the cells they depend on; shared with the plants that are alike"""


LookRow = tuple[int, date, float, float, Checked, str, str]
"""A row that may be written: plant, day, instant in seconds since 1970, UTC, seconds looked, what
it has in common with others, note and key, which may be empty. A plain tuple, as one is made
for each row of a long file.
"""


class LookReader:
    """Reads the rows of one file.

    A row is checked in full, as a look that is entered is; the result is memoised by what it
    depends on, and used for the rows below that agree in that.
    """

    def __init__(self, logbook: Logbook, who: str | None, file: CsvFile) -> None:
        self._logbook = logbook
        self._who = who
        self._file = file
        self._plants = {p.code.casefold(): p for p in logbook.collection().plants.values()}
        self._changed_on = {change.day for change in logbook.collection().changes}
        self._times = LookTimes(logbook.clock)
        self._as_it_was: dict[str, AsItWas] = {}
        self._checks: dict[tuple[Body, str | None], dict[object, Checked]] = defaultdict(dict)
        place = {column: index for index, column in enumerate(file.columns)}
        self._plant, self._at, self._seconds = place["plant"], place["at"], place["seconds"]
        self._width = len(file.columns)
        self._note, self._key = place.get("note"), place.get("key")
        self._checked_by = itemgetter(*(place[c] for c in CHECKED_BY if c in place))

    def read(self, record: Record, above: LookRow | None = None) -> LookRow:
        """A row. BadInput or Refused where it cannot be read, or may not be written.

        Args:
            record: its line and cells.
            above: the row above it; where that has the same key, seconds may be left out.
        """
        row = self._file.row(record)
        cells.check_text(row)
        plant = self._find_plant(row.needed("plant"))
        day, instant = self._times.read(row.needed("at"))
        key = row.cell("key") or ""
        has_seconds_above = above is not None and key != "" and above[-1] == key
        entered = _entered(row, above[3] if above and has_seconds_above else None)
        checked = self._check(plant, day, entered, row.cell("who") or self._who)
        self._keep(record[1], plant, day, checked)
        note = row.cell("note") or ""
        return plant.id, day, instant, entered.seconds, checked, note, key

    def read_fast(self, told: list[str]) -> LookRow | None:
        """As `read`, from the memo of rows above; None where the row must be read in full."""
        if len(told) != self._width:
            return None
        plant = self._as_it_was.get(told[self._plant])
        when = self._times.read_fast(told[self._at].strip())
        if plant is None or when is None:
            return None
        day, instant = when
        checked = plant.checks.get(self._checked_by(told))
        if checked is None or not plant.first <= day < plant.until:
            return None
        try:
            seconds = float(told[self._seconds])
        except ValueError:
            return None
        note = "" if self._note is None else told[self._note].strip()
        key = "" if self._key is None else told[self._key].strip()
        if not 0 <= seconds <= checked.most_seconds or not (note + key).isprintable():
            return None
        return plant.plant_id, day, instant, seconds, checked, note, key

    def _find_plant(self, code: str) -> Plant:
        plant = self._plants.get(code.casefold())
        if plant is None:
            raise unknown("plant", code, [p.code for p in self._plants.values()], "code")
        return plant

    def _check(self, plant: Plant, day: date, entered: LookEntered, who: str | None) -> Checked:
        found = check_look(self._logbook, plant, day, entered)
        entered = found.entered
        pest = pest_counted(self._logbook, plant, day, entered)
        return Checked(
            zones=tuple((zone.zone, zone.reference_seconds) for zone in found.zones),
            whole_seconds=sum(zone.reference_seconds for zone in found.zones),
            whole_plant=not entered.zones,
            tallies=tuple((kind, stage, pest, n) for kind, stage, n in entered.tallies),
            unpotted=entered.unpotted,
            outcome=entered.outcome or OUTCOMES[0],
            who=who,
            most_seconds=0.0 if entered.outcome == HIDDEN else LONGEST_SECONDS,
        )

    def _keep(self, told: list[str], plant: Plant, day: date, checked: Checked) -> None:
        """Memoise a check for rows of plants of one body and pests that agree in those cells."""
        checks = self._checks[self._logbook.body_on(plant, day)(day), plant.fact("pests", day)]
        if len(checks) >= MOST_KEPT:
            checks.clear()
        checks[self._checked_by(told)] = checked
        plant_changes = (fact.from_day for fact in plant.facts)
        said = sorted({date.min, plant.first_day, *plant_changes, *self._changed_on, date.max})
        next_said = bisect_right(said, day)
        self._as_it_was[told[self._plant]] = AsItWas(
            plant.id, said[next_said - 1], said[next_said], checks
        )


def _entered(row: CsvRow, seconds_above: float | None) -> LookEntered:
    outcome = row.cell("outcome") or OUTCOMES[0]
    if outcome not in OUTCOMES:
        raise BadInput("not-one-of", field="outcome", given=outcome, allowed=", ".join(OUTCOMES))
    hidden = outcome == HIDDEN
    zone = row.needed("zone")
    entered = LookEntered(
        zones=() if zone.casefold() == WHOLE else (zone,),
        seconds=_seconds(row, 0.0 if hidden else seconds_above),
        counts={kind: cells.count(row, kind) for kind in KINDS},
        stage=row.cell("stage"),
        unpotted=bool(cells.flag(row, "unpotted")),
        pest=row.cell("pest"),
        outcome=outcome,
    )
    if hidden and (entered.counted or entered.seconds):
        raise BadInput("cannot-see-with-looking", field="outcome")
    return entered


def _seconds(row: CsvRow, if_empty: float | None) -> float:
    if if_empty is None:
        return cells.needed_number(row, "seconds")
    given = cells.number(row, "seconds")
    return if_empty if given is None else given


def one_look(above: LookRow, below: LookRow) -> LookRow | None:
    """Two rows that tell of one look, each of other stages, as one; None where they do not.

    They agree in key, plant, zone, time, seconds and all else that is said of the look itself;
    the note may stand with the upper one alone.
    """
    *is_of, checked, note, key = above
    *below_of, further, further_note, further_key = below
    told, also = checked.tallies, further.tallies
    alike = replace(further, tallies=told) == checked
    stages = {(stage, pest) for _, stage, pest, _ in told}
    other = {(stage, pest) for _, stage, pest, _ in also}
    if not (key and key == further_key and is_of == below_of and alike):
        return None
    if further_note not in ("", note) or not (stages and other) or stages & other:
        return None
    plant_id, day, instant, seconds = above[:4]
    return plant_id, day, instant, seconds, replace(checked, tallies=told + also), note, key
