"""The looks in the life of a plant: its own, and those at the plant it was divided from."""

from collections.abc import Mapping
from datetime import date

from rounds.core.collection import Plant
from rounds.core.lineage import origin_of
from rounds.core.log.effective import EffectiveLook, effective_log, first_entered
from rounds.core.log.entries import PlantEntries

EntriesByPlant = Mapping[int, PlantEntries]
NONE = PlantEntries()


def lived_log(
    plant: Plant, plants: Mapping[int, Plant], entries: EntriesByPlant, on: date
) -> tuple[EffectiveLook, ...]:
    """The looks that stand, oldest first, those at its ancestors before each division among them.

    Args:
        plant: which.
        plants: all, by id.
        entries: of it and its ancestors, of the days asked for.
        on: later entries are not read.
    """
    own = effective_log(entries.get(plant.id, NONE), on)
    origin = origin_of(plant)
    if origin is None:
        return own
    parent = plants[origin.parent_id]
    return (*looks_before(parent, plants, entries, on, (origin.day, origin.entry)), *own)


def looks_before(
    plant: Plant,
    plants: Mapping[int, Plant],
    entries: EntriesByPlant,
    on: date,
    before: tuple[date, int],
) -> tuple[EffectiveLook, ...]:
    """The looks in its life of days before one, and those of that day made before an entry.

    A look put in the place of another counts as made when that one was.

    Args:
        plant: which.
        plants: all, by id.
        entries: of it and its ancestors, of the days asked for.
        on: later entries are not read.
        before: the day and the entry.
    """
    own = entries.get(plant.id, NONE)
    first = first_entered(own)
    found = tuple(look for look in effective_log(own, on) if (look.day, first(look.id)) < before)
    origin = origin_of(plant)
    if origin is None:
        return found
    parent = plants[origin.parent_id]
    earlier = min(before, (origin.day, origin.entry))
    return (*looks_before(parent, plants, entries, on, earlier), *found)


def ancestors(plant: Plant, plants: Mapping[int, Plant]) -> tuple[Plant, ...]:
    """The plants it came of by division, nearest first."""
    found: list[Plant] = []
    while (origin := origin_of(plant)) is not None:
        plant = plants[origin.parent_id]
        found.append(plant)
    return tuple(found)


def own_ids(entries: PlantEntries) -> frozenset[int]:
    """The ids of the looks at a plant itself."""
    return frozenset(
        [*(look.id for look in entries.looks), *(look.id for look in entries.open_looks)]
    )
