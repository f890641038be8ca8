"""The last eggs on a plant: known or expected from what was found, and when they hatch."""

from datetime import date

from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.service.plant.record import PlantRecord

LAYS_NO_EGGS = ("young",)
"""Stages after which no eggs are expected; where none was told it may have been any."""


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    What was left there may lay on: its later eggs are not told.
    """
    laid_by = _laid_by(record)
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


def _laid_by(record: PlantRecord) -> date | None:
    """The day of the last find that may have laid, or that was itself eggs."""
    days = [
        look.day
        for look in record.log
        for tally in look.tallies
        if tally.is_live and tally.stage not in LAYS_NO_EGGS
    ]
    return max(days, default=None)
