"""Days as they are written on the screens are read where they are typed."""

from datetime import date, timedelta

import pytest

from rounds.words.days import written_day
from rounds.words.forms import calendar_day

TODAY = date(2026, 11, 7)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("8 November", date(2026, 11, 8)),
        ("8 nov", date(2026, 11, 8)),
        ("8. Nov.", date(2026, 11, 8)),
        ("November 8", date(2026, 11, 8)),
        ("Nov 8, 2025", date(2025, 11, 8)),
        ("2 January", date(2027, 1, 2)),
        ("29 February 2028", date(2028, 2, 29)),
        ("8 ma", None),
        ("31 November", None),
        ("8", None),
        ("November", None),
        ("8 November 2026 noon", None),
        ("8 Smarch", None),
        ("2026-11-08", None),
    ],
)
def test_a_day_with_its_month_in_words(text: str, day: date | None) -> None:
    assert written_day(text, TODAY) == day


def test_every_day_the_screens_write_is_read_back() -> None:
    for days in range(-500, 500, 3):
        day = TODAY + timedelta(days=days)
        assert written_day(calendar_day(day, TODAY), TODAY) == day
