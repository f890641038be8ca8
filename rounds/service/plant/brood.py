"""The last eggs on a plant: known or expected from what was found, and when they hatch."""

from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.service.plant.record import PlantRecord


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    What was left there may lay on: its later eggs are not told.
    """
    laid_by = record.known.laid_on
    if laid_by is None:
        return None
    biology = record.logbook.biology(record.pest)
    brood = last_brood(
        laid_by,
        EggWarmth(*biology.egg_degree_days),
        record.degree_days_between,
        record.temperatures.rate(record.lived, record.on, biology.warmth),
        record.on,
    )
    return brood if brood.last is None or brood.last > record.on else None
