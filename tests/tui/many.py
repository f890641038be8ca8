"""More plants than a grower has."""

from dataclasses import replace
from datetime import date

from rounds.core.collection import Plant
from rounds.core.quarantine.past import nothing_before
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.plan.ranking import Ranking, rank
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status

MANY = 10_000


def many(logbook: Logbook, on: date) -> Ranking:
    """Ten thousand plants nobody ever looked at, of which the file knows nothing."""
    day = CollectionDay(logbook, on)
    one = seen_status(PlantRecord(day, Plant(1, "P", on), nothing_before(on), {}))
    codes = ((n, f"P{n:05}") for n in range(MANY))
    statuses = [replace(one, plant_id=n, code=code, name=code) for n, code in codes]
    return rank(statuses, None, on)
