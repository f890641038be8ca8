"""Days to come: the chance on each, and when a plant may leave."""

from dataclasses import replace
from datetime import date

import pytest

from rounds.core.body import make_body
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts
from rounds.core.inference.observed import Log
from rounds.core.inference.side_by_side import answers_of_clean
from rounds.core.log.effective import EffectiveLook
from rounds.core.quarantine.criteria import QuarantineHistory
from rounds.core.quarantine.days import days_looked
from rounds.core.quarantine.forecast import ChanceAhead, Forecast, days_to_come, forecast
from rounds.core.quarantine.outlook import Outlook

from .asked import chances_ahead
from .logs import DAY_0, PARAMETERS, PEST, facts, look, on, tally, whole

THREE_FOUND = {"axils": [tally(2)], "undersides": [tally()]}
RULES = PARAMETERS.pests[PEST].rules


def arrived_infested() -> list[EffectiveLook]:
    """Three found on the day of arrival, and taken off."""
    return whole(0, THREE_FOUND)


def test_days_ahead_are_as_if_they_had_been_logged() -> None:
    looks = [*arrived_infested(), *(k for day in (2, 4, 5) for k in whole(day))]
    log = gather(facts(looks), on(5), PARAMETERS).log
    now, ahead = Log(log.start, log.landing, log.days[:2]), log.days[2:]
    got = chances_ahead(now, ahead)
    for number in range(len(ahead) + 1):
        cut = Log(log.start, log.landing, log.days[: 2 + number])
        assert got[number] == pytest.approx(chance_clean(cut), rel=1e-12)


def test_days_ahead_of_a_log_with_finds() -> None:
    looks = [*whole(0), *whole(1, THREE_FOUND), *whole(2, {"axils": [tally(stage="adult")]})]
    log = gather(facts([*looks, *whole(3), *whole(4)]), on(4), PARAMETERS).log
    got = chances_ahead(Log(log.start, log.landing, log.days[:3]), log.days[3:])
    assert got[2] == pytest.approx(chance_clean(log), rel=1e-12)


def outlook_of(
    of: PlantFacts, day: date, interval: int, celsius: float
) -> tuple[QuarantineHistory, Outlook]:
    looked = days_looked(of.looks, of.body_on, PEST, PARAMETERS.inspection)
    live = [d.day for d in looked if d.live]
    history = QuarantineHistory(
        began_on=DAY_0,
        last_live_on=max(live, default=None),
        days=looked,
        ever_found=bool(live),
        chance=chance_clean(gather(of, day, PARAMETERS).log),
        chance_low=None,
        degree_days_between=lambda first, last: (min(celsius, 28) - 8) * (last - first).days,
    )
    until = on((day - DAY_0).days + 180)
    to_come = days_to_come(history, day, RULES["default"], interval, until)
    return history, Outlook(of, day, PARAMETERS, to_come, looked, celsius)


def foreseen(celsius: float, every: int, limit: int = 180) -> Forecast:
    of = facts(arrived_infested(), celsius=celsius)
    history, outlook = outlook_of(of, DAY_0, every, celsius)
    return forecast(
        history, DAY_0, RULES["default"], every, celsius - 8, limit, ChanceAhead(outlook)
    )


def wait(celsius: float, every: int) -> int:
    ready_on = foreseen(celsius, every).ready_on
    assert ready_on is not None
    return (ready_on - DAY_0).days


def test_three_found_on_arrival_then_clean_leaves_in_four_to_eight_weeks() -> None:
    # Common practice; extension advice of 2 to 6 weeks, median about 4.
    assert 28 <= wait(22, 1) <= 56


def test_a_colder_place_takes_longer() -> None:
    assert wait(16, 1) > wait(26, 1)


def test_looking_less_often_takes_longer_and_weekly_is_not_never() -> None:
    daily, third, weekly = (wait(22, every) for every in (1, 3, 7))
    assert daily < third < weekly <= 180


def test_beyond_the_limit_no_day_is_named() -> None:
    found = foreseen(22, 1, limit=20)
    assert found.ready_on is None
    [chance] = [c for c in found.criteria if c.code == "chance_clean"]
    assert chance.expected_on is None


def test_the_chance_has_a_day_of_its_own() -> None:
    found = foreseen(22, 1)
    [chance] = [c for c in found.criteria if c.code == "chance_clean"]
    of = facts(arrived_infested())
    _, outlook = outlook_of(of, DAY_0, 1, 22)
    assert chance.expected_on is not None
    assert outlook(chance.expected_on) >= 0.95
    assert outlook(on((chance.expected_on - DAY_0).days - 1)) < 0.95


def test_a_low_end_below_what_is_asked_keeps_a_strict_plant() -> None:
    history, outlook = outlook_of(facts([]), DAY_0, 1, 22)
    dates = [
        forecast(history, DAY_0, RULES["strict"], 1, 14, 180, ChanceAhead(outlook, low)).criteria[
            -1
        ]
        for low in (lambda _: 0.94, lambda _: 0.96)
    ]
    assert dates[0].expected_on is None
    assert dates[1].expected_on is not None


def test_usual_seconds_are_those_of_the_last_complete_looks() -> None:
    twice = [replace(one, seconds=one.seconds * 2) for day in range(3) for one in whole(day)]
    once = [one for day in range(3) for one in whole(day)]
    chances = []
    for looks in (once, twice):
        of = facts([*looks, look(3, "axils", tally(stage="adult"))])
        _, outlook = outlook_of(of, on(3), 1, 22)
        chances.append(outlook(on(4)))
    assert chances[1] > chances[0]
    of = facts([*twice, look(3, "axils", tally(stage="adult"))])
    _, outlook = outlook_of(of, on(3), 1, 22)
    longer = [replace(one, seconds=one.seconds * 2) for one in whole(4)]
    logged = facts([*of.looks, *longer])
    assert outlook(on(4)) == pytest.approx(chance_clean(gather(logged, on(4), PARAMETERS).log))


def test_a_collection_is_worked_out_as_plant_by_plant() -> None:
    rosette = make_body("rosette", "small", False, PARAMETERS)
    of_plants = [
        facts([k for day in range(0, 20, every) for k in whole(day)], celsius=celsius)
        for every in (1, 3, 7)
        for celsius in (18.0, 22.0)
    ]
    of_plants += [
        facts(arrived_infested()),
        facts([]),
        replace(facts(whole(15)), first_day=on(12)),
        replace(facts([]), first_day=on(20)),
        facts([*whole(1), look(1, "axils", seconds=5)], arrived=False, apart=False),
        facts(whole(2, body=rosette), body=rosette),
    ]
    logs = [gather(of, on(20), PARAMETERS).log for of in of_plants]
    one_by_one = [answer(log, with_interval=False) for log in logs]
    together = answers_of_clean(logs)
    assert sorted(together) == [number for number in range(len(logs)) if number != 6]
    for number, (clean, mean) in together.items():
        assert clean == pytest.approx(one_by_one[number].chance_clean, rel=1e-12)
        assert mean == pytest.approx(one_by_one[number].mean, rel=1e-12, abs=1e-15)
