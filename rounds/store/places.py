"""Places, and what was said of them from which day on."""

from collections import defaultdict
from datetime import date

from rounds.core.collection import Fact, Place
from rounds.core.log.effective import Corrections
from rounds.store.connect import LogbookFile
from rounds.store.log import withdrawals_of_places


def insert_place(file: LogbookFile, name: str) -> int:
    """Write a new place; its id."""
    with file.writing_records() as connection:
        cursor = connection.execute(
            "INSERT INTO place (name, folded) VALUES (?, ?)", (name, name.casefold())
        )
        return int(cursor.lastrowid or 0)


def append_place_fact(
    file: LogbookFile, place_id: int, from_day: date, at_ms: int, what: str, value: str
) -> int:
    """Write one thing said about a place; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO place_fact VALUES (?,?,?,?,?,?)",
            (entry_id, place_id, from_day.toordinal(), at_ms, what, value),
        )
        return entry_id


def all_places(file: LogbookFile) -> dict[int, Place]:
    """Every place by id, in the order they were entered, with what stands of what was said."""
    corrections = Corrections(withdrawals_of_places(file))
    facts: dict[int, list[Fact]] = defaultdict(list)
    with file.reading() as connection:
        for entry_id, owner, day, what, value in connection.execute(
            "SELECT id, place_id, from_day, what, value FROM place_fact ORDER BY id"
        ):
            if corrections.stands(entry_id):
                facts[owner].append(Fact(entry_id, owner, date.fromordinal(day), what, value))
        return {
            place_id: Place(place_id, name, tuple(facts[place_id]))
            for place_id, name in connection.execute("SELECT id, name FROM place ORDER BY id")
        }
