"""What if: days move as they should, what is not supposed stays, and nothing is written."""

import sqlite3
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import collection_on
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.what_if.choices import changed, lines_of, values_of
from rounds.service.what_if.supposing import (
    AS_IT_GOES,
    Supposition,
    WhatIf,
    WhatIfAsked,
    supposition_in_steps,
)
from rounds.service.what_if.text import criteria_in_order, outcome_text, reason_texts
from rounds.words.forms import day_month

TODAY = date(2026, 5, 4)


@pytest.fixture
def newcomer(logbook: Logbook) -> Logbook:
    """One that came twelve days ago, with a find and two whole looks, three days apart."""
    details = PlantDetails(name="Lanyard", place="stair foot", size="small")
    add_plant(logbook, local_noon(TODAY - timedelta(days=12)), "G07", details)
    look = LookEntered(("axils",), 30.0, {"removed": 1})
    enter_look(logbook, local_noon(TODAY - timedelta(days=10)), "G07", look)
    for ago in (4, 1):
        whole = LookEntered((), 60.0)
        enter_look(logbook, local_noon(TODAY - timedelta(days=ago)), "G07", whole)
    return logbook


def _ask(logbook: Logbook, what: WhatIf) -> Supposition:
    plant = logbook.collection().plant("G07")
    assert plant is not None
    return finished(WhatIfAsked(plant.id, what).in_steps(collection_on(logbook, TODAY)))


def _day(found: Supposition, code: str) -> date | None:
    return next(each.would_be for each in found.criteria if each.code == code)


def test_as_it_goes_is_the_forecast_and_each_thing_moves_what_rests_on_it(
    newcomer: Logbook,
) -> None:
    now = _ask(newcomer, AS_IT_GOES)
    assert now.would_be == now.as_is
    assert now.as_is is not None
    assert now.usual.looks_a_week == pytest.approx(7 / 3)
    assert now.usual.seconds == pytest.approx(60)

    warmer = _ask(newcomer, WhatIf(celsius=26.0))
    assert warmer.would_be is not None
    assert warmer.would_be < now.as_is
    # 485 degree-days from the find on: 10 days at 18 degC are counted, 18 a day from tomorrow on
    counted = 10 * 11 + 10
    days = -(-(485 - counted) // 18) + 1
    assert _day(warmer, "degree_days") == TODAY + timedelta(days=days)
    assert _day(warmer, "clean_looks") == _day(now, "clean_looks")

    rarer = _ask(newcomer, WhatIf(looks_a_week=1))
    assert rarer.would_be is None or rarer.would_be > now.as_is
    daily = _ask(newcomer, WhatIf(looks_a_week=7))
    looks, before = _day(daily, "clean_looks"), _day(now, "clean_looks")
    assert looks is not None
    assert before is not None
    assert looks < before


def test_a_look_too_short_to_be_complete_gives_no_date(newcomer: Logbook) -> None:
    least = _ask(newcomer, AS_IT_GOES).usual.least_seconds
    short = _ask(newcomer, WhatIf(seconds=least - 1))
    assert not short.is_complete
    assert short.would_be is None
    assert _day(short, "clean_looks") is None
    assert _day(short, "days_apart") is not None
    assert any("not complete" in reason for reason in reason_texts(short))
    assert _ask(newcomer, WhatIf(seconds=least)).is_complete


def test_roots_looked_at_before_they_count_are_said_to_tell_of_the_chance_alone(
    newcomer: Logbook,
) -> None:
    now, early = _ask(newcomer, AS_IT_GOES), _ask(newcomer, WhatIf(roots=True))
    # 21 days after the find of ten days ago
    counts_from = TODAY + timedelta(days=11)
    assert early.roots_count_from == counts_from
    assert _day(early, "medium_and_roots") == _day(now, "medium_and_roots")
    day = day_month(counts_from, TODAY)
    said = f"Roots tomorrow count for the chance now, for the criterion from {day} on."
    assert said in reason_texts(early)
    assert now.roots_count_from is None


def test_what_decides_stands_first_and_no_course_under_way_is_not_listed(
    newcomer: Logbook,
) -> None:
    found = _ask(newcomer, AS_IT_GOES)
    shown = criteria_in_order(found)
    assert shown[0].would_be == found.would_be
    assert "courses" not in [each.code for each in shown]
    assert {each.code for each in found.criteria} - {each.code for each in shown} == {"courses"}


def test_nothing_is_written_whatever_is_supposed(newcomer: Logbook) -> None:
    usual = _ask(newcomer, AS_IT_GOES).usual
    before = _dump(newcomer)
    stamp = newcomer.stamp()
    for line in lines_of(usual):
        what = changed(AS_IT_GOES, usual, line, 1)
        assert what != AS_IT_GOES
        assert outcome_text(_ask(newcomer, what))
    assert _dump(newcomer) == before
    assert newcomer.stamp() == stamp


def _dump(logbook: Logbook) -> list[str]:
    with sqlite3.connect(logbook.file.path) as reading:
        return list(reading.iterdump())


def test_the_values_of_a_line_come_round_to_as_it_goes(newcomer: Logbook) -> None:
    usual = _ask(newcomer, AS_IT_GOES).usual
    for line in lines_of(usual):
        what = AS_IT_GOES
        for _ in values_of(usual, line):
            what = changed(what, usual, line, 1)
        assert what == AS_IT_GOES


def test_what_cannot_be_supposed_is_refused_in_a_sentence(newcomer: Logbook) -> None:
    for what in (WhatIf(looks_a_week=8), WhatIf(celsius=60.0), WhatIf(seconds=0.0)):
        with pytest.raises(BadInput, match="cannot be supposed"):
            _ask(newcomer, what)
    with pytest.raises(BadInput, match="any neighbour"):
        _ask(newcomer, replace(AS_IT_GOES, neighbours="G99"))
    add_plant(
        newcomer,
        local_noon(TODAY),
        "G02",
        PlantDetails("Thole", place="porch shelf", already_here=True),
    )
    plant = newcomer.collection().plant("G02")
    assert plant is not None
    record = collection_on(newcomer, TODAY).record(plant.id)
    with pytest.raises(Refused, match="not in quarantine"):
        finished(supposition_in_steps(record, AS_IT_GOES))


def test_of_two_pests_the_one_that_holds_it_longer_is_told(newcomer: Logbook) -> None:
    alone = _ask(newcomer, AS_IT_GOES)
    look = LookEntered(("axils",), 30.0, {"removed": 1}, pest="soft-scale")
    enter_look(newcomer, local_noon(TODAY - timedelta(days=2)), "G07", look)
    both = _ask(newcomer, AS_IT_GOES)
    assert alone.pest is None
    assert both.pest == "soft-scale"
    assert alone.as_is is not None
    assert both.as_is is None or both.as_is > alone.as_is
    assert any(reason.startswith("Held longest by") for reason in reason_texts(both))
