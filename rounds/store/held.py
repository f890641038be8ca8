"""What the logbook holds already, taken back or not: by it known rows are told from new ones."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from rounds.core.log.entries import Look, Tally
from rounds.store.connect import LogbookFile
from rounds.store.log import entries_by_plant, notes_of
from rounds.store.walks import who_by_round


@dataclass(frozen=True, slots=True)
class HeldLook:
    """A look as it was entered, with its counts, who entered it, and the words kept with it."""

    look: Look
    tallies: tuple[Tally, ...]
    who: str | None
    note: str | None


def held_looks(
    file: LogbookFile, plant_ids: Iterable[int], first: date, last: date
) -> Iterator[HeldLook]:
    """Every closed look at some plants on the days from `first` to `last`."""
    wanted = frozenset(plant_ids)
    by_plant = entries_by_plant(file, first, last)
    looks = [look for plant in wanted & by_plant.keys() for look in by_plant[plant].looks]
    who = who_by_round(file, sorted({look.round_id for look in looks}))
    notes = notes_of(file, (look.id for look in looks))
    tallies: dict[int, list[Tally]] = defaultdict(list)
    for plant in wanted & by_plant.keys():
        for tally in by_plant[plant].tallies:
            tallies[tally.look_id].append(tally)
    for look in looks:
        yield HeldLook(look, tuple(tallies[look.id]), who[look.round_id], notes.get(look.id))


def held_weather(file: LogbookFile) -> dict[tuple[int, date], set[tuple[float, float]]]:
    """Least and greatest temperatures ever entered, degC, by place and day."""
    found: dict[tuple[int, date], set[tuple[float, float]]] = defaultdict(set)
    with file.reading() as connection:
        for place_id, day, min_c, max_c in connection.execute(
            "SELECT place_id, day, min_c, max_c FROM weather"
        ):
            found[place_id, date.fromordinal(day)].add((min_c, max_c))
    return found
