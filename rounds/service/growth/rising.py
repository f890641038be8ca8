"""Whether the finds on a plant rise or fall, and how fast, in sentences."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.estimates.growth import Growth, growth_of
from rounds.service.growth.behind import is_answered
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import codes_text, day_month, days_text

MOST_DAYS = 99
"""Days beyond which a doubling is told as longer."""


@dataclass(frozen=True, slots=True)
class PestGrowth:
    """How the finds of one pest on a plant go."""

    pest: str
    growth: Growth

    @property
    def alarm_on(self) -> date | None:
        """Since when they rise beyond chance; None where they do not."""
        return self.growth.alarm_on


def growth_on(record: PlantRecord) -> PestGrowth | None:
    """Of the pests that it is followed for the first that rises beyond chance, else the binding.

    None where too few looks found anything to tell.
    """
    rules = record.table.alarm
    order = (record.pest, *(pest for pest in record.pests if pest != record.pest))
    found = [
        PestGrowth(pest, growth)
        for pest in order
        if (growth := growth_of(record.of_pest(pest).counted, rules)) is not None
    ]
    raised = (of for of in found if of.alarm_on is not None)
    return next(raised, next(iter(found), None))


def rises_since(record: PlantRecord, found: PestGrowth | None) -> date | None:
    """Since when finds rise beyond chance while nothing is done about it.

    A course begun since then answers that while it runs, and after its last step as long as it is
    given to work; one that was stopped does not.
    """
    alarm = None if found is None else found.alarm_on
    return None if alarm is None or is_answered(record, alarm) else alarm


def growth_text(found: PestGrowth | None, on: date) -> str:
    """In words: finds rising since 3 May, doubling in about 9 days (6 to 20).

    Empty where they may as well stay as they are.
    """
    if found is None:
        return ""
    alarm, growth = found.alarm_on, found.growth
    if alarm is not None:
        said = {"day": day_month(alarm, on), "doubling": _within(growth)}
        return words.say("growth.alarm", **said)
    if growth.is_rising:
        return words.say("growth.rising", doubling=_within(growth))
    return words.say("growth.falling", halving=_within(growth)) if growth.is_falling else ""


def rising_text(found: Mapping[str, PestGrowth | None]) -> str:
    """On which of some plants finds rise beyond chance: finds rising on S03, doubling in 9 days.

    Args:
        found: how they go, by the code of the plant.
    """
    raised = {code: of for code, of in found.items() if of is not None and of.alarm_on is not None}
    if len(raised) != 1:
        codes = codes_text(raised)
        return words.say("growth.on-plants", codes=codes) if raised else ""
    ((code, of),) = raised.items()
    return words.say("growth.on-plant", code=code, doubling=_days(of.growth.fitted.rate))


def _within(growth: Growth) -> str:
    """In how many days finds double or halve, with the interval: 9 days (6 to 20; at least 5)."""
    fitted = growth.fitted
    middle = _days(fitted.rate)
    ends = sorted((fitted.low, fitted.high), key=abs, reverse=True)
    if fitted.low <= 0 <= fitted.high:
        # the alarm stands although the interval has come to hold 0: no longest is known
        return words.say("growth.about", days=middle)
    shortest, longest = (max(1, round(math.log(2) / abs(rate))) for rate in ends)
    if longest > MOST_DAYS:
        return words.say("growth.at-least", days=middle, low=shortest)
    return words.say("growth.within", days=middle, low=shortest, high=longest)


def _days(rate: float) -> str:
    days = math.log(2) / abs(rate) if rate else math.inf
    if days > MOST_DAYS:
        return words.say("growth.over", days=MOST_DAYS)
    return days_text(max(1, round(days)))
