"""Since when a plant needs something besides looking."""

from datetime import date, timedelta

from rounds.core.collection import FOUND_CANNOT_MOVE
from rounds.core.quarantine.criteria import root_looks_wanted
from rounds.service.plant.record import PlantRecord


def clear_around_since(record: PlantRecord) -> date | None:
    """Since when a plant that could not be moved still touches others."""
    period = record.plant.quarantine(record.on)
    if period is None or period.began_because != FOUND_CANNOT_MOVE:
        return None
    return period.began_on if record.plant.touching(record.on) else None


def roots_due(record: PlantRecord) -> date | None:
    """The first day a look at the roots counts, where one is still wanted."""
    history = record.history_seen
    rules = record.logbook.rules()
    if history is None or not root_looks_wanted(history, record.on, rules):
        return None
    anchor = max(history.began_on, history.last_live_on or history.began_on)
    seen = [d.day for d in history.days if d.roots_seen and d.clean]
    first = anchor + timedelta(rules.roots_after_days)
    later = [day + timedelta(rules.roots_apart_days) for day in seen if day >= first]
    return max([first, *later])
