"""The last eggs on a plant: known or expected from what was found, and when they hatch."""

from datetime import date
from functools import lru_cache

from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.service.logbook.parameter_table import parameter_table
from rounds.service.plant.record import PlantRecord

EGG = "biology.stages.egg.degree_days"
LAYS_NO_EGGS = ("young",)
"""Stages after which no eggs are expected; where none was told it may have been any."""


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    What was left there may lay on: its later eggs are not told.
    """
    laid_by = _laid_by(record)
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


def _laid_by(record: PlantRecord) -> date | None:
    """The day of the last find that may have laid, or that was itself eggs."""
    days = [
        look.day
        for look in record.log
        for tally in look.tallies
        if tally.is_live and tally.stage not in LAYS_NO_EGGS
    ]
    return max(days, default=None)
