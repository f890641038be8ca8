"""The streak agrees with a plain recount, whatever was looked at and found."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.streak import Streak, clean_run, clean_streak
from rounds.service.logbook.parameters import load_parameters

RULES = load_parameters().pests["mealybug"].rules
DEFAULT = RULES["default"]
START = date(2026, 3, 1)


def _on(offset: int) -> date:
    return START + timedelta(days=offset)


def _looked(offset: int, *, complete: bool = True, live: bool = False) -> DayLooked:
    return DayLooked(_on(offset), complete, live, complete, False)


def _complete(*offsets: int) -> tuple[DayLooked, ...]:
    return tuple(_looked(offset) for offset in offsets)


def _counts(days: tuple[DayLooked, ...], on: int, rules: QuarantineRules = DEFAULT) -> Streak:
    return clean_streak(days, _on(on), rules)


def test_no_looks_make_no_streak() -> None:
    assert _counts((), 10) == Streak(0, 0, None, None)
    assert _counts((_looked(3, complete=False),), 10) == Streak(0, 0, None, None)
    assert _counts((_looked(3, live=True),), 10) == Streak(0, 0, None, None)


def test_one_look_spans_one_day() -> None:
    assert _counts(_complete(3), 3) == Streak(1, 1, _on(3), _on(3))


def test_the_span_runs_from_the_first_to_the_last_look_of_it() -> None:
    assert _counts(_complete(1, 3, 5), 9) == Streak(3, 5, _on(1), _on(5))


def test_a_live_day_sets_the_streak_to_zero() -> None:
    days = (*_complete(1, 2), _looked(3, live=True), *_complete(4, 5))
    assert _counts(days, 3) == Streak(0, 0, None, None)
    assert _counts(days, 5) == Streak(2, 2, _on(4), _on(5))


def test_a_find_in_an_incomplete_look_breaks_it_too() -> None:
    days = (*_complete(1), _looked(2, complete=False, live=True), *_complete(3))
    assert _counts(days, 3).looks == 1


def test_an_incomplete_clean_look_neither_adds_nor_breaks() -> None:
    days = (*_complete(1), _looked(2, complete=False), *_complete(3))
    assert _counts(days, 3) == Streak(2, 3, _on(1), _on(3))


def test_later_days_are_not_read() -> None:
    days = (*_complete(1, 2, 3), _looked(4, live=True))
    assert _counts(days, 2).looks == 2


def test_looks_before_the_day_it_counts_from_do_not_belong_to_it() -> None:
    days = _complete(1, 2, 3)
    assert clean_streak(days, _on(5), DEFAULT, _on(2)) == Streak(2, 2, _on(2), _on(3))
    assert clean_streak(days, _on(5), DEFAULT, _on(4)) == Streak(0, 0, None, None)


@pytest.mark.parametrize(("name", "held_at"), [("lenient", 1), ("default", 5), ("strict", 17)])
@pytest.mark.parametrize(("on", "held"), [(26, False), (27, True), (28, True)])
def test_inside_a_gap_the_streak_is_held_back(name: str, held_at: int, on: int, held: bool) -> None:
    streak = _counts(_complete(*range(20)), on, RULES[name])
    assert streak.looks == (held_at if held else 20)
    assert (streak.days, streak.last_on) == (20, _on(19))


def test_the_first_look_after_a_gap_is_held_back_and_the_second_is_not() -> None:
    days = (*_complete(*range(10)), *_complete(17, 18))
    assert [_counts(days, on).looks for on in (16, 17)] == [10, 5]
    assert [_counts(days, on).looks for on in (18, 19)] == [12, 12]


def test_days_after_the_first_look_behind_a_gap_wait_for_the_second() -> None:
    days = (*_complete(*range(10)), *_complete(20, 23))
    assert [_counts(days, on).looks for on in (20, 22, 23)] == [5, 5, 12]


def test_looks_a_week_apart_leave_no_gap() -> None:
    assert _counts(_complete(*range(0, 70, 7)), 63).looks == 10
    assert _counts(_complete(*range(0, 80, 8)), 72).looks == 5


def test_a_short_streak_is_not_lengthened_by_a_gap() -> None:
    assert _counts(_complete(0, 1), 20).looks == 2
    assert _counts(_complete(0, 20), 20).looks == 2


def test_a_gap_before_the_streak_does_not_hold_it_back() -> None:
    days = (_looked(0, live=True), *_complete(*range(10, 18)))
    assert _counts(days, 10).looks == 1
    assert _counts(days, 17).looks == 8
    incomplete_between = (*_complete(0), _looked(4, complete=False), *_complete(9))
    assert _counts(incomplete_between, 9).looks == 2


def _recounted(
    days: dict[int, tuple[bool, bool]], on: int, rules: QuarantineRules, since: int | None
) -> tuple[int, int]:
    """Walks the calendar day by day, in the words of the rule; looks and span."""
    count, first, last, held = 0, 0, 0, False
    for day in range(on + 1):
        complete, live = days.get(day, (False, False))
        if live:
            count, held = 0, False
        elif since is not None and day < since:
            continue
        elif complete:
            first = day if count == 0 else first
            held = count > 0 and day - last > 7
            count, last = count + 1, day
        elif count > 0 and day - last > 7:
            held = True
    span = last - first + 1 if count else 0
    return (min(count, rules.clean_looks - 3) if held else count), span


@given(
    st.dictionaries(st.integers(0, 60), st.tuples(st.booleans(), st.integers(0, 9)), max_size=40),
    st.integers(0, 70),
    st.sampled_from(["lenient", "default", "strict"]),
    st.none() | st.integers(0, 60),
)
def test_the_streak_is_what_a_plain_recount_gives(
    drawn: dict[int, tuple[bool, int]], on: int, name: str, since: int | None
) -> None:
    # One look in ten is live, so that streaks grow long enough to meet the gap rule.
    looked = {day: (complete, luck == 0) for day, (complete, luck) in drawn.items()}
    days = tuple(
        _looked(day, complete=looked[day][0], live=looked[day][1]) for day in sorted(looked)
    )
    since_on = None if since is None else _on(since)
    streak = clean_streak(days, _on(on), RULES[name], since_on)
    assert (streak.looks, streak.days) == _recounted(looked, on, RULES[name], since)
    run = clean_run(days, _on(on), since_on)
    assert all(day.complete and day.clean for day in run)
    assert streak.looks <= len(run)
