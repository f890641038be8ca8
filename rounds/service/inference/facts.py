"""What the inference is told of a plant: its looks, where it stood, what came along with it."""

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from rounds.core.collection import Plant
from rounds.core.inference.facts import Mates, PlantFacts
from rounds.service.logbook import Logbook

if TYPE_CHECKING:
    from rounds.service.standing import PlantRecord


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
    plant, logbook = record.plant, record.logbook
    arrived = plant.fact("arrived", record.on) is not None
    return PlantFacts(
        looks=record.log,
        body_on=record.body_on,
        range_c=lambda day: record.temperatures.range_c(plant, day),
        apart=lambda day: stood_apart(logbook, plant, day),
        first_day=plant.first_day,
        arrived=arrived,
        pest=pest,
        mates=mates,
        neighbours=neighbours,
    )


def stood_apart(logbook: Logbook, plant: Plant, day: date) -> bool:
    """Whether it stood where fewer insects come by: in quarantine, or at a place apart."""
    if plant.quarantine(day) is not None:
        return True
    move = plant.move_on(day)
    return move is not None and logbook.collection().places[move.place_id].apart(day)


def mates_of(record: "PlantRecord", pest: str, others: Mapping[int, "PlantRecord"]) -> Mates | None:
    """What plants that came on the same day from the same source tell of a pest; None if none."""
    plant = record.plant
    arrived = plant.fact("arrived", record.on)
    if arrived is None:
        return None
    source = plant.fact("source", record.on)
    known = infested = 0
    for other in others.values():
        same = other.plant.fact("arrived", record.on) == arrived
        if other.plant.id == plant.id or not same:
            continue
        if other.plant.fact("source", record.on) != source:
            continue
        looked = other.days_by_pest.get(pest, ())
        found = any(day.live for day in looked)
        if found or any(day.complete for day in looked):
            known += 1
            infested += found
    return Mates(known, infested) if known else None
