"""Insects found again and again: since when, and when the roots are asked for."""

from datetime import date, timedelta

import pytest

from rounds.core.plan.again import found_again_since, roots_asked_from
from rounds.service.logbook.parameters import load_parameters

RULES = load_parameters().planning.claims
TODAY = date(2026, 5, 30)


def before(*days: int) -> list[date]:
    return [TODAY - timedelta(day) for day in days]


@pytest.mark.parametrize(
    ("found", "since"),
    [
        ([], None),
        (before(3), None),
        (before(24, 17, 10, 3), before(24)[0]),
        (before(60, 24, 17, 10, 3), before(24)[0]),
        (before(31, 17, 3), before(31)[0]),
        (before(24, 17, 10), None),
    ],
    ids=["none", "once", "on and on", "an older run", "14 days apart", "none lately"],
)
def test_finds_go_on_where_none_is_far_from_the_next(found: list[date], since: date | None) -> None:
    assert found_again_since(found, TODAY, RULES) == since


def test_the_roots_are_asked_for_after_three_weeks_and_three_weeks_after_a_look_at_them() -> None:
    since, looked = before(24)[0], before(10)[0]
    assert roots_asked_from(since, None, RULES) == since + timedelta(21)
    assert roots_asked_from(since, looked, RULES) == looked + timedelta(21)
    assert roots_asked_from(since, since - timedelta(30), RULES) == since + timedelta(21)
