"""Insects found on a plant again and again: how long, and when its roots are asked for."""

from dataclasses import dataclass
from datetime import date

from rounds.core.plan.again import found_again_since, roots_asked_from
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class FoundAgain:
    """What is known of such finds at the end of a day."""

    days: int = 0
    """for how long; 0 where there are none"""
    roots_from: date | None = None
    """the day from which on the roots are looked at for what feeds them"""


def found_again(record: PlantRecord) -> FoundAgain:
    """The finds on a plant that go on and on."""
    rules = record.table.planning.claims
    since = found_again_since(record.live_on, record.on, rules)
    if since is None:
        return FoundAgain()
    seen = (day.day for pest in record.pests for day in record.days(pest) if day.roots_seen)
    return FoundAgain(
        (record.on - since).days, roots_asked_from(since, max(seen, default=None), rules)
    )
