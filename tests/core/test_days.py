"""Seconds count only where someone looked; a doubt makes its zone unseen."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.body import Body, ZoneReference, make_body
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.quarantine.days import (
    DayLooked,
    credited_seconds,
    days_looked,
    open_doubts,
    zones_seen,
)
from rounds.service.logbook.parameters import load_parameters

PARAMETERS = load_parameters()
INSPECTION = PARAMETERS.inspection
LEAFY = make_body("leafy-plant", "medium", False, PARAMETERS)
DAY = date(2026, 5, 4)
PEST = "mealybug"


def _tally(
    kind: str, count: int = 1, pest: str = PEST, settled: str | None = None
) -> EffectiveTally:
    return EffectiveTally(1, kind, None, pest, count, 0, settled)


def _look(
    zone: str = "axils",
    seconds: float = 60,
    *tallies: EffectiveTally,
    day: date = DAY,
    outcome: str = "looked",
    unpotted: bool = False,
    is_open: bool = False,
) -> EffectiveLook:
    return EffectiveLook(1, day, zone, 1, 0, seconds, outcome, None, unpotted, is_open, tallies)


def _whole(
    body: Body = LEAFY, share: float = 1, but: tuple[str, ...] = (), day: date = DAY
) -> list[EffectiveLook]:
    """A look at each outside zone for a share of its reference seconds."""
    return [
        _look(zone.zone, zone.reference_seconds * share, day=day)
        for zone in body.outside
        if zone.zone not in but
    ]


def _days(
    looks: list[EffectiveLook], body: Body = LEAFY, pest: str = PEST
) -> tuple[DayLooked, ...]:
    return days_looked(tuple(looks), lambda _: body, pest, INSPECTION)


def _only(looks: list[EffectiveLook], body: Body = LEAFY, pest: str = PEST) -> DayLooked:
    [day] = _days(looks, body, pest)
    return day


def _seen(looks: list[EffectiveLook], body: Body = LEAFY) -> frozenset[str]:
    return zones_seen(DAY, looks, body, open_doubts(looks, PEST), INSPECTION)


@pytest.mark.parametrize(
    ("look", "credited"),
    [
        (_look("axils", 50), 50),
        (_look("axils", 50, _tally("removed", 2), _tally("doubtful")), 50 - 3 * 8),
        (_look("axils", 50, _tally("doubtful", 2, settled="remains")), 50 - 2 * 8),
        (_look("axils", 50, _tally("left", 6)), 2),
        (_look("axils", 50, _tally("killed", 7)), 0),
        (_look("axils", 299), 299),
        (_look("axils", 301), 300),
        (_look("axils", 4000, _tally("removed", 99)), 300),
        (_look("axils", 50, outcome="cannot-see"), 0),
        (_look("axils", 50, outcome="partial"), 0),
        (_look("axils", 50, _tally("removed"), outcome="partial", is_open=True), 0),
        (_look("axils", 50, is_open=True), 0),
    ],
)
def test_seconds_are_credited_less_the_finds_and_within_bounds(
    look: EffectiveLook, credited: float
) -> None:
    assert credited_seconds(look, 100, INSPECTION) == credited


def test_half_the_reference_seconds_of_each_zone_make_a_complete_look() -> None:
    day = _only(_whole(share=0.5))
    assert day.complete
    assert day.clean
    assert _seen(_whole(share=0.5)) == {zone.zone for zone in LEAFY.outside}
    assert not _only(_whole(share=0.499)).complete


def test_ten_percent_of_the_outside_weight_may_be_missing() -> None:
    # Outside the roots .95 of the weight; .90 of that is .855.
    assert _only(_whole(but=("stem-base", "pot-rim"))).complete  # .87
    assert not _only(_whole(but=("sheaths",))).complete  # .85
    assert not _only(_whole(but=("stem-base", "pot-rim", "medium"))).complete  # .85


def test_exactly_nine_tenths_are_enough_in_spite_of_rounding() -> None:
    # .3 + .3 + .3 is less than .9 of .3 + .1 + .3 + .3 in floating point.
    weights = {"axils": 0.3, "sheaths": 0.1, "undersides": 0.3, "new-growth": 0.3}
    zones = tuple(ZoneReference(code, weight, 0.4, 100) for code, weight in weights.items())
    body = Body("leafy-plant", "medium", False, zones)
    assert _only(_whole(body, but=("sheaths",)), body).complete
    assert not _only(_whole(body, but=("axils",)), body).complete


def test_half_the_seconds_are_enough_in_spite_of_rounding() -> None:
    # Eight times .1 is less than .8 in floating point.
    body = Body("leafy-plant", "medium", False, (ZoneReference("axils", 1, 0.4, 1.6),))
    assert _only([_look("axils", 0.1) for _ in range(8)], body).complete
    assert not _only([_look("axils", 0.1) for _ in range(7)], body).complete


def test_seconds_of_a_zone_add_up_over_the_day_but_not_over_days() -> None:
    halves = [*_whole(share=0.25), *_whole(share=0.25)]
    assert _only(halves).complete
    spread = [*_whole(share=0.25), *_whole(share=0.25, day=DAY + timedelta(days=1))]
    assert [day.complete for day in _days(spread)] == [False, False]


def test_seconds_in_one_zone_do_not_make_up_for_another() -> None:
    looks = [_look("axils", 10_000)]
    assert _seen(looks) == {"axils"}
    assert not _only(looks).complete


def test_days_come_in_order_one_for_each_with_any_look() -> None:
    looks = [
        _look(day=DAY + timedelta(days=2), outcome="cannot-see", seconds=0),
        _look(day=DAY),
        _look("sheaths", day=DAY),
    ]
    days = _days(looks)
    assert [day.day for day in days] == [DAY, DAY + timedelta(days=2)]
    assert days[1] == DayLooked(DAY + timedelta(days=2), False, False, False, False)


@pytest.mark.parametrize("kind", ["removed", "killed", "left"])
@pytest.mark.parametrize(("outcome", "is_open"), [("looked", False), ("partial", True)])
def test_any_find_makes_the_day_live(kind: str, outcome: str, is_open: bool) -> None:
    day = _only([*_whole(), _look("axils", 5, _tally(kind), outcome=outcome, is_open=is_open)])
    assert day.live
    assert not day.clean
    assert day.complete


def test_finds_and_doubts_of_another_pest_do_not_count() -> None:
    others = [_tally("removed", pest="scale"), _tally("doubtful", 9, pest="scale")]
    looks = [*_whole(), _look("axils", 200, *others)]
    assert _only(looks).clean
    assert _only(looks).complete
    assert _only(looks, pest="scale").live


def test_an_open_doubt_makes_its_zone_unseen_that_day() -> None:
    looks = [*_whole(), _look("axils", 60, _tally("doubtful"), outcome="partial")]
    day = _only(looks)
    assert "axils" not in _seen(looks)
    assert not day.complete
    assert day.clean


def test_earlier_looks_stay_when_a_doubt_is_entered() -> None:
    doubted = [*_whole(), _look("axils", 60, _tally("doubtful"), day=DAY + timedelta(days=1))]
    assert [day.complete for day in _days(doubted)] == [True, False]


@pytest.mark.parametrize(
    ("settled", "complete", "live"),
    [("remains", True, False), ("not-an-insect", True, False), ("alive", True, True)],
)
def test_a_settled_doubt_hides_nothing(settled: str, complete: bool, live: bool) -> None:
    day = _only([*_whole(), _look("axils", 60, _tally("doubtful", settled=settled))])
    assert (day.complete, day.live) == (complete, live)


def _doubted(*spots: tuple[int, str, int]) -> list[bool]:
    """Whether each day counts as live, given days, zones and counts of open doubts."""
    looks = [
        _look(zone, 60, _tally("doubtful", count), day=DAY + timedelta(days=offset))
        for offset, zone, count in spots
    ]
    return [day.live for day in _days(looks)]


@pytest.mark.parametrize(
    ("spots", "live"),
    [
        ([(0, "axils", 2)], [False]),
        ([(0, "axils", 3)], [True]),
        ([(0, "axils", 1), (3, "axils", 1), (7, "axils", 1)], [False, False, True]),
        ([(0, "axils", 1), (3, "axils", 1), (8, "axils", 1)], [False, False, False]),
        ([(0, "axils", 2), (7, "axils", 1), (8, "axils", 1)], [False, True, False]),
        ([(0, "axils", 2), (6, "axils", 1), (7, "axils", 1)], [False, True, True]),
        ([(0, "axils", 2), (1, "sheaths", 2)], [False, False]),
        ([(0, "axils", 2), (1, "axils", 2), (2, "sheaths", 1)], [False, True, False]),
    ],
)
def test_the_third_open_doubt_within_a_week_in_a_zone_counts_as_live(
    spots: list[tuple[int, str, int]], live: list[bool]
) -> None:
    assert _doubted(*spots) == live


def test_doubts_of_several_looks_of_one_day_add_up() -> None:
    looks = [_look("axils", 60, _tally("doubtful")) for _ in range(3)]
    assert _only(looks).live
    assert not _only(looks[:2]).live


def test_settling_one_of_three_doubts_takes_the_live_day_back() -> None:
    open_doubt, settled = _tally("doubtful"), _tally("doubtful", settled="remains")
    assert _only([_look("axils", 60, open_doubt, open_doubt, open_doubt)]).live
    assert not _only([_look("axils", 60, open_doubt, open_doubt, settled)]).live


CLEAR = make_body("leafy-plant", "medium", True, PARAMETERS)


@pytest.mark.parametrize(
    ("body", "looks", "seen"),
    [
        (LEAFY, [_look("roots", 60, unpotted=True)], True),
        (LEAFY, [_look("roots", 59, unpotted=True)], False),
        (LEAFY, [_look("roots", 30, unpotted=True), _look("roots", 30, unpotted=True)], True),
        (LEAFY, [_look("roots", 60)], False),
        (LEAFY, [_look("roots", 30, unpotted=True), _look("roots", 30)], False),
        (CLEAR, [_look("roots", 60)], True),
        (CLEAR, [_look("roots", 60, outcome="cannot-see")], False),
        (LEAFY, [_look("roots", 90, _tally("doubtful"), unpotted=True)], False),
        (LEAFY, [_look("roots", 90, _tally("removed"), unpotted=True)], True),
        (LEAFY, [_look("axils", 60, unpotted=True)], False),
    ],
)
def test_roots_are_seen_out_of_the_pot_or_through_a_clear_one(
    body: Body, looks: list[EffectiveLook], seen: bool
) -> None:
    day = _only(looks, body)
    assert day.roots_seen is seen
    assert ("roots" in _seen(looks, body)) is seen


def test_a_complete_look_needs_no_roots_and_roots_do_not_help_it() -> None:
    assert _only(_whole()).complete
    with_roots = [*_whole(but=("sheaths",)), _look("roots", 120, unpotted=True)]
    assert not _only(with_roots).complete


def test_the_medium_is_noted_by_itself() -> None:
    assert _only(_whole()).medium_seen
    without = _only(_whole(but=("medium",)))
    assert without.complete
    assert not without.medium_seen


def test_a_find_in_a_zone_the_plant_no_longer_has_counts_and_its_seconds_do_not() -> None:
    looks = [_look("flowers", 100, _tally("removed"))]
    assert _only(looks).live
    assert _seen(looks) == frozenset()


def test_each_day_is_measured_by_the_body_of_that_day() -> None:
    grown_on = DAY + timedelta(days=1)
    large = make_body("leafy-plant", "large", False, PARAMETERS)
    body_on: Callable[[date], Body] = lambda day: large if day >= grown_on else LEAFY  # noqa: E731
    looks = [*_whole(share=0.6), *_whole(share=0.6, day=grown_on)]
    days = days_looked(tuple(looks), body_on, PEST, INSPECTION)
    assert [day.complete for day in days] == [True, False]
