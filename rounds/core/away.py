"""Days on which nobody looks, as they were entered, and as one stretch where they meet."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Away:
    """Nobody looks from `first_day` to `last_day`, both counted. `id` of the entry."""

    id: int
    first_day: date
    last_day: date

    @property
    def days(self) -> int:
        """How many days, the first and the last counted."""
        return (self.last_day - self.first_day).days + 1


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days away without a day at home between them, both ends counted."""

    first_day: date
    last_day: date

    @property
    def days(self) -> int:
        """How many days, the first and the last counted."""
        return (self.last_day - self.first_day).days + 1


def stretches(entered: Iterable[Away]) -> list[Stretch]:
    """The days away as stretches: joined where they overlap or follow on; oldest first."""
    found: list[Stretch] = []
    for away in sorted(entered, key=lambda away: (away.first_day, away.last_day)):
        if found and away.first_day <= found[-1].last_day + DAY:
            last = max(found[-1].last_day, away.last_day)
            found[-1] = Stretch(found[-1].first_day, last)
        else:
            found.append(Stretch(away.first_day, away.last_day))
    return found


def first_day_back(day: date, away: Iterable[Stretch]) -> date:
    """The day itself, or where it is one away the first day after that stretch."""
    found = next((s for s in away if s.first_day <= day <= s.last_day), None)
    return day if found is None else found.last_day + DAY


def minutes_back(usual: float, days_away: int, twice_after_days: float, at_most: float) -> float:
    """Minutes of the first round after days away.

    Args:
        usual: minutes of any other day.
        days_away: days nobody looked.
        twice_after_days: days away after which the round is twice as long.
        at_most: how many times the usual minutes it may be.
    """
    return usual * min(at_most, 1 + days_away / twice_after_days)
