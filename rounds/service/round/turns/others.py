"""Any other plant opened in a round: which there are, and which of its zones."""

from dataclasses import dataclass
from datetime import date

from rounds.core.collection import Plant
from rounds.core.plan.claims import NEAREST, Exposed
from rounds.core.plan.near import nearness
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import DayOfPlants
from rounds.service.round.at_hand import PlantAtHand


@dataclass(frozen=True, slots=True)
class OtherPlant:
    """A plant that can be opened out of its turn."""

    plant_id: int
    code: str
    name: str
    place: str
    near: Exposed | None
    """how near it stands to the plant at hand"""

    def is_meant(self, typed: str) -> bool:
        """Whether what was typed is how its code, its name or a word of its name begins."""
        begins = typed.casefold()
        names = (self.code, self.name, *self.name.split())
        return any(name.casefold().startswith(begins) for name in names)


def others(logbook: Logbook, on: date, here: Plant) -> tuple[OtherPlant, ...]:
    """The other plants that are here, those near the one at hand first, then by code."""
    collection = logbook.collection()
    found = []
    for plant in collection.here(on):
        if plant.id == here.id:
            continue
        move = plant.move_on(on)
        found.append(
            OtherPlant(
                plant_id=plant.id,
                code=plant.code,
                name=plant.fact("name", on) or "",
                place=collection.places[move.place_id].name if move else "",
                near=nearness(here, plant, on, on, collection.places),
            )
        )
    return tuple(sorted(found, key=_nearest_first))


def zones_of(logbook: Logbook, collection: DayOfPlants, plant_id: int) -> list[str]:
    """The zones of a plant outside the pot, from top to bottom."""
    return [zone.zone for zone in PlantAtHand(logbook, plant_id, collection).body.outside]


def zone_to_open(
    logbook: Logbook, collection: DayOfPlants, plant_id: int, at: int
) -> tuple[str, float] | None:
    """A zone of a plant by its number from 0, with the seconds from which it counts as seen."""
    outside = PlantAtHand(logbook, plant_id, collection).body.outside
    if at >= len(outside):
        return None
    parameters = collection.table
    needed = outside[at].reference_seconds * parameters.inspection.seen_from
    return outside[at].zone, max(needed, parameters.planning.step_least_seconds)


def _nearest_first(plant: OtherPlant) -> tuple[int, str]:
    far = NEAREST.index(plant.near) if plant.near else len(NEAREST)
    return far, plant.code.casefold()
