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
    """day, degree_day, look or chance"""
    expected_on: date | None = None


def judge(history: QuarantineHistory, on: date, rules: QuarantineRules) -> tuple[Criterion, ...]:
    """All criteria as they stand at the end of `on`, always in the same order."""
    anchor = clocks_from(history, on)
    return (
        _days_apart(anchor, on, rules),
        _degree_days(history, anchor, on, rules),
        _clean_looks(history.days, anchor, on, rules),
        _medium_and_roots(history.days, anchor, on, rules),
        _chance_clean(history, rules),
    )


def ready(criteria: Sequence[Criterion]) -> bool:
    """Whether the plant may leave: every criterion is known to be met."""
    return all(criterion.met is True for criterion in criteria)


def clocks_from(history: QuarantineHistory, on: date) -> date:
    """The day the clocks run from: the last live find, or the start of the period if later."""
    live = [looked.day for looked in up_to(history.days, on) if looked.live]
    if history.last_live_on is not None and history.last_live_on <= on:
        live.append(history.last_live_on)
    return max([history.began_on, *live])


def root_looks_counted(
    days: Sequence[DayLooked], anchor: date, on: date, rules: QuarantineRules
) -> tuple[date, ...]:
    """Days whose clean look at the roots counts: late enough, and far enough apart.

    Taking each as early as it may be taken gives the greatest number.
    """
    earliest = anchor + timedelta(days=rules.roots_after_days)
    counted: list[date] = []
    for looked in up_to(days, on):
        if looked.roots_seen and looked.clean and looked.day >= earliest:
            counted.append(looked.day)
            earliest = looked.day + timedelta(days=rules.roots_apart_days)
    return tuple(counted)


def root_looks_wanted(history: QuarantineHistory, on: date, rules: QuarantineRules) -> bool:
    """Whether a look at the roots is still asked for; the chance clean is not read."""
    anchor = clocks_from(history, on)
    found = _medium_and_roots(history.days, anchor, on, rules)
    return bool(rules.root_looks) and not found.met and (found.have or 0) < (rules.root_looks or 0)


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
    recent = sum(looked.day >= recent_from for looked in clean_run(days, on, anchor))
    met = have >= rules.clean_looks and recent >= rules.recent_looks
    return Criterion(CLEAN_LOOKS, met, have, rules.clean_looks, "look")


def _medium_and_roots(
    days: Sequence[DayLooked], anchor: date, on: date, rules: QuarantineRules
) -> Criterion:
    have = len(root_looks_counted(days, anchor, on, rules))
    if rules.root_looks is None:
        return Criterion(MEDIUM_AND_ROOTS, True, have, None, "look")
    with_medium = sum(looked.medium_seen for looked in clean_run(days, on, anchor))
    met = have >= rules.root_looks and with_medium >= rules.clean_looks
    return Criterion(MEDIUM_AND_ROOTS, met, have, rules.root_looks, "look")


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
