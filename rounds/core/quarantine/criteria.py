"""What must hold before a plant may leave quarantine, judged at the end of a day."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.days import TOLERANCE, DayLooked
from rounds.core.quarantine.streak import clean_run, clean_streak, up_to

DAYS_APART = "days_apart"
DEGREE_DAYS = "degree_days"
CLEAN_LOOKS = "clean_looks"
MEDIUM_AND_ROOTS = "medium_and_roots"
COURSES = "courses"
CHANCE_CLEAN = "chance_clean"

DegreeDaysBetween = Callable[[date, date], float]
"""sum over the days from the first date to the one before the second, degC"""


@dataclass(frozen=True, slots=True)
class QuarantineHistory:
    """All that the judgement reads about one plant and one pest."""

    began_on: date
    """of this quarantine period"""
    last_live_on: date | None
    days: tuple[DayLooked, ...]
    """in order; may reach back before the period"""
    ever_found: bool
    chance: float | None
    """of being clean; None while it is not computed"""
    chance_low: float | None
    """low end of its band"""
    degree_days_between: DegreeDaysBetween
    courses_running: int | None = 0
    """courses of treatment that are not over; None where their steps are supposed to be done"""
    courses_end: tuple[date, ...] = ()
    """of each the first day at whose end it can be over"""
    came_on: date | None = None
    """the first day it was here; None stands for the first of the period"""


LATELY, MEDIUM, GAP = "lately", "medium", "gap"


@dataclass(frozen=True, slots=True)
class Lacking:
    """Why a criterion is unmet, or counts fewer looks, though there are more of them."""

    kind: str
    """`lately`: too few in the last days; `medium`: too few with the medium surface; `gap`: a gap
    between looks holds the count back"""
    have: int
    """looks of that kind; with a gap, all clean looks"""
    need: int


@dataclass(frozen=True, slots=True)
class Criterion:
    """One requirement. What is not asked is met with `need` None.

    `met` is None, and so never holds, while what it rests on is not computed.
    """

    code: str
    met: bool | None
    have: float | int | None
    need: float | int | None
    unit: str
    """day, degree_day, look, course or chance"""
    expected_on: date | None = None
    lacks: Lacking | None = None
    """what else it wants, where there seem to be enough"""


def judge(history: QuarantineHistory, on: date, rules: QuarantineRules) -> tuple[Criterion, ...]:
    """All criteria as they stand at the end of `on`, always in the same order."""
    anchor = clocks_from(history, on)
    return (
        _days_apart(anchor, on, rules),
        _degree_days(history, anchor, on, rules),
        _clean_looks(history.days, anchor, on, rules),
        _medium_and_roots(history, anchor, on, rules),
        _courses(history, on),
        _chance_clean(history, rules),
    )


def shown_criteria(criteria: Sequence[Criterion]) -> tuple[Criterion, ...]:
    """Those for which there is little room: courses of treatment only where one is under way."""
    return tuple(c for c in criteria if c.code != COURSES or c.met is not True)


def ready(criteria: Sequence[Criterion]) -> bool:
    """Whether the plant may leave: every criterion is known to be met."""
    return all(criterion.met is True for criterion in criteria)


def clocks_from(history: QuarantineHistory, on: date) -> date:
    """The day the clocks run from: the last live find, or the start of the period if later."""
    return max(history.began_on, _last_live(history, on) or history.began_on)


def _last_live(history: QuarantineHistory, on: date) -> date | None:
    live = [looked.day for looked in up_to(history.days, on) if looked.live]
    if history.last_live_on is not None and history.last_live_on <= on:
        live.append(history.last_live_on)
    return max(live, default=None)


def roots_count_from(history: QuarantineHistory, on: date, rules: QuarantineRules) -> date:
    """The first day on which one more clean look at the roots counts, as known at the end of `on`.

    Long enough after the last live find or the arrival, within the period, and far enough from the
    looks at the roots that count already. The day may lie before `on`.
    """
    made = root_looks_made(history, on, rules)
    if made:
        # Two looks at the roots are two days, also where nothing more is asked of them.
        return made[-1] + timedelta(days=max(1, rules.roots_apart_days))
    late_enough = _roots_since(history, on) + timedelta(days=rules.roots_after_days)
    return max(history.began_on, late_enough)


def root_looks_made(
    history: QuarantineHistory, on: date, rules: QuarantineRules
) -> tuple[date, ...]:
    """Days of the period up to `on` whose clean look at the roots counts."""
    since = _roots_since(history, on)
    days = [looked for looked in history.days if looked.day >= history.began_on]
    return root_looks_counted(days, since, on, rules)


def _roots_since(history: QuarantineHistory, on: date) -> date:
    """The last live find, or the arrival if later."""
    came = history.began_on if history.came_on is None else history.came_on
    return max(came, _last_live(history, on) or came)


def root_looks_counted(
    days: Sequence[DayLooked], since: date, on: date, rules: QuarantineRules
) -> tuple[date, ...]:
    """Days whose clean look at the roots counts: late enough after `since`, and far enough apart.

    Taking each as early as it may be taken gives the greatest number.
    """
    earliest = since + timedelta(days=rules.roots_after_days)
    counted: list[date] = []
    for looked in up_to(days, on):
        if looked.roots_seen and looked.clean and looked.day >= earliest:
            counted.append(looked.day)
            earliest = looked.day + timedelta(days=rules.roots_apart_days)
    return tuple(counted)


def root_looks_wanted(history: QuarantineHistory, on: date, rules: QuarantineRules) -> int:
    """How many looks at the roots are still asked for; the chance clean is not read."""
    return max(0, (rules.root_looks or 0) - len(root_looks_made(history, on, rules)))


def _days_apart(anchor: date, on: date, rules: QuarantineRules) -> Criterion:
    have = (on - anchor).days
    return Criterion(DAYS_APART, have >= rules.days_apart, have, rules.days_apart, "day")


def _degree_days(
    history: QuarantineHistory, anchor: date, on: date, rules: QuarantineRules
) -> Criterion:
    have = history.degree_days_between(anchor, on)
    likely_never_infested = (
        not history.ever_found
        and history.chance is not None
        and history.chance >= rules.degree_days_waived_from
    )
    if likely_never_infested:
        return Criterion(DEGREE_DAYS, True, have, None, "degree_day")
    met = have >= rules.degree_days - TOLERANCE
    return Criterion(DEGREE_DAYS, met, have, rules.degree_days, "degree_day")


def _clean_looks(
    days: Sequence[DayLooked], anchor: date, on: date, rules: QuarantineRules
) -> Criterion:
    have = clean_streak(days, on, rules, since=anchor).looks
    recent_from = on - timedelta(days=rules.recent_look_days)
    run = clean_run(days, on, anchor)
    recent = sum(looked.day >= recent_from for looked in run)
    met = have >= rules.clean_looks and recent >= rules.recent_looks
    lacks = None
    if have >= rules.clean_looks and not met:
        lacks = Lacking(LATELY, recent, rules.recent_looks)
    elif have < min(rules.clean_looks, len(run)):
        lacks = Lacking(GAP, len(run), rules.clean_looks)
    return Criterion(CLEAN_LOOKS, met, have, rules.clean_looks, "look", lacks=lacks)


def _medium_and_roots(
    history: QuarantineHistory, anchor: date, on: date, rules: QuarantineRules
) -> Criterion:
    have = len(root_looks_made(history, on, rules))
    if rules.root_looks is None:
        return Criterion(MEDIUM_AND_ROOTS, True, have, None, "look")
    with_medium = sum(looked.medium_seen for looked in clean_run(history.days, on, anchor))
    met = have >= rules.root_looks and with_medium >= rules.clean_looks
    lacks = None
    if have >= rules.root_looks and not met:
        lacks = Lacking(MEDIUM, with_medium, rules.clean_looks)
    return Criterion(MEDIUM_AND_ROOTS, met, have, rules.root_looks, "look", lacks=lacks)


def _courses(history: QuarantineHistory, on: date) -> Criterion:
    have = history.courses_running
    if have is None:
        have = sum(end > on for end in history.courses_end)
    return Criterion(COURSES, have == 0, have, 0, "course")


def _chance_clean(history: QuarantineHistory, rules: QuarantineRules) -> Criterion:
    return Criterion(
        CHANCE_CLEAN, _chance_met(history, rules), history.chance, rules.chance_clean, "chance"
    )


def _chance_met(history: QuarantineHistory, rules: QuarantineRules) -> bool | None:
    if history.chance is None:
        return None
    if rules.chance_low is None:
        return history.chance >= rules.chance_clean
    if history.chance_low is None:
        return None
    return history.chance >= rules.chance_clean and history.chance_low >= rules.chance_low
