"""Charts say what a hand-made log holds, and read only what they draw."""

from datetime import date, timedelta
from typing import Any

import pytest

from rounds.service.charts.asked import ChartAsked, charts_of
from rounds.service.charts.chart import Chart, count_axis
from rounds.service.collection.plants import PlantDetails, add_plant, move_plant
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import collection_on
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.what_if.supposing import AS_IT_GOES, WhatIfAsked
from rounds.words.forms import day_month

TODAY = date(2026, 5, 4)


def _on(days_ago: int) -> Any:
    return local_noon(TODAY - timedelta(days=days_ago))


@pytest.fixture
def season(logbook: Logbook) -> Logbook:
    """Two plants with finds, one of them taken back, a clean one; one of them moved apart."""
    for code, source in (("G02", "the ferry"), ("G05", "the ferry"), ("S09", "a neighbour")):
        details = PlantDetails(name=code, place="porch shelf", source=source, already_here=True)
        add_plant(logbook, _on(40), code, details)

    def look(code: str, zone: str, days_ago: int, removed: int, *, unpotted: bool = False) -> str:
        entered = LookEntered((zone,), 60.0, {"removed": removed}, unpotted=unpotted)
        written, _ = enter_look(logbook, _on(days_ago), code, entered)
        return str(written.look_ids[0])

    look("G02", "axils", 20, 3)
    look("G02", "axils", 9, 2)
    look("G02", "undersides", 9, 1)
    look("G02", "axils", 3, 0)
    look("G05", "axils", 2, 4)
    wrong = look("G05", "new-growth", 1, 9)
    withdraw(logbook, _on(0), wrong)
    look("G02", "roots", 2, 0, unpotted=True)
    move_plant(logbook, _on(8), "G02", "stair foot")
    return logbook


def _chart(logbook: Logbook, code: str, plant: str | None = None) -> Chart:
    found = logbook.collection().plant(plant) if plant else None
    asked = ChartAsked(code, found.id if found else None)
    return finished(asked.in_steps(collection_on(logbook, TODAY)))


def _values(chart: Chart, *keys: str) -> list[tuple[Any, ...]]:
    return [tuple(row.values[key] for key in keys) for row in chart.rows]


def test_a_plant_has_its_finds_by_day_with_moves_and_root_looks(season: Logbook) -> None:
    chart = _chart(season, "finds", "G02")
    days = [TODAY - timedelta(days=ago) for ago in (2, 3, 8, 9, 20)]
    assert _values(chart, "day", "found", "done") == [
        (days[0], 0, "roots"), (days[1], 0, ""), (days[2], None, "move"),
        (days[3], 3, ""), (days[4], 3, ""),
    ]  # fmt: skip
    columns = next(series for series in chart.series if series.kind == "column")
    assert [point.high for point in columns.points] == [3, 3]
    assert {series.sign for series in chart.series if series.kind == "sign"} == {"M", "R"}


def test_a_sign_says_what_it_means_with_its_place_and_where_quarantine_begins(
    season: Logbook,
) -> None:
    moved = next(s for s in _chart(season, "finds", "G02").series if s.sign == "M")
    assert moved.name == "moved into quarantine, stair foot"
    add_plant(season, _on(3), "S14", PlantDetails(name="S14", place="stair foot"))
    arrived = _chart(season, "finds", "S14")
    assert [series.sign for series in arrived.series if series.kind == "sign"] == ["Q"]
    assert _values(arrived, "day", "done") == [(TODAY - timedelta(days=3), "quarantine")]


def test_the_chance_chart_and_what_if_name_the_same_day(season: Logbook) -> None:
    for ago in (1, 0):
        enter_look(season, _on(ago), "G02", LookEntered((), 60.0))
    plant = season.collection().plant("G02")
    assert plant is not None
    day = collection_on(season, TODAY)
    chart = finished(ChartAsked("chance", plant.id).in_steps(day))
    supposed = finished(WhatIfAsked(plant.id, AS_IT_GOES).in_steps(day))
    reached = next(each.would_be for each in supposed.criteria if each.code == "chance_clean")
    assert reached is not None
    assert f"about {day_month(reached, TODAY)} if looks go on as now" in chart.sentence
    # on that day it is enough and on no day before that is drawn
    (asked,) = {p.low for s in chart.series if s.kind == "asked" for p in s.points}
    ahead = next(series for series in chart.series if series.kind == "ahead")
    assert min(p.at for p in ahead.points if p.low >= asked) == reached.toordinal()
    # the look at the roots that is supposed is marked
    assert any(series.sign == "R" for series in chart.series)


def test_weeks_sum_what_stands_and_none_of_what_was_taken_back(season: Logbook) -> None:
    chart = _chart(season, "weeks")
    found = _values(chart, "to", "found", "plants")
    assert found[:3] == [
        (TODAY, 4, 1),
        (TODAY - timedelta(days=7), 3, 1),
        (TODAY - timedelta(days=14), 3, 1),
    ]
    assert sum(count for _, count, _ in found) == 10
    sentence = _chart(season, "weeks").sentence
    assert sentence.startswith("4 insects in the week to 4 May, the most in ")
    assert sentence.endswith(" weeks, most of them on G05.")


def test_plants_in_quarantine_are_counted_at_the_end_of_each_week(season: Logbook) -> None:
    counts = _values(_chart(season, "quarantine"), "quarantine", "here")
    # the move to the quarantine place was eight days ago, after the week before ended
    assert [apart for apart, _ in counts[:3]] == [1, 1, 0]
    assert all(here == 3 for _, here in counts[:3])


def test_zones_share_the_finds_and_sources_their_plants(season: Logbook) -> None:
    zones = {zone: (finds, share) for zone, finds, share in
             _values(_chart(season, "zones"), "zone", "finds", "share")}  # fmt: skip
    plants = dict(_values(_chart(season, "zones"), "zone", "plants"))
    assert plants == {"axils": 2, "undersides": 1}
    assert zones == {"axils": (3, 0.75), "undersides": (1, 0.25)}
    sources = _values(_chart(season, "sources"), "source", "plants", "infested")
    assert sources == [("the ferry", 2, 2), ("a neighbour", 1, 0)]
    assert "too few plants to compare" in _chart(season, "sources").sentence


def test_every_chart_answers_on_an_empty_logbook(logbook: Logbook) -> None:
    day = collection_on(logbook, TODAY)
    for asked in charts_of(None):
        chart = finished(asked.in_steps(day))
        assert chart.sentence
        assert len(chart.heads) == 3


@pytest.mark.parametrize(("most", "named"), [(0, 4), (3, 4), (10, 15), (47, 60), (230, 300)])
def test_an_axis_of_counts_has_few_round_steps_and_holds_the_highest(most: int, named: int) -> None:
    axis = count_axis(most, "insects")
    assert axis.high >= max(1, most)
    assert len(axis.ticks) <= 6
    assert axis.high <= named


@pytest.fixture
def two_pests(season: Logbook) -> Logbook:
    """Soft scale and many mites besides, found on G02 yesterday; scale alone today."""
    for days_ago, pest, count in (
        (1, "soft-scale", 2),
        (1, "spider-mite", 20),
        (0, "soft-scale", 1),
    ):
        entered = LookEntered(("undersides",), 60.0, {"removed": count}, pest=pest)
        enter_look(season, _on(days_ago), "G02", entered)
    return season


def test_finds_of_several_pests_are_told_apart(two_pests: Logbook) -> None:
    chart = _chart(two_pests, "finds", "G02")
    assert chart.sentence == (
        "Insects on 4 of 6 days looked at: mealybug on 2, last 9 days ago; "
        "soft scale on 2, last today; spider mite on 1, last yesterday."
    )
    assert [row.cells[1] for row in chart.rows if row.values["found"]] == [
        "1 soft scale", "22, of 2 pests", "3 mealybug", "3 mealybug",
    ]  # fmt: skip
    assert "Of spider mite a count is what there is at least" in chart.about
    assert [row.values["found"] for row in chart.rows if row.values["found"]] == [1, 22, 3, 3]


def test_a_chance_of_one_of_several_pests_says_whose_it_is(two_pests: Logbook) -> None:
    assert "This is for soft scale." in _chart(two_pests, "chance", "G02").sentence
    assert "This is for" not in _chart(two_pests, "chance", "S09").sentence


def test_of_a_plant_with_one_pest_nothing_is_said_of_pests(season: Logbook) -> None:
    chart = _chart(season, "finds", "G02")
    assert "mealybug" not in chart.sentence
    assert [row.cells[1] for row in chart.rows][:1] == ["0"]
