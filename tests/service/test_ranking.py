"""All plants in a line: the round's own order, other orders, and which of them."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.release import end_quarantine
from rounds.service.day.at_hand import planned_day
from rounds.service.day.day import Day
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.ranking import (
    CHOICES,
    ORDERS,
    PlantLine,
    Ranking,
    chosen_lines,
    matching_lines,
    rank,
    sorted_lines,
)
from rounds.service.plan.today import DayPlan
from rounds.service.plant.status_text import standing_text, where_text
from tests.days import whole_day

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def codes(lines: list[PlantLine] | tuple[PlantLine, ...]) -> list[str]:
    return [line.status.code for line in lines]


def planned_of(day: Day) -> DayPlan:
    assert day.plan is not None
    return day.plan


def ranked(logbook: Logbook, minutes: float | None = None) -> Ranking:
    day = planned_day(logbook, TODAY, minutes)
    return rank(day.ordered, day.plan, TODAY)


def line_of(ranking: Ranking, code: str) -> PlantLine:
    return next(line for line in ranking.lines if line.status.code == code)


@pytest.fixture
def porch(add: Add, look: LookIn, logbook: Logbook) -> None:
    """Seven plants: two apart, one on watch, one found on, one with a doubt, one new."""
    add("G02", "Thole", on=LONG_AGO, spot="spot 10")
    add("G04", "Cuddy", on=LONG_AGO, spot="spot 9")
    add("G05", "Halyard", on=LONG_AGO, place="seedling bench")
    add("G14", "gimbal", on=LONG_AGO, spot="Spot 10b")
    add("G07", "Lanyard", on=before(6), place="stair foot", arrived=before(6))
    add("S03", "Pintle", on=before(50), place="stair foot", arrived=before(50))
    add("G11", "Bollard", on=LONG_AGO, place="stair foot", arrived=LONG_AGO)
    end_quarantine(logbook, local_noon(before(3)), "G11", "wanted on the shelf")
    # before G02 was looked at on that day, which settles what it is owed
    look("G04", before(2), "axils", counts={"removed": 2})
    for code, days in (("G02", (4, 2)), ("G04", (3,)), ("G05", (9, 8, 1)), ("S03", (40,))):
        for day in days:
            look(code, before(day))
    look("S03", before(20), "axils", counts={"killed": 1})
    look("G05", before(1), "axils", seconds=1, counts={"doubtful": 2})


@pytest.fixture
def ranking(porch: None, logbook: Logbook) -> Ranking:
    """The porch as two minutes reach it."""
    return ranked(logbook, 2.6)


def test_lines_stand_in_the_order_of_the_plan_they_were_made_of(
    porch: None, logbook: Logbook
) -> None:
    day = planned_day(logbook, TODAY, 2.6)
    ranking = ranked(logbook, 2.6)
    assert [line.status for line in ranking.lines] == list(day.ordered), "the same, not others"
    assert [line.position for line in ranking.lines] == [1, 2, 3, 4, 5, 6, 7]
    assert codes(ranking.lines) == ["G04", "G14", "S03", "G07", "G11", "G02", "G05"]
    planned = {plant.status.code for plant in planned_of(day).plan}
    left = {plant.status.code for plant in planned_of(day).left_out}
    assert planned
    assert left
    assert {line.status.code for line in ranking.lines if line.is_planned} == planned
    assert {line.status.code for line in ranking.lines if line.waits} == left


def test_a_plant_seen_whole_today_is_neither_planned_nor_waits(
    porch: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", TODAY)
    line = line_of(ranked(logbook, 2.6), "S03")
    assert (line.is_planned, line.waits, line.status.last_look_on) == (False, False, TODAY)


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ("need", ["G04", "G14", "S03", "G07", "G11", "G02", "G05"]),
        # upper and lower case mix
        ("name", ["G11", "G04", "G14", "G05", "G07", "S03", "G02"]),
        # none comes first, as needed; then 2 in 2 days, 2 in 3 days
        ("streak", ["G04", "G14", "S03", "G07", "G11", "G05", "G02"]),
        # never comes first, then 20, 2, 2 and 1 days ago
        ("last-look", ["G14", "G07", "G11", "S03", "G04", "G02", "G05"]),
        # 2, then 20 days ago, then never as needed
        ("last-find", ["G04", "S03", "G14", "G07", "G11", "G02", "G05"]),
        # porch shelf spot 9, 10, 10b, the bench, the stair foot
        ("place", ["G04", "G02", "G14", "G05", "S03", "G07", "G11"]),
    ],
)
def test_the_orders(ranking: Ranking, order: str, expected: list[str]) -> None:
    assert codes(sorted_lines(ranking.lines, order)) == expected
    # whatever order they come in
    assert codes(sorted_lines(reversed(ranking.lines), order)) == expected


@pytest.mark.parametrize(
    ("which", "expected"),
    [
        ("all", ["G04", "G14", "S03", "G07", "G11", "G02", "G05"]),
        ("apart", ["S03", "G07"]),
        ("watch", ["G11"]),
        ("doubts", ["G05"]),
        ("collection", ["G04", "G14", "G02", "G05"]),
    ],
)
def test_the_choices(ranking: Ranking, which: str, expected: list[str]) -> None:
    assert codes(chosen_lines(ranking.lines, which)) == expected


def test_planned_and_waiting_share_what_is_to_do(ranking: Ranking) -> None:
    planned = codes(chosen_lines(ranking.lines, "planned"))
    waiting = codes(chosen_lines(ranking.lines, "waiting"))
    assert planned == ["G04", "G14", "S03"]
    assert waiting == ["G07", "G11", "G02", "G05"]


def test_a_choice_keeps_the_order_it_is_given(ranking: Ranking) -> None:
    by_name = sorted_lines(ranking.lines, "name")
    assert codes(chosen_lines(by_name, "collection")) == ["G04", "G14", "G05", "G02"]


def test_once_read_nothing_is_read_again(ranking: Ranking, logbook: Logbook) -> None:
    def everything() -> list[list[str]]:
        return [
            codes(chosen_lines(sorted_lines(ranking.lines, order), which))
            for order in ORDERS
            for which in CHOICES
        ]

    first = everything()
    logbook.close()
    assert everything() == first


@pytest.mark.usefixtures("porch")
def test_a_line_says_what_is_known_of_its_plant(logbook: Logbook) -> None:
    day = whole_day(logbook, TODAY)
    lines = rank(day.ordered, day.plan, TODAY).lines
    by_code = {line.status.code: line.status for line in lines}
    pintle, cuddy, lanyard = by_code["S03"], by_code["G04"], by_code["G07"]
    assert (pintle.standing, standing_text(pintle)) == ("quarantine", "day 50 of quarantine")
    assert where_text(pintle) == "stair foot"
    assert pintle.reasons[0].text == "in quarantine for 50 days"
    assert pintle.release is not None
    assert pintle.release.expected_on is not None
    assert pintle.release.expected_on > TODAY
    assert (cuddy.release, cuddy.watched_until) == (None, None)
    assert (cuddy.streak.looks, cuddy.last_find_on, cuddy.is_found_lately) == (0, before(2), True)
    assert where_text(cuddy) == "porch shelf, spot 9"
    assert by_code["G05"].open_doubts == 2
    assert by_code["G05"].streak.looks == 2
    watched = by_code["G11"].watched_until
    assert watched is not None
    assert watched > TODAY
    assert (lanyard.last_look_on, lanyard.last_find_on) == (None, None)
    assert not lanyard.is_found_lately


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("g02", ["G02"]),
        ("G0", ["G04", "G07", "G02", "G05"]),
        ("YARD", ["G07", "G05"]),
        ("Thole", ["G02"]),
        ("G99", []),
    ],
)
def test_a_plant_is_found_by_code_or_part_of_its_name(
    ranking: Ranking, typed: str, expected: list[str]
) -> None:
    assert codes(matching_lines(ranking.lines, typed)) == expected


def test_a_whole_code_finds_that_plant_alone(add: Add, logbook: Logbook) -> None:
    add("G1", "Thole")
    add("G11", "Bollard, child of g1")
    lines = ranked(logbook).lines
    assert codes(matching_lines(lines, "g1")) == ["G1"]
    assert codes(matching_lines(lines, "child of g1")) == ["G11"]


def test_no_plants_make_no_lines(logbook: Logbook) -> None:
    ranking = ranked(logbook)
    assert (ranking.on, ranking.lines) == (TODAY, ())
    assert sorted_lines(ranking.lines, "place") == []
