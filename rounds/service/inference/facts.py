"""What the inference is told of a plant: its looks, where it stood, what came along with it."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import TYPE_CHECKING

from rounds.core.collection import Place, Plant
from rounds.core.inference.facts import Division, Mates, PlantFacts
from rounds.core.lineage import divisions_of

if TYPE_CHECKING:
    from rounds.service.plant.record import PlantRecord


def facts_of(
    record: "PlantRecord", pest: str, mates: Mates | None, neighbours: Mapping[date, float]
) -> PlantFacts:
    """All that the evidence of a plant rests on, for one pest.

    Args:
        record: the plant at the end of a day.
        pest: by code.
        mates: what those that arrived with it tell.
        neighbours: crawlers expected from infested plants near it, by day.
    """
    plant, logbook = record.lived, record.logbook
    arrived = plant.fact("arrived", record.on) is not None
    places = logbook.collection().places
    return PlantFacts(
        looks=record.log,
        body_on=record.body_on,
        range_c=lambda day: record.temperatures.range_c(plant, day),
        apart=lambda day: stood_apart(plant, day, places),
        first_day=plant.first_day,
        arrived=arrived,
        pest=pest,
        mates=mates,
        neighbours=neighbours,
        divisions=tuple(_divisions(record)),
    )


def _divisions(record: "PlantRecord") -> Iterator[Division]:
    """Every division in the life of a plant up to the day, with the looks made before it."""
    for divided in divisions_of(record.plant, record.day.plants):
        if divided.day <= record.on:
            before = record.looks_before(divided.day, divided.entry)
            earlier = tuple(sorted(look.id for look in before if look.day == divided.day))
            yield Division(divided.day, 1 / divided.parts, earlier)


def stood_apart(plant: Plant, day: date, places: Mapping[int, Place]) -> bool:
    """Whether it stood where fewer insects come by: in quarantine, or at a place apart."""
    if plant.quarantine(day) is not None:
        return True
    move = plant.move_on(day)
    return move is not None and places[move.place_id].apart(day)


def mates_of(record: "PlantRecord", pest: str, others: Mapping[int, "PlantRecord"]) -> Mates | None:
    """What plants that came on the same day from the same source tell of a pest; None if none."""
    known = infested = 0
    for other in came_with(record, others):
        looked = other.days_by_pest.get(pest, ())
        found = any(day.live for day in looked)
        if found or any(day.complete for day in looked):
            known += 1
            infested += found
    return Mates(known, infested) if known else None


def came_with(
    record: "PlantRecord", others: Mapping[int, "PlantRecord"]
) -> Iterator["PlantRecord"]:
    """Of some plants those that came on the same day from the same source; parts of it are none."""
    if record.parent is not None:
        yield from came_with(record.parent, others)
        return
    plant = record.plant
    arrived = plant.fact("arrived", record.on)
    if arrived is None:
        return
    source = plant.fact("source", record.on)
    for other in others.values():
        if other.plant.id == plant.id or other.plant.fact("arrived", record.on) != arrived:
            continue
        if other.plant.fact("source", record.on) == source:
            yield other
