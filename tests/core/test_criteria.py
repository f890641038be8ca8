"""Each criterion turns at its edge, in each of the three settings."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.quarantine.criteria import (
    Criterion,
    Lacking,
    QuarantineHistory,
    clocks_from,
    judge,
    ready,
    root_looks_counted,
    root_looks_made,
    roots_count_from,
)
from rounds.core.quarantine.days import DayLooked
from rounds.service.logbook.parameters import load_parameters

RULES = load_parameters().pests["mealybug"].rules
BEGAN = date(2026, 3, 1)
NAMES = ["lenient", "default", "strict"]


def _on(offset: int) -> date:
    return BEGAN + timedelta(days=offset)


def _looked(
    offset: int,
    *,
    complete: bool = True,
    live: bool = False,
    medium: bool = True,
    roots: bool = False,
) -> DayLooked:
    return DayLooked(_on(offset), complete, live, medium, roots)


def _daily(until: int, roots: tuple[int, ...] = ()) -> tuple[DayLooked, ...]:
    return tuple(_looked(offset, roots=offset in roots) for offset in range(until + 1))


def _history(
    days: tuple[DayLooked, ...] = (),
    *,
    per_day: float = 20,
    last_live: int | None = None,
    chance: float | None = 1,
    chance_low: float | None = 1,
    ever_found: bool = True,
) -> QuarantineHistory:
    return QuarantineHistory(
        began_on=BEGAN,
        last_live_on=None if last_live is None else _on(last_live),
        days=days,
        ever_found=ever_found,
        chance=chance,
        chance_low=chance_low,
        degree_days_between=lambda first, last: per_day * (last - first).days,
    )


def _criterion(history: QuarantineHistory, on: int, name: str, code: str) -> Criterion:
    [found] = [c for c in judge(history, _on(on), RULES[name]) if c.code == code]
    return found


def test_criteria_come_in_one_order_with_their_units() -> None:
    criteria = judge(_history(), _on(5), RULES["default"])
    assert [(c.code, c.unit) for c in criteria] == [
        ("days_apart", "day"),
        ("degree_days", "degree_day"),
        ("clean_looks", "look"),
        ("medium_and_roots", "look"),
        ("courses", "course"),
        ("chance_clean", "chance"),
    ]
    assert {c.expected_on for c in criteria} == {None}


@pytest.mark.parametrize(("name", "days"), [("lenient", 21), ("default", 30), ("strict", 42)])
def test_days_apart_run_from_the_start_or_the_last_find(name: str, days: int) -> None:
    for last_live, start in ((None, 0), (-3, 0), (0, 0), (9, 9)):
        history = _history(last_live=last_live)
        before = _criterion(history, start + days - 1, name, "days_apart")
        assert (before.met, before.have, before.need) == (False, days - 1, days)
        assert _criterion(history, start + days, name, "days_apart").met


@pytest.mark.parametrize(("name", "need"), [("lenient", 400), ("default", 485), ("strict", 860)])
def test_degree_days_are_summed_up_to_the_day_before(name: str, need: float) -> None:
    history = _history(last_live=4, per_day=need / 50)
    before = _criterion(history, 53, name, "degree_days")
    assert (before.met, before.need) == (False, need)
    assert before.have == pytest.approx(need * 49 / 50)
    assert _criterion(history, 54, name, "degree_days").met


def test_degree_days_that_miss_by_rounding_are_enough() -> None:
    tenths = replace(
        _history(),
        degree_days_between=lambda first, last: sum([48.5] * (last - first).days) - 1e-10,
    )
    assert _criterion(tenths, 10, "default", "degree_days").met


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("chance", "ever_found", "waived"),
    [(0.99, False, True), (0.9899, False, False), (0.99, True, False), (None, False, False)],
)
def test_degree_days_are_waived_where_nothing_was_ever_found(
    name: str, chance: float | None, ever_found: bool, waived: bool
) -> None:
    history = _history(chance=chance, ever_found=ever_found)
    found = _criterion(history, 3, name, "degree_days")
    need = None if waived else RULES[name].degree_days
    assert (found.met, found.have, found.need) == (waived, 60, need)


@pytest.mark.parametrize(("name", "need"), [("lenient", 4), ("default", 8), ("strict", 20)])
def test_clean_looks_are_counted_on_separate_days(name: str, need: int) -> None:
    days = _daily(need - 1)
    before = _criterion(_history(days[:-1]), need - 1, name, "clean_looks")
    assert (before.met, before.have, before.need) == (False, need - 1, need)
    assert _criterion(_history(days), need - 1, name, "clean_looks").met


def test_clean_looks_before_the_clocks_do_not_count() -> None:
    before_arrival = tuple(_looked(offset) for offset in range(-8, 3))
    assert _criterion(_history(before_arrival), 3, "default", "clean_looks").have == 3
    after_find = _history(_daily(12), last_live=5)
    assert _criterion(after_find, 12, "default", "clean_looks").have == 8
    found_that_day = (*_daily(4), _looked(5, live=True), *_daily(12)[6:])
    assert _criterion(_history(found_that_day), 12, "default", "clean_looks").have == 7


@pytest.mark.parametrize("name", NAMES)
def test_two_of_the_clean_looks_must_be_recent(name: str) -> None:
    # The last look on day 19, the one before it on day 18; both within D-7 to D up to day 25.
    history = _history(_daily(19))
    assert _criterion(history, 25, name, "clean_looks").met
    late = _criterion(history, 26, name, "clean_looks")
    assert (late.met, late.have) == (False, 20)


def test_recent_looks_must_be_complete_and_clean() -> None:
    days = (*_daily(9), _looked(15, complete=False), _looked(16))
    found = _criterion(_history(days), 17, "default", "clean_looks")
    assert (found.met, found.have) == (False, 11)
    recent = _criterion(
        _history((*_daily(9), _looked(15), _looked(16))), 17, "default", "clean_looks"
    )
    assert recent.met


def test_a_gap_holds_the_clean_looks_back() -> None:
    days = (*_daily(9), _looked(20), _looked(21))
    have = [_criterion(_history(days), on, "default", "clean_looks").have for on in (19, 20, 21)]
    assert have == [5, 5, 12]


def test_where_there_are_looks_enough_it_is_told_what_is_lacking() -> None:
    late = _criterion(_history(_daily(19)), 26, "default", "clean_looks")
    assert late.lacks == Lacking("lately", 1, 2)
    assert _criterion(_history(_daily(19)), 25, "default", "clean_looks").lacks is None
    inside_a_gap = _criterion(_history(_daily(19)), 28, "default", "clean_looks")
    assert (inside_a_gap.have, inside_a_gap.lacks) == (5, Lacking("gap", 20, 8))
    assert _criterion(_history(_daily(3)), 4, "default", "clean_looks").lacks is None
    days = tuple(_looked(i, medium=i < 3, roots=i == 35) for i in range(40))
    roots = _criterion(_history(days), 40, "default", "medium_and_roots")
    assert (roots.have, roots.lacks) == (1, Lacking("medium", 3, 8))


def _roots(name: str, days: tuple[DayLooked, ...], on: int, **known: int) -> tuple[object, ...]:
    found = _criterion(_history(days, **known), on, name, "medium_and_roots")  # type: ignore[arg-type]
    return found.met, found.have, found.need


def test_lenient_asks_for_no_look_at_the_roots() -> None:
    assert _roots("lenient", (), 0) == (True, 0, None)
    assert _roots("lenient", _daily(25, roots=(20, 21, 22)), 25) == (True, 2, None)


@pytest.mark.parametrize(
    ("roots", "expected"),
    [
        ((), (False, 0, 1)),
        ((20,), (False, 0, 1)),
        ((21,), (True, 1, 1)),
        ((21, 22), (True, 2, 1)),
        ((31,), (False, 0, 1)),
    ],
)
def test_default_asks_for_one_late_enough(
    roots: tuple[int, ...], expected: tuple[object, ...]
) -> None:
    assert _roots("default", _daily(40, roots), 30) == expected


def test_roots_are_looked_at_late_enough_after_the_last_find() -> None:
    days = _daily(60, roots=(30,))
    assert _roots("default", days, 60, last_live=9) == (True, 1, 1)
    assert _roots("default", days, 60, last_live=10) == (False, 0, 1)


def test_a_find_at_the_roots_is_no_clean_look_at_them() -> None:
    days = (*_daily(24), _looked(25, roots=True, live=True))
    assert _roots("default", days, 25)[1] == 0


@pytest.mark.parametrize(
    ("roots", "have", "met"),
    [
        ((21,), 1, False),
        ((21, 34), 1, False),
        ((21, 35), 2, True),
        ((21, 30, 35), 2, True),
        ((21, 30, 44), 2, True),
        ((20, 33, 47), 2, True),
        ((20, 34), 1, False),
        ((21, 35, 49), 3, True),
    ],
)
def test_strict_asks_for_two_two_weeks_apart(roots: tuple[int, ...], have: int, met: bool) -> None:
    assert _roots("strict", _daily(50, roots), 50) == (met, have, 2)


def test_the_look_at_the_roots_need_not_be_a_complete_one() -> None:
    days = (*_daily(20), _looked(21, complete=False, medium=False, roots=True))
    assert _roots("default", days, 21) == (True, 1, 1)


@pytest.mark.parametrize(("name", "need"), [("default", 8), ("strict", 20)])
def test_the_medium_must_be_seen_in_as_many_clean_looks_as_are_asked_for(
    name: str, need: int
) -> None:
    for seen, met in ((need - 1, False), (need, True)):
        days = tuple(_looked(i, medium=i < seen, roots=i in (21, 35)) for i in range(40))
        assert _roots(name, days, 40)[0] is met


@pytest.mark.parametrize(
    ("name", "chance", "low", "met"),
    [
        ("lenient", None, None, None),
        ("lenient", 0.8999, None, False),
        ("lenient", 0.90, None, True),
        ("default", None, 1, None),
        ("default", 0.9499, 0.9, False),
        ("default", 0.95, None, True),
        ("default", 0.95, 0.1, True),
        ("strict", None, None, None),
        ("strict", 0.99, None, None),
        ("strict", 0.9899, 0.95, False),
        ("strict", 0.99, 0.9499, False),
        ("strict", 0.99, 0.95, True),
    ],
)
def test_the_chance_clean_must_reach_its_limit(
    name: str, chance: float | None, low: float | None, met: bool | None
) -> None:
    found = _criterion(_history(chance=chance, chance_low=low), 0, name, "chance_clean")
    assert (found.met, found.have, found.need) == (met, chance, RULES[name].chance_clean)


@pytest.mark.parametrize("name", NAMES)
def test_a_plant_may_leave_when_everything_is_met(name: str) -> None:
    history = _history(_daily(50, roots=(21, 35)))
    assert ready(judge(history, _on(50), RULES[name]))
    assert not ready(judge(history, _on(20), RULES[name]))


def test_what_is_not_computed_is_never_met() -> None:
    history = _history(_daily(50, roots=(21, 35)), chance=None)
    criteria = judge(history, _on(50), RULES["default"])
    assert [c.met for c in criteria] == [True, True, True, True, True, None]
    assert not ready(criteria)


@pytest.mark.parametrize("name", RULES)
def test_a_course_under_way_holds_a_quarantine_by_every_setting(name: str) -> None:
    history = _history(_daily(50, roots=(21, 35)))
    held = replace(history, courses_running=2, courses_end=(_on(53), _on(60)))
    found = next(c for c in judge(held, _on(50), RULES[name]) if c.code == "courses")
    assert (found.met, found.have, found.need) == (False, 2, 0)
    assert not ready(judge(held, _on(50), RULES[name]))


def test_a_course_is_over_at_the_end_of_the_day_of_its_last_step() -> None:
    supposed = replace(_history(), courses_running=None, courses_end=(_on(53), _on(60)))
    have = {day: _criterion(supposed, day, "default", "courses").have for day in (52, 53, 59, 60)}
    assert have == {52: 2, 53: 1, 59: 1, 60: 0}


def test_a_find_sets_every_clock_back() -> None:
    found = (*_daily(49, roots=(21, 35)), _looked(50, live=True))
    criteria = judge(_history(found), _on(50), RULES["default"])
    assert [c.have for c in criteria[:4]] == [0, 0, 0, 0]


def test_clocks_run_from_the_last_find_up_to_the_day() -> None:
    days = (*_daily(4), _looked(5, live=True), _looked(9, live=True))
    assert clocks_from(_history(days), _on(4)) == BEGAN
    assert clocks_from(_history(days), _on(7)) == _on(5)
    assert clocks_from(_history(days, last_live=9), _on(7)) == _on(5)
    assert clocks_from(_history(days, last_live=9), _on(9)) == _on(9)
    assert clocks_from(_history((_looked(-5, live=True),)), _on(9)) == BEGAN


def test_taking_root_looks_early_gives_the_greatest_number() -> None:
    days = _daily(90, roots=(21, 24, 36, 37, 51))
    assert root_looks_counted(days, BEGAN, _on(90), RULES["strict"]) == (_on(21), _on(36), _on(51))


def test_looks_at_the_roots_count_when_late_enough_and_clean() -> None:
    days = (_looked(20, roots=True), _looked(21, roots=True), _looked(30, roots=True, live=True))
    assert root_looks_counted(days, BEGAN, _on(40), RULES["default"]) == (_on(21),)
    assert root_looks_counted(days, BEGAN, _on(20), RULES["default"]) == ()


def _put_apart_today(*today: DayLooked, last_live: int = -12) -> QuarantineHistory:
    """Found on twelve days ago, clean every week before and since; put apart on the day BEGAN."""
    days = tuple(_looked(offset, live=offset == last_live) for offset in (-19, last_live, -7))
    return replace(_history((*days, *today), last_live=last_live, chance=0.6), came_on=_on(-200))


@pytest.mark.parametrize(
    ("today", "looks"),
    [
        ((), 0),
        ((_looked(0),), 1),
        ((_looked(0, complete=False),), 0),
        ((_looked(0, live=True),), 0),
    ],
)
def test_of_a_plant_put_apart_today_a_complete_clean_look_of_today_counts_and_none_before(
    today: tuple[DayLooked, ...], looks: int
) -> None:
    criteria = judge(_put_apart_today(*today), BEGAN, RULES["default"])
    assert [(c.met, c.have, c.need) for c in criteria] == [
        (False, 0, 30),
        (False, 0, 485),
        (False, looks, 8),
        (False, 0, 1),
        (True, 0, 0),
        (False, 0.6, 0.95),
    ]


def test_the_day_it_was_put_apart_belongs_to_the_days_and_the_warmth_that_follow() -> None:
    criteria = judge(_put_apart_today(_looked(0)), _on(1), RULES["default"])
    assert [c.have for c in criteria] == [1, 20, 1, 0, 0, 0.6]


def test_looks_at_the_roots_count_from_the_last_find_and_not_from_the_day_it_was_put_apart() -> (
    None
):
    history = _put_apart_today()
    assert roots_count_from(history, BEGAN, RULES["default"]) == _on(-12 + 21)
    early, right = (replace(history, days=(_looked(i, roots=True),)) for i in (8, 9))
    assert root_looks_made(early, _on(20), RULES["default"]) == ()
    assert root_looks_made(right, _on(20), RULES["default"]) == (_on(9),)


def test_looks_at_the_roots_count_no_sooner_than_it_was_put_apart() -> None:
    days = (_looked(-1, roots=True), _looked(3, roots=True))
    history = replace(_history(days), came_on=_on(-200))
    assert roots_count_from(replace(history, days=()), BEGAN, RULES["strict"]) == BEGAN
    assert root_looks_made(history, _on(9), RULES["strict"]) == (_on(3),)
    assert roots_count_from(history, _on(9), RULES["strict"]) == _on(3 + 14)


def test_a_find_puts_the_look_at_the_roots_off() -> None:
    history = _history((*_daily(25, roots=(22,)), _looked(26, live=True)))
    assert roots_count_from(history, _on(25), RULES["strict"]) == _on(36)
    assert roots_count_from(history, _on(26), RULES["strict"]) == _on(26 + 21)
