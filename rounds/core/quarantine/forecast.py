"""The days on which the criteria will be met, if looks go on as they have and stay clean.

The days to come are written out and judged like those that were: there is one definition.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from rounds.core.away import DAY, Stretch, first_day_back
from rounds.core.inference.facts import Treated
from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.criteria import (
    CHANCE_CLEAN,
    Criterion,
    QuarantineHistory,
    clocks_from,
    judge,
    ready,
    root_looks_wanted,
    roots_count_from,
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
    is_exact: bool = True
    """no finds are taken together"""


@dataclass(frozen=True, slots=True)
class Supposed:
    """What is supposed of the days to come, besides how often there usually is a look."""

    away: tuple[Stretch, ...] = ()
    """days on which nobody looks: what would fall on them is done on the first day back"""
    is_open: bool = False
    """whether the day spoken about is not over: what is due on it may still be done"""
    sees_medium: bool = True
    """whether a look to come sees the medium's surface"""
    every_days: float | None = None
    """between complete looks, where it is not as usual; at least 1"""
    times: float = 1.0
    """how many times as long as usual a look is"""
    roots_on: date | None = None
    """one more look at the roots, whether it counts or not"""
    celsius: float | None = None
    """mean temperature, where it is not that of the last days"""
    coming: Mapping[date, float] = field(default_factory=dict)
    """crawlers from infested neighbours, by day"""
    treated: tuple[Treated, ...] = ()
    """what courses under way will use on it"""


AS_EVER = Supposed()


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
    is_exact: bool = True
    """no finds are taken together in the chance clean; else its day may be weeks off"""


def forecast(
    history: QuarantineHistory,
    on: date,
    rules: QuarantineRules,
    interval_days: int,
    degree_days_per_day: float,
    limit_days: int = LIMIT_DAYS,
    chance: ChanceAhead | None = None,
    supposed: Supposed = AS_EVER,
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
        supposed: of the looks to come.

    Raises:
        ValueError: an interval below one day.
    """
    if interval_days < 1:
        raise ValueError(f"no looks every {interval_days} days")
    now = judge(history, on, rules)
    until = on + timedelta(days=limit_days)
    to_come = replace(
        history,
        days=days_to_come(history, on, rules, interval_days, until, supposed),
        degree_days_between=warmth_to_come(history.degree_days_between, on, degree_days_per_day),
        # the steps still due are supposed to be done on their days
        courses_running=None,
    )
    is_open = still_today(history, on, rules, interval_days, supposed) is not None
    course = _Course(to_come, on, rules, chance, on if is_open else on + DAY)
    first, others_on = _first_days(course, now, until)
    return Forecast(
        criteria=tuple(replace(c, expected_on=first.get(c.code)) for c in now),
        ready_on=others_on if chance or CHANCE_CLEAN in first else None,
        others_on=others_on,
        waiting_for=tuple(c.code for c in now if c.met is not True),
        is_exact=chance is None or chance.is_exact,
    )


def days_to_come(
    history: QuarantineHistory,
    on: date,
    rules: QuarantineRules,
    interval_days: int,
    until: date,
    supposed: Supposed = AS_EVER,
) -> tuple[DayLooked, ...]:
    """The days looked since the clocks run, and those that are supposed to follow up to `until`.

    Complete clean looks every `interval_days`, and the root looks still outstanding, each on the
    first day on which it counts; none on a day away. A day that is still open has what was seen on
    it and what is still supposed.
    """
    anchor = clocks_from(history, on)
    days = {looked.day: looked for looked in up_to(history.days, on) if looked.day >= anchor}
    for looked in _supposed_days(history, on, rules, interval_days, until, supposed):
        days[looked.day] = _joined(days.get(looked.day), looked)
    return tuple(days[day] for day in sorted(days))


def still_today(
    history: QuarantineHistory,
    on: date,
    rules: QuarantineRules,
    interval_days: int,
    supposed: Supposed,
) -> DayLooked | None:
    """What is due on the day spoken about, where it is still open; None if nothing is."""
    days = _supposed_days(history, on, rules, interval_days, on, supposed)
    return next(iter(days), None)


def _supposed_days(
    history: QuarantineHistory,
    on: date,
    rules: QuarantineRules,
    interval_days: int,
    until: date,
    supposed: Supposed,
) -> list[DayLooked]:
    """The days supposed, up to `until`; the open day without what was already seen on it."""
    past = up_to(history.days, on)
    looks = _looks_to_come(past, on, interval_days, until, supposed)
    days = {looked.day: looked for looked in looks}
    roots = _root_looks_to_come(history, on, _first_day(past, on, supposed), rules, supposed.away)
    for day in roots if supposed.roots_on is None else [*roots, supposed.roots_on]:
        days[day] = _joined(days.get(day), DayLooked(day, False, False, False, True))
    return [days[day] for day in sorted(days) if day <= until]


def _looks_to_come(
    past: Sequence[DayLooked],
    on: date,
    interval_days: int,
    until: date,
    supposed: Supposed = AS_EVER,
) -> list[DayLooked]:
    """The complete looks supposed from `on` up to `until`; none on `on` where that is not open.

    One is due at once where there was none, or the interval is over.
    """
    first = _first_day(past, on, supposed)
    interval = float(supposed.every_days or interval_days)
    last = next((looked.day for looked in reversed(past) if looked.complete), None)
    # parts of a day add up: three looks a week are two days apart, then two, then three
    due = first.toordinal() if last is None else max(last.toordinal() + interval, first.toordinal())
    looks = []
    while (day := first_day_back(date.fromordinal(int(due)), supposed.away)) <= until:
        looks.append(DayLooked(day, True, False, supposed.sees_medium, False))
        due = max(due, float(day.toordinal())) + interval
    return looks


def _first_day(past: Sequence[DayLooked], on: date, supposed: Supposed) -> date:
    """The first day on which something is supposed."""
    is_live = bool(past) and past[-1].day == on and past[-1].live
    # after a find of that day nothing on it can be clean
    return on if supposed.is_open and not is_live else on + DAY


def _joined(one: DayLooked | None, other: DayLooked) -> DayLooked:
    """What two records of a day amount to."""
    if one is None:
        return other
    return DayLooked(
        day=one.day,
        complete=one.complete or other.complete,
        live=one.live or other.live,
        medium_seen=one.medium_seen or other.medium_seen,
        roots_seen=one.roots_seen or other.roots_seen,
    )


def _root_looks_to_come(
    history: QuarantineHistory,
    on: date,
    first: date,
    rules: QuarantineRules,
    away: Sequence[Stretch],
) -> list[date]:
    earliest = roots_count_from(history, on, rules)
    looks = []
    for _ in range(root_looks_wanted(history, on, rules)):
        day = first_day_back(max(earliest, first), away)
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
    begins: date
    """the first day that is supposed"""

    @property
    def not_projected(self) -> frozenset[str]:
        """Criteria whose course is not known: unless met already, no day is named for them."""
        return frozenset() if self.chance else frozenset({CHANCE_CLEAN})

    def judged(self, day: date) -> tuple[Criterion, ...]:
        """The criteria as they will stand on a supposed day."""
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
    day = course.begins
    while day <= until and _goes_on(course, unmet, first, others_on):
        criteria = course.judged(day)
        for criterion in criteria:
            if criterion.met:
                first.setdefault(criterion.code, day)
        if others_on is None and ready([c for c in criteria if c.code not in left_aside]):
            others_on = day
        day += DAY
    return first, others_on


def _goes_on(
    course: _Course, unmet: set[str], first: Mapping[str, date], others_on: date | None
) -> bool:
    """Whether a later day may still change the result of `_first_days`."""
    alone = unmet - course.not_projected - first.keys()
    return bool(alone) or others_on is None
