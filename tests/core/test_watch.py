"""A plant that rejoined is watched for one further generation, a month at least."""

from datetime import date, timedelta

import pytest

from rounds.core.quarantine.watch import watch_ends
from rounds.service.logbook.parameters import load_parameters

WATCH = load_parameters().pests["mealybug"].watch
RELEASED = date(2026, 3, 1)


def _on(offset: int) -> date:
    return RELEASED + timedelta(days=offset)


@pytest.mark.parametrize(
    ("per_day", "on", "ends"),
    [
        (14, 0, 35),
        (14, 20, 35),
        (14, 100, 35),
        (20, 0, 30),
        (2, 0, None),  # 485 degree-days take 243 days, further ahead than is looked
        (2, 62, None),
        (2, 63, 243),
        (0, 9, None),
    ],
)
def test_the_watch_ends_when_days_and_warmth_are_enough(
    per_day: float, on: int, ends: int | None
) -> None:
    found = watch_ends(
        RELEASED, WATCH, lambda first, last: per_day * (last - first).days, per_day, _on(on)
    )
    assert found == (None if ends is None else _on(ends))


def test_the_watch_reads_no_weather_after_the_day() -> None:
    def known(first: date, last: date) -> float:
        assert last <= _on(6), "weather after the day was read"
        return 30.0 * (last - first).days

    # 180 in the six days known, then 305 more at 5 a day.
    assert watch_ends(RELEASED, WATCH, known, 5, _on(5)) == _on(6 + 61)


def test_a_limit_shorter_than_the_watch_names_no_date() -> None:
    assert watch_ends(RELEASED, WATCH, lambda *_: 0, 40, _on(0), limit_days=29) is None
    assert watch_ends(RELEASED, WATCH, lambda *_: 0, 40, _on(0), limit_days=30) == _on(30)


def test_warmth_that_misses_by_rounding_is_enough() -> None:
    ends = watch_ends(RELEASED, WATCH, lambda *_: 485 - 1e-10, 0, _on(40))
    assert ends == _on(30)
