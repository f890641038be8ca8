"""Why a chance clean is no higher, what would bring a day nearer, and what moved it."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from rounds.core.inference import holding
from rounds.core.inference.holding import holds_down
from rounds.service.collection.plants import (
    PlaceDetails,
    move_plant,
    plant_gone,
    put_place,
    put_weather,
)
from rounds.service.entries.value_changes import change_value
from rounds.service.inference.ahead import supposed_of, supposing
from rounds.service.inference.moved import moved_from
from rounds.service.inference.steps import finished
from rounds.service.inference.why import Why, kept_why, why_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.status import status_of, with_why
from rounds.store import derived, desk

from .asking import TODAY, Add, LookIn, before, found_three, record

DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def places(logbook: Logbook) -> None:
    """Two quarantine places far from each other, and two among the others."""
    for name, apart, bench in (
        ("stair", True, "landing"),
        ("loft", True, "beam"),
        ("sill", False, "landing"),
        ("gallery", False, "rail"),
    ):
        details = PlaceDetails(apart=apart, usual_c=22, bench=bench)
        put_place(logbook, local_noon(before(90)), name, details)


def arrives_infested(
    add: Add, look: LookIn, logbook: Logbook, code: str = "S03",
    every: int = 3, place: str = "stair", seconds: float = 60,
) -> None:  # fmt: skip
    """Three found when it came, three weeks ago; clean looks since."""
    add(code, place=place, arrived=before(21), on=before(21), source=code)
    found_three(logbook, code, before(21))
    for days in range(21 - every, -1, -every):
        look(code, before(days), seconds=seconds)


def infested_beside(add: Add, look: LookIn, code: str = "G05", place: str = "sill") -> None:
    """Five adults left on a plant ten days ago, looked at since without a find."""
    add(code, on=before(60), place=place)
    look(code, before(10), "axils", seconds=60, counts={"left": 5}, stage="adult")
    for days in (7, 4, 1):
        look(code, before(days), seconds=20)


def why(logbook: Logbook, code: str = "S03", on: date = TODAY) -> Why:
    found = why_of(record(logbook, code, on))
    assert found is not None
    return found


def points(logbook: Logbook, code: str = "S03") -> dict[str, float]:
    return {held.code: held.points for held in why(logbook, code).holds_down}


def days(logbook: Logbook, code: str = "S03", on: date = TODAY) -> dict[str, date]:
    return {way.code: way.expected_on for way in why(logbook, code, on).sooner}


def text_of(logbook: Logbook, reason: str, code: str = "S03") -> str:
    return next(held.text for held in why(logbook, code).holds_down if held.code == reason)


def ready_on(logbook: Logbook, code: str = "S03", on: date = TODAY) -> date:
    forecast = record(logbook, code, on).forecast
    assert forecast is not None
    assert forecast.ready_on is not None
    return forecast.ready_on


# what holds it down


def test_the_points_are_those_of_the_sums_on_its_log(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, look, logbook)
    found = record(logbook, "S03")
    expected = finished(holds_down(found.likely.facts, TODAY, found.parameters))
    told = [(held.code, held.points) for held in why(logbook).holds_down]
    assert told == [(held.code, held.points) for held in expected]
    assert {"last-find", "roots-unseen", "few-looks"} <= {code for code, _ in told}


def test_roots_seen_hold_nothing_down_any_more(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook)
    without = points(logbook)["roots-unseen"]
    before_it = record(logbook, "S03").likely.chance_clean
    look("S03", TODAY, "roots", seconds=120, unpotted=True)
    assert "roots-unseen" not in points(logbook)
    gained = 100 * (record(logbook, "S03").likely.chance_clean - before_it)
    assert gained == pytest.approx(without, rel=1e-6)


def test_a_find_taken_away_is_the_log_without_it(add: Add, look: LookIn, logbook: Logbook) -> None:
    for code in ("S03", "S05"):
        place = "stair" if code == "S03" else "loft"
        add(code, place=place, arrived=before(9), on=before(9), source=code)
        for number in range(9, -1, -3):
            look(code, before(number))
    look("S03", before(3), "axils", seconds=8.0 + 10, counts={"removed": 1})
    look("S05", before(3), "axils", seconds=10.0)
    apart = record(logbook, "S03").likely.chance_clean, record(logbook, "S05").likely.chance_clean
    assert points(logbook)["last-find"] == pytest.approx(100 * (apart[1] - apart[0]), rel=1e-6)


def test_a_neighbour_among_the_others_is_named_as_not_in_quarantine(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    infested_beside(add, look)
    add("G02", on=before(60), place="sill")
    text = text_of(logbook, "neighbour", "G02")
    assert text == "G05 nearby, not in quarantine"
    found = record(logbook, "G02")
    facts = found.likely.facts
    assert facts.neighbours
    move_plant(logbook, local_noon(TODAY), "G05", "stair")
    assert text_of(logbook, "neighbour", "G02") == "G05 nearby in quarantine"
    move_plant(logbook, local_noon(TODAY), "G05", "loft")
    assert text_of(logbook, "neighbour", "G02") == "G05, nearby earlier"
    plant_gone(logbook, local_noon(TODAY), "G05", "discarded")
    assert text_of(logbook, "neighbour", "G02") == "G05, nearby earlier"


def test_words_say_how_long_ago_and_how_seldom(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook)
    # 14 degree-days a day at 22 degC
    assert text_of(logbook, "last-find") == "last find 21 days, 294 degree-days ago"
    assert text_of(logbook, "few-looks") == "looks on only 7 of 21 days"
    add("S09", place="loft", arrived=before(4), on=before(4))
    assert text_of(logbook, "few-looks", "S09") == "no look for 4 days"
    assert text_of(logbook, "start", "S09") == "newly arrived, nobody has looked yet"
    look("S03", TODAY, "axils", seconds=30, counts={"removed": 1})
    assert text_of(logbook, "last-find") == "insects found today"


def test_of_a_plant_that_is_gone_nothing_is_told(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook)
    plant_gone(logbook, local_noon(TODAY), "S03", "died")
    assert why_of(record(logbook, "S03")) is None
    assert kept_why(record(logbook, "S03")) is None


# worked out once, for one plant


def test_it_is_kept_until_the_log_is_another(
    add: Add, look: LookIn, logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    arrives_infested(add, look, logbook)
    assert kept_why(record(logbook, "S03")) is None
    assert status_of(record(logbook, "S03")).why is None, "no list works it out"
    found = with_why(record(logbook, "S03"), status_of(record(logbook, "S03"))).why
    with monkeypatch.context() as changed:
        changed.delattr(holding, "holds_down")
        assert why_of(record(logbook, "S03")) == found
        assert status_of(record(logbook, "S03")).why == found
    derived.forget_all(logbook.file)
    assert why_of(record(logbook, "S03")) == found
    look("S03", TODAY, "axils", seconds=30)
    assert status_of(record(logbook, "S03")).why is None


# what would be sooner


def test_beside_a_plant_that_sends_insects_the_day_holds_only_if_it_is_moved_away(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    infested_beside(add, look)
    arrives_infested(add, look, logbook)
    ways = {way.code: way for way in why(logbook).sooner}
    assert ways["move-away"].expected_on == ready_on(logbook)
    assert ways["move-away"].text == "it is moved away from G05"
    assert ways["quarantine-neighbour"].expected_on == ready_on(logbook)
    assert ways["quarantine-neighbour"].text == "G05 is in quarantine"
    held = record(logbook, "S03")
    assert held.history is not None
    today = held.likely.facts.neighbours[TODAY]
    coming = dict.fromkeys((TODAY + DAY * n for n in range(1, 181)), today)
    sending = replace(supposed_of(held), coming=coming)
    stays = finished(supposing(held, held.history, sending))
    assert stays.ready_on is None or stays.ready_on > ready_on(logbook)
    move_plant(logbook, local_noon(TODAY), "S03", "loft")
    assert not {"move-away", "quarantine-neighbour"} & set(days(logbook))


def test_a_neighbour_in_quarantine_beside_it_is_not_put_there_again(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    infested_beside(add, look)
    move_plant(logbook, local_noon(before(3)), "G05", "stair")
    arrives_infested(add, look, logbook)
    assert "quarantine-neighbour" not in days(logbook)
    assert "move-away" in days(logbook)


def test_looked_at_daily_it_leaves_on_the_day_said(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, look, logbook, every=7)
    said = days(logbook)["daily-looks"]
    assert said < ready_on(logbook)
    assert leaves_on(logbook, look, said, every=1)


def test_looked_at_twice_as_long_it_leaves_on_the_day_said(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    desk.put_setting(logbook.file, "rules", "lenient")
    arrives_infested(add, look, logbook, seconds=30)
    said = days(logbook)["longer-looks"]
    assert said < ready_on(logbook)
    assert leaves_on(logbook, look, said, every=3, roots=False)


def test_its_roots_looked_at_tomorrow_it_leaves_on_the_day_said(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    desk.put_setting(logbook.file, "rules", "lenient")
    arrives_infested(add, look, logbook, every=3)
    way = next(w for w in why(logbook).sooner if w.code == "roots")
    assert way.text == "an extra roots check on 5 May"
    assert way.expected_on < ready_on(logbook)
    assert leaves_on(logbook, look, way.expected_on, every=3)


def leaves_on(
    logbook: Logbook, look: LookIn, said: date, every: int, seconds: float = 60,
    *, roots: bool = True,
) -> bool:  # fmt: skip
    """Whether all is met on a day, and was not on the day before, walking on with clean looks."""
    for number in range(1, (said - TODAY).days + 1):
        day = TODAY + timedelta(number)
        if number % every == 0:
            look("S03", day, seconds=seconds)
        if roots and number == 1:
            look("S03", day, "roots", seconds=120, unpotted=True)
    met = []
    for day in (said - DAY, said):
        release = status_of(record(logbook, "S03", day)).release
        met.append(release is not None and release.ready)
    return met == [False, True]


def test_earliest_first_and_only_what_is_earlier(add: Add, look: LookIn, logbook: Logbook) -> None:
    infested_beside(add, look)
    arrives_infested(add, look, logbook, every=7)
    ways = why(logbook).sooner
    assert len(ways) >= 3
    assert [w.expected_on for w in ways] == sorted(w.expected_on for w in ways)
    of_plant = [w for w in ways if w.code in ("roots", "longer-looks", "daily-looks")]
    assert of_plant
    assert all(TODAY < w.expected_on < ready_on(logbook) for w in of_plant)


def test_what_rests_on_days_and_warmth_alone_nothing_brings_nearer(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S03", place="stair", arrived=TODAY, on=TODAY)
    for _ in range(2):
        look("S03", TODAY)
    desk.put_setting(logbook.file, "rules", "lenient")
    assert ready_on(logbook) == TODAY + timedelta(21)
    assert days(logbook) == {}


def test_among_the_others_nothing_is_sooner_and_yet_it_is_held_down(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(60), place="gallery")
    found = why(logbook, "G02")
    assert found.sooner == ()
    assert {held.code for held in found.holds_down} >= {"few-looks", "arrivals"}


# what moved the day


def moved(logbook: Logbook, on: date = TODAY) -> str:
    found = why(logbook, on=on).moved
    return found.text if found else ""


def test_a_find_moves_the_day_and_is_named(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook, every=1)
    was = ready_on(logbook, on=before(1))
    assert moved(logbook) == "", "nothing but a day went by"
    look("S03", TODAY, "axils", seconds=30, counts={"removed": 1})
    day = f"{was.day} {was:%B}"
    assert moved(logbook) == f"on 3 May it was {day}; since then: insects found today"


def test_a_setting_moves_the_day_and_is_named(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook, every=1)
    ready_on(logbook, on=before(1))
    desk.put_setting(logbook.file, "rules", "strict")
    assert moved(logbook).endswith("the rules are strict now")


def test_changed_values_move_the_day_and_are_named(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, look, logbook, every=1)
    ready_on(logbook, on=before(1))
    code = "quarantine.settings.default.chance_clean"
    change_value(logbook, local_noon(TODAY), code, 0.999, "to be sure")
    assert moved(logbook).endswith("values were changed")


def test_looks_that_were_missed_are_named(add: Add, look: LookIn, logbook: Logbook) -> None:
    add("S03", place="stair", arrived=before(80), on=before(80))
    found_three(logbook, "S03", before(80))
    for number in range(72, 8, -7):
        look("S03", before(number))
    look("S03", before(16), "roots", seconds=120, unpotted=True)
    assert ready_on(logbook, on=before(6)) == before(2)
    told = moved(logbook)
    assert told == "on 28 April it was 2 May; since then: not fully checked since 25 April"


def test_the_cold_moves_the_day_and_is_named(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook, every=1)
    ready_on(logbook, on=before(1))
    for number in range(13):
        put_weather(logbook, local_noon(TODAY), "stair", before(number), 10, 14)
    assert "colder, 12.7 degC, was 22 degC" in moved(logbook)


def test_roots_not_looked_at_are_named(add: Add, look: LookIn, logbook: Logbook) -> None:
    # all but the roots is met: they are expected tomorrow, again and again
    add("S03", place="stair", arrived=before(60), on=before(60))
    found_three(logbook, "S03", before(60))
    for number in range(58, 4, -2):
        look("S03", before(number))
    look("S03", before(4))
    expected = ready_on(logbook, on=before(5))
    assert expected == before(4)
    assert "the roots were not checked on 30 April" in moved(logbook)


def kept(**other: Any) -> dict[str, Any]:
    """A forecast as it is kept on 3 May, but for some of what it rests on."""
    rests = {
        "on": "2026-05-03", "began_on": "2026-04-01", "found_on": None, "rules": "default",
        "every_days": 3, "seen_on": "2026-05-03", "root_looks": 0, "mean_c": 18.0,
        "from_near": 0.0,
    }  # fmt: skip
    roots, ready = other.pop("roots_on", None), other.pop("ready_on", "2026-05-20")
    return {
        "criteria": {"medium_and_roots": roots}, "ready_on": ready, "others_on": ready,
        "rests_on": {**rests, **other},
    }  # fmt: skip


LATER, EARLIER = "2026-05-28", "2026-05-12"


@pytest.mark.parametrize(
    ("ready", "then", "now", "why"),
    [
        (LATER, {}, {"every_days": 7}, "looked at every 7 days, before that every 3 days"),
        (EARLIER, {}, {"every_days": 1}, "looked at more often, every day"),
        (EARLIER, {}, {"root_looks": 1}, "the roots were checked"),
        (EARLIER, {}, {"mean_c": 24.0}, "warmer, 24 degC, was 18 degC"),
        (LATER, {}, {"mean_c": 15.0}, "colder, 15 degC, was 18 degC"),
        (LATER, {}, {"from_near": 0.2}, "more insects on plants nearby"),
        (EARLIER, {"from_near": 0.2}, {}, "fewer insects on plants nearby"),
        (EARLIER, {"found_on": "2026-05-02"}, {}, "a find no longer counts"),
        (EARLIER, {}, {}, "entries made or corrected"),
    ],
)
def test_what_changed_is_named(
    ready: str, then: dict[str, Any], now: dict[str, Any], why: str
) -> None:
    at = {"on": "2026-05-04", "seen_on": "2026-05-04", "ready_on": ready}
    found = moved_from(kept(**then), kept(**{**at, **now}))
    assert found is not None
    assert found.text == f"on 3 May it was 20 May; since then: {why}"
    assert found.was == date(2026, 5, 20)


def test_a_later_find_that_puts_nothing_off_is_not_told_as_one_that_no_longer_counts() -> None:
    at = {"on": "2026-05-04", "seen_on": "2026-05-04", "ready_on": EARLIER}
    found = moved_from(kept(found_on="2026-05-02"), kept(**at, found_on="2026-05-04"))
    assert found is not None
    assert found.text == "on 3 May it was 20 May; since then: entries made or corrected"


def test_from_no_date_to_one_and_back_is_told_and_three_days_are_not() -> None:
    at = {"on": "2026-05-04", "seen_on": "2026-05-04"}
    none = moved_from(kept(ready_on=None), kept(**at))
    assert none is not None
    assert none.text.startswith("on 3 May there was no date; since then: ")
    assert moved_from(kept(), kept(**at, ready_on=None)) is not None
    assert moved_from(kept(), kept(**at, ready_on="2026-05-23")) is None
    assert moved_from(kept(), kept(**at, ready_on="2026-05-24")) is not None
    assert moved_from(kept(), kept(**at, began_on="2026-05-01", ready_on=LATER)) is None
    without = {key: told for key, told in kept().items() if key != "rests_on"}
    assert moved_from(without, kept(**at, ready_on=LATER)) is None


def test_what_was_told_long_ago_is_not_compared(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, look, logbook, every=1)
    ready_on(logbook, on=before(8))
    look("S03", TODAY, "axils", seconds=30, counts={"removed": 1})
    assert moved(logbook) == ""
