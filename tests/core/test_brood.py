"""When the last eggs hatch: counted day by day beside what the program looks up."""

from datetime import date, timedelta

import pytest

from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood

LAID = date(2026, 4, 29)
WARMTH = EggWarmth(34.0, 85.0, 170.0)


def by_hand(needed: float, day_warmth: list[float], later: float, limit: int) -> date | None:
    """Adds up the warmth of one day after the other, the day of laying first."""
    have = 0.0
    for days in range(limit + 1):
        if have >= needed:
            return LAID + timedelta(days)
        have += day_warmth[days] if days < len(day_warmth) else later
    return None


@pytest.mark.parametrize("known", [[0.0], [14.0] * 3, [3.0, 20.0, 0.0, 9.5, 11.0]])
@pytest.mark.parametrize("later", [0.0, 2.5, 10.0, 17.0])
def test_the_days_are_those_counted_one_by_one(known: list[float], later: float) -> None:
    on = LAID + timedelta(len(known) - 1)

    def between(first: date, before: date) -> float:
        assert before <= on + timedelta(1)
        return sum(known[(first - LAID).days : (before - LAID).days])

    limit = 60
    found = last_brood(LAID, WARMTH, between, later, on, limit_days=limit)
    most = limit + len(known) - 1
    first, usual, last = (by_hand(needed, known, later, most) for needed in (34.0, 85.0, 170.0))
    assert found == Brood(LAID, first, usual, last)
    if later == 0.0:
        assert found.last is None


def test_at_25_degrees_it_takes_what_the_source_says() -> None:
    # 17 degree-days a day at 25 degC; 2 to 10 days: Martin & Mau 2007, Univ. Hawaii
    found = last_brood(LAID, WARMTH, lambda *_: 17.0, 17.0, LAID)
    assert (found.first, found.last) == (LAID + timedelta(2), LAID + timedelta(10))
    # an allowance of 5 days at 25 degC
    assert found.usual == LAID + timedelta(5)
