"""The last eggs on a plant: known or expected from what was found, and when they hatch."""

from functools import lru_cache

from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.service.logbook.parameter_table import parameter_table
from rounds.service.plant.record import PlantRecord

EGG = "biology.stages.egg.degree_days"


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    What was left there may lay on: its later eggs are not told.
    """
    laid_by = record.known.laid_on
    if laid_by is None:
        return None
    brood = last_brood(
        laid_by,
        egg_warmth(),
        lambda first, before: record.temperatures.degree_days(record.lived, first, before),
        record.temperatures.rate(record.lived, record.on),
        record.on,
    )
    return brood if brood.last is None or brood.last > record.on else None


@lru_cache(maxsize=1)
def egg_warmth() -> EggWarmth:
    """The range of the table. Its sources stand there."""
    row = next(row for row in parameter_table() if row.code == EGG)
    if row.low is None or row.high is None:
        raise LookupError(f"{EGG} has no range")
    return EggWarmth(row.low, row.high)
