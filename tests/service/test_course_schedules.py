"""Steps of a course fall on local days, whatever the clocks do, and keep their distance."""

import time
from collections.abc import Iterator
from datetime import date, timedelta

import pytest

from rounds.core.log.courses import (
    NO_LABEL,
    CourseBegun,
    CourseMark,
    Label,
    StepPlanned,
    effective_courses,
)
from rounds.service.courses.schedule import (
    EggDays,
    days_after,
    ends_on,
    next_due,
    planned_steps,
    steps_due,
)
from rounds.service.courses.templates import StepTemplate, Template

MOST = 12


@pytest.fixture(params=["Europe/Berlin", "America/New_York", "UTC", "Pacific/Auckland"])
def _zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as patch:
        patch.setenv("TZ", request.param)
        time.tzset()
        yield
    time.tzset()


SPRAY = Template("spray", "spray", (StepTemplate("spray", every_days=7, times=4, hatched=2),))


def course(begun: date, *done: tuple[int, date]) -> tuple[CourseBegun, list[CourseMark]]:
    """A course of four sprays, some of them done, by their numbers."""
    steps = tuple(
        StepPlanned(100 + n, n, "spray", 0 if n == 1 else 7, begun + timedelta(7 * (n - 1)))
        for n in range(1, 5)
    )
    marks = [CourseMark(200 + n, 1, day, 1, 100 + n) for n, day in done]
    return CourseBegun(1, 1, begun, "spray", steps), marks


def due(begun: date, on: date, *done: tuple[int, date]) -> list[date]:
    entered, marks = course(begun, *done)
    (found,) = effective_courses([entered], marks, on)
    return [step.due_on for step in steps_due(found, on)]


@pytest.mark.usefixtures("_zone")
@pytest.mark.parametrize("first", [date(2026, 3, 1), date(2026, 3, 26), date(2026, 10, 22)])
def test_days_are_whole_days_apart_across_every_change_of_the_clocks(first: date) -> None:
    found = days_after(first, 7, 30)
    assert [(day - first).days for day in found] == [7 * n for n in range(1, 31)]
    assert days_after(first, 0, 2) == (first, first)


def test_four_sprays_in_a_warm_place_and_more_where_eggs_take_longer() -> None:
    def times(egg_days: float | None) -> int:
        eggs = EggDays(egg_days)
        return len(planned_steps(SPRAY, NO_LABEL, date(2026, 3, 1), eggs, MOST))

    # 85 degree-days above 8 degC: 7.1 days at 20, 8.5 at 18, 14.2 at 14, 21.3 at 12
    assert [times(85 / (c - 8)) for c in (25, 20, 18, 14, 12, 10)] == [4, 4, 4, 5, 6, 9]
    assert (times(None), times(400.0)) == (MOST, MOST)


def test_a_step_missed_stays_due_and_the_rest_move_with_it() -> None:
    begun = date(2026, 3, 20)
    days = [begun + timedelta(7 * n) for n in range(4)]
    assert due(begun, begun) == days
    late = begun + timedelta(10)
    assert due(begun, late, (1, begun)) == [
        begun,
        days[1],
        late + timedelta(7),
        late + timedelta(14),
    ]
    assert due(begun, late, (1, begun), (2, late))[2] == late + timedelta(7)
    # one that was done early draws the next nearer
    assert due(begun, begun + timedelta(5), (1, begun), (2, begun + timedelta(5)))[2] == (
        begun + timedelta(12)
    )


def test_a_day_in_the_past_knows_nothing_of_what_was_entered_later() -> None:
    begun = date(2026, 3, 20)
    entered, marks = course(begun, (1, begun), (2, begun + timedelta(7)))
    (then,) = effective_courses([entered], marks, begun + timedelta(3))
    assert [s.done_on for s in then.steps] == [begun, None, None, None]
    assert effective_courses([entered], marks, begun - timedelta(1)) == ()


def test_a_course_is_over_with_its_last_step_or_once_it_is_stopped() -> None:
    begun = date(2026, 3, 20)
    days = [begun + timedelta(7 * n) for n in range(4)]
    entered, marks = course(begun, *enumerate(days, 1))
    (done,) = effective_courses([entered], marks, days[3])
    assert (done.is_running, next_due(done, days[3]), ends_on(done, days[3])) == (False, None, None)
    (running,) = effective_courses([entered], marks[:3], days[3])
    assert ends_on(running, days[3]) == days[3]
    assert ends_on(running, days[3] + timedelta(1)) == days[3] + timedelta(1)
    stop = CourseMark(300, 1, days[2], 1, None)
    (stopped,) = effective_courses([entered], [*marks[:2], stop], days[3])
    assert (stopped.is_running, stopped.stopped_on) == (False, days[2])


def test_a_step_of_another_kind_waits_its_days() -> None:
    two = Template("two", "two", (StepTemplate("take-out"), StepTemplate("pot-up", wait_days=14)))
    steps = planned_steps(two, NO_LABEL, date(2026, 3, 20), EggDays(6.0), MOST)
    assert [(s.kind, s.due_on) for s in steps] == [
        ("take-out", date(2026, 3, 20)), ("pot-up", date(2026, 4, 3)),
    ]  # fmt: skip


def test_a_spray_comes_again_as_soon_as_quick_eggs_hatch_and_a_label_goes_before() -> None:
    def gap(apart: int | None, label: Label = NO_LABEL) -> int:
        steps = planned_steps(SPRAY, label, date(2026, 3, 1), EggDays(5.0, apart), MOST)
        return (steps[1].due_on - steps[0].due_on).days

    assert [gap(apart) for apart in (None, 4, 6, 12)] == [7, 4, 6, 7]
    assert gap(4, Label(product="Rinse", interval_days=10, most_uses=3)) == 10
