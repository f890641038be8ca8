"""Looks, tallies and corrections: appended, read by span of days, never changed."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Any

from rounds.core.log.entries import (
    Look,
    OpenLook,
    PlantEntries,
    StageGiven,
    Tally,
    Withdrawal,
)
from rounds.store.codes import code_id
from rounds.store.connect import LogbookFile
from rounds.store.ids import kept_back
from rounds.store.signs import second_looks_by_plant, signs_by_plant

Row = tuple[Any, ...]

OUTCOMES = ("looked", "cannot-see", "partial")
"""Outcomes of a look, stored as their position here."""

OF_A_RECORD = "record"
"""The reason in withdrawals of a plant's record: facts, moves and periods."""

OF_A_PLACE = 0
"""In place of a plant's id in withdrawals of what belongs to a place, or of days away."""


def append_look(file: LogbookFile, look: Look) -> None:
    """Write a closed look."""
    with file.writing() as connection:
        connection.execute(
            "INSERT INTO look VALUES (?,?,?,?,?,?,?,?,?,?)",
            (
                look.day.toordinal(),
                look.plant_id,
                look.id,
                code_id(file, "zone", look.zone),
                kept_back(look.id, look.round_id),
                look.began_at,
                round(look.seconds * 1000),
                OUTCOMES.index(look.outcome),
                look.reason,
                int(look.unpotted),
            ),
        )


def append_tally(file: LogbookFile, tally: Tally) -> None:
    """Write one count."""
    with file.writing() as connection:
        connection.execute(
            "INSERT INTO tally VALUES (?,?,?,?,?,?,?,?,?)",
            (
                tally.day.toordinal(),
                tally.plant_id,
                tally.id,
                tally.look_id,
                tally.at_ms,
                tally.kind,
                tally.stage,
                code_id(file, "pest", tally.pest),
                tally.count,
            ),
        )


def append_stage(file: LogbookFile, given: StageGiven) -> None:
    """Write a stage given to an earlier tally."""
    with file.writing() as connection:
        connection.execute(
            "INSERT INTO tally_stage VALUES (?,?,?,?,?,?)",
            (
                given.day.toordinal(),
                given.plant_id,
                given.id,
                given.tally_id,
                given.at_ms,
                given.stage,
            ),
        )


def append_withdrawal(file: LogbookFile, entry: Withdrawal) -> None:
    """Write that an entry is taken back, replaced or settled."""
    of_a_record = entry.why == OF_A_RECORD or entry.plant_id == OF_A_PLACE
    with file.writing_records() if of_a_record else file.writing() as connection:
        connection.execute(
            "INSERT INTO withdrawal VALUES (?,?,?,?,?,?,?,?)",
            (
                entry.day.toordinal(),
                entry.plant_id,
                entry.target_id,
                entry.id,
                entry.at_ms,
                entry.why,
                entry.replaced_by,
                entry.note,
            ),
        )


def withdraw_of_record(
    file: LogbookFile, plant_id: int, entry_id: int, day: date, at_ms: int, note: str | None
) -> None:
    """Write that something said of a plant is taken back. Inside a transaction."""
    append_withdrawal(
        file,
        Withdrawal(
            id=file.next_id(),
            day=day,
            plant_id=plant_id,
            target_id=entry_id,
            at_ms=at_ms,
            why=OF_A_RECORD,
            note=note,
        ),
    )


def append_note(file: LogbookFile, entry_id: int, text: str) -> None:
    """Write words that belong to an entry."""
    with file.writing() as connection:
        connection.execute("INSERT INTO entry_note VALUES (?,?)", (entry_id, text))


def put_open_look(file: LogbookFile, look: OpenLook) -> None:
    """Write the look in progress of a round, with its seconds so far."""
    with file.writing() as connection:
        connection.execute(
            "INSERT OR REPLACE INTO open_look VALUES (?,?,?,?,?,?,?)",
            (
                look.round_id,
                look.id,
                look.day.toordinal(),
                look.plant_id,
                code_id(file, "zone", look.zone),
                look.began_at,
                round(look.seconds * 1000),
            ),
        )


def clear_open_look(file: LogbookFile, round_id: int) -> None:
    """Delete the look in progress of a round, as it was closed."""
    with file.writing() as connection:
        connection.execute("DELETE FROM open_look WHERE round_id = ?", (round_id,))


def open_look_of(file: LogbookFile, round_id: int) -> OpenLook | None:
    """The look in progress of a round, if any."""
    with file.reading() as connection:
        rows = connection.execute(f"{_OPEN_LOOKS} WHERE round_id = ?", (round_id,))
        return next((_open_look(row) for row in rows), None)


def entries_of(file: LogbookFile, plant_id: int, first: date, last: date) -> PlantEntries:
    """Everything entered about one plant on the days from `first` to `last`, if there are any."""
    if first > last:
        return PlantEntries()
    return entries_by_plant(file, first, last, plant_id).get(plant_id, PlantEntries())


def entries_by_plant(
    file: LogbookFile, first: date, last: date, plant_id: int | None = None
) -> dict[int, PlantEntries]:
    """Everything entered about each plant, or about one, on the days from `first` to `last`."""
    where, values = _span(first, last, plant_id)
    looks: dict[int, list[Look]] = defaultdict(list)
    tallies: dict[int, list[Tally]] = defaultdict(list)
    stages: dict[int, list[StageGiven]] = defaultdict(list)
    withdrawals: dict[int, list[Withdrawal]] = defaultdict(list)
    open_looks: dict[int, list[OpenLook]] = defaultdict(list)
    with file.reading() as connection:
        for row in connection.execute(f"{_LOOKS} {where}", values):
            looks[row[1]].append(_look(row))
        for row in connection.execute(f"{_TALLIES} {where}", values):
            tallies[row[1]].append(_tally(row))
        for row in connection.execute(f"{_STAGES} {where}", values):
            stages[row[1]].append(_stage(row))
        for row in connection.execute(f"{_WITHDRAWALS} {where}", values):
            withdrawals[row[1]].append(_withdrawal(row))
        for row in connection.execute(f"{_OPEN_LOOKS} {where}", values):
            open_looks[row[1]].append(_open_look(row))
        signs = signs_by_plant(connection, where, values)
        second_looks = second_looks_by_plant(connection, where, values)
    found = (looks, tallies, stages, withdrawals, open_looks, signs, second_looks)
    plants = {plant for kind in found for plant in kind}
    return {
        plant: PlantEntries(
            tuple(looks[plant]),
            tuple(tallies[plant]),
            tuple(stages[plant]),
            tuple(withdrawals[plant]),
            tuple(open_looks[plant]),
            tuple(signs[plant]),
            tuple(second_looks[plant]),
        )
        for plant in plants
    }


def newest_look_on(file: LogbookFile) -> date | None:
    """The latest day any look is of; None where there is none."""
    with file.reading() as connection:
        (found,) = connection.execute("SELECT max(day) FROM look").fetchone()
        return None if found is None else date.fromordinal(found)


def withdrawals_of_places(file: LogbookFile) -> list[Withdrawal]:
    """Corrections of what belongs to places."""
    with file.reading() as connection:
        rows = connection.execute(f"{_WITHDRAWALS} WHERE plant_id = ?", (OF_A_PLACE,))
        return [_withdrawal(row) for row in rows]


def notes_of(file: LogbookFile, entry_ids: Iterable[int]) -> dict[int, str]:
    """The words that belong to some entries."""
    with file.reading() as connection:
        found = {}
        for entry_id in entry_ids:
            row = connection.execute(
                "SELECT text FROM entry_note WHERE entry_id = ?", (entry_id,)
            ).fetchone()
            if row:
                found[entry_id] = str(row[0])
    return found


_LOOKS = (
    "SELECT day, plant_id, look.id, zone.code, round_id, began_at, milliseconds, outcome, reason, "
    "unpotted FROM look JOIN zone ON zone.id = zone_id"
)
_TALLIES = (
    "SELECT day, plant_id, tally.id, look_id, at_ms, kind, stage, pest.code, count "
    "FROM tally JOIN pest ON pest.id = pest_id"
)
_STAGES = "SELECT day, plant_id, id, tally_id, at_ms, stage FROM tally_stage"
_WITHDRAWALS = "SELECT day, plant_id, id, target_id, at_ms, why, replaced_by, note FROM withdrawal"
_OPEN_LOOKS = (
    "SELECT day, plant_id, look_id, zone.code, round_id, began_at, milliseconds "
    "FROM open_look JOIN zone ON zone.id = zone_id"
)


def _span(first: date, last: date, plant_id: int | None) -> tuple[str, tuple[int, ...]]:
    """WHERE clause and values of a span of days; of one plant, day by day to use the key."""
    days = (first.toordinal(), last.toordinal())
    if plant_id is None:
        return "WHERE day BETWEEN ? AND ?", days
    return f"WHERE day IN ({_EACH_DAY}) AND plant_id = ?", (*days, plant_id)


_EACH_DAY = (
    "WITH RECURSIVE span(day, last) AS "
    "(VALUES (?, ?) UNION ALL SELECT day + 1, last FROM span WHERE day < last) "
    "SELECT day FROM span"
)


def _look(row: Row) -> Look:
    day, plant_id, entry_id, zone, round_id, began_at, ms, outcome, reason, unpotted = row
    return Look(
        id=entry_id,
        day=date.fromordinal(day),
        plant_id=plant_id,
        zone=zone,
        round_id=round_id,
        began_at=began_at,
        seconds=ms / 1000,
        outcome=OUTCOMES[outcome],
        reason=reason,
        unpotted=bool(unpotted),
    )


def _tally(row: Row) -> Tally:
    day, plant_id, entry_id, look_id, at_ms, kind, stage, pest, count = row
    return Tally(
        entry_id, date.fromordinal(day), plant_id, look_id, at_ms, kind, stage, pest, count
    )


def _stage(row: Row) -> StageGiven:
    day, plant_id, entry_id, tally_id, at_ms, stage = row
    return StageGiven(entry_id, date.fromordinal(day), plant_id, tally_id, at_ms, stage)


def _withdrawal(row: Row) -> Withdrawal:
    day, plant_id, entry_id, target_id, at_ms, why, replaced_by, note = row
    return Withdrawal(
        entry_id, date.fromordinal(day), plant_id, target_id, at_ms, why, replaced_by, note
    )


def _open_look(row: Row) -> OpenLook:
    day, plant_id, look_id, zone, round_id, began_at, ms = row
    return OpenLook(look_id, date.fromordinal(day), plant_id, zone, round_id, began_at, ms / 1000)
