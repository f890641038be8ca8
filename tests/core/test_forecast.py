"""Dates are those on which the same judgement turns, if looks go on as they have."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from rounds.core.away import Stretch
from rounds.core.quarantine.criteria import Criterion, QuarantineHistory, judge, ready
from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.forecast import (
    Forecast,
    Supposed,
    days_to_come,
    forecast,
    still_today,
)
from rounds.core.quarantine.interval import told_interval, usual_interval
from rounds.service.logbook.parameters import load_parameters

RULES = load_parameters().pests["mealybug"].rules
BEGAN = date(2026, 3, 1)


def _on(offset: int) -> date:
    return BEGAN + timedelta(days=offset)


def _looked(offset: int, *, live: bool = False, roots: bool = False) -> DayLooked:
    return DayLooked(_on(offset), True, live, True, roots)


def _history(
    days: tuple[DayLooked, ...], per_day: float = 14, chance: float | None = None
) -> QuarantineHistory:
    return QuarantineHistory(
        began_on=BEGAN,
        last_live_on=max((day.day for day in days if day.live), default=None),
        days=days,
        ever_found=any(day.live for day in days),
        chance=chance,
        chance_low=chance,
        degree_days_between=lambda first, last: per_day * (last - first).days,
    )


ARRIVED_INFESTED = (_looked(0, live=True),)


def _after_arrival(celsius: float, every: int, name: str = "default") -> int | None:
    """Days from arrival, with finds on that day, until all that is computed holds together."""
    per_day = min(celsius, 28) - 8
    history = _history(ARRIVED_INFESTED, per_day)
    expected = forecast(history, BEGAN, RULES[name], every, per_day).others_on
    return None if expected is None else (expected - BEGAN).days


def _expected(found: Forecast) -> dict[str, int | None]:
    return {
        c.code: None if c.expected_on is None else (c.expected_on - BEGAN).days
        for c in found.criteria
    }


def test_common_practice_of_four_to_eight_weeks_comes_out_at_22_degrees() -> None:
    # Extension advice: 2 to 6 weeks, median about 4 (Colorado and North Dakota State Extension).
    days = _after_arrival(22, 1)
    assert days is not None
    assert 28 <= days <= 56


def test_a_colder_place_takes_longer() -> None:
    waits = [_after_arrival(celsius, 1) for celsius in (14, 16, 18, 22, 26)]
    assert None not in waits
    assert waits == sorted(waits, reverse=True)  # type: ignore[type-var]
    assert waits[1] > waits[4]  # type: ignore[operator]


@pytest.mark.parametrize("celsius", [18, 22, 26])
def test_looking_less_often_is_never_faster(celsius: float) -> None:
    waits = [_after_arrival(celsius, every) for every in (1, 2, 3, 5, 7)]
    assert None not in waits
    assert waits == sorted(waits)  # type: ignore[type-var]


def test_weekly_looks_are_later_but_not_never() -> None:
    daily, weekly = _after_arrival(22, 1), _after_arrival(22, 7)
    assert daily == 35  # 35 days of 14 are the first to reach 485 degree-days
    assert weekly == 56  # the eighth clean look


def test_where_clean_looks_bind_every_third_day_lies_between_daily_and_weekly() -> None:
    assert [_after_arrival(26, every, "strict") for every in (1, 3, 7)] == [48, 60, 140]


def test_looks_more_than_a_week_apart_never_do() -> None:
    assert _after_arrival(22, 8) is None


def test_each_criterion_has_the_day_it_turns() -> None:
    # Five days after the last find, in the fourth of four clean looks a day apart; 62 degree-days
    # so far and 12.45 a day from now on.
    days = (_looked(0, live=True), *(_looked(offset) for offset in (2, 3, 4, 5)))
    history = replace(
        _history(days),
        degree_days_between=lambda first, last: (
            62 / 5 * min(5, (last - first).days) + 12.45 * max(0, (last - first).days - 5)
        ),
    )
    found = forecast(history, _on(5), RULES["default"], 1, 12.45)
    assert _expected(found) == {
        "days_apart": 30,
        "degree_days": 39,
        "clean_looks": 9,
        "medium_and_roots": 21,
        "courses": 5,
        "chance_clean": None,
    }
    assert (found.ready_on, found.others_on) == (None, _on(39))
    assert found.waiting_for == (
        "days_apart",
        "degree_days",
        "clean_looks",
        "medium_and_roots",
        "chance_clean",
    )


def test_a_course_under_way_puts_the_day_off_to_its_last_step() -> None:
    days = (_looked(0, live=True), *(_looked(offset) for offset in (2, 3, 4, 5)))
    history = replace(_history(days), courses_running=1, courses_end=(_on(50),))
    found = forecast(history, _on(5), RULES["default"], 1, 14.0)
    assert _expected(found)["courses"] == 50
    assert found.others_on == _on(50)
    assert "courses" in found.waiting_for


def test_what_is_met_already_is_expected_today() -> None:
    days = tuple(_looked(offset, roots=offset == 25) for offset in range(41))
    found = forecast(_history(days, chance=0.97), _on(40), RULES["default"], 1, 14)
    assert set(_expected(found).values()) == {40}
    assert (found.ready_on, found.others_on, found.waiting_for) == (_on(40), _on(40), ())
    assert ready(found.criteria)


def _without_dates(criteria: tuple[Criterion, ...]) -> tuple[Criterion, ...]:
    return tuple(replace(criterion, expected_on=None) for criterion in criteria)


@pytest.mark.parametrize("name", ["lenient", "default", "strict"])
@pytest.mark.parametrize("every", [1, 3, 7])
def test_the_forecast_comes_true_when_it_is_kept_to(name: str, every: int) -> None:
    past = (_looked(0, live=True), *(_looked(offset) for offset in range(every, 15, every)))
    history = _history(past, chance=0.995)
    on = _on(14)
    found = forecast(history, on, RULES[name], every, 14)
    assert _without_dates(found.criteria) == judge(history, on, RULES[name])
    assert found.ready_on is not None
    kept = replace(history, days=days_to_come(history, on, RULES[name], every, _on(200)))
    day, first = on, {c.code: on for c in judge(history, on, RULES[name]) if c.met}
    while not ready(judge(kept, day, RULES[name])):
        day += timedelta(days=1)
        for criterion in judge(kept, day, RULES[name]):
            if criterion.met:
                first.setdefault(criterion.code, day)
    assert found.ready_on == day
    assert {c.code: c.expected_on for c in found.criteria} == first


@pytest.mark.parametrize(
    ("on", "every", "expected"),
    [
        (10, 3, [13, 16, 19]),
        (12, 3, [13, 16, 19]),
        (15, 3, [16, 19]),
        (15, 4, [16, 20]),
        (15, 1, [16, 17, 18, 19, 20]),
    ],
)
def test_looks_to_come_follow_the_last_complete_one(
    on: int, every: int, expected: list[int]
) -> None:
    past = (_looked(0, live=True), _looked(10))
    days = days_to_come(_history(past), _on(on), RULES["lenient"], every, _on(20))
    assert [(day.day - BEGAN).days for day in days] == [0, 10, *expected]
    assert days[:2] == past


def test_days_to_come_end_with_the_day_asked_for() -> None:
    days = days_to_come(_history(ARRIVED_INFESTED), BEGAN, RULES["strict"], 4, _on(20))
    assert [(day.day - BEGAN).days for day in days] == [0, 4, 8, 12, 16, 20]


def test_without_a_complete_look_the_first_is_tomorrow() -> None:
    days = days_to_come(_history(()), _on(2), RULES["lenient"], 3, _on(9))
    assert [(day.day - BEGAN).days for day in days] == [3, 6, 9]


def _roots_expected(name: str, on: int, *roots: int) -> list[int]:
    past = (_looked(0, live=True), *(_looked(i, roots=i in roots) for i in range(1, on + 1)))
    days = days_to_come(_history(past), _on(on), RULES[name], 1, _on(120))
    return [(day.day - BEGAN).days for day in days if day.roots_seen and day.day > _on(on)]


@pytest.mark.parametrize(
    ("name", "on", "roots", "expected"),
    [
        ("lenient", 5, (), []),
        ("default", 5, (), [21]),
        ("default", 20, (5, 20), [21]),
        ("default", 30, (), [31]),
        ("default", 30, (22,), []),
        ("strict", 5, (), [21, 35]),
        ("strict", 30, (), [31, 45]),
        ("strict", 30, (22,), [36]),
        ("strict", 50, (22,), [51]),
        ("strict", 50, (22, 36), []),
    ],
)
def test_outstanding_looks_at_the_roots_are_made_when_they_first_count(
    name: str, on: int, roots: tuple[int, ...], expected: list[int]
) -> None:
    assert _roots_expected(name, on, *roots) == expected


def test_roots_looked_at_between_looks_are_no_complete_look() -> None:
    days = days_to_come(_history(ARRIVED_INFESTED), BEGAN, RULES["default"], 5, _on(30))
    assert [(d.day - BEGAN).days for d in days if d.complete and d.clean] == [5, 10, 15, 20, 25, 30]
    assert [(d.day - BEGAN).days for d in days if d.roots_seen] == [21]


def test_weather_is_read_up_to_the_day_and_the_usual_warmth_after_it() -> None:
    def known(first: date, last: date) -> float:
        assert last <= _on(11), "weather after the day was read"
        return 20.0 * (last - first).days

    history = replace(_history(ARRIVED_INFESTED), degree_days_between=known)
    found = forecast(history, _on(10), RULES["default"], 1, 5)
    # 220 up to and including day 10, then 265 more at 5 a day: 53 days after it.
    assert _expected(found)["degree_days"] == 11 + 53


def test_a_low_chance_clean_leaves_the_others_their_date() -> None:
    found = forecast(_history(ARRIVED_INFESTED, chance=0.2), BEGAN, RULES["default"], 1, 14)
    assert (found.ready_on, found.others_on) == (None, _on(35))
    assert _expected(found)["chance_clean"] is None


def test_beyond_the_limit_no_date_is_named() -> None:
    # 485 degree-days at 2 a day take 243 days.
    for limit, expected in ((180, None), (242, None), (243, 243)):
        found = forecast(
            _history(ARRIVED_INFESTED, 2), BEGAN, RULES["default"], 1, 2, limit_days=limit
        )
        assert _expected(found)["degree_days"] == expected
        assert found.others_on == (None if expected is None else _on(expected))


def test_without_warmth_the_other_criteria_keep_their_dates() -> None:
    found = forecast(_history(ARRIVED_INFESTED, 0), BEGAN, RULES["default"], 1, 0)
    expected = _expected(found)
    assert (expected["degree_days"], expected["days_apart"]) == (None, 30)


def test_an_interval_below_a_day_is_refused() -> None:
    with pytest.raises(ValueError, match="every 0 days"):
        forecast(_history(()), BEGAN, RULES["default"], 0, 14)


@pytest.mark.parametrize(
    ("looks", "interval"),
    [
        ((), 1),
        ((4,), 1),
        ((4, 7), 3),
        ((0, 1, 2, 12), 1),
        ((0, 1, 4), 2),
        ((0, 1, 5), 3),  # the median is 2.5
        ((0, 30, 60, 90, 120, 150, 151, 152, 153, 154), 30),
        ((0, 30, 60, 90, 120, 150, 151, 152, 153, 154, 155), 1),
    ],
)
def test_the_usual_interval_is_the_median_of_the_last_looks(
    looks: tuple[int, ...], interval: int
) -> None:
    assert usual_interval(tuple(_looked(offset) for offset in looks), _on(160)) == interval


def test_the_usual_interval_is_that_of_complete_looks_up_to_the_day() -> None:
    incomplete = DayLooked(_on(5), False, False, False, False)
    days = (_looked(0), _looked(4), incomplete, _looked(9), _looked(10), _looked(11), _looked(12))
    assert usual_interval(days, _on(9)) == 5
    assert usual_interval(days, _on(12)) == 1


def _away(first: int, last: int) -> Stretch:
    return Stretch(_on(first), _on(last))


def _supposed_on(history: QuarantineHistory, on: int, every: int, supposed: Supposed) -> list[int]:
    days = days_to_come(history, _on(on), RULES["default"], every, _on(40), supposed)
    return [(d.day - BEGAN).days for d in days if d.complete and d.day >= _on(on) and d.clean]


@pytest.mark.parametrize(
    ("away", "expected"),
    [
        ((), [13, 16, 19, 22, 25, 28, 31, 34, 37, 40]),
        ((_away(14, 15),), [13, 16, 19, 22, 25, 28, 31, 34, 37, 40]),
        ((_away(13, 13),), [14, 17, 20, 23, 26, 29, 32, 35, 38]),
        ((_away(15, 24), _away(28, 36)), [13, 25, 37, 40]),
        ((_away(8, 20),), [21, 24, 27, 30, 33, 36, 39]),
    ],
)
def test_no_look_is_supposed_on_a_day_away_but_one_on_the_first_day_back(
    away: tuple[Stretch, ...], expected: list[int]
) -> None:
    history = _history((_looked(0, live=True), _looked(7), _looked(10)))
    assert _supposed_on(history, 10, 3, Supposed(away=away)) == [10, *expected]


def test_a_look_at_the_roots_that_falls_on_a_day_away_is_made_on_the_first_day_back() -> None:
    supposed = Supposed(away=(_away(20, 26),))
    days = days_to_come(_history(ARRIVED_INFESTED), BEGAN, RULES["strict"], 1, _on(60), supposed)
    # and the second one two weeks after that
    assert [(d.day - BEGAN).days for d in days if d.roots_seen] == [27, 41]


def test_days_away_put_the_date_off() -> None:
    def ready_after(*away: Stretch) -> date | None:
        found = forecast(
            _history(ARRIVED_INFESTED), BEGAN, RULES["default"], 3, 14, supposed=Supposed(away)
        )
        return found.others_on

    assert ready_after() == _on(35)
    assert ready_after(_away(5, 8)) == _on(35)
    assert ready_after(_away(28, 40)) == _on(44), "the second look after the way back"


def test_what_is_due_on_a_day_that_is_not_over_is_supposed_on_it() -> None:
    history = _history((_looked(0, live=True), _looked(7)))
    rules, is_open = RULES["default"], Supposed(is_open=True)
    assert _supposed_on(history, 10, 3, is_open) == [10, 13, 16, 19, 22, 25, 28, 31, 34, 37, 40]
    assert _supposed_on(history, 10, 3, Supposed()) == [11, 14, 17, 20, 23, 26, 29, 32, 35, 38]
    assert still_today(history, _on(9), rules, 3, is_open) is None, "not due yet"
    assert still_today(history, _on(10), rules, 3, Supposed()) is None, "the day is over"
    due = DayLooked(_on(24), complete=True, live=False, medium_seen=True, roots_seen=True)
    assert still_today(history, _on(24), rules, 3, is_open) == due
    seen = _history((_looked(0, live=True), _looked(24)))
    assert still_today(seen, _on(24), rules, 3, is_open) == replace(
        due, complete=False, medium_seen=False
    ), "of the roots alone"


def test_after_a_find_of_the_day_nothing_clean_is_supposed_on_it() -> None:
    history = _history((_looked(0), _looked(5, live=True)))
    assert still_today(history, _on(5), RULES["default"], 1, Supposed(is_open=True)) is None


@pytest.mark.parametrize("every", [1, 3, 7])
@pytest.mark.parametrize("name", ["lenient", "default", "strict"])
def test_a_look_that_was_due_today_moves_no_date_once_it_is_made(name: str, every: int) -> None:
    before = (_looked(0, live=True), *(_looked(i) for i in range(every, 22, every)))
    on = before[-1].day + timedelta(every)
    supposed = Supposed(is_open=True)
    pending = forecast(_history(before), on, RULES[name], every, 14, supposed=supposed)
    made = (*before, replace(_looked(0), day=on, roots_seen=on >= _on(21)))
    done = forecast(_history(made), on, RULES[name], every, 14, supposed=supposed)
    assert done.others_on == pending.others_on
    assert _expected(done) == _expected(pending)


def test_what_only_waits_for_today_is_expected_today() -> None:
    days = (_looked(0, live=True), *(_looked(i) for i in range(1, 40)))
    found = forecast(
        _history(days), _on(40), RULES["default"], 1, 14, supposed=Supposed(is_open=True)
    )
    assert _expected(found)["medium_and_roots"] == 40
    assert "medium_and_roots" in found.waiting_for
    assert found.others_on == _on(40)


def test_where_the_usual_look_leaves_out_the_medium_no_date_is_named_for_it() -> None:
    supposed = Supposed(sees_medium=False)
    found = forecast(_history(ARRIVED_INFESTED), BEGAN, RULES["default"], 1, 14, supposed=supposed)
    assert _expected(found)["medium_and_roots"] is None
    assert _expected(found)["clean_looks"] == 8
    assert found.others_on is None


def test_roots_are_supposed_seen_from_the_last_find_on_however_late_it_was_put_apart() -> None:
    history = replace(
        _history(()), began_on=_on(15), came_on=_on(-100), last_live_on=_on(4), ever_found=True
    )
    days = days_to_come(history, _on(16), RULES["default"], 1, _on(60))
    assert [(d.day - BEGAN).days for d in days if d.roots_seen] == [4 + 21]


@pytest.mark.parametrize(
    ("looks", "away", "told"),
    [
        ((), (), None),
        ((4,), (), None),
        ((4, 7), (), 3),
        ((4, 20), ((6, 18),), None),
        ((4, 20, 22), ((6, 18),), 2),
        ((4, 7), ((4, 4), (7, 9)), 3),
    ],
)
def test_a_gap_that_holds_days_away_tells_nothing_of_the_usual_interval(
    looks: tuple[int, ...], away: tuple[tuple[int, int], ...], told: int | None
) -> None:
    days = tuple(_looked(offset) for offset in looks)
    stretches = [_away(*ends) for ends in away]
    assert told_interval(days, _on(30), stretches) == told
    assert usual_interval(days, _on(30), stretches) == (told or 1)


def test_looks_a_week_are_spread_over_its_days() -> None:
    rules = RULES["default"]
    history = _history((_looked(0),))
    until = _on(21)

    def gaps(every_days: float) -> list[int]:
        supposed = Supposed(every_days=every_days)
        days = [looked.day for looked in days_to_come(history, _on(0), rules, 1, until, supposed)]
        looks = [day for day in days if day <= until]
        return [(after - before).days for before, after in pairwise(looks)]

    assert gaps(1.0) == [1] * 21
    assert gaps(7.0) == [7, 7, 7]
    # three a week: as evenly as whole days can be
    assert gaps(7 / 3)[:6] == [2, 2, 3, 2, 2, 3]
