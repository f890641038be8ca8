"""The days on which the criteria will be met, if looks go on as they have and stay clean.

The days to come are written out and judged like those that were: there is one definition.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.criteria import (
    CHANCE_CLEAN,
    Criterion,
    QuarantineHistory,
    clocks_from,
    judge,
    ready,
    root_looks_counted,
)
from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.streak import up_to
from rounds.core.quarantine.warmth import LIMIT_DAYS, warmth_to_come

ChanceOn = Callable[[date], float]


@dataclass(frozen=True, slots=True)
class ChanceAhead:
    """The chance clean on the days to come, under the same looks; `low` end of its band too."""

    value: ChanceOn
    low: ChanceOn | None = None


@dataclass(frozen=True, slots=True)
class Forecast:
    """Days expected; None where there is none up to the limit, or none can be named."""

    criteria: tuple[Criterion, ...]
    """as they stand, each with the first day on which it is met"""
    ready_on: date | None
    """first day on which all are met together"""
    others_on: date | None
    """the same, the chance clean left aside where its course is not known and it is not met"""
    waiting_for: tuple[str, ...]
    """codes of the criteria not met yet"""


def forecast(
    history: QuarantineHistory,
    on: date,
    rules: QuarantineRules,
    interval_days: int,
    degree_days_per_day: float,
    limit_days: int = LIMIT_DAYS,
    chance: ChanceAhead | None = None,
) -> Forecast:
    """The criteria as they stand on `on`, with the days on which they will be met.

    Args:
        history: of the plant, up to `on`.
        on: the day spoken about.
        rules: the setting.
        interval_days: between complete looks to come; at least 1.
        degree_days_per_day: of the days after `on`, degC.
        limit_days: how far ahead is looked.
        chance: the chance clean on those days; without it, no day is named for it.

    Raises:
        ValueError: an interval below one day.
    """
    if interval_days < 1:
        raise ValueError(f"no looks every {interval_days} days")
    now = judge(history, on, rules)
    until = on + timedelta(days=limit_days)
    to_come = replace(
        history,
        days=days_to_come(history, on, rules, interval_days, until),
        degree_days_between=warmth_to_come(history.degree_days_between, on, degree_days_per_day),
    )
    course = _Course(to_come, on, rules, chance)
    first, others_on = _first_days(course, now, until)
    return Forecast(
        criteria=tuple(replace(c, expected_on=first.get(c.code)) for c in now),
        ready_on=others_on if chance or CHANCE_CLEAN in first else None,
        others_on=others_on,
        waiting_for=tuple(c.code for c in now if c.met is not True),
    )


def days_to_come(
    history: QuarantineHistory, on: date, rules: QuarantineRules, interval_days: int, until: date
) -> tuple[DayLooked, ...]:
    """The days looked since the clocks run, and those that are supposed to follow up to `until`.

    Complete clean looks every `interval_days`, and the root looks still outstanding, each on the
    first day on which it counts.
    """
    anchor = clocks_from(history, on)
    past = up_to(history.days, on)
    days = {looked.day: looked for looked in past if looked.day >= anchor}
    for day in _looks_to_come(past, on, interval_days, until):
        days[day] = _clean_day(day, complete=True)
    for day in _root_looks_to_come(past, anchor, on, rules):
        days[day] = replace(days.get(day, _clean_day(day, complete=False)), roots_seen=True)
    return tuple(days[day] for day in sorted(days) if day <= until)


def _clean_day(day: date, *, complete: bool) -> DayLooked:
    return DayLooked(
        day=day,
        complete=complete,
        live=False,
        medium_seen=complete,
        roots_seen=False,
    )


def _looks_to_come(
    past: Sequence[DayLooked], on: date, interval_days: int, until: date
) -> list[date]:
    interval = timedelta(days=interval_days)
    tomorrow = on + timedelta(days=1)
    last = next((looked.day for looked in reversed(past) if looked.complete), None)
    day = tomorrow if last is None else max(last + interval, tomorrow)
    looks = []
    while day <= until:
        looks.append(day)
        day += interval
    return looks


def _root_looks_to_come(
    past: Sequence[DayLooked], anchor: date, on: date, rules: QuarantineRules
) -> list[date]:
    made = root_looks_counted(past, anchor, on, rules)
    earliest = anchor + timedelta(days=rules.roots_after_days)
    if made:
        earliest = made[-1] + timedelta(days=rules.roots_apart_days)
    looks = []
    for _ in range((rules.root_looks or 0) - len(made)):
        day = max(earliest, on + timedelta(days=1))
        looks.append(day)
        # Two looks at the roots are two days, also where nothing more is asked of them.
        earliest = day + timedelta(days=max(1, rules.roots_apart_days))
    return looks


@dataclass(frozen=True, slots=True)
class _Course:
    """The history with the days to come, and what the chance clean will be on them."""

    history: QuarantineHistory
    on: date
    rules: QuarantineRules
    chance: ChanceAhead | None

    @property
    def not_projected(self) -> frozenset[str]:
        """Criteria whose course is not known: unless met already, no day is named for them."""
        return frozenset() if self.chance else frozenset({CHANCE_CLEAN})

    def judged(self, day: date) -> tuple[Criterion, ...]:
        """The criteria as they will stand on a day after `on`."""
        if self.chance is None:
            return judge(self.history, day, self.rules)
        value, low = self.chance.value(day), None
        # The band takes several times as long: it is asked for where it can decide.
        if self.chance.low and self.rules.chance_low and value >= self.rules.chance_clean:
            low = self.chance.low(day)
        return judge(replace(self.history, chance=value, chance_low=low), day, self.rules)


def _first_days(
    course: _Course, now: Sequence[Criterion], until: date
) -> tuple[dict[str, date], date | None]:
    """The first day on which each criterion is met, by code, and that on which all are together.

    An unmet chance clean that is not projected is left aside for the latter.
    """
    first = {c.code: course.on for c in now if c.met}
    unmet = {c.code for c in now if not c.met}
    left_aside = unmet & {CHANCE_CLEAN} & course.not_projected
    others_on = course.on if unmet <= left_aside else None
    day = course.on
    while day < until and _goes_on(course, unmet, first, others_on):
        day += timedelta(days=1)
        criteria = course.judged(day)
        for criterion in criteria:
            if criterion.met:
                first.setdefault(criterion.code, day)
        if others_on is None and ready([c for c in criteria if c.code not in left_aside]):
            others_on = day
    return first, others_on


def _goes_on(
    course: _Course, unmet: set[str], first: Mapping[str, date], others_on: date | None
) -> bool:
    """Whether a later day may still change the result of `_first_days`."""
    alone = unmet - course.not_projected - first.keys()
    return bool(alone) or others_on is None
