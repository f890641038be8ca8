"""Plants: what was said of them, where they stood, when they stood apart."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date

from rounds.core.collection import Fact, Move, Period, Plant
from rounds.core.log.effective import Corrections
from rounds.core.log.entries import Withdrawal
from rounds.store.connect import LogbookFile
from rounds.store.courses import courses_by_plant, marks_by_plant
from rounds.store.ids import NEXT_ID
from rounds.store.log import OF_A_RECORD


def insert_plant(file: LogbookFile, code: str, first_day: date) -> int:
    """Write a new plant; its id. A code of which all was taken back is given anew."""
    with file.writing_records() as connection:
        rows = connection.execute(
            "INSERT INTO plant (code, folded, first_day) VALUES (?, ?, ?) ON CONFLICT (folded) "
            "DO UPDATE SET code = excluded.code, first_day = excluded.first_day RETURNING id",
            (code, code.casefold(), first_day.toordinal()),
        ).fetchall()
        return int(rows[0][0])


def append_plant_fact(
    file: LogbookFile, plant_id: int, from_day: date, at_ms: int, what: str, value: str
) -> int:
    """Write one thing said about a plant; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO plant_fact VALUES (?,?,?,?,?,?)",
            (entry_id, plant_id, from_day.toordinal(), at_ms, what, value),
        )
        return entry_id


def append_move(
    file: LogbookFile, plant_id: int, day: date, at_ms: int, place_id: int, spot: str | None
) -> int:
    """Write that a plant was put somewhere; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO move VALUES (?,?,?,?,?,?)",
            (entry_id, plant_id, day.toordinal(), at_ms, place_id, spot),
        )
        return entry_id


def append_period(
    file: LogbookFile,
    plant_id: int,
    day: date,
    at_ms: int,
    *,
    kind: str,
    began_because: str,
    move_id: int | None = None,
) -> int:
    """Write that a plant is in quarantine, or is watched, from a day on; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO period VALUES (?,?,?,?,?,?,?)",
            (entry_id, plant_id, day.toordinal(), at_ms, kind, began_because, move_id),
        )
        return entry_id


def append_period_end(
    file: LogbookFile,
    period: Period,
    day: date,
    at_ms: int,
    *,
    early: bool,
    reason: str | None,
) -> int:
    """Write that a period ended; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO period_end VALUES (?,?,?,?,?,?,?)",
            (entry_id, period.plant_id, day.toordinal(), at_ms, period.id, int(early), reason),
        )
        return entry_id


@contextmanager
def in_one_go(file: LogbookFile) -> Iterator[None]:
    """A transaction whose entries are taken back together, and with none written around it.

    A number is skipped before and after them: entries about a day share its noon as their instant,
    so that two groups of consecutive numbers would count as one go.
    """
    with file.writing():
        file.next_id()
        yield
        file.next_id()


def written_with(file: LogbookFile, entry_id: int) -> list[tuple[int, int, date]]:
    """The plant, id and day of all that was said of plants in one go with an entry.

    One go: numbers without a gap, of one instant. Empty where there is no such entry.
    """
    with file.reading() as connection:
        rows = connection.execute(f"{_SAID} ORDER BY id", {"entry": entry_id}).fetchall()
    ids = [row[0] for row in rows]
    if entry_id not in ids:
        return []
    first = last = ids.index(entry_id)
    while first > 0 and ids[first] - ids[first - 1] == NEXT_ID:
        first -= 1
    while last + 1 < len(ids) and ids[last + 1] - ids[last] == NEXT_ID:
        last += 1
    return [(plant, entry, date.fromordinal(day)) for entry, plant, day in rows[first : last + 1]]


def is_looked_at(file: LogbookFile, plant_id: int) -> bool:
    """Whether a plant was ever looked at, or planned in a round."""
    with file.reading() as connection:
        return any(
            connection.execute(
                f"SELECT 1 FROM {table} WHERE plant_id = ? LIMIT 1", (plant_id,)
            ).fetchone()
            for table in ("round_step", "look", "open_look")
        )


def said_of(file: LogbookFile, plant_id: int) -> list[tuple[int, date]]:
    """Id and day of every entry about a plant's record, taken back or not, in their order."""
    of_tables = " UNION ALL ".join(
        f"SELECT id, {day} FROM {table} WHERE plant_id = :plant"
        for table, day in (*_OF_PLANTS, *_OF_COURSES)
    )
    with file.reading() as connection:
        rows = connection.execute(f"{of_tables} ORDER BY id", {"plant": plant_id}).fetchall()
    return [(int(entry), date.fromordinal(day)) for entry, day in rows]


_OF_PLANTS = (("period", "day"), ("period_end", "day"), ("move", "day"), ("plant_fact", "from_day"))
_OF_COURSES = (("course", "day"), ("course_mark", "day"))
_ITS_INSTANT = " UNION ALL ".join(
    f"SELECT at_ms FROM {table} WHERE id = :entry" for table, _ in _OF_PLANTS
)
_SAID = " UNION ALL ".join(
    f"SELECT id, plant_id, {day} FROM {table} WHERE at_ms IN ({_ITS_INSTANT})"
    for table, day in _OF_PLANTS
)


def all_plants(file: LogbookFile) -> dict[int, Plant]:
    """Every plant by id, in the order they were entered; without those all taken back."""
    return _plants(file, "", ())


def plant_of(file: LogbookFile, plant_id: int) -> Plant:
    """One plant by id. KeyError if there is none."""
    return _plants(file, "WHERE {owner} = ?", (plant_id,))[plant_id]


def _plants(file: LogbookFile, where: str, values: tuple[int, ...]) -> dict[int, Plant]:
    of_plant = where.format(owner="plant_id")
    with file.reading() as connection:
        named = connection.execute(
            f"SELECT id, code, first_day FROM plant {where.format(owner='id')} ORDER BY id", values
        ).fetchall()
        facts = connection.execute(
            f"SELECT id, plant_id, from_day, what, value FROM plant_fact {of_plant} ORDER BY id",
            values,
        ).fetchall()
        moves = connection.execute(
            f"SELECT id, plant_id, day, place_id, spot FROM move {of_plant} ORDER BY id", values
        ).fetchall()
        periods = connection.execute(
            f"SELECT id, plant_id, day, kind, began_because, move_id FROM period {of_plant} "
            "ORDER BY id",
            values,
        ).fetchall()
        ends = connection.execute(
            f"SELECT id, period_id, day, early, reason FROM period_end {of_plant} ORDER BY id",
            values,
        ).fetchall()
        corrections = _corrections(file)
        courses_of = courses_by_plant(connection, of_plant, values, corrections)
        marks_of = marks_by_plant(connection, of_plant, values, corrections)
    facts_of: dict[int, list[Fact]] = defaultdict(list)
    for entry_id, owner, day, what, value in facts:
        if corrections.stands(entry_id):
            facts_of[owner].append(Fact(entry_id, owner, date.fromordinal(day), what, value))
    moves_of: dict[int, list[Move]] = defaultdict(list)
    for entry_id, owner, day, place_id, spot in moves:
        if corrections.stands(entry_id):
            moves_of[owner].append(Move(entry_id, owner, date.fromordinal(day), place_id, spot))
    periods_of = _periods(periods, ends, corrections)
    return {
        plant_id: Plant(
            plant_id,
            code,
            date.fromordinal(first_day),
            tuple(facts_of[plant_id]),
            tuple(moves_of[plant_id]),
            tuple(periods_of[plant_id]),
            tuple(courses_of.get(plant_id, ())),
            tuple(marks_of.get(plant_id, ())),
        )
        for plant_id, code, first_day in named
        # a plant is entered with the place where it stands
        if moves_of[plant_id]
    }


def _periods(
    rows: Iterable[tuple[int, int, int, str, str, int | None]],
    ends: Iterable[tuple[int, int, int, int, str | None]],
    corrections: Corrections,
) -> dict[int, list[Period]]:
    ended = {end[1]: end for end in ends if corrections.stands(end[0])}
    found: dict[int, list[Period]] = defaultdict(list)
    for entry_id, owner, day, kind, began_because, move_id in rows:
        if not corrections.stands(entry_id) or (move_id and not corrections.stands(move_id)):
            continue
        period = Period(entry_id, owner, date.fromordinal(day), kind, began_because)
        if entry_id in ended:
            end_id, _, end_day, early, reason = ended[entry_id]
            period = replace(
                period,
                ended_on=date.fromordinal(end_day),
                early=bool(early),
                reason=reason,
                end_id=end_id,
            )
        found[owner].append(period)
    return found


def _corrections(file: LogbookFile) -> Corrections:
    """What of moves and periods was taken back; the withdrawals of looks stay unread."""
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT id, day, plant_id, target_id, at_ms, why, replaced_by, note FROM withdrawal "
            "WHERE why = ?",
            (OF_A_RECORD,),
        )
        return Corrections(
            Withdrawal(i, date.fromordinal(day), plant, target, at, why, by, note)
            for i, day, plant, target, at, why, by, note in rows
        )
