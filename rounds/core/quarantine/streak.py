"""Complete clean looks in a row, recounted from the days looked."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.days import DayLooked


@dataclass(frozen=True, slots=True)
class Streak:
    """A run of complete clean looks on separate days.

    `looks` may be held back by a gap; `days` never is, from the first to the last look of the
    run, both counted, 0 without looks.
    """

    looks: int
    days: int
    began_on: date | None
    last_on: date | None


def clean_streak(
    days: Sequence[DayLooked],
    on: date,
    rules: QuarantineRules,
    since: date | None = None,
    older: tuple[int, date | None] = (0, None),
) -> Streak:
    """The run that stands at the end of `on`.

    Args:
        days: days looked, in order.
        on: later days are not read.
        rules: how long a gap holds the count back, and by how much.
        since: earlier days do not belong to it.
        older: looks of a run that led up to the first of `days`, and the day it began.
    """
    run = clean_run(days, on, since)
    if not run:
        return Streak(0, 0, None, None)
    began_on, last_on, looks = run[0].day, run[-1].day, len(run)
    if since is None and older[1] is not None and not any(d.live for d in up_to(days, on)):
        looks, began_on = looks + older[0], older[1]
    held = _held_back(run, looks, on, rules)
    return Streak(held, (last_on - began_on).days + 1, began_on, last_on)


def clean_run(
    days: Sequence[DayLooked], on: date, since: date | None = None
) -> tuple[DayLooked, ...]:
    """The complete clean days since the last live one, oldest first.

    An incomplete clean day neither adds to the run nor breaks it.
    """
    run: list[DayLooked] = []
    for day in reversed(up_to(days, on)):
        if day.live or (since is not None and day.day < since):
            break
        if day.complete:
            run.append(day)
    return tuple(reversed(run))


def up_to(days: Sequence[DayLooked], on: date) -> Sequence[DayLooked]:
    """The days that are not after `on`."""
    return days[: bisect_right(days, on, key=lambda looked: looked.day)]


def _held_back(run: tuple[DayLooked, ...], looks: int, on: date, rules: QuarantineRules) -> int:
    """Looks of the run; fewer inside a gap and at the first look after it."""
    inside = (on - run[-1].day).days > rules.gap_days
    first_after = len(run) > 1 and (run[-1].day - run[-2].day).days > rules.gap_days
    if inside or first_after:
        return min(looks, max(0, rules.clean_looks - rules.gap_holds_back))
    return looks
