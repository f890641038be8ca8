"""What the inference is told of a plant: its looks, where it stood, what came along with it."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from rounds.core.collection import Place, Plant
from rounds.core.inference.facts import Division, Mates, PlantFacts, begins_on
from rounds.core.quarantine.interval import USUAL_LOOKS
from rounds.service.plant.record import PlantRecord


def facts_of(
    record: PlantRecord,
    pest: str,
    mates: Mates | None,
    neighbours: Mapping[date, float],
    until: date | None = None,
) -> PlantFacts:
    """All that the evidence of a plant rests on, for one pest.

    Args:
        record: the plant at the end of a day.
        pest: by code.
        mates: what those that arrived with it tell.
        neighbours: crawlers expected from infested plants near it, by day.
        until: the last day whose looks are read; that of the record by default.
    """
    until = until or record.on
    plant, logbook = record.lived, record.logbook
    arrived = plant.fact("arrived", record.on) is not None
    places = logbook.collection().places
    first = read_from(record, pest, until)
    return PlantFacts(
        looks=tuple(look for look in record.looks_from(first) if look.day <= until),
        body_on=record.body_on,
        range_c=lambda day: record.temperatures.range_c(plant, day),
        apart=lambda day: stood_apart(plant, day, places),
        first_day=plant.first_day,
        arrived=arrived,
        pest=pest,
        mates=mates,
        neighbours=neighbours,
        divisions=tuple(_divisions(record, first)),
        insects_seen=record.insects_seen_on is not None,
    )


def read_from(record: PlantRecord, pest: str, until: date) -> date:
    """The first day of which any look is read, for what the log says at the end of a day.

    The inference begins at a day of its own; doubts of shortly before it may still count, and how
    long looks usually take is told by the last few complete ones, however old.
    """
    parameters, known = record.table, record.of_pest(pest)
    live_on = [day for day in known.live_on if day <= until]
    begins = begins_on(live_on, record.lived.first_day, until, parameters.infestation)
    complete = [d.day for d in known.days if d.complete and d.day <= until][-USUAL_LOOKS:]
    doubts = timedelta(days=parameters.inspection.doubts_within_days)
    return max(record.lived.first_day, min([begins - doubts, *complete[:1]]))


def _divisions(record: PlantRecord, first: date) -> Iterator[Division]:
    """Every division in the life of a plant up to the day, with the looks made before it."""
    for divided in record.divisions:
        before = record.looks_before(divided.day, divided.entry, max(first, divided.day))
        earlier = tuple(sorted(look.id for look in before if look.day == divided.day))
        yield Division(divided.day, 1 / divided.parts, earlier)


def stood_apart(plant: Plant, day: date, places: Mapping[int, Place]) -> bool:
    """Whether it stood where fewer insects come by: in quarantine, or at a place apart."""
    if plant.quarantine(day) is not None:
        return True
    move = plant.move_on(day)
    return move is not None and places[move.place_id].apart(day)


def mates_told(batch: list[PlantRecord], pest: str) -> Mates | None:
    """What plants that came together tell of a pest; None if nothing."""
    told = [other.of_pest(pest) for other in batch]
    known = sum(1 for of in told if of.live_on or of.complete_on is not None)
    infested = sum(1 for of in told if of.live_on)
    return Mates(known, infested) if known else None
